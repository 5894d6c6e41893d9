"""Where in an alcove each slip can happen: which boxes lie side by side, which tape went elsewhere.

Common practice, but for the share of each, which is this project's own estimate.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from service.measuring.alcove.regular import regular_sizes
from service.measuring.alcove.vocabulary import OPPOSITE, Role, Room, Size, WallSizes
from service.measuring.instruments import MM_PER_INCH
from service.measuring.slip_book import Elsewhere, SlipBook
from service.measuring.slip_kinds import SlipKind

FROM_THE_LINE: Final = frozenset(
    {Role.HEIGHT, Role.FIXTURE_DOWN, Role.LINE_TO_FLOOR, Role.TILE_TOP, Role.LINE_TO_CEILING}
)
"""Sizes that a hold-down can be forgotten in."""
TO_A_WALL: Final = frozenset(
    {
        Role.OFFSET,
        Role.WIDTH,
        Role.DIAGONAL,
        Role.FIXTURE_FROM_CORNER,
        Role.OPENING,
        Role.DEPTH,
        Role.PLAN_DIAGONAL,
    }
)
"""Sizes whose tape is pushed against a wall, tile or plaster, or into its corner."""
TO_THE_DECK: Final = frozenset({Role.HEIGHT, Role.FIXTURE_ABOVE_DECK, Role.CUT_ROW})
"""Those that end on the deck, where there is caulk as well."""
CALLED: Final = frozenset({Role.WIDTH, Role.OPENING, Role.DEPTH})
"""Those that have a name beside their size: a 60 x 30 tub."""
_SPREAD_MM: Final = MM_PER_INCH / 16


def alcove_book(
    walls: Sequence[WallSizes], values: Mapping[str, float], book: SlipBook, room: Room
) -> SlipBook:
    """The shop's book, told where in this alcove its slips can happen; ``values`` as read, mm."""
    sizes = [size for wall in walls for size in wall.sizes]
    heights = {size.name for size in sizes if size.role in FROM_THE_LINE}
    elsewhere = {
        size.name: places
        for wall in walls
        for size in wall.sizes
        if (places := _pipe(wall, size, values, room))
    }
    next_heights = {
        size.name: near
        for wall in walls
        for size in wall.sizes
        if (near := _next_heights(wall, size))
    }
    return replace(
        book,
        next_heights={**next_heights, **book.next_heights},
        heights=book.heights | heights,
        elsewhere={**elsewhere, **book.elsewhere},
        beside={**_beside(walls), **book.beside},
        cannot={**{size.name: _cannot(size) for size in sizes}, **book.cannot},
        regular={**regular_sizes(walls, room), **book.regular},
    )


def _cannot(size: Size) -> frozenset[SlipKind]:
    """No plaster behind, or no caulk in, what the tape does not meet; no name for what has none."""
    kinds = set()
    if size.role not in TO_A_WALL:
        kinds.add(SlipKind.WRONG_REFERENCE)
    if size.role not in TO_A_WALL | TO_THE_DECK:
        kinds.add(SlipKind.CAULK)
    if size.role not in CALLED:
        kinds.add(SlipKind.NOMINAL)
    return frozenset(kinds)


def _next_heights(wall: WallSizes, size: Size) -> tuple[str, ...]:
    """The next stations up and down its own side."""
    if size.role is not Role.OFFSET or size.down_mm is None:
        return ()
    stations = sorted(
        (s.down_mm, s.name) for s in wall.of(Role.OFFSET, side=size.side) if s.down_mm is not None
    )
    place = stations.index((size.down_mm, size.name))
    return tuple(stations[p][1] for p in (place - 1, place + 1) if 0 <= p < len(stations))


def _pipe(wall: WallSizes, size: Size, values: Mapping[str, float], room: Room) -> list[Elsewhere]:
    """A pipe mirrored at the plumb line, or taken from the edge of a sheet that hangs already."""
    if size.role is Role.FIXTURE_FROM_PLUMB:
        return [Elsewhere(SlipKind.MIRRORED, 2 * values.get(size.name, 0.0))]
    if size.role is not Role.FIXTURE_FROM_CORNER:
        return []
    edge_mm = room.build_up_mm + room.joint_mm
    found = [Elsewhere(SlipKind.SHEET_EDGE, -edge_mm, spread_mm=_SPREAD_MM)]
    for plumb in wall.of(Role.FIXTURE_FROM_PLUMB, fixture=size.fixture):
        if plumb.name in values:
            found.append(Elsewhere(SlipKind.MIRRORED, -2 * values[plumb.name], 0.5))
            found.append(Elsewhere(SlipKind.MIRRORED, 2 * values[plumb.name], 0.5))
    return found


def _beside(walls: Sequence[WallSizes]) -> dict[str, tuple[str, ...]]:
    """Boxes next in order, on the opposite side, or of the same sort on the other end wall.

    One wall's last box is next to the following wall's first: the list goes on over the page.
    """
    found: dict[str, dict[str, None]] = {}
    order = [size.name for wall in walls for size in wall.sizes]
    for one, other in itertools.pairwise(order):
        found.setdefault(one, {})[other] = None
        found.setdefault(other, {})[one] = None
    for wall in walls:
        sided = {(size.side, _but_for_side(size)): size.name for size in wall.sizes if size.side}
        for (side, sort), name in sided.items():
            if side in OPPOSITE and (partner := sided.get((OPPOSITE[side], sort))) is not None:
                found.setdefault(name, {})[partner] = None
    ends = [wall for wall in walls if wall.corner is not None]
    for wall in ends:
        for other_wall in ends:
            if other_wall is not wall:
                _same_sort(wall, other_wall, found)
    return {name: tuple(names) for name, names in found.items()}


def _but_for_side(size: Size) -> Size:
    return replace(size, name="", side=None)


def _same_sort(wall: WallSizes, other: WallSizes, found: dict[str, dict[str, None]]) -> None:
    sorts = {replace(size, name="", wall=""): size.name for size in other.sizes}
    for size in wall.sizes:
        partner = sorts.get(replace(size, name="", wall=""))
        if partner is not None:
            found.setdefault(size.name, {})[partner] = None
