"""Where the level joints of two panels meet: heights, expected mismatch and its uncertainty."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.errors import spread_mm
from service.panels.outline import side_profile
from service.panels.profile import Profile
from service.panels.room import CornerJoints
from service.panels.sizes import mark, needed

if TYPE_CHECKING:
    from service.panels.errors import Weighed
    from service.panels.model import PanelPattern
    from service.panels.practice import Practice
    from service.panels.walls import Region, Side, WallShape

_K95 = 1.959964


def corner_joints(
    back: WallShape,
    back_regions: tuple[Region, ...],
    end: WallShape,
    end_regions: tuple[Region, ...],
    pattern: PanelPattern,
    shop: Practice,
) -> CornerJoints | None:
    """The joints of the back panel and one end panel in their corner.

    Both panels hang from the level line. The deck's height in the corner, read from the line on
    both walls, shows how far the line on one wall stands off that on the other: where the end's
    reading is the shorter, its line and so its joints stand lower.

    Parameters
    ----------
    back_regions, end_regions
        Surfaces of the walls that the back's and the end's readings run to.
    """
    if end.corner is None:
        return None
    side: Side = "left" if end.corner == "right" else "right"
    seen_back, of_back = corner_height(back, side, back_regions)
    seen_end, of_end = corner_height(end, end.corner, end_regions)
    # Taped by one tape, both have its hook in common, which then cancels.
    read = spread_mm([*of_back, *((size, -weight) for size, weight in of_end)])
    # The line closes within a limit that it does not pass: half width over root three.
    line = shop["top.line_closure"] / math.sqrt(3.0)
    u95 = _K95 * math.hypot(read, line)
    return CornerJoints(
        side=side,
        wall=end.wall,
        heights=pattern.course_joints,
        mismatch=mark(seen_back - seen_end),
        u95=needed(u95),
    )


def corner_height(
    shape: WallShape, side: Side, regions: tuple[Region, ...]
) -> tuple[float, list[Weighed]]:
    """Line to deck in one corner of a wall, mm, with the readings that it is weighed from."""
    heights = Profile.through(shape.wall, [(s.at_mm, s.value.mm) for s in shape.line_to_deck])
    stations = shape.left if side == "left" else shape.right
    offset = side_profile(shape.wall, side, stations, regions, 0.0)
    sign = -1 if side == "left" else 1
    at = sign * offset.at(max(s.value.mm for s in shape.line_to_deck))
    by_place = {s.at_mm: s.value for s in shape.line_to_deck}
    return heights.at(at), [(by_place[place], weight) for place, weight in heights.weights(at)]
