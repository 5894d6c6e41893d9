"""What a plan file says beside its walls: windows, flatness, the way in, openings, changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.files.field_length import check_length, check_size, check_station
from service.files.plan_shapes import check_obstacles, check_tops
from service.files.shape import misplaced
from service.files.wall_rules import refuse_doubles

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.files.plan_parts import ChangeOrder, FrontOpening, HallTurn, PlanWall, Top


def check_walls_beside(walls: Sequence[PlanWall], unit: str) -> None:
    """Flatness, windows and ends: every length is one, and names stand once."""
    for index, wall in enumerate(walls):
        _check_wall(f"walls[{index}]", wall, unit)


def check_job_beside(
    top: Top,
    openings: Sequence[FrontOpening],
    way_in: Sequence[HallTurn],
    changes: Sequence[ChangeOrder],
    unit: str,
) -> None:
    """Drain, openings, the way in and changes: every length is one, and names stand once."""
    if top.drain_below_line is not None:
        check_size("top.drain_below_line", top.drain_below_line, unit)
    for index, opening in enumerate(openings):
        check_station(f"openings[{index}].down", opening.down, unit)
        check_size(f"openings[{index}].value", opening.value, unit)
    for index, hall in enumerate(way_in):
        check_size(f"way_in[{index}].from_width", hall.from_width, unit)
        check_size(f"way_in[{index}].into_width", hall.into_width, unit)
    refuse_doubles("way_in", "name", hall_names(way_in))
    refuse_doubles("changes", "name", [change.name for change in changes])


def hall_names(way_in: Sequence[HallTurn]) -> list[str]:
    """What each turn is called; those without a name of their own are told apart by a number."""
    found: list[str] = []
    unnamed = 0
    for hall in way_in:
        unnamed += "name" not in hall.model_fields_set
        numbered = unnamed > 1 and "name" not in hall.model_fields_set
        found.append(f"{hall.name} {unnamed}" if numbered else hall.name)
    return found


def _check_wall(field: str, wall: PlanWall, unit: str) -> None:
    for index, gap in enumerate(wall.flatness):
        check_station(f"{field}.flatness[{index}].at", gap.at, unit)
        check_station(f"{field}.flatness[{index}].down", gap.down, unit)
        check_size(f"{field}.flatness[{index}].gap", gap.gap, unit)
    refuse_doubles(f"{field}.windows", "name", [window.name for window in wall.windows])
    for index, window in enumerate(wall.windows):
        where = f"{field}.windows[{index}]"
        for key in ("left", "right", "head", "sill"):
            size = getattr(window, key)
            if size.value is None and key in ("left", "right"):
                # A report's size carries no side of the plumb line.
                misplaced(f"{where}.{key}.value", "is missing; expected a length, left negative")
            if size.value is None and size.dimension is None:
                misplaced(f"{where}.{key}.value", "is missing; expected a length, or a dimension")
            if size.value is not None:
                check_station(f"{where}.{key}.value", size.value, unit)
        check_size(f"{where}.depth", window.depth, unit)
        check_length(f"{where}.fall", window.fall, unit)
    check_obstacles(field, wall.obstacles, unit)
    check_tops(field, wall.ceiling, wall.low_top, unit)
    if wall.outer is not None:
        for key in ("paint_scar", "casing", "outside_corner"):
            text = getattr(wall.outer, key)
            if text is not None:
                check_size(f"{field}.outer.{key}", text, unit)
