"""The wall's least-squares problem written a second time, for an outside solver.

Only the network's plain values are taken from the package. Points are projected by OpenCV,
rotations are Rodrigues vectors, a line is carried by what its two ends do, and where along its
curve a point was set is an unknown of its own instead of being found; the solver is SciPy's.
Derivatives are differences throughout.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from vision.adjust.network import Network
from vision.adjust.wall_problem import Tape
from vision.units import FloatArray

_KINDS = ("shots", "lenses", "groups", "sheets", "marks", "edges", "lines", "along")
_SIZES = (9, 5, 2, 8, 3, 1, 6, 1)


@dataclass(frozen=True)
class Outside:
    """The other solver's answer: unknowns by kind, marks, sizes and their covariance."""

    values: dict[str, FloatArray]
    sizes_mm: FloatArray
    covariance_mm2: FloatArray
    cost: float


@dataclass(frozen=True)
class OutsideStart:
    """Where cameras, cards and marks roughly are, from the scene's plan and not from a solution."""

    rotations: list[FloatArray]
    shifts: list[FloatArray]
    sheets: list[tuple[float, float, float]]
    marks: FloatArray


class OutsideWall:
    """Residuals of one wall in units of their standard deviations."""

    def __init__(
        self, network: Network, tapes: Sequence[Tape], level: tuple[int, int] | None
    ) -> None:
        self.network, self.tapes, self.level = network, tapes, level
        counts = (
            len(network.shots),
            len(network.lenses),
            len(network.scale_groups),
            len(network.sheets),
            len(network.marks),
            len(network.edge_u_px),
            len(network.lines),
            len(network.curves.shot),
        )
        self.shapes = dict(zip(_KINDS, zip(counts, _SIZES, strict=True), strict=True))
        ends = np.cumsum([0, *(count * size for count, size in self.shapes.values())])
        self.places = dict(zip(_KINDS, pairwise(ends.tolist()), strict=True))
        self.held = np.zeros(ends[-1], dtype=bool)
        datum = self.places["sheets"][0] + 8 * network.datum_sheet
        self.held[datum : datum + 3] = True

    def solve(self, start: OutsideStart) -> Outside:
        """SciPy's least squares from a rough start, and the covariance by its own differences."""
        whole = self.start_vector(start)
        free = ~self.held

        def of_free(x: FloatArray) -> FloatArray:
            full = whole.copy()
            full[free] = x
            return self.residuals(full)

        found = least_squares(
            of_free, whole[free], "3-point", x_scale="jac", xtol=1e-13, ftol=1e-13, gtol=1e-13
        )
        whole[free] = found.x
        return self.described(whole)

    def described(self, vector: FloatArray) -> Outside:
        """Sizes with the covariance that follows from differences of the residuals at a vector."""
        free = ~self.held
        jacobian = _differences(self.residuals, vector, free)
        scale = np.linalg.norm(jacobian, axis=0)
        _, triangle = np.linalg.qr(jacobian / scale)
        slopes = _differences(self.sizes, vector, free) / scale
        root = np.linalg.solve(triangle.T, slopes.T)
        residuals = self.residuals(vector)
        return Outside(
            self.parts(vector), self.sizes(vector), root.T @ root, float(residuals @ residuals)
        )

    def parts(self, vector: FloatArray) -> dict[str, FloatArray]:
        return {
            kind: vector[slice(*self.places[kind])].reshape(self.shapes[kind]) for kind in _KINDS
        }

    def start_vector(self, start: OutsideStart) -> FloatArray:
        part = {kind: np.zeros(shape) for kind, shape in self.shapes.items()}
        for index, (rotation, shift) in enumerate(zip(start.rotations, start.shifts, strict=True)):
            part["shots"][index, :3] = cv2.Rodrigues(rotation)[0].ravel()
            part["shots"][index, 3:6] = shift
        part["lenses"][:] = [lens.mean for lens in self.network.lenses]
        part["groups"][:] = [group.mean for group in self.network.scale_groups]
        for index, place in enumerate(start.sheets):
            part["sheets"][index, :3] = place
            part["sheets"][index, 3] = self.network.sheets[index].standoff_mm
        part["marks"][:] = start.marks
        part["marks"][:, 2] = [mark.standoff_mm for mark in self.network.marks]
        return np.concatenate([part[kind].ravel() for kind in _KINDS])

    def residuals(self, vector: FloatArray) -> FloatArray:
        part = self.parts(vector)
        rows = [*self._sighted(part), *self._along_curves(part), *self._priors(part)]
        rows += [np.array(self._angles(part)), self._taped(part)]
        return np.concatenate(rows)

    def sizes(self, vector: FloatArray) -> FloatArray:
        marks = self.parts(vector)["marks"]
        return np.array([self._size(tape, marks) for tape in self.tapes])

    def _camera(self, part: dict[str, FloatArray], shot: int) -> tuple[FloatArray, FloatArray]:
        known = self.network.shots[shot]
        log_f, cx, cy, k1, k2 = part["lenses"][known.lens]
        relative, dx, dy = part["shots"][shot, 6:]
        f = np.exp(log_f) * (1 + relative)
        off = known.sensor_turn @ np.array([cx, cy]) + np.array([dx, dy])
        middle = (np.array([known.width_px, known.height_px]) - 1) / 2 + off
        matrix = np.array([[f, 0, middle[0]], [0, f, middle[1]], [0, 0, 1.0]])
        return matrix, np.array([k1, k2, 0.0, 0.0])

    def _project(self, part: dict[str, FloatArray], shot: int, points: FloatArray) -> FloatArray:
        turn, shift = part["shots"][shot, :3], part["shots"][shot, 3:6]
        pixels = cv2.projectPoints(points, turn, shift, *self._camera(part, shot))[0]
        return np.asarray(pixels, dtype=np.float64).reshape(-1, 2)

    def _on_sheet(self, part: dict[str, FloatArray], sheet: int, nominal: FloatArray) -> FloatArray:
        x, y, turn, height, tilt_x, tilt_y, bow_x, bow_y = part["sheets"][sheet]
        known = self.network.sheets[sheet]
        scale = part["groups"][known.scale_group]
        u, v = (nominal - np.array(known.size_mm) / 2).T
        width, tall = known.size_mm
        along = (nominal * scale)[:, 0] + 1j * (nominal * scale)[:, 1]
        placed = along * np.exp(1j * turn) + (x + 1j * y)
        arch = bow_x * ((2 * u / width) ** 2 - 1 / 3) + bow_y * ((2 * v / tall) ** 2 - 1 / 3)
        return np.column_stack([placed.real, placed.imag, height + tilt_x * u + tilt_y * v + arch])

    def _sighted(self, part: dict[str, FloatArray]) -> list[FloatArray]:
        seen, rows = self.network.sightings, []
        for shot in range(len(self.network.shots)):
            for sheet in range(-1, len(self.network.sheets)):
                here = np.flatnonzero((seen.shot == shot) & (seen.sheet == sheet))
                if len(here) == 0:
                    continue
                if sheet < 0:
                    points = part["marks"][seen.point[here]]
                else:
                    nominal = self.network.sheets[sheet].points_mm[seen.point[here]]
                    points = self._on_sheet(part, sheet, nominal)
                off = self._project(part, shot, points) - seen.pixels[here]
                deviations = np.sqrt(seen.covariance_px2[here][:, [0, 1], [0, 1]])
                rows.append((off / deviations).ravel())
        return rows

    def _along_curves(self, part: dict[str, FloatArray]) -> list[FloatArray]:
        """Points of one photo along one curve at a time, each beside its free place on it."""
        seen, rows = self.network.curves, []
        keys = np.column_stack([seen.shot, seen.line, seen.sheet, seen.side])
        steps = np.array([0.0, -1e-4, 1e-4])
        for shot, line, sheet, side in np.unique(keys, axis=0).tolist():
            here = np.flatnonzero(np.all(keys == [shot, line, sheet, side], axis=1))
            near = (part["along"][here] + steps).ravel()
            points = (
                self._on_line(part, line, near)
                if line >= 0
                else self._on_sheet(part, sheet, self._on_side(sheet, side, near))
            )
            pixels = self._project(part, shot, points).reshape(-1, 3, 2)
            tangents = pixels[:, 2] - pixels[:, 1]
            outward = np.column_stack([-tangents[:, 1], tangents[:, 0]])
            outward /= np.linalg.norm(outward, axis=1)[:, None]
            offsets = np.append(part["edges"][:, 0], 0.0)[seen.edge[here]]
            off = pixels[:, 0] + offsets[:, None] * outward - seen.pixels[here]
            rows.append((off / seen.sd_px[here, None]).ravel())
        return rows

    def _on_side(self, sheet: int, side: int, t: FloatArray) -> FloatArray:
        width, height = self.network.sheets[sheet].size_mm
        corners = np.array([[0, 0], [width, 0], [width, height], [0, height]])
        first, second = corners[side], corners[(side + 1) % 4]
        return np.asarray(first + np.outer((t + 1) / 2, second - first))

    def _on_line(self, part: dict[str, FloatArray], line: int, t: FloatArray) -> FloatArray:
        frame = self.network.line_frames[line]
        near, far, bow, low, high, arch = part["lines"][line]
        direction = np.exp(1j * frame.angle_rad)
        across = near * (1 - t) / 2 + far * (1 + t) / 2 + bow * (t**2 - 1 / 3)
        flat = complex(*frame.middle_mm) + (frame.half_mm * t + 1j * across) * direction
        height_mm = low * (1 - t) / 2 + high * (1 + t) / 2 + arch * (t**2 - 1 / 3)
        return np.column_stack([flat.real, flat.imag, height_mm])

    def _priors(self, part: dict[str, FloatArray]) -> list[FloatArray]:
        net, rows = self.network, []
        for shot, known in zip(part["shots"], net.shots, strict=True):
            u = np.array([known.focus_u, known.stabiliser_u_px, known.stabiliser_u_px])
            rows.append(shot[6:] / u)
        for values, lens in zip(part["lenses"], net.lenses, strict=True):
            powers, axes = np.linalg.eigh(lens.covariance)
            rows.append(axes.T @ (values - lens.mean) / np.sqrt(powers))
        for scale, group in zip(part["groups"], net.scale_groups, strict=True):
            rows.append((scale - np.array(group.mean)) / np.array(group.u))
        for values, sheet in zip(part["sheets"], net.sheets, strict=True):
            rows.append(np.array([(values[3] - sheet.standoff_mm) / sheet.standoff_u_mm]))
            rows.append(values[4:6] / sheet.tilt_u_rad)
            rows.append(values[6:8] / sheet.bow_u_mm)
        for values, mark in zip(part["marks"], net.marks, strict=True):
            rows.append(np.array([(values[2] - mark.standoff_mm) / mark.standoff_u_mm]))
        rows.append(part["edges"][:, 0] / net.edge_u_px)
        for values, line in zip(part["lines"], net.lines, strict=True):
            _, _, bow, low, high, arch = values
            off = np.array([(low + high) / 2 - line.standoff_mm, (high - low) / 2, arch])
            rows.append(np.array([bow / line.bow_u_mm]))
            rows.append(off / np.array(line.height_u_mm))
        return rows

    def _angles(self, part: dict[str, FloatArray]) -> list[float]:
        marks, rows = part["marks"], []
        for corner in self.network.square_corners:
            level, plumb = (
                complex(*(marks[b] - marks[a])[:2]) for a, b in (corner.level, corner.plumb)
            )
            # square: the quotient has no real part
            quotient = plumb / level
            rows.append(-np.arctan(quotient.real / quotient.imag) / corner.u_rad)
        if self.level is None:
            return rows
        level = complex(*(marks[self.level[1]] - marks[self.level[0]])[:2])
        for known in self.network.directions:
            frame = self.network.line_frames[known.line]
            near, far = part["lines"][known.line, :2]
            line = np.exp(1j * frame.angle_rad) * (frame.half_mm + 0.5j * (far - near))
            quotient = line / level / (1j if known.is_plumb else 1)
            rows.append(np.arctan(quotient.imag / quotient.real) / known.u_rad)
        return rows

    def _taped(self, part: dict[str, FloatArray]) -> FloatArray:
        off = [(self._size(t, part["marks"]) - t.value_mm) / t.u_mm for t in self.tapes]
        return np.array(off)

    def _size(self, tape: Tape, marks: FloatArray) -> float:
        size = tape.size
        if size.kind == "distance":
            return float(np.sqrt(np.sum((marks[size.end] - marks[size.start]) ** 2)))
        if size.kind == "to_line":
            a, b, p = (complex(*marks[i][:2]) for i in (*size.line, size.start))
            return float(((p - a) / (b - a)).imag * abs(b - a))
        level = complex(1, 0)
        if self.level is not None:
            level = complex(*(marks[self.level[1]] - marks[self.level[0]])[:2])
        across = complex(*(marks[size.end] - marks[size.start])[:2]) / (level / abs(level))
        return float(across.real if size.kind == "dx" else across.imag)


def _differences(
    function: Callable[[FloatArray], FloatArray], at: FloatArray, free: NDArray[np.bool_]
) -> FloatArray:
    columns = []
    for index in np.flatnonzero(free):
        step = np.zeros_like(at)
        step[index] = 1e-5 * max(abs(at[index]), 1e-2)
        ahead, behind = function(at + step), function(at - step)
        columns.append((ahead - behind) / (2 * step[index]))
    return np.column_stack(columns)
