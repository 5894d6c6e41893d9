"""Named sizes of a wall whose file only names its dimensions, by name and by what they join.

A name alone is never believed. ``left 16`` is an offset only if it is taken square to the plumb
line; ``width 16`` is a width only if it joins the marks of two offsets at 16. Stations are inches,
as the trade says them. What the tape touched is not in a name, so it stays untold.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.measuring.alcove.vocabulary import OPPOSITE, Role, Side, Size, WallSizes
from service.measuring.instruments import MM_PER_INCH

_OFFSET: Final = re.compile(r"(left|right|inner|outer) (\d{1,3})")
_DECK: Final = re.compile(r"deck (left|right|inner|outer|front|plumb|-?\d{1,3})")
_FIXTURE: Final = re.compile(r"(.{1,80}) (down|from plumb)")


@dataclass(frozen=True, slots=True)
class Named:
    """A dimension as a wall file names it, by the marks it joins."""

    name: str
    start: str
    end: str | None
    line: tuple[str, str] | None


def sizes_of_names(
    wall: str,
    dimensions: Sequence[Named],
    level: tuple[str, str] | None,
    plumb: tuple[str, str] | None,
    corner: Side | None = None,
) -> WallSizes:
    """The named sizes among a wall's dimensions; the others are left out.

    ``corner`` is the side of an end wall's back corner where the file tells it; else it is the side
    of the plumb line on which the inner edge counts as positive.
    """
    found = [
        size
        for dimension in dimensions
        if (size := _to_a_line(wall, dimension, level, plumb)) is not None
    ]
    ends = {s.name: s for s in found if s.role in (Role.OFFSET, Role.HEIGHT)}
    at_mark = {d.start: ends[d.name] for d in dimensions if d.name in ends}
    for dimension in dimensions:
        joined = _between_marks(wall, dimension, at_mark)
        if joined is not None:
            found.append(joined)
    in_order = {dimension.name: place for place, dimension in enumerate(dimensions)}
    found.sort(key=lambda size: in_order[size.name])
    corner = corner or _corner(found, dimensions, plumb)
    if corner is None and any(s.side in (Side.INNER, Side.OUTER) for s in found):
        return WallSizes(wall, ())
    return WallSizes(wall, tuple(_on_end_wall(size, corner) for size in found), corner)


def _to_a_line(
    wall: str,
    dimension: Named,
    level: tuple[str, str] | None,
    plumb: tuple[str, str] | None,
) -> Size | None:
    name, line = dimension.name, dimension.line
    if line is None:
        return None
    if plumb is not None and set(line) == set(plumb):
        if match := _OFFSET.fullmatch(name):
            down_mm = int(match[2]) * MM_PER_INCH
            return Size(name, wall, Role.OFFSET, Side(match[1]), down_mm)
        if name == "tub front":
            return Size(name, wall, Role.TUB_FRONT)
        if (match := _FIXTURE.fullmatch(name)) and match[2] == "from plumb":
            return Size(name, wall, Role.FIXTURE_FROM_PLUMB, fixture=match[1])
    if level is not None and set(line) == set(level):
        if match := _DECK.fullmatch(name):
            return _height(name, wall, match[1])
        if (match := _FIXTURE.fullmatch(name)) and match[2] == "down":
            return Size(name, wall, Role.FIXTURE_DOWN, fixture=match[1])
    return None


def _height(name: str, wall: str, place: str) -> Size:
    height = Size(name, wall, Role.HEIGHT)
    if place == "plumb":
        return replace(height, at_mm=0.0)
    if place in list(Side):
        return replace(height, side=Side(place))
    return replace(height, at_mm=int(place) * MM_PER_INCH)


def _between_marks(wall: str, dimension: Named, at_mark: dict[str, Size]) -> Size | None:
    one = at_mark.get(dimension.start)
    other = at_mark.get(dimension.end) if dimension.end is not None else None
    if one is None or other is None:
        return None
    if one.role is other.role is Role.OFFSET and one.side in OPPOSITE:
        if other.side is not OPPOSITE[one.side] or one.down_mm is None:
            return None
        if one.down_mm == other.down_mm:
            return Size(dimension.name, wall, Role.WIDTH, down_mm=one.down_mm)
        diagonal = Size(dimension.name, wall, Role.DIAGONAL, one.side, one.down_mm)
        return replace(diagonal, to_down_mm=other.down_mm)
    offset, height = (one, other) if one.role is Role.OFFSET else (other, one)
    if offset.role is not Role.OFFSET or height.role is not Role.HEIGHT:
        return None
    ends = {Side.FRONT: Side.OUTER}.get(height.side, height.side) if height.side else None
    if offset.side is None or ends is not OPPOSITE.get(offset.side):
        return None
    return Size(dimension.name, wall, Role.DIAGONAL, offset.side, offset.down_mm)


def _on_end_wall(size: Size, corner: Side | None) -> Size:
    """On an end wall left and right are its inner and outer side, whichever its corner is on."""
    if corner is None or size.side not in (Side.LEFT, Side.RIGHT):
        return size
    return replace(size, side=Side.INNER if size.side is corner else Side.OUTER)


def _corner(
    sizes: Sequence[Size], dimensions: Sequence[Named], plumb: tuple[str, str] | None
) -> Side | None:
    """The side of the inner edge: a size to a line is positive on the line's left."""
    lines = {dimension.name: dimension.line for dimension in dimensions}
    inner = next((s for s in sizes if s.side is Side.INNER and s.role is Role.OFFSET), None)
    if inner is None or plumb is None:
        return None
    # Downwards along the plumb line the left hand lies to the right as seen.
    return Side.RIGHT if lines[inner.name] == plumb else Side.LEFT
