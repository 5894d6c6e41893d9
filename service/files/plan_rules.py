"""What the parts of a plan file owe one another, and that every length in it is one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.files.field_length import check_length, check_size, check_station
from service.files.shape import misplaced
from service.files.wall_rules import refuse_doubles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.files.plan_parts import (
        DeckHeight,
        Fixture,
        Offset,
        Pattern,
        PlanWall,
        Stock,
        Top,
    )
    from service.files.sized import Sized


def check_walls(walls: Sequence[PlanWall], stock: Sequence[Stock]) -> None:
    """A wall, a fixture and a sheet stand once; every size has a value or a dimension."""
    refuse_doubles("walls", "wall", [wall.wall for wall in walls])
    refuse_doubles("stock", "name", [sheet.name for sheet in stock])
    for index, wall in enumerate(walls):
        field = f"walls[{index}]"
        refuse_doubles(f"{field}.fixtures", "name", [fixture.name for fixture in wall.fixtures])
        refuse_doubles(f"{field}.reports", "", wall.reports)
        sized: dict[str, Sequence[DeckHeight | Offset]] = {
            "line_to_deck": wall.line_to_deck,
            "left": wall.left,
            "right": wall.right,
        }
        for key, entries in sized.items():
            for place, entry in enumerate(entries):
                where = f"{field}.{key}[{place}]"
                _need(f"{where}.value", entry.value, entry.dimension, wall)
        if wall.outer is not None:
            outer = wall.outer
            _need(f"{field}.outer.from_plumb", outer.from_plumb, outer.dimension, wall)
        for key, size in _tub_sizes(wall):
            _need(f"{field}.tub_front.{key}.value", size.value, size.dimension, wall)
        for place, fixture in enumerate(wall.fixtures):
            where = f"{field}.fixtures[{place}]"
            _need(f"{where}.from_plumb", fixture.from_plumb, fixture.dimension, wall)
            _need(f"{where}.down", fixture.down, fixture.down_dimension, wall, "down_dimension")


def check_plan_lengths(
    walls: Sequence[PlanWall],
    top: Top,
    pattern: Pattern | None,
    stock: Sequence[Stock],
    bare_unit: str,
) -> None:
    """Every length in the file is one."""
    for index, wall in enumerate(walls):
        _check_wall(f"walls[{index}]", wall, bare_unit)
    if top.above_line is not None:
        check_length("top.above_line", top.above_line, bare_unit)
    if top.line_above_floor is not None:
        check_size("top.line_above_floor", top.line_above_floor, bare_unit)
    for place, height in enumerate(top.band or ()):
        check_size(f"top.band[{place}]", height, bare_unit)
    if pattern is not None:
        for place, side in enumerate(pattern.tile):
            check_size(f"pattern.tile[{place}]", side, bare_unit)
        check_length("pattern.joint", pattern.joint, bare_unit)
    for index, sheet in enumerate(stock):
        for place, side in enumerate(sheet.size):
            check_size(f"stock[{index}].size[{place}]", side, bare_unit)


def _check_wall(field: str, wall: PlanWall, bare_unit: str) -> None:
    if wall.hold_down is not None:
        check_length(f"{field}.hold_down", wall.hold_down, bare_unit)
    for index, height in enumerate(wall.line_to_deck):
        check_station(f"{field}.line_to_deck[{index}].at", height.at, bare_unit)
        if height.value is not None:
            check_size(f"{field}.line_to_deck[{index}].value", height.value, bare_unit)
    for key, offsets in (("left", wall.left), ("right", wall.right)):
        for index, offset in enumerate(offsets):
            check_station(f"{field}.{key}[{index}].down", offset.down, bare_unit)
            if offset.value is not None:
                check_size(f"{field}.{key}[{index}].value", offset.value, bare_unit)
    for index, surface in enumerate(wall.surfaces):
        check_station(f"{field}.surfaces[{index}].from_down", surface.from_down, bare_unit)
        if surface.to_down is not None:
            check_station(f"{field}.surfaces[{index}].to_down", surface.to_down, bare_unit)
        check_length(f"{field}.surfaces[{index}].proud", surface.proud, bare_unit)
    if wall.outer is not None and wall.outer.from_plumb is not None:
        check_size(f"{field}.outer.from_plumb", wall.outer.from_plumb, bare_unit)
    for key, size in _tub_sizes(wall):
        if size.value is not None:
            check_size(f"{field}.tub_front.{key}.value", size.value, bare_unit)
    for index, fixture in enumerate(wall.fixtures):
        _check_fixture(f"{field}.fixtures[{index}]", fixture, bare_unit)


def _tub_sizes(wall: PlanWall) -> list[tuple[str, Sized]]:
    front = wall.tub_front
    if front is None:
        return []
    sizes = [("at_deck", front.at_deck), ("line_to_floor", front.line_to_floor)]
    return sizes if front.at_floor is None else [*sizes, ("at_floor", front.at_floor)]


def _check_fixture(field: str, fixture: Fixture, bare_unit: str) -> None:
    for key, text in (("from_plumb", fixture.from_plumb), ("down", fixture.down)):
        if text is not None:
            check_station(f"{field}.{key}", text, bare_unit)
    for key, pair in (("box", fixture.box), ("plate_box", fixture.plate_box)):
        for place, text in enumerate(pair or ()):
            check_size(f"{field}.{key}[{place}]", text, bare_unit)
    sizes = (fixture.hole, fixture.pipe, fixture.guard, fixture.box)
    if fixture.kind == "pipe" and not any(size is not None for size in sizes):
        misplaced(f"{field}.hole", "is missing; expected hole, pipe, guard or box")
    for key in ("hole", "pipe", "guard", "plate", "from_corner", "face_to_datum", "nipple_out",
                "length"):  # fmt: skip
        text = getattr(fixture, key)
        if text is not None:
            check_size(f"{field}.{key}", text, bare_unit)


def _need(
    field: str, value: str | None, dimension: str | None, wall: PlanWall, key: str = "dimension"
) -> None:
    if value is None and dimension is None:
        misplaced(field, f"is missing; expected a length here, or {key} naming a report's size")
    if dimension is not None and not wall.reports:
        place = f"{field.rpartition('.')[0]}.{key}"
        misplaced(place, f"names {dimension!r}, but this wall lists no reports")
