"""Straight lines of the wall and edges of rectangles turned into the network's curves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot, sqrt

import numpy as np

from vision.adjust.network import CurveSightings, KnownDirection, Line
from vision.measure_wall.request import LineRequest, PixelRow, RectangleRequest


def wall_lines(lines: Sequence[LineRequest], flatness_u_mm: float) -> tuple[Line, ...]:
    """Lines with the priors of what they lack of being straight.

    Out of the wall, both ends and the middle stand each as far off as the wall is not flat.
    """
    return tuple(
        Line(
            line.name,
            line.bow_u_mm,
            line.standoff_mm,
            (
                hypot(line.standoff_u_mm, flatness_u_mm / sqrt(2)),
                flatness_u_mm / sqrt(2),
                flatness_u_mm,
            ),
        )
        for line in lines
    )


def known_directions(lines: Sequence[LineRequest]) -> tuple[KnownDirection, ...]:
    """Those lines that are known to be level or plumb."""
    return tuple(
        KnownDirection(index, line.direction == "plumb", line.direction_u_rad)
        for index, line in enumerate(lines)
        if line.direction is not None
    )


def line_sightings(lines: Sequence[LineRequest], shots: Mapping[str, int]) -> list[CurveSightings]:
    """Points along lines in the photos that take part."""
    return [
        _table(shots[photo], points, line.sd_px, line=index, defined_mm=line.defined_mm)
        for index, line in enumerate(lines)
        for photo, points in line.points_px.items()
        if photo in shots
    ]


def edge_sightings(
    rectangle: RectangleRequest, sheet: int, photo: str, shot: int, edge: int
) -> list[CurveSightings]:
    """Points along the four edges of a rectangle in one photo."""
    return [
        _table(shot, points, rectangle.point_sd_px, sheet=sheet, side=side, edge=edge)
        for side, points in enumerate(rectangle.edges_px[photo])
    ]


def _table(
    shot: int,
    points: PixelRow,
    sd_px: float,
    *,
    line: int = -1,
    sheet: int = -1,
    side: int = -1,
    edge: int = -1,
    defined_mm: float = 0.0,
) -> CurveSightings:
    count = len(points)
    return CurveSightings(
        shot=np.full(count, shot),
        line=np.full(count, line),
        sheet=np.full(count, sheet),
        side=np.full(count, side),
        pixels=np.array(points, dtype=np.float64),
        sd_px=np.full(count, sd_px),
        defined_mm=np.full(count, defined_mm),
        edge=np.full(count, edge),
    )
