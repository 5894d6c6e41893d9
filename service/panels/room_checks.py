"""What the walls of one room say of one another: closures, stations, ends, flatness, corners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.blocking import jamb_cautions
from service.panels.closures import (
    corner_cautions,
    pipe_cautions,
    station_cautions,
    straight_cautions,
)
from service.panels.corners import corner_joints
from service.panels.ends import end_cautions
from service.panels.flatness import flatness_cautions
from service.panels.growth import growth_cautions
from service.panels.plane import surface_cautions

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import Caution, Panel
    from service.panels.planned_wall import PlannedWall
    from service.panels.practice import Practice
    from service.panels.room import CornerJoints


def room_cautions(walls: Sequence[PlannedWall], shop: Practice) -> list[Caution]:
    """Everything about the walls as measured that a person must look at."""
    found: list[Caution] = []
    back = _back(walls)
    for wall in walls:
        low = max(p.y for p in wall.outline.lows) - wall.outline.level_y_mm
        found += surface_cautions(wall.shape, wall.neighbours)
        found += station_cautions(wall.shape, low, shop)
        found += straight_cautions(wall.shape, wall.neighbours, shop)
        found += flatness_cautions(wall.shape, shop)
        found += end_cautions(wall.shape, shop)
        found += jamb_cautions(wall.shape, shop)
        left, top, right, bottom = wall.outline.box
        found += growth_cautions(wall.shape.wall, max(right - left, bottom - top), shop)
        if wall.shape.corner is not None:
            found += pipe_cautions(wall.shape, wall.neighbours[wall.shape.corner], shop)
            if back is not None:
                found += corner_cautions(back.shape, back.neighbours, wall.shape, shop)
    return found


def corners(
    walls: Sequence[PlannedWall], panels: Sequence[Panel], shop: Practice
) -> tuple[CornerJoints, ...]:
    """The level joints in both back corners, where there is a pattern and both walls are known."""
    back = _back(walls)
    pattern = next((p.pattern for p in panels if p.wall == "back"), None)
    if back is None or pattern is None:
        return ()
    found = []
    for wall in walls:
        corner = wall.shape.corner
        if corner is not None:
            side = back.neighbours["left" if corner == "right" else "right"]
            made = corner_joints(
                back.shape, side, wall.shape, wall.neighbours[corner], pattern, shop
            )
            found += [made] if made is not None else []
    return tuple(sorted(found, key=lambda corner: corner.side))


def _back(walls: Sequence[PlannedWall]) -> PlannedWall | None:
    return next((wall for wall in walls if wall.shape.wall == "back"), None)
