"""Straight lines and plain rectangles on simulated walls, and points along them in a photo.

Curves are made here as polygons of points in space; nothing is shared with the package.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.random import Generator

from vision.units import FloatArray

Project = Callable[[FloatArray], FloatArray]
Picture = tuple[float, float]


@dataclass(frozen=True)
class TrueLine:
    """A line from one end to the other, mm, its bows and heights drawn from these spreads."""

    start: tuple[float, float]
    end: tuple[float, float]
    direction: Literal["level", "plumb"] | None = None
    bow_mm: float = 0.5
    points: int = 12


@dataclass(frozen=True)
class TrueRectangle:
    """A rectangle whose lower left corner is at ``place`` (x, y, turn), flat and on the wall."""

    place: tuple[float, float, float]
    size_mm: tuple[float, float]
    height_mm: float = 0.0
    points: int = 8


def line_on_wall(rng: Generator, line: TrueLine, flatness_mm: float) -> FloatArray:
    """(points, 3) along the line, out of straight by its bow and out of the plane by the wall."""
    t = np.linspace(-1, 1, line.points)
    start, end = np.array(line.start), np.array(line.end)
    across = np.array([start[1] - end[1], end[0] - start[0]]) / np.linalg.norm(end - start)
    bow, lift, tilt, arch = rng.standard_normal(4) * np.array(
        [line.bow_mm, flatness_mm / np.sqrt(2), flatness_mm / np.sqrt(2), flatness_mm]
    )
    flat = (start + end) / 2 + np.outer(t, end - start) / 2 + bow * np.outer(t**2 - 1 / 3, across)
    return np.column_stack([flat, lift + tilt * t + arch * (t**2 - 1 / 3)])


def edges_on_wall(rectangle: TrueRectangle) -> list[FloatArray]:
    """Points along the four edges, lower left to lower right first; none near a corner."""
    width, height = rectangle.size_mm
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=np.float64)
    share = np.linspace(0.1, 0.9, rectangle.points)[:, None]
    x, y, turn = rectangle.place
    cos, sin = np.cos(turn), np.sin(turn)
    edges = []
    for side in range(4):
        flat = corners[side] + share * (corners[(side + 1) % 4] - corners[side])
        placed = flat @ np.array([[cos, sin], [-sin, cos]]) + np.array([x, y])
        edges.append(np.column_stack([placed, np.full(len(placed), rectangle.height_mm)]))
    return edges


def tapped_along(
    rng: Generator, points: FloatArray, project: Project, sd_px: float, picture: Picture
) -> tuple[tuple[float, float], ...]:
    """Taps across and along the curve of ``sd_px`` per axis, those that fall in the picture."""
    pixels = project(points)
    tapped = pixels + sd_px * rng.standard_normal(pixels.shape)
    inside = np.all((pixels > 5) & (pixels < np.array(picture) - 6), axis=1)
    return tuple((float(x), float(y)) for x, y in tapped[inside])


def outline_seen(
    rng: Generator, edges: list[FloatArray], project: Project, sd_px: float, offset_px: float
) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Points along the four edges, each edge seen ``offset_px`` too far out."""
    seen = [project(edge) for edge in edges]
    middle = np.concatenate(seen).mean(axis=0)
    rows = []
    for pixels in seen:
        along = pixels[-1] - pixels[0]
        normal = np.array([along[1], -along[0]]) / np.linalg.norm(along)
        out = normal * np.sign(normal @ (pixels.mean(axis=0) - middle))
        moved = pixels + offset_px * out + sd_px * rng.standard_normal(pixels.shape)
        rows.append(tuple((float(x), float(y)) for x, y in moved))
    return tuple(rows)
