"""Layout marks: an outline as the installer draws it, edge by edge, from two references."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import Mark, Width
from service.panels.shapes import across_mm
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from service.panels.model import Edge, Point, Size, WallName
    from service.panels.outline import Outline


def layout_marks(wall: WallName, outline: Outline) -> tuple[Mark, ...]:
    """The marks in the order they are made: sides from the top down, then the bottom.

    Sides are measured from the reference vertical, the bottom from the finished top. On the back
    wall what is measured is a distance from the plumb line, its side told by the edge.
    """
    return tuple(
        _mark(order, wall, edge, point)
        for order, (edge, point) in enumerate(outline.edge_points, start=1)
    )


def overall_widths(outline: Outline) -> tuple[Width, ...]:
    """Overall width at every height where a side is marked, rounded down."""
    if outline.cut:
        # At the very corner of a cut panel nothing is left to be measured across.
        found = [(y, across_mm(outline, y)) for y in outline.side_heights]
        return tuple(Width(mark(y), width(mm)) for y, mm in found if mm > 0.0)
    return tuple(Width(mark(y), width(outline.width_at(y))) for y in outline.side_heights)


def _mark(order: int, wall: WallName, edge: Edge, point: Point) -> Mark:
    if edge in ("bottom", "leg", "top", "notch"):
        station, value = mark(point.x), mark(point.y)
        how = f"{_across(wall, station, point)}, {value.text} in down from the top"
    else:
        station, value = mark(point.y), mark(abs(point.x))
        how = f"{station.text} in down, {value.text} in {_from(wall, edge)}"
    return Mark(order, edge, station, value, point, how)


def _across(wall: WallName, station: Size, point: Point) -> str:
    if wall != "back":
        return f"{station.text} in from the finished outer edge"
    if station.text == "0":
        return "on the plumb line"
    side = "left" if point.x < 0 else "right"
    return f"{station.text.lstrip('-')} in {side} of the plumb line"


def _from(wall: WallName, edge: Edge) -> str:
    if wall == "back":
        return f"{edge} of the plumb line"
    return "from the finished outer edge"
