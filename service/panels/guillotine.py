"""Rectangles out of a sheet by cuts from edge to edge: exact at alcove size.

Pieces are joined side by side and one above another, every way there is, and of two blocks with
the same pieces only one that is no larger and asks no more of the sheet's edges is kept. A block
can be stretched: its pieces stand apart where the sheet is larger, so a piece that needs the left
edge and one that needs the right stand at either end. The kerf is counted by lengthening sheet and
pieces alike.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_GRAIN: Final = 1e-6
_OPPOSITE: Final = (("left", "right"), ("top", "bottom"))
NO_EDGES: Final[frozenset[str]] = frozenset()


@dataclass(frozen=True)
class Piece:
    """A rectangle to cut: `most` of them, each worth `value`; `needs` edges of the sheet.

    `turns` allows a quarter turn, which no patterned piece and none with an edge may make.
    """

    name: str
    width: float
    height: float
    most: int = 1
    value: float = 1.0
    needs: frozenset[str] = NO_EDGES
    turns: bool = False


class Placed(NamedTuple):
    """A piece on the sheet: its upper left corner from the sheet's, x right, y down."""

    name: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Block:
    """Pieces joined: `counts` by piece; `join` is how its two parts stand, None for one piece."""

    counts: tuple[int, ...]
    width: float
    height: float
    needs: frozenset[str]
    piece: int = -1
    join: str | None = None
    parts: tuple[Block, ...] = ()

    def no_worse_than(self, other: Block) -> bool:
        """Whether it may stand wherever the other, of the same pieces, may."""
        return (
            self.width <= other.width + _GRAIN
            and self.height <= other.height + _GRAIN
            and self.needs <= other.needs
        )


@dataclass(frozen=True)
class Cut:
    """The best that one sheet yields; `proved` where every other way was tried or bounded off."""

    value: float
    counts: tuple[int, ...]
    block: Block | None
    proved: bool = True


def best_cut(
    width: float,
    height: float,
    pieces: Sequence[Piece],
    kerf: float = 0.0,
    edges: frozenset[str] = NO_EDGES,
    effort: int = 1_000_000,
) -> Cut:
    """The most valuable pieces out of one sheet.

    Blocks are taken in the order of what they could at most become: their own value and the
    densest of what is left, over the rest of the sheet's area. The first that cannot beat the best
    found ends the search, which proves it; after `effort` blocks the best so far is returned,
    not proved.
    """
    room = (width + kerf, height + kerf)
    dense = sorted(
        range(len(pieces)), key=lambda k: -pieces[k].value / _area(pieces[k], kerf)
    )  # fmt: skip
    best = _in_rows(pieces, kerf, room)
    if best.counts == tuple(piece.most for piece in pieces):
        return best
    ticket = count()
    waiting: list[tuple[float, float, int, Block]] = []
    made: list[Block] = []
    kept: dict[tuple[int, ...], list[Block]] = {}

    def offer(block: Block) -> None:
        nonlocal best
        if block.width > room[0] + _GRAIN or block.height > room[1] + _GRAIN:
            return
        if not block.needs <= edges:
            return
        same = kept.setdefault(block.counts, [])
        if any(other.no_worse_than(block) for other in same):
            return
        same.append(block)
        value = _value(block.counts, pieces)
        if value > best.value + _GRAIN:
            best = Cut(value, block.counts, block)
        most = value + _rest(block, pieces, dense, room, kerf)
        if most > best.value + _GRAIN:
            # Of equal promise the fullest first: a block with all pieces ends the search.
            heapq.heappush(waiting, (-most, -value, next(ticket), block))

    for block in _singles(pieces, kerf, room, edges):
        offer(block)
    while waiting and -waiting[0][0] > best.value + _GRAIN:
        if len(made) >= effort:
            return replace(best, proved=False)
        *_, block = heapq.heappop(waiting)
        made.append(block)
        for other in made:
            if all(a + b <= p.most for a, b, p in zip(block.counts, other.counts, pieces,
                                                      strict=True)):  # fmt: skip
                for joined in _joins(block, other):
                    offer(joined)
    return best


