"""What follows from an alcove's sizes: out of plumb, out of level, out of square.

Each is one more unknown, tied to the sizes by an exact equation, so it comes with the uncertainty
that the whole network leaves it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.lengths import inches_text
from service.measuring.alcove.combination import Combination
from service.measuring.alcove.edges import height_stations, side_stations, to_surface
from service.measuring.alcove.in_photos import oriented
from service.measuring.alcove.judging import AlcoveJudgement, as_read, well_known
from service.measuring.alcove.square import Corner
from service.measuring.alcove.vocabulary import USUAL_ROOM, Role, Room, Side, Size, WallSizes
from service.measuring.estimates import Closure, Estimate, PhotoEstimates
from service.measuring.figures import scale_set_free
from service.measuring.judgement import Status
from service.measuring.network import build_network
from service.measuring.reading import Reading, effective_readings

_EXACT_U_MM: Final = 1e-3


@dataclass(frozen=True, slots=True)
class Derived:
    """A figure of a wall that nobody tapes, mm.

    Attributes
    ----------
    what
        ``out of plumb left``: the edge's lowest offset less its highest, over ``over_mm`` of
        height, positive where it runs outwards going down. ``out of level``: the deck's right end
        less its left, positive where it falls to the right. ``out of square left``: how far the
        end of a 24 in leg is from square, positive where the corner is open; ``out of square left
        (16" down)`` where it was taken at several heights.
    """

    wall: str
    what: str
    over_mm: float
    value: Estimate


def derived_sizes(
    walls: Sequence[WallSizes],
    judged: AlcoveJudgement,
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    room: Room = USUAL_ROOM,
) -> tuple[Derived, ...]:
    """All that the readings which agree, and the photos, determine; of photos whose print scale is
    out, what they say whatever it is."""
    aside = {r.id: r.dimension for r in judged.judgement.readings if r.status is Status.CONFLICTS}
    values = as_read(photo, readings) | _in_place_of_slips(judged, aside.values())
    asked = [found for wall in walls for found in _of_wall(wall, values, room)]
    standing = [reading for reading in effective_readings(readings) if reading.id not in aside]
    names = [dimension.name for dimension in judged.judgement.dimensions]
    labels = [
        f"{wall}: {what}\n{n}" for n, (wall, what, _, _) in enumerate(asked)
    ]  # no size's name
    tied = [
        Closure(label, {**c.terms, label: -1.0}, -c.constant_mm, math.hypot(c.u_mm, _EXACT_U_MM))
        for label, (_, _, _, c) in zip(labels, asked, strict=True)
    ]
    closures = oriented((*judged.closures, *tied), photo)
    if photo is not None and judged.judgement.print_scale is not None:
        photo = scale_set_free(photo)
    solved = build_network([*names, *labels], photo, standing, closures).solved
    found = []
    for place, (wall, what, over_mm, _) in enumerate(asked, start=len(names)):
        mm, variance = float(solved.values[place]), float(solved.variances[place])
        if not math.isnan(mm):
            found.append(Derived(wall, what, over_mm, Estimate(mm, math.sqrt(max(variance, 0)))))
    return tuple(found)


def _in_place_of_slips(judged: AlcoveJudgement, slipped: Iterable[str]) -> dict[str, float]:
    """What the judging put for sizes with a reading set aside, mm: an equation that is linear at
    a slip of an inch would carry some of it, and a slip of a foot be a place along the wall."""
    known = well_known(judged.judgement)
    return {name: known[name] for name in slipped if name in known}


_Asked = tuple[str, str, float, Combination]


def _of_wall(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[_Asked]:
    for side in (Side.LEFT, Side.RIGHT, Side.INNER, Side.OUTER):
        stations = side_stations(wall, side)
        if len(stations) > 1:
            high, low = stations[0], stations[-1]
            lean = low.value.minus(to_surface(wall, side, high, low.surface, room))
            yield wall.wall, f"out of plumb {side}", low.at_mm - high.at_mm, lean
    heights = height_stations(wall, values)
    if len(heights) > 1:
        left, right = heights[0], heights[-1]
        yield wall.wall, "out of level", right.at_mm - left.at_mm, right.value.minus(left.value)
    for corner in wall.of(Role.CORNER_DIAGONAL):
        if corner.name in values and corner.side is not None:
            off = Corner(values[corner.name], room.leg_mm).off_of(corner.name)
            told = f"out of square {corner.side}{_at_height(wall, corner)}"
            yield wall.wall, told, room.leg_mm, off


def _at_height(wall: WallSizes, corner: Size) -> str:
    """Where a corner's diagonal was taken, if the same corner has another one."""
    if len(wall.of(Role.CORNER_DIAGONAL, side=corner.side)) < 2 or corner.down_mm is None:
        return ""
    return f' ({inches_text(corner.down_mm)}" down)'
