"""Absurd input, refused by name before anything is planned."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from service.panels.flatness import check_flatness
from service.panels.plane import check_regions
from service.panels.problem import PlanError
from service.panels.shapes import check_obstacles
from service.panels.way_in import check_halls

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Fixture, Pattern, Station, StockSheet, Top, WallShape

_SAME_PLACE_MM: Final = 1.0
"""Nobody means two heights by it: between them the edge would be drawn with a step."""


def check_alcove(alcove: Alcove, shop: Practice) -> None:
    """Refuse sizes that no alcove has: negative, not finite, or past the shop's limits."""
    if not alcove.walls:
        raise PlanError("walls", "expected one wall or more")
    names = [shape.wall for shape in alcove.walls]
    for name in names:
        if names.count(name) > 1:
            raise PlanError(f"walls.{name}", "expected this wall once")
    _check_corners(alcove)
    rise = alcove.top.above_line_mm
    if not math.isfinite(rise) or not 0 <= rise <= shop["limits.height"]:
        most = _inches(shop["limits.height"])
        raise PlanError("top.above_line", f"expected 0 to {most} in, not {_inches(rise)} in")
    for shape in alcove.walls:
        _check_wall(shape, shop)
    if alcove.pattern is not None:
        _check_pattern(alcove.pattern, shop["limits.least_tile"])
    for sheet in alcove.stock:
        _check_sheet(sheet)
    _check_rest(alcove, shop)


def _check_corners(alcove: Alcove) -> None:
    ends = [shape for shape in alcove.walls if shape.wall != "back"]
    if len(ends) == 2 and ends[0].corner == ends[1].corner:
        raise PlanError(
            f"{ends[1].wall}.corner",
            f"expected the other side than on the {ends[0].wall} wall, which has its back corner "
            f"at its {ends[0].corner} too",
        )


def _check_wall(shape: WallShape, shop: Practice) -> None:
    check_regions(f"{shape.wall}.surfaces", shape.surfaces)
    for index, region in enumerate(shape.surfaces):
        if region.proud_mm > shop["limits.proud"]:
            limit, proud = _inches(shop["limits.proud"]), _inches(region.proud_mm)
            where = f"{shape.wall}.surfaces[{index}].proud"
            raise PlanError(where, f"expected at most {limit} in, not {proud} in")
    for field, station in _stations(shape):
        _check_station(f"{station.value.name} station", station.at_mm, shop["limits.wall"])
        high = shop["limits.height" if field in ("line_to_deck", "ceiling") else "limits.wall"]
        _check_size(station.value.name, station.value.mm, high)
    outer = shape.outer
    if outer is not None:
        _check_size(f"{shape.wall}.outer.from_plumb", outer.from_plumb_mm, shop["limits.wall"])
    _check_doubles(shape)
    _check_places(shape, shop)
    check_flatness(shape, shop)
    if shape.wall == "back" and any(s.surface == "hung" for s in (*shape.left, *shape.right)):
        raise PlanError("back.left", "expected a wall surface: only an end wall meets a hung sheet")
    needed = ("left", "right") if shape.wall == "back" else (shape.corner,)
    for side, stations in (("left", shape.left), ("right", shape.right)):
        if side in needed and not stations:
            raise PlanError(f"{shape.wall}.{side}", "expected a reading at one or more heights")
    if not shape.line_to_deck:
        raise PlanError(f"{shape.wall}.line_to_deck", "expected one height or more")
    if shape.wall == "back":
        _check_sum(shape, shop)


def _check_doubles(shape: WallShape) -> None:
    for field, stations in _by_field(shape):
        for a, b in pairwise(sorted(stations, key=lambda station: station.at_mm)):
            if b.at_mm - a.at_mm < _SAME_PLACE_MM:
                where = f"{shape.wall}.{field}"
                raise PlanError(where, f"two readings at {_inches(a.at_mm)} in: keep one")


def _check_places(shape: WallShape, shop: Practice) -> None:
    limit = shop["limits.wall"]
    for fixture in shape.fixtures:
        for size in (fixture.from_plumb, fixture.down):
            _check_place(size.name, size.mm, limit)
        for key, mm in _fixture_sizes(fixture):
            if mm is not None:
                _check_size(f"{shape.wall}.{fixture.name}.{key}", mm, limit)
    for index, gap in enumerate(shape.flatness):
        for key, mm in (("at", gap.at_mm), ("down", gap.down_mm)):
            _check_place(f"{shape.wall}.flatness[{index}].{key}", mm, limit)
    if shape.outer is not None:
        outer = shape.outer
        sizes = (outer.scar_mm, outer.casing_mm, outer.outside_corner_mm)
        for key, mm in zip(("paint_scar", "casing", "outside_corner"), sizes, strict=True):
            if mm is not None:
                _check_size(f"{shape.wall}.outer.{key}", mm, limit)
    front = shape.tub_front
    if front is not None:
        for size in (front.at_deck, front.line_to_floor, front.at_floor or front.at_deck):
            _check_size(size.name, size.mm, limit)


def _fixture_sizes(fixture: Fixture) -> tuple[tuple[str, float | None], ...]:
    box, plate = fixture.box_mm or (None, None), fixture.plate_box_mm or (None, None)
    return (
        ("hole", fixture.hole_mm),
        ("pipe", fixture.pipe_mm),
        ("guard", fixture.guard_mm),
        ("plate", fixture.plate_mm),
        ("length", fixture.length_mm),
        ("from_corner", fixture.from_corner_mm),
        ("face_to_datum", fixture.datum_mm),
        ("nipple_out", fixture.nipple_mm),
        *((f"box[{place}]", mm) for place, mm in enumerate(box)),
        *((f"plate_box[{place}]", mm) for place, mm in enumerate(plate)),
    )