def all_blocks(
    width: float, height: float, pieces: Sequence[Piece], kerf: float, edges: frozenset[str]
) -> dict[int, list[Block]]:
    """Every set of pieces (a bit for each) that fits the room, by its least blocks.

    Parameters
    ----------
    pieces
        One of each; their number is the caller's to bound.
    """
    room = (width + kerf, height + kerf)
    found: dict[int, list[Block]] = {}
    for block in _singles(pieces, kerf, room, edges):
        _keep(found, sum(1 << k for k, c in enumerate(block.counts) if c), block, room, edges)
    for mask in range(1, 1 << len(pieces)):
        part = (mask - 1) & mask
        while part:
            rest = mask ^ part
            if part < rest:  # each split once: both orders are tried in the join
                for a in found.get(part, ()):
                    for b in found.get(rest, ()):
                        for joined in _joins(a, b):
                            _keep(found, mask, joined, room, edges)
            part = (part - 1) & mask
    return found


def placed(
    block: Block, pieces: Sequence[Piece], kerf: float, width: float, height: float
) -> tuple[Placed, ...]:
    """Where each piece stands on the sheet, at the edges it needs, else up and to the left."""
    found: list[Placed] = []
    _place(block, pieces, kerf, (0.0, 0.0, width, height), found)
    return tuple(sorted(found, key=lambda p: (p.y, p.x)))


def drops(
    block: Block, kerf: float, width: float, height: float
) -> tuple[tuple[float, float, float, float], ...]:
    """What is left of the sheet after the cuts, as (x, y, width, height), largest first."""
    found: list[tuple[float, float, float, float]] = []
    _leave(block, kerf, (0.0, 0.0, width, height), found)
    return tuple(sorted(found, key=lambda d: -d[2] * d[3]))


def _in_rows(pieces: Sequence[Piece], kerf: float, room: tuple[float, float]) -> Cut:
    """A first cutting: plain pieces on their long side, the highest first, row under row."""
    singles: list[Block] = []
    for k, piece in enumerate(pieces):
        one = tuple(int(j == k) for j in range(len(pieces)))
        size = (piece.width + kerf, piece.height + kerf)
        if piece.turns and size[1] > size[0]:
            size = size[::-1]
        if not piece.needs:
            singles += [Block(one, *size, NO_EDGES, k)] * piece.most
    rows: list[Block] = []
    left = room[1]
    for block in sorted(singles, key=lambda b: (-b.height, -b.width)):
        if block.width > room[0] + _GRAIN:
            continue
        for number, row in enumerate(rows):
            if row.width + block.width <= room[0] + _GRAIN and block.height <= row.height + _GRAIN:
                rows[number] = _joined(row, block, "across")
                break
        else:
            if block.height <= left + _GRAIN:
                rows.append(block)
                left -= block.height
    if not rows:
        return Cut(0.0, (0,) * len(pieces), None)
    whole = rows[0]
    for row in rows[1:]:
        whole = _joined(whole, row, "down")
    return Cut(_value(whole.counts, pieces), whole.counts, whole)


def _joined(a: Block, b: Block, how: str) -> Block:
    counts = tuple(x + y for x, y in zip(a.counts, b.counts, strict=True))
    sizes = (a.width + b.width, max(a.height, b.height))
    if how == "down":
        sizes = (max(a.width, b.width), a.height + b.height)
    return Block(counts, *sizes, a.needs | b.needs, join=how, parts=(a, b))


def _area(piece: Piece, kerf: float) -> float:
    return (piece.width + kerf) * (piece.height + kerf)


def _value(counts: tuple[int, ...], pieces: Sequence[Piece]) -> float:
    return sum(c * p.value for c, p in zip(counts, pieces, strict=True))


