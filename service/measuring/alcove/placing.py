"""Where the sizes of a wall lie on it, by what they are: what they are drawn by without a photo.

Frame: x right from the plumb line, y up from the level line, mm. Sizes in plan (a corner's
diagonal, the opening, the depth) and a step lie on no elevation.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final, TypeAlias

from service.measuring.alcove.edges import height_at, offset_at, place_along, sign_of
from service.measuring.alcove.vocabulary import (
    OPPOSITE,
    USUAL_ROOM,
    Role,
    Side,
    Size,
    WallSizes,
)

Place: TypeAlias = tuple[float, float]
Ends: TypeAlias = tuple[Place, Place]


def size_ends(wall: WallSizes, values: Mapping[str, float]) -> dict[str, Ends]:
    """The two ends of every size whose place follows from the values, by its name.

    Parameters
    ----------
    wall
        The wall with its named sizes.
    values
        Magnitudes by name, mm: as read, as seen, or at best. A size without one has no place.
    """
    known = replace(wall, sizes=tuple(size for size in wall.sizes if size.name in values))
    found = {}
    for size in known.sizes:
        place = _ENDS.get(size.role)
        ends = None if place is None else place(_Known(known, values), size)
        if ends is not None:
            found[size.name] = ends
    return found


class _Known:
    """The edges, the deck and the pipes of one wall, as far as they have values."""

    def __init__(self, wall: WallSizes, values: Mapping[str, float]) -> None:
        self.wall, self.values = wall, values

    def value(self, size: Size) -> float:
        return self.values[size.name]

    def first(self, role: Role, **fields: object) -> float | None:
        found = self.wall.of(role, **fields)
        return self.values[found[0].name] if found else None

    def edge(self, side: Side, down_mm: float) -> float | None:
        """x of a side's edge at a height."""
        offset = offset_at(self.wall, side, down_mm, None, USUAL_ROOM)
        mm = None if offset is None else offset.at(self.values)
        return None if mm is None else sign_of(self.wall, side) * mm

    def height_x(self, size: Size) -> float | None:
        return place_along(self.wall, size, self.values)

    def deck(self, x: float) -> float | None:
        """y of the deck."""
        height = height_at(self.wall, x, self.values, USUAL_ROOM)
        mm = None if height is None else height.at(self.values)
        return None if mm is None else -mm

    def deck_corner(self, side: Side) -> Place | None:
        """Where an edge meets the deck; on the outer side of an end wall, the tub front."""
        front = side is Side.OUTER and self.first(Role.TUB_FRONT) is not None
        at = Size("", self.wall.wall, Role.HEIGHT, side=Side.FRONT if front else side)
        x = self.height_x(at)
        own = self.first(Role.HEIGHT, side=at.side)
        y = -own if own is not None else (None if x is None else self.deck(x))
        return None if x is None or y is None else (x, y)

    def front(self) -> float:
        """x at which floor and ceiling are measured: the tub front, on the back wall plumb line."""
        if self.wall.corner is None:
            return 0.0
        return self.height_x(Size("", self.wall.wall, Role.HEIGHT, side=Side.FRONT)) or 0.0

    def pipe(self, size: Size) -> tuple[float | None, float | None]:
        """x and y of a pipe."""
        same = {"fixture": size.fixture}
        plumb = self.wall.of(Role.FIXTURE_FROM_PLUMB, **same)
        x = None
        if plumb:
            usual = Side.OUTER if self.wall.corner is not None else Side.RIGHT
            x = sign_of(self.wall, plumb[0].side or usual) * self.value(plumb[0])
        down = self.first(Role.FIXTURE_DOWN, **same)
        above = self.first(Role.FIXTURE_ABOVE_DECK, **same)
        if down is None and above is not None:
            deck = self.deck(x or 0.0)
            down = None if deck is None else -deck - above
        return x, None if down is None else -down


def _offset(known: _Known, size: Size) -> Ends | None:
    if size.side is None or size.down_mm is None:
        return None
    x = sign_of(known.wall, size.side) * known.value(size)
    return (0.0, -size.down_mm), (x, -size.down_mm)


def _width(known: _Known, size: Size) -> Ends | None:
    if size.down_mm is None:
        return None
    left = Side.LEFT
    if known.wall.corner is not None:
        left = Side.INNER if known.wall.corner is Side.LEFT else Side.OUTER
    edge = known.edge(left, size.down_mm)
    start = edge if edge is not None else -known.value(size) / 2
    return (start, -size.down_mm), (start + known.value(size), -size.down_mm)


