"""The named sizes of a wall file: by their roles, or by their names and marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from service.files.wall import WallFile
from service.files.wall_parts import Dimension
from service.files.wall_roles import surfaces_told
from service.lengths import parse_station
from service.measuring.alcove.of_names import Named, sizes_of_names
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes

BACK: Final = "back"
_IN_PLAN: Final = (Role.CORNER_DIAGONAL, Role.PLAN_DIAGONAL)


def wall_sizes(wall: WallFile) -> WallSizes:
    """The named sizes of a wall; a file that gives roles is taken at them, else names are read.

    What the tape touched is said of a size or of its readings.
    """
    name = wall.wall or BACK
    corner = None if wall.corner is None else Side(wall.corner)
    surface = surfaces_told(wall.readings, wall.dimensions)
    roles = [
        _size(name, d, d.role, corner, wall.bare_unit)
        for d in wall.dimensions
        if d.role is not None
    ]
    if roles:
        found = WallSizes(name, tuple(roles), corner)
    else:
        named = [
            Named(d.name, d.from_, d.to, d.line) for d in wall.dimensions if d.from_ is not None
        ]
        found = sizes_of_names(name, named, wall.level, wall.plumb, corner)
    sizes = tuple(replace(size, surface=surface.get(size.name)) for size in found.sizes)
    return WallSizes(found.wall, sizes, found.corner)


def renamed(wall: WallSizes, names: Mapping[str, str]) -> WallSizes:
    """The same sizes under other names."""
    sizes = tuple(replace(size, name=names[size.name]) for size in wall.sizes)
    return WallSizes(wall.wall, sizes, wall.corner)


def _size(wall: str, of: Dimension, role: Role, corner: Side | None, bare_unit: str | None) -> Size:
    return Size(
        of.name,
        wall,
        role,
        _side(of, corner),
        _mm(of.down, bare_unit),
        _mm(of.at, bare_unit),
        _mm(of.to_down, bare_unit),
        None,
        of.fixture,
        of.count,
    )


def _side(of: Dimension, corner: Side | None) -> Side | None:
    """On an end wall left and right are its inner and outer side, whichever its corner is on."""
    if corner is None or of.role in _IN_PLAN or of.side not in (Side.LEFT, Side.RIGHT):
        return of.side
    return Side.INNER if of.side is corner else Side.OUTER


def _mm(text: str | None, bare_unit: str | None) -> float | None:
    return None if text is None else float(parse_station(text, bare_unit).mm)