def _rest(
    block: Block,
    pieces: Sequence[Piece],
    dense: Sequence[int],
    room: tuple[float, float],
    kerf: float,
) -> float:
    """At most what the rest of the sheet is worth: the densest pieces left, in parts if need be."""
    area = room[0] * room[1] - block.width * block.height
    total = 0.0
    for k in dense:
        one = _area(pieces[k], kerf)
        number = min(float(pieces[k].most - block.counts[k]), area / one)
        total += number * pieces[k].value
        area -= number * one
        if area <= 0:
            break
    return total


def _singles(
    pieces: Sequence[Piece], kerf: float, room: tuple[float, float], edges: frozenset[str]
) -> Iterator[Block]:
    for k, piece in enumerate(pieces):
        counts = tuple(int(j == k) for j in range(len(pieces)))
        sizes = [(piece.width, piece.height)]
        if piece.turns and not piece.needs and abs(piece.width - piece.height) > _GRAIN:
            sizes.append((piece.height, piece.width))
        for across, down in sizes:
            block = Block(counts, across + kerf, down + kerf, piece.needs, k)
            if piece.needs <= edges and _spans(block, room):
                yield block


def _spans(block: Block, room: tuple[float, float]) -> bool:
    """One piece that needs two opposite edges must be as large as the sheet."""
    sizes = (block.width, block.height)
    return all(
        not set(pair) <= block.needs or abs(size - whole) <= _GRAIN
        for pair, size, whole in zip(_OPPOSITE, sizes, room, strict=True)
    )


def _joins(a: Block, b: Block) -> Iterator[Block]:
    """Both ways and, where edges are needed, both orders that leave each part its edges."""
    orders = ((a, b), (b, a)) if a.needs or b.needs else ((a, b),)
    for first, second in orders:
        if "right" not in first.needs and "left" not in second.needs:
            yield _joined(first, second, "across")
        if "bottom" not in first.needs and "top" not in second.needs:
            yield _joined(first, second, "down")


def _keep(
    found: dict[int, list[Block]],
    mask: int,
    block: Block,
    room: tuple[float, float],
    edges: frozenset[str],
) -> None:
    if block.width > room[0] + _GRAIN or block.height > room[1] + _GRAIN:
        return
    same = found.setdefault(mask, [])
    if block.needs <= edges and not any(other.no_worse_than(block) for other in same):
        same[:] = [other for other in same if not block.no_worse_than(other)]
        same.append(block)


Region = tuple[float, float, float, float]


def _place(
    block: Block, pieces: Sequence[Piece], kerf: float, at: Region, found: list[Placed]
) -> None:
    x, y, width, height = at
    if block.join is None:
        across, down = block.width - kerf, block.height - kerf
        left = x + width - across if "right" in block.needs else x
        top = y + height - down if "bottom" in block.needs else y
        found.append(Placed(pieces[block.piece].name, left, top, across, down))
        return
    for part, region in zip(block.parts, _regions(block, kerf, at), strict=True):
        _place(part, pieces, kerf, region, found)


def _leave(block: Block, kerf: float, at: Region, found: list[Region]) -> None:
    x, y, width, height = at
    if block.join is not None:
        for part, region in zip(block.parts, _regions(block, kerf, at), strict=True):
            _leave(part, kerf, region, found)
        return
    across, down = width - block.width, height - block.height
    top = y + height - (block.height - kerf) if "bottom" in block.needs else y
    if down > _GRAIN:
        found.append((x, y if "bottom" in block.needs else y + block.height, width, down))
    if across > _GRAIN:
        left = x if "right" in block.needs else x + block.width
        found.append((left, top, across, block.height - kerf))


def _regions(block: Block, kerf: float, at: Region) -> tuple[Region, Region]:
    """The sheet's part for each of two joined blocks: the second has what is over."""
    x, y, width, height = at
    first = block.parts[0]
    if block.join == "across":
        take = first.width
        return (x, y, take - kerf, height), (x + take, y, width - take, height)
    take = first.height
    return (x, y, width, take - kerf), (x, y + take, width, height - take)