def _height(known: _Known, size: Size) -> Ends | None:
    x = known.height_x(size)
    return None if x is None else ((x, 0.0), (x, -known.value(size)))


def _diagonal(known: _Known, size: Size) -> Ends | None:
    if size.side not in OPPOSITE or size.down_mm is None:
        return None
    other, start = OPPOSITE[size.side], known.edge(size.side, size.down_mm)
    if size.to_down_mm is None:
        end = known.deck_corner(other)
    else:
        x = known.edge(other, size.to_down_mm)
        end = None if x is None else (x, -size.to_down_mm)
    return None if start is None or end is None else ((start, -size.down_mm), end)


def _from_plumb(known: _Known, size: Size) -> Ends | None:
    x, y = known.pipe(size)
    return None if x is None or y is None else ((0.0, y), (x, y))


def _from_corner(known: _Known, size: Size) -> Ends | None:
    y = known.pipe(size)[1]
    near = size.side or (Side.INNER if known.wall.corner is not None else Side.LEFT)
    edge = None if y is None else known.edge(near, -y)
    if y is None or edge is None:
        return None
    return (edge, y), (edge - sign_of(known.wall, near) * known.value(size), y)


def _pipe_down(known: _Known, size: Size) -> Ends:
    x = known.pipe(size)[0] or 0.0
    return (x, 0.0), (x, -known.value(size))


def _above_deck(known: _Known, size: Size) -> Ends | None:
    x, y = known.pipe(size)
    return None if y is None else ((x or 0.0, y - known.value(size)), (x or 0.0, y))


def _tub_front(known: _Known, size: Size) -> Ends | None:
    corner = known.deck_corner(Side.OUTER)
    x = sign_of(known.wall, Side.FRONT) * known.value(size)
    return None if corner is None else ((0.0, corner[1]), (x, corner[1]))


def _line_to_floor(known: _Known, size: Size) -> Ends:
    return (known.front(), 0.0), (known.front(), -known.value(size))


def _deck_to_floor(known: _Known, size: Size) -> Ends | None:
    x = known.front()
    corner = known.deck_corner(Side.OUTER) if known.wall.corner is not None else None
    y = corner[1] if corner is not None else known.deck(x)
    return None if y is None else ((x, y), (x, y - known.value(size)))


def _line_to_ceiling(known: _Known, size: Size) -> Ends:
    return (known.front(), 0.0), (known.front(), known.value(size))


def _floor_to_ceiling(known: _Known, size: Size) -> Ends | None:
    floor = known.first(Role.LINE_TO_FLOOR)
    x = known.front()
    return None if floor is None else ((x, -floor), (x, known.value(size) - floor))


def _tile(known: _Known, size: Size) -> Ends | None:
    """The top of the tile, its whole courses and the cut one, down one corner."""
    side = _tile_side(known, size)
    top = known.first(Role.TILE_TOP, side=side)
    x = None if side is None or top is None else known.edge(side, top)
    if x is None or top is None:
        return None
    if size.role is Role.TILE_TOP:
        return (x, 0.0), (x, -top)
    courses = known.wall.of(Role.COURSES, side=size.side) or known.wall.of(Role.COURSES)
    whole = known.value(courses[0]) * (courses[0].count or 1) if courses else None
    if whole is None:
        return None
    end = -top - whole
    if size.role is Role.COURSES:
        return (x, -top), (x, end)
    return (x, end), (x, end - known.value(size))


def _tile_side(known: _Known, size: Size) -> Side | None:
    if size.side is not None:
        return size.side
    tops = known.wall.of(Role.TILE_TOP)
    return tops[0].side if tops else None


_ENDS: Final[Mapping[Role, Callable[[_Known, Size], Ends | None]]] = {
    Role.OFFSET: _offset,
    Role.WIDTH: _width,
    Role.HEIGHT: _height,
    Role.DIAGONAL: _diagonal,
    Role.FIXTURE_FROM_PLUMB: _from_plumb,
    Role.FIXTURE_FROM_CORNER: _from_corner,
    Role.FIXTURE_DOWN: _pipe_down,
    Role.FIXTURE_ABOVE_DECK: _above_deck,
    Role.TUB_FRONT: _tub_front,
    Role.LINE_TO_FLOOR: _line_to_floor,
    Role.DECK_TO_FLOOR: _deck_to_floor,
    Role.LINE_TO_CEILING: _line_to_ceiling,
    Role.FLOOR_TO_CEILING: _floor_to_ceiling,
    Role.TILE_TOP: _tile,
    Role.COURSES: _tile,
    Role.CUT_ROW: _tile,
}
