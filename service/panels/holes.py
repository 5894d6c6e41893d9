"""Cut-outs: where each hole is, how large, and which saw cuts it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from service.lengths import inches_text
from service.panels.model import Caution, Cutout, Point, Size
from service.panels.problem import PlanError
from service.panels.sizes import mark, needed, width

if TYPE_CHECKING:
    from service.panels.model import WallName
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Fixture, WallShape

_SAW_GRAIN_MM = 1e-6


def cutouts(
    shape: WallShape, outline: Outline, shop: Practice
) -> tuple[tuple[Cutout, ...], tuple[Caution, ...]]:
    """The holes of one panel, from its reference vertical and finished top.

    Raises
    ------
    PlanError
        A hole that does not lie wholly inside the panel, or a fixture without any size.
    """
    found, cautions = [], []
    for fixture in shape.fixtures:
        if not fixture.round and (fixture.kind != "pipe" or fixture.box_mm is not None):
            continue
        hole, warned = _cutout(shape, fixture, outline, shop)
        found.append(hole)
        cautions += warned
    return tuple(found), tuple(cautions)


def hole_diameter_mm(wall: str, fixture: Fixture, shop: Practice) -> float:
    """The least hole: given outright, or what comes through with its clearance, mm."""
    if fixture.hole_mm is not None:
        return fixture.hole_mm
    if fixture.guard_mm is not None:
        return fixture.guard_mm + 2 * shop["hole.guard_clearance"]
    if fixture.pipe_mm is not None:
        return fixture.pipe_mm + 2 * shop["hole.pipe_clearance"]
    raise PlanError(f"{wall}.{fixture.name}", "expected hole, guard or pipe: the hole has no size")


def next_saw_mm(diameter_mm: float, shop: Practice) -> float | None:
    """The smallest saw the shop owns that is no smaller than the hole; None if none is."""
    saws = sorted(shop.several("hole.saws"))
    return next((saw for saw in saws if saw >= diameter_mm - _SAW_GRAIN_MM), None)


def largest_hole_mm(fixture: Fixture, shop: Practice) -> float | None:
    """The largest hole that the plate still covers all round; None without a plate."""
    if fixture.plate_mm is None:
        return None
    valve = fixture.guard_mm is not None or fixture.datum_mm is not None
    return fixture.plate_mm - 2 * shop["hole.valve_cover" if valve else "hole.pipe_cover"]


def _cutout(
    shape: WallShape, fixture: Fixture, outline: Outline, shop: Practice
) -> tuple[Cutout, list[Caution]]:
    wall = shape.wall
    toward = 1 if wall == "back" else -1
    at = Point(
        outline.plumb_x_mm + toward * fixture.from_plumb.mm, fixture.down.mm + outline.level_y_mm
    )
    least = hole_diameter_mm(wall, fixture, shop)
    saw = next_saw_mm(least, shop)
    diameter = saw if saw is not None else least
    largest = largest_hole_mm(fixture, shop)
    cautions: list[Caution] = []
    if saw is None:
        text = f"{fixture.name}: no hole saw of {needed(least).text} in or more: cut by jigsaw"
        cautions.append(Caution("no-saw", text, wall))
    if largest is not None and diameter > largest + _SAW_GRAIN_MM:
        text = (
            f"{fixture.name}: a hole of {needed(diameter).text} in is more than its plate covers "
            f"({width(largest).text} in)"
        )
        cautions.append(Caution("plate-too-small", text, wall))
    cautions += _inside(wall, fixture, at, diameter, outline, shop)
    return (
        Cutout(
            name=fixture.name,
            at_mm=at,
            diameter_mm=diameter,
            diameter=needed(diameter),
            saw=f"{needed(diameter).text} in hole saw" if saw is not None else "jigsaw",
            from_side=mark(at.x),
            from_top=mark(at.y),
            max_diameter=width(largest) if largest is not None else None,
            valve_datum=_moved(fixture.datum_mm, shop.build_up_mm),
            nipple_out=_moved(fixture.nipple_mm, -shop.build_up_mm),
            notes=_notes(shape, fixture, at, outline),
        ),
        cautions,
    )


def _inside(
    wall: WallName, fixture: Fixture, at: Point, diameter: float, outline: Outline, shop: Practice
) -> list[Caution]:
    panel = Polygon(outline.points)
    hole = Spot(at).buffer(diameter / 2, quad_segs=32)
    if not panel.contains(hole):
        raise PlanError(
            f"{wall}.{fixture.name}",
            f"expected a hole inside the panel; {mark(at.x).text} in from the reference edge and "
            f"{mark(at.y).text} in from the top with {needed(diameter).text} in across is not",
        )
    web = panel.exterior.distance(hole)
    if web >= shop["hole.least_web"]:
        return []
    text = f"{fixture.name}: only {width(web).text} in of sheet between its hole and the edge"
    return [Caution("thin-web", text, wall)]


def _notes(shape: WallShape, fixture: Fixture, at: Point, outline: Outline) -> tuple[str, ...]:
    if shape.wall == "back" or fixture.from_corner_mm is None:
        return ()
    inner = outline.sides[1].at(at.y) - at.x
    return (
        f"{inches_text(inner)} in from the sheet's inner edge, "
        f"not the {inches_text(fixture.from_corner_mm)} in taped from the wall corner",
    )


def _moved(mm: float | None, by_mm: float) -> Size | None:
    return None if mm is None else mark(mm + by_mm)
