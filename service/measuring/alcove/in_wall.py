"""What must close within one wall."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.measuring.alcove.combination import Combination, known, size
from service.measuring.alcove.edges import (
    SAME_PLACE_MM,
    Station,
    between,
    height_at,
    height_stations,
    offset_at,
    place_along,
    side_stations,
    sign_of,
    to_surface,
)
from service.measuring.alcove.vocabulary import (
    OPPOSITE,
    Role,
    Room,
    Side,
    Size,
    WallSizes,
)
from service.measuring.instruments import MM_PER_INCH

Named = tuple[str, Combination]
_AT_FRONT_MM: Final = MM_PER_INCH / 4
"""A station this near the tub front is at it: a deck that falls 1/4 in over a foot, which is steep,
is 0.13 mm lower there."""


def wall_closures(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[Named]:
    """Combinations that are zero, each with its name; ``values`` are sizes as read, mm."""
    yield from _widths(wall, room)
    for side in (Side.LEFT, Side.RIGHT, Side.INNER, Side.OUTER):
        yield from _straight_side(wall, side, room)
        yield from _two_surfaces(wall, side, room)
    yield from _straight_deck(wall, values, room)
    for diagonal in wall.of(Role.DIAGONAL):
        yield from _diagonal(wall, diagonal, values, room)
    yield from _fixtures(wall, values, room)
    yield from _tile_courses(wall, values, room)
    yield from _floor_and_ceiling(wall, values, room)


def _widths(wall: WallSizes, room: Room) -> Iterator[Named]:
    """Left offset + right offset = width, at one height."""
    for width in wall.of(Role.WIDTH):
        if width.down_mm is None:
            continue
        one, other = _sides(wall)
        first = offset_at(wall, one, width.down_mm, width.surface, room)
        second = offset_at(wall, other, width.down_mm, width.surface, room)
        if first is not None and second is not None:
            gap = first.plus(second).minus(size(width.name)).within(room.definition_u_mm)
            yield f"{wall.wall}: offsets make {_called(wall, width.name)}", gap


def _straight_side(wall: WallSizes, side: Side, room: Room) -> Iterator[Named]:
    """Each offset against the line through its neighbours: tells which side slipped."""
    stations = side_stations(wall, side)
    for before, here, after in zip(stations, stations[1:], stations[2:], strict=False):
        faced = [
            Station(s.at_mm, to_surface(wall, side, s, here.surface, room)) for s in (before, after)
        ]
        line = between(faced, here.at_mm, room.wall_straight_u_mm)
        if line is not None:
            (name,) = here.value.terms
            yield _in_line(wall, name), here.value.minus(line)


def _two_surfaces(wall: WallSizes, side: Side, room: Room) -> Iterator[Named]:
    """Bare and tile at one height differ by the step."""
    offsets = wall.of(Role.OFFSET, side=side)
    for place, one in enumerate(offsets):
        for other in offsets[place + 1 :]:
            told = one.surface is not None and other.surface is not None
            if not told or one.down_mm is None or other.down_mm is None:
                continue
            if abs(one.down_mm - other.down_mm) > SAME_PLACE_MM or one.surface is other.surface:
                continue
            station = Station(one.down_mm, size(one.name), one.surface)
            faced = to_surface(wall, side, station, other.surface, room)
            gap = faced.minus(size(other.name)).within(room.definition_u_mm)
            named = f"{_called(wall, one.name)} and {_called(wall, other.name)} a step apart"
            yield f"{wall.wall}: {named}", gap


def _straight_deck(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[Named]:
    """Second differences of the heights are near zero."""
    stations = height_stations(wall, values)
    for before, here, after in zip(stations, stations[1:], stations[2:], strict=False):
        line = between((before, after), here.at_mm, room.deck_straight_u_mm)
        if line is not None:
            (name,) = here.value.terms
            yield _in_line(wall, name), here.value.minus(line)


def _diagonal(
    wall: WallSizes, diagonal: Size, values: Mapping[str, float], room: Room
) -> Iterator[Named]:
    """Diagonal² = (sum of offsets)² + (difference of heights)², on one plane."""
    if diagonal.side not in OPPOSITE or diagonal.down_mm is None:
        return
    side, other = diagonal.side, OPPOSITE[diagonal.side]
    start = offset_at(wall, side, diagonal.down_mm, diagonal.surface, room)
    end = _far_end(wall, other, diagonal, values, room)
    if start is None or end is None:
        return
    across, fall = start.plus(end[0]), end[1].plus(known(-diagonal.down_mm))
    width, height = across.at(values), fall.at(values)
    if width is None or height is None or math.hypot(width, height) == 0:
        return
    length = math.hypot(width, height)
    taped = values.get(diagonal.name, length)
    gap = known(length).minus(size(diagonal.name)).within(room.definition_u_mm)
    for part, at in ((across, width), (fall, height)):
        slope = _secant(at, length, taped)
        gap = gap.plus(part, slope).plus(known(-slope * at))
    yield f"{wall.wall}: {_called(wall, diagonal.name)} from offsets and heights", gap


def _secant(side_mm: float, length_mm: float, taped_mm: float) -> float:
    """Slope of √(w² + h²) in one side, from where it is to where it would close by itself.

    A slip of a foot would bend the tangent: along the secant, putting back that one side closes
    it to the hair, and so does putting back the diagonal. Near the truth the two are one.
    """
    closing_mm = taped_mm**2 - length_mm**2 + side_mm**2
    if closing_mm <= 0:
        return side_mm / length_mm
    return (side_mm + math.copysign(math.sqrt(closing_mm), side_mm)) / (length_mm + taped_mm)


def _far_end(
    wall: WallSizes, side: Side, diagonal: Size, values: Mapping[str, float], room: Room
) -> tuple[Combination, Combination] | None:
    """Offset and depth below the line of the diagonal's other end."""
    if diagonal.to_down_mm is not None:
        offset = offset_at(wall, side, diagonal.to_down_mm, diagonal.surface, room)
        return None if offset is None else (offset, known(diagonal.to_down_mm))
    front = wall.of(Role.TUB_FRONT) if side is Side.OUTER else []
    where = Side.FRONT if front else side
    corner = Size("", wall.wall, Role.HEIGHT, side=where)
    at_mm = place_along(wall, corner, values)
    own = wall.of(Role.HEIGHT, side=where)
    if own:
        height: Combination | None = size(own[0].name)
    else:
        height = None if at_mm is None else height_at(wall, at_mm, values, room)
    down_mm = None if height is None else height.at(values)
    if height is None or down_mm is None:
        return None
    if front:
        return size(front[0].name), height
    offset = offset_at(wall, side, down_mm, diagonal.surface, room)
    return None if offset is None else (offset, height)


