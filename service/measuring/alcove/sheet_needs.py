"""Which named sizes the sheet of a wall is cut by, and in which order one tapes them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes

CUT_BY: Final = frozenset(
    {
        Role.OFFSET,
        Role.HEIGHT,
        Role.TUB_FRONT,
        Role.LINE_TO_FLOOR,
        Role.FIXTURE_FROM_PLUMB,
        Role.FIXTURE_DOWN,
    }
)
"""Offsets cut; widths, diagonals and the second way to each pipe only check (common practice)."""
_IN_ORDER: Final = tuple(Role)
_SIDES: Final = (Side.LEFT, Side.INNER, Side.OUTER, Side.FRONT, Side.RIGHT)


def sheet_needs(wall: WallSizes) -> tuple[str, ...]:
    """Names of the sizes that the wall's sheet cannot be cut without, in walking order."""
    needed = [size.name for size in wall.sizes if size.role in CUT_BY]
    return walking_order((wall,), needed)


def walking_order(walls: Sequence[WallSizes], names: Iterable[str]) -> tuple[str, ...]:
    """The names as one walks round: wall by wall from the left, along each line from the top.

    All that is taken from one line is taken together, so that the tape moves least.
    """
    wanted = set(names)
    ordered = sorted(walls, key=_place_of_wall)
    found: list[str] = []
    for wall in ordered:
        found += [s.name for s in sorted(wall.sizes, key=_place_in_wall) if s.name in wanted]
    return (*found, *(name for name in names if name not in set(found)))


def _place_of_wall(wall: WallSizes) -> int:
    return {Side.LEFT: 0, None: 1, Side.RIGHT: 2}[wall.meets]


def _place_in_wall(size: Size) -> tuple[int, str, int, float]:
    side = _SIDES.index(size.side) if size.side is not None else len(_SIDES) // 2
    along = size.down_mm if size.down_mm is not None else size.at_mm or 0.0
    return (_IN_ORDER.index(size.role), size.fixture or "", side, along)
