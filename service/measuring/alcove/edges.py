"""Where the edges of a wall run between the stations that were measured.

An edge is straight from station to station, within the room's doubt of it, and its end pieces run
on. A side's stations may be taken to tile, plaster or a hung face; each is first brought to the
face that is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.alcove.combination import Combination, known, size
from service.measuring.alcove.vocabulary import Role, Room, Side, Size, Surface, WallSizes

SAME_PLACE_MM: Final = 1.0


@dataclass(frozen=True, slots=True)
class Station:
    """A place along an edge, mm, what was measured there, and to which surface."""

    at_mm: float
    value: Combination
    surface: Surface | None = None


def side_stations(wall: WallSizes, side: Side, *, left_out: str = "") -> list[Station]:
    """Offsets of one side, from the level line down; of two at one height the first."""
    found: dict[float, Station] = {}
    for offset in wall.of(Role.OFFSET, side=side):
        if offset.down_mm is not None and offset.name != left_out:
            station = Station(offset.down_mm, size(offset.name), offset.surface)
            found.setdefault(offset.down_mm, station)
    return [found[down] for down in sorted(found)]


def offset_at(
    wall: WallSizes,
    side: Side,
    down_mm: float,
    surface: Surface | None,
    room: Room,
    *,
    left_out: str = "",
) -> Combination | None:
    """Plumb line to a side at any height, to the surface asked for (None: whatever is there)."""
    stations = side_stations(wall, side, left_out=left_out)
    here = [s for s in stations if abs(s.at_mm - down_mm) <= SAME_PLACE_MM]
    if here and surface in (None, here[0].surface):
        return here[0].value
    wanted = surface if surface is not None else _nearest_surface(stations, down_mm)
    faced = [Station(s.at_mm, to_surface(wall, side, s, wanted, room)) for s in stations]
    return between(faced, down_mm, room.wall_straight_u_mm)


def to_surface(
    wall: WallSizes, side: Side, station: Station, wanted: Surface | None, room: Room
) -> Combination:
    """The station's offset as it would be to another surface.

    Plaster lies a step behind tile, a hung face a build-up before it. Where nobody said which one
    the tape touched, a step either way is possible.
    """
    if station.surface is wanted and wanted is not None:
        return station.value
    if station.surface is None or wanted is None:
        return station.value.within(room.step_mm / math.sqrt(3))
    behind = _behind_tile(wall, side, wanted, room)
    return station.value.plus(behind).minus(_behind_tile(wall, side, station.surface, room))


def between(stations: Sequence[Station], at_mm: float, straight_u_mm: float) -> Combination | None:
    """The edge at one place, from the two stations nearest round it; None with fewer than two."""
    if not stations:
        return None
    ordered = sorted(stations, key=lambda station: station.at_mm)
    exact = [s for s in ordered if abs(s.at_mm - at_mm) <= SAME_PLACE_MM]
    if exact:
        return exact[0].value
    if len(ordered) < 2:
        return None
    after = next((i for i, s in enumerate(ordered) if s.at_mm > at_mm), len(ordered) - 1)
    low, high = ordered[max(after - 1, 0)], ordered[max(after, 1)]
    t = (at_mm - low.at_mm) / (high.at_mm - low.at_mm)
    line = low.value.times(1 - t).plus(high.value, t)
    # The bow of an edge is a parabola between two stations, and runs on beyond them.
    return line.within(straight_u_mm * max(4 * abs(t * (1 - t)), 0.1))


def height_stations(wall: WallSizes, values: Mapping[str, float]) -> list[Station]:
    """Line to deck from left to right; corners where their offsets put them."""
    found: dict[float, Station] = {}
    for height in wall.of(Role.HEIGHT):
        at_mm = place_along(wall, height, values)
        if at_mm is not None:
            found.setdefault(round(at_mm, 3), Station(at_mm, size(height.name)))
    return [found[at] for at in sorted(found)]


def height_at(
    wall: WallSizes, at_mm: float, values: Mapping[str, float], room: Room
) -> Combination | None:
    """Line to deck at any place of a wall."""
    return between(height_stations(wall, values), at_mm, room.deck_straight_u_mm)


def place_along(wall: WallSizes, what: Size, values: Mapping[str, float]) -> float | None:
    """Where along the wall a height or fixture is, from the plumb line, left negative, mm."""
    if what.at_mm is not None:
        return what.at_mm
    if what.side is None:
        return None
    if what.side is Side.FRONT:
        fronts = [values[s.name] for s in wall.of(Role.TUB_FRONT) if s.name in values]
        offset = fronts[0] if fronts else _lowest_offset(wall, Side.OUTER, values)
        return None if offset is None else sign_of(wall, Side.OUTER) * offset
    offset = _lowest_offset(wall, what.side, values)
    return None if offset is None else sign_of(wall, what.side) * offset


def sign_of(wall: WallSizes, side: Side) -> int:
    """+1 where the side lies right of the plumb line, seen from the room."""
    if side is Side.INNER:
        return 1 if wall.corner is not Side.LEFT else -1
    if side in (Side.OUTER, Side.FRONT):
        return -1 if wall.corner is not Side.LEFT else 1
    return -1 if side is Side.LEFT else 1


def _nearest_surface(stations: Sequence[Station], down_mm: float) -> Surface | None:
    if not stations:
        return None
    return min(stations, key=lambda s: abs(s.at_mm - down_mm)).surface


def _behind_tile(wall: WallSizes, side: Side, surface: Surface, room: Room) -> Combination:
    if surface is Surface.TILE:
        return known(0.0)
    if surface is Surface.HUNG:
        return known(-room.build_up_mm, room.build_up_u_mm)
    steps = wall.of(Role.STEP, side=side) or wall.of(Role.STEP, side=None)
    return size(steps[0].name) if steps else known(room.step_mm, room.step_u_mm)


def _lowest_offset(wall: WallSizes, side: Side, values: Mapping[str, float]) -> float | None:
    stations = side_stations(wall, side)
    return stations[-1].value.at(values) if stations else None