def _fixtures(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[Named]:
    """Pipe from plumb + pipe from corner = offset there; down + above the deck = height there."""
    for plumb in wall.of(Role.FIXTURE_FROM_PLUMB):
        side = plumb.side or (Side.OUTER if wall.corner is not None else Side.RIGHT)
        same = {"fixture": plumb.fixture}
        downs = wall.of(Role.FIXTURE_DOWN, **same)
        down_mm = values.get(downs[0].name) if downs else plumb.down_mm
        corners = wall.of(Role.FIXTURE_FROM_CORNER, **same)
        for corner in corners:
            near = corner.side or (Side.INNER if wall.corner is not None else Side.LEFT)
            if down_mm is None:
                continue
            offset = offset_at(wall, near, down_mm, corner.surface, room)
            if offset is not None:
                beyond = 1.0 if side is not near else -1.0
                gap = offset.plus(size(plumb.name), beyond).minus(size(corner.name))
                named = f"{wall.wall}: {plumb.fixture} from plumb line and from corner"
                yield named + _on(near, corners), gap.within(room.definition_u_mm)
        for above in wall.of(Role.FIXTURE_ABOVE_DECK, **same):
            if downs and plumb.name in values:
                at_mm = sign_of(wall, side) * values[plumb.name]
                height = height_at(wall, at_mm, values, room)
                if height is not None:
                    gap = size(downs[0].name).plus(size(above.name)).minus(height)
                    named = f"{wall.wall}: {plumb.fixture} from line and from deck"
                    yield named, gap.within(room.definition_u_mm)


def _tile_courses(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[Named]:
    """Tile top + courses + cut row + joint = height."""
    tops = wall.of(Role.TILE_TOP)
    for top in tops:
        courses = wall.of(Role.COURSES, side=top.side) or wall.of(Role.COURSES, side=None)
        cut = wall.of(Role.CUT_ROW, side=top.side) or wall.of(Role.CUT_ROW, side=None)
        at_mm = place_along(wall, top, values)
        height = None if at_mm is None else height_at(wall, at_mm, values, room)
        if not courses or height is None:
            continue
        gap = size(top.name).plus(size(courses[0].name), float(courses[0].count or 1))
        if cut:
            gap = gap.plus(size(cut[0].name))
        gap = gap.plus(known(room.joint_mm, room.joint_u_mm)).minus(height)
        named = f"{wall.wall}: tile courses make the height{_on(top.side, tops)}"
        yield named, gap.within(room.definition_u_mm)


def _floor_and_ceiling(wall: WallSizes, values: Mapping[str, float], room: Room) -> Iterator[Named]:
    """Line to deck + deck to floor = line to floor; with the ceiling = floor to ceiling."""
    floors, decks = wall.of(Role.LINE_TO_FLOOR), wall.of(Role.DECK_TO_FLOOR)
    front = _height_at_front(wall, values)
    if floors and decks and front is not None:
        gap = size(front.name).plus(size(decks[0].name)).minus(size(floors[0].name))
        yield f"{wall.wall}: deck and floor below the line", gap.within(room.definition_u_mm)
    ceilings, rooms = wall.of(Role.LINE_TO_CEILING), wall.of(Role.FLOOR_TO_CEILING)
    if floors and ceilings and rooms:
        gap = size(floors[0].name).plus(size(ceilings[0].name)).minus(size(rooms[0].name))
        yield f"{wall.wall}: floor to ceiling across the line", gap.within(room.definition_u_mm)


def _height_at_front(wall: WallSizes, values: Mapping[str, float]) -> Size | None:
    """The height that is said to be at the tub front, or whose place is: the outermost one, for a
    front that was misread may lie at another."""
    own = wall.of(Role.HEIGHT, side=Side.FRONT)
    if own:
        return own[0]
    fronts = [values[front.name] for front in wall.of(Role.TUB_FRONT) if front.name in values]
    out = sign_of(wall, Side.FRONT)
    placed = {out * h.at_mm: h for h in wall.of(Role.HEIGHT) if h.at_mm is not None}
    if not fronts or not placed:
        return None
    outermost_mm = max(placed)
    at_front = abs(outermost_mm - fronts[0]) <= _AT_FRONT_MM
    return placed[outermost_mm] if at_front else None


def _sides(wall: WallSizes) -> tuple[Side, Side]:
    return (Side.LEFT, Side.RIGHT) if wall.corner is None else (Side.INNER, Side.OUTER)


def _on(side: Side | None, alike: Sequence[Size]) -> str:
    """Which side a closure is of, where the wall has such a one on another side too."""
    return f" {side}" if side is not None and len(alike) > 1 else ""


def _in_line(wall: WallSizes, name: str) -> str:
    return f"{wall.wall}: {_called(wall, name)} in line with its neighbours"


def _called(wall: WallSizes, name: str) -> str:
    """The size's name without its wall's, which stands before it already."""
    return name.removeprefix(f"{wall.wall}: ").removeprefix(f"{wall.wall} ")
