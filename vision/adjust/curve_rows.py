"""Rows that come from points seen along straight lines of the wall and along edges of sheets.

Where along its curve a point was set says nothing, so only its distance across counts: the curve
is projected, the place nearest to the seen pixel is found on it, and the residual is the distance
there, along the curve's normal in the picture. At the nearest place a shift along the curve
changes that distance in second order only, so its derivative by any unknown is that of the curve's
point, taken across (least squares by orthogonal distance).

Every curve is a parabola in its parameter t, which runs from -1 to 1 over what was marked of a
line and over the side of a sheet: lines may bow in the wall and out of it, sheets out of it.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from vision.adjust.network import LineFrame, Network
from vision.adjust.sheet_rows import SHEET_COLUMNS, SheetPoints
from vision.adjust.state import LINE, Layout, State
from vision.adjust.views import VIEW_COLUMNS, Looked, Views
from vision.units import FloatArray, IntArray

NEAREST_STEPS: Final = 12
CLOSE_ENOUGH: Final = 1e-10


class CurveRows:
    """Signed distance in pixels of every point seen along a curve, for any state."""

    def __init__(self, network: Network, layout: Layout, views: Views) -> None:
        seen = network.curves
        self._network, self._layout, self._views, self._seen = network, layout, views, seen
        self._line_rows = np.flatnonzero(seen.line >= 0)
        self._side_rows = np.flatnonzero(seen.line < 0)
        self._edge_rows = np.flatnonzero(seen.edge >= 0)
        frames = [network.line_frames[line] for line in seen.line[self._line_rows]]
        self._middle = np.array([frame.middle_mm for frame in frames]).reshape(-1, 2)
        self._angle = np.array([frame.angle_rad for frame in frames])
        self._half = np.array([frame.half_mm for frame in frames])
        self.columns: IntArray = self._all_columns()

    @property
    def count(self) -> int:
        """Number of rows."""
        return len(self._seen.shot)

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Distances (n,) and derivatives (n, 27) by the unknowns of ``columns``."""
        along, looked = self._nearest(state)
        normal = _normals(looked.by_point, self._tangents(state, along))
        slopes = np.zeros((self.count, self.columns.shape[1]))
        slopes[:, :VIEW_COLUMNS] = (normal[:, None, :] @ looked.by_view)[:, 0]
        by_point = (normal[:, None, :] @ looked.by_point)[:, 0]
        lines, sides = self._line_rows, self._side_rows
        slopes[lines, VIEW_COLUMNS : VIEW_COLUMNS + LINE] = (
            by_point[lines, None, :] @ self._line_derivatives(state, along[lines])
        )[:, 0]
        slopes[sides, VIEW_COLUMNS : VIEW_COLUMNS + SHEET_COLUMNS] = (
            by_point[sides, None, :] @ self._sheet_points(along[sides]).derivatives(state)
        )[:, 0]
        slopes[:, -1] = 1.0
        distance = (normal * (looked.pixels - self._seen.pixels)).sum(axis=1)
        return distance + self._edge_shift(state), slopes

    def stretches(self, state: State) -> tuple[LineFrame, ...]:
        """Where each line lies and how far it was followed, as the state has it."""
        along, _ = self._nearest(state)
        points = self._points(state, along)
        frames = []
        for line, frame in enumerate(self._network.line_frames):
            rows = np.flatnonzero(self._seen.line == line)
            angle = line_angle(self._network, self._layout, state, line)
            direction = np.array([np.cos(angle), np.sin(angle)])
            normal = np.array([-direction[1], direction[0]])
            reach = (points[rows, :2] - frame.middle_mm) @ direction
            offset = float(state.x[self._layout.line + LINE * line])
            middle = frame.middle_mm + (reach.max() + reach.min()) / 2 * direction + offset * normal
            frames.append(LineFrame(middle, angle, float(np.ptp(reach)) / 2))
        return tuple(frames)

    def sharpness(self, state: State) -> FloatArray:
        """(n,) pixels across the curve for one mm across it on the wall."""
        along, looked = self._nearest(state)
        tangents = self._tangents(state, along)
        normal = _normals(looked.by_point, tangents)
        across = np.column_stack([-tangents[:, 1], tangents[:, 0]])
        across /= np.linalg.norm(across, axis=1)[:, None]
        moved = (looked.by_point[:, :, :2] @ across[:, :, None])[:, :, 0]
        return np.asarray(np.abs((normal * moved).sum(axis=1)))

    def _nearest(self, state: State) -> tuple[FloatArray, Looked]:
        """Parameter of the place of its curve nearest to each pixel, and that place looked at."""
        along = np.zeros(self.count)
        looked = self._views.look(state, self._seen.shot, self._points(state, along))
        for _ in range(NEAREST_STEPS):
            tangent = (looked.by_point @ self._tangents(state, along)[:, :, None])[:, :, 0]
            short = ((self._seen.pixels - looked.pixels) * tangent).sum(axis=1)
            step = short / np.maximum((tangent**2).sum(axis=1), 1e-30)
            # a step of more than the whole curve is the start's error and not to be trusted
            along = along + np.clip(step, -1.0, 1.0)
            looked = self._views.look(state, self._seen.shot, self._points(state, along))
            if not np.max(np.abs(step), initial=0.0) > CLOSE_ENOUGH:
                break
        return along, looked

    def _points(self, state: State, along: FloatArray) -> FloatArray:
        points = np.empty((self.count, 3))
        points[self._side_rows] = self._sheet_points(along[self._side_rows]).points(state)
        t, at = along[self._line_rows], self._line_unknowns(state)
        direction, normal = self._axes(at)
        across = at[:, 0] + at[:, 2] * _bow(t)
        flat = self._middle + (self._half * t)[:, None] * direction + across[:, None] * normal
        height = at[:, 3] + at[:, 4] * t + at[:, 5] * _bow(t)
        points[self._line_rows] = np.column_stack([flat, height])
        return points

    def _tangents(self, state: State, along: FloatArray) -> FloatArray:
        """(n, 3) derivative of each curve's point by its parameter; exact, as it is a parabola."""
        ahead, behind = self._points(state, along + 0.5), self._points(state, along - 0.5)
        return np.asarray(ahead - behind)

    def _line_derivatives(self, state: State, t: FloatArray) -> FloatArray:
        """(n, 3, 6) of points of lines by offset, turn, bow, height, tilt and bow out."""
        at = self._line_unknowns(state)
        direction, normal = self._axes(at)
        across = at[:, 0] + at[:, 2] * _bow(t)
        slopes = np.zeros((len(t), 3, LINE))
        slopes[:, :2, 0] = normal
        slopes[:, :2, 1] = (self._half * t)[:, None] * normal - across[:, None] * direction
        slopes[:, :2, 2] = _bow(t)[:, None] * normal
        slopes[:, 2, 3], slopes[:, 2, 4], slopes[:, 2, 5] = 1.0, t, _bow(t)
        return slopes

    def _line_unknowns(self, state: State) -> FloatArray:
        block = state.x[self._layout.line :].reshape(-1, LINE)
        return np.asarray(block[self._seen.line[self._line_rows]])

    def _axes(self, at: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Direction and normal (n, 2) of each point's line on the wall."""
        angle = self._angle + at[:, 1]
        direction = np.column_stack([np.cos(angle), np.sin(angle)])
        return direction, np.column_stack([-direction[:, 1], direction[:, 0]])

    def _sheet_points(self, t: FloatArray) -> SheetPoints:
        sheets, sides = self._seen.sheet[self._side_rows], self._seen.side[self._side_rows]
        corners = np.array([_corners(sheet.size_mm) for sheet in self._network.sheets])
        corners = corners.reshape(-1, 4, 2)
        first, second = corners[sheets, sides], corners[sheets, (sides + 1) % 4]
        nominal = (first + second) / 2 + t[:, None] * (second - first) / 2
        return SheetPoints(self._network, self._layout, sheets, nominal)

    def _all_columns(self) -> IntArray:
        """(n, 25) column of each derivative; one past the last where there is none."""
        columns = np.full((self.count, VIEW_COLUMNS + SHEET_COLUMNS + 1), self._layout.size)
        columns[:, :VIEW_COLUMNS] = self._views.columns(self._seen.shot)
        lines, sides, edges = self._line_rows, self._side_rows, self._edge_rows
        first = self._layout.line + LINE * self._seen.line[lines]
        columns[lines, VIEW_COLUMNS : VIEW_COLUMNS + LINE] = first[:, None] + np.arange(LINE)
        columns[sides, VIEW_COLUMNS:-1] = self._sheet_points(np.zeros(len(sides))).columns
        columns[edges, -1] = self._layout.edge + self._seen.edge[edges]
        return columns

    def _edge_shift(self, state: State) -> FloatArray:
        offsets = np.append(state.x[self._layout.edge : self._layout.line], 0.0)
        return np.asarray(offsets[self._seen.edge])


def line_angle(network: Network, layout: Layout, state: State, line: int) -> float:
    """Direction of a line on the wall, radians from the x axis."""
    turn = float(state.x[layout.line + LINE * line + 1])
    return network.line_frames[line].angle_rad + turn


def _corners(size_mm: tuple[float, float]) -> list[tuple[float, float]]:
    width, height = size_mm
    return [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]


def _bow(t: FloatArray) -> FloatArray:
    """A parabola whose mean over the curve is zero."""
    return np.asarray(t**2 - 1 / 3)


def _normals(by_point: FloatArray, tangents: FloatArray) -> FloatArray:
    """(n, 2) unit normals of the curves in the picture; outwards of a sheet's edge."""
    along = (by_point @ tangents[:, :, None])[:, :, 0]
    # y is down in the picture, so that left of the direction on the wall is right of it here
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    return np.asarray(normal / np.linalg.norm(normal, axis=1)[:, None])