def _check_sum(shape: WallShape, shop: Practice) -> None:
    widest = max(s.value.mm for s in shape.left) + max(s.value.mm for s in shape.right)
    if widest > shop["limits.wall"]:
        limit = _inches(shop["limits.wall"])
        raise PlanError(
            "back.left + back.right", f"expected at most {limit} in, not {_inches(widest)}"
        )


def _by_field(shape: WallShape) -> tuple[tuple[str, tuple[Station, ...]], ...]:
    return (
        ("left", shape.left),
        ("right", shape.right),
        ("line_to_deck", shape.line_to_deck),
        ("ceiling", shape.ceiling),
    )


def _stations(shape: WallShape) -> Iterator[tuple[str, Station]]:
    for field, stations in _by_field(shape):
        for station in stations:
            yield field, station


def _check_station(field: str, mm: float, limit_mm: float) -> None:
    """A station far off is a slip of the finger; the line drawn through it would be believed."""
    if not math.isfinite(mm) or abs(mm) > limit_mm:
        raise PlanError(
            field, f"expected a station within {_inches(limit_mm)} in, not {_inches(mm)} in"
        )


def _check_size(field: str, mm: float, limit_mm: float) -> None:
    if not math.isfinite(mm) or not 0 < mm <= limit_mm:
        raise PlanError(field, f"expected more than 0 and at most {_inches(limit_mm)} in, "
                               f"not {_inches(mm)} in")  # fmt: skip


def _check_place(field: str, mm: float, limit_mm: float) -> None:
    if not math.isfinite(mm) or abs(mm) > limit_mm:
        raise PlanError(
            field, f"expected a size within {_inches(limit_mm)} in, not {_inches(mm)} in"
        )


def _check_pattern(pattern: Pattern, least_mm: float) -> None:
    for side in pattern.tile_mm:
        if not math.isfinite(side) or side < least_mm:
            raise PlanError(
                "pattern.tile", f"expected a width and a height of {_inches(least_mm)} in or more"
            )
    if not math.isfinite(pattern.joint_mm) or not 0 <= pattern.joint_mm < min(pattern.tile_mm):
        raise PlanError("pattern.joint", "expected 0 or more, and less than the tile")


def _check_sheet(sheet: StockSheet) -> None:
    for side in (sheet.width_mm, sheet.height_mm):
        if not math.isfinite(side) or side <= 0:
            raise PlanError(f"stock.{sheet.name}.size", "expected a width and a height above 0")


def _check_rest(alcove: Alcove, shop: Practice) -> None:
    """What stands beside the walls: halls, openings, windows."""
    check_halls(alcove.halls, shop)
    if alcove.opening_mm is not None:
        _check_size("opening", alcove.opening_mm, shop["limits.wall"])
    for index, opening in enumerate(alcove.openings):
        _check_size(f"openings[{index}].value", opening.width_mm, shop["limits.wall"])
    band = alcove.top.band_mm
    if band is not None:
        for place, height in enumerate(band):
            _check_size(f"top.band[{place}]", height, shop["limits.height"])
        if band[0] > band[1]:
            raise PlanError(
                "top.band",
                f"expected the lower top first, not {_inches(band[0])} before {_inches(band[1])}",
            )
    drain = alcove.top.drain_below_line_mm
    if drain is not None:
        _check_size("top.drain_below_line", drain, shop["limits.height"])
    for shape in alcove.walls:
        _check_shape(shape, alcove.top, shop)
        for window in shape.windows:
            field = f"{shape.wall}.{window.name}"
            for size in (window.left, window.right, window.head, window.sill):
                _check_place(size.name, size.mm, shop["limits.wall"])
            if not window.left.mm < window.right.mm:
                raise PlanError(field, "expected its left side to the left of its right side")
            if not window.head.mm < window.sill.mm:
                raise PlanError(field, "expected its head above its sill")
            _check_size(f"{field}.depth", window.depth_mm, shop["limits.wall"])
            if not 0 <= window.fall_mm < window.depth_mm:
                raise PlanError(f"{field}.fall", "expected 0 or more, and less than the depth")


def _check_shape(shape: WallShape, top: Top, shop: Practice) -> None:
    """Obstacles, sloped ceilings and low walls."""
    for obstacle in shape.obstacles:
        for size in obstacle.sizes:
            _check_place(size.name, size.mm, shop["limits.wall"])
    check_obstacles(shape, shop["limits.wall"])
    for station in shape.ceiling:
        if not top.to_ceiling:
            raise PlanError(f"{shape.wall}.ceiling", "expected top.to_ceiling beside it")
        _check_place(station.value.name, station.value.mm, shop["limits.height"])
        _check_place(f"{station.value.name} station", station.at_mm, shop["limits.wall"])
    low = shape.low_top
    if low is None:
        return
    if shape.wall == "back":
        raise PlanError("back.low_top", "expected it on an end wall: the back wall sets the top")
    deck = min((s.value.mm for s in shape.line_to_deck), default=0.0)
    most = deck - shop["joint.deck"]
    if not math.isfinite(low.down.mm) or not -top.above_line_mm < low.down.mm < most:
        raise PlanError(
            f"{shape.wall}.low_top.down",
            f"expected it below the finished top and above the deck: {_inches(-top.above_line_mm)} "
            f"to {_inches(most)} in below the line, not {_inches(low.down.mm)}",
        )
    _check_size(f"{shape.wall}.low_top.thickness", low.thickness_mm, shop["limits.wall"])


def _inches(mm: float) -> str:
    return f"{mm / 25.4:g}"
