"""About what the sizes of an alcove are where it is built as rooms are: plumb, level and square
within an inch or so.

No reading is judged by this, for walls are never so; it weighs explanations. A slip that leaves a
corner 40 degrees out of square, or one station of a wall 5 in beside all the others, is a poor
explanation of a conflict. Common practice; the spreads are this project's own estimates.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.measuring.alcove.vocabulary import Role, Room, Size, WallSizes
from service.measuring.instruments import MM_PER_INCH
from service.measuring.slip_book import Regular

_ALIKE_MM: Final[Mapping[Role, float]] = {
    Role.OFFSET: 1.0 * MM_PER_INCH,
    Role.WIDTH: 1.0 * MM_PER_INCH,
    Role.HEIGHT: 1.0 * MM_PER_INCH,
}
"""Sizes at the stations of one edge, which is plumb or level to this."""
_OF_BOTH_ENDS_MM: Final[Mapping[Role, float]] = {
    Role.TUB_FRONT: 3.0 * MM_PER_INCH,
    Role.LINE_TO_FLOOR: 1.5 * MM_PER_INCH,
    Role.DECK_TO_FLOOR: 1.0 * MM_PER_INCH,
    Role.LINE_TO_CEILING: 1.5 * MM_PER_INCH,
    Role.FLOOR_TO_CEILING: 1.5 * MM_PER_INCH,
}
"""Sizes that are much the same on every wall: one tub, one floor, one ceiling, one level line. Of
the tub's front the plumb lines differ as well."""
_SQUARE_MM: Final = 1.0 * MM_PER_INCH
"""Of a corner diagonal: 1 in over legs of 24 in is 3 1/2 degrees."""
_OPENING_MM: Final = 1.5 * MM_PER_INCH
"""Of the opening against the back wall's widths."""
_DEPTH_MM: Final = 32 * MM_PER_INCH
_DEPTH_SPREAD_MM: Final = 6 * MM_PER_INCH
"""Of a tub or a shower, back to front."""


def regular_sizes(walls: Sequence[WallSizes], room: Room) -> dict[str, Regular]:
    """What is expected of each size that anything is, by name."""
    return {size.name: of for wall in walls for size, of in _of_wall(wall, walls, room)}


def _of_wall(
    wall: WallSizes, walls: Sequence[WallSizes], room: Room
) -> Iterator[tuple[Size, Regular]]:
    for size in wall.sizes:
        role = size.role
        if role in _ALIKE_MM:
            side = {"side": size.side} if role is Role.OFFSET else {}
            like = wall.of(role, **side)
            yield size, Regular(_ALIKE_MM[role], like=_names(like, size))
        elif role in _OF_BOTH_ENDS_MM:
            like = [other for of in walls for other in of.of(role)]
            yield size, Regular(_OF_BOTH_ENDS_MM[role], like=_names(like, size))
        elif role is Role.CORNER_DIAGONAL:
            yield size, Regular(_SQUARE_MM, math.sqrt(2) * room.leg_mm)
        elif role is Role.OPENING:
            like = [other for of in walls if of.corner is None for other in of.of(Role.WIDTH)]
            yield size, Regular(_OPENING_MM, like=_names(like, size))
        elif role is Role.DEPTH:
            yield size, Regular(_DEPTH_SPREAD_MM, _DEPTH_MM)


def _names(like: Sequence[Size], own: Size) -> tuple[str, ...]:
    return tuple(other.name for other in like if other.name != own.name)
