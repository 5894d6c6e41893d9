"""Which sheets to buy and what is cut from each: the cheapest grouping, by trying all of them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from service.panels.cut_plan import Drop, PlacedPiece, SheetCut
from service.panels.guillotine import Block, Piece, all_blocks, best_cut, drops, placed
from service.panels.sizes import mark, needed, width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.practice import Practice
    from service.panels.walls import Pattern, StockSheet

_GRAIN_MM: Final = 1e-6
_TILE_GRAIN_MM: Final = 0.5
_EFFORT: Final = 150
"""Blocks tried for the small pieces of one drop: what is missed then is bought, never forgotten."""
_MOST_TOGETHER: Final = 8
"""Pieces that are grouped in every way there is; three walls with a seam each are six."""

Rank = tuple[float, Decimal, float, int]
"""Area without a price, price, area, number of sheets: the less the better, in this order."""


@dataclass(frozen=True)
class Wanted:
    """A panel, or a part of one, to be cut: its box, the edges it needs, the pattern it carries.

    `starts` is where its printed pattern must start full; None on a plain sheet.
    """

    name: str
    width_mm: float
    height_mm: float
    needs: frozenset[str]
    starts: str | None = None

    def piece(self, sheet: StockSheet) -> Piece:
        """As the cutting search takes it from a sheet; a panel is never turned.

        A printed pattern that starts full at a side holds the panel to that side.
        """
        needs = self.needs
        if sheet.printed is not None and self.starts in ("left", "right"):
            needs = needs | {"top", self.starts}
        return Piece(self.name, self.width_mm, self.height_mm, needs=needs)


@dataclass(frozen=True)
class Bought:
    """One sheet with the numbers of the pieces cut from it."""

    sheet: StockSheet
    pieces: tuple[int, ...]
    block: Block


@dataclass(frozen=True)
class Purchase:
    """The cheapest sheets for all pieces; `missing` fit no sheet."""

    bought: tuple[Bought, ...]
    missing: tuple[int, ...]
    tried: int
    proved: bool


def cheapest_sheets(
    wanted: Sequence[Wanted], stock: Sequence[StockSheet], pattern: Pattern | None, kerf_mm: float
) -> Purchase:
    """The purchase that costs least, then has the least area, then the fewest sheets.

    Every set of pieces is tried on every sheet, and every way to part the pieces into sets, so no
    purchase without seams is better. Sheets without a price come after all that have one, and of
    those the least area is bought.
    """
    options = [_options(sheet, wanted, pattern, kerf_mm) for sheet in stock]
    best: dict[int, tuple[Rank, StockSheet, Block]] = {}
    tried = 0
    for sheet, blocks in zip(stock, options, strict=True):
        for mask, block in blocks.items():
            tried += 1
            rank = _rank(sheet)
            if mask not in best or (rank, sheet.name) < (best[mask][0], best[mask][1].name):
                best[mask] = (rank, sheet, block)
    missing = tuple(k for k in range(len(wanted)) if 1 << k not in best)
    every = sum(1 << k for k in range(len(wanted)) if k not in missing)
    bought = [
        Bought(sheet, tuple(k for k in range(len(wanted)) if mask >> k & 1), block)
        for mask, sheet, block in _parted(every, best)
    ]
    ordered = tuple(sorted(bought, key=lambda b: b.pieces))
    return Purchase(ordered, missing, tried, len(wanted) <= _MOST_TOGETHER)


def sheet_cut(
    bought: Bought, wanted: Sequence[Wanted], small: list[Piece], shop: Practice
) -> SheetCut:
    """One sheet as it is cut, its drops used for small pieces first; takes those from `small`."""
    sheet, kerf = bought.sheet, shop["saw.kerf"]
    pieces = [want.piece(sheet) for want in wanted]
    at = list(placed(bought.block, pieces, kerf, sheet.width_mm, sheet.height_mm))
    left = list(drops(bought.block, kerf, sheet.width_mm, sheet.height_mm))
    rest: list[tuple[float, float, float, float]] = []
    for x, y, across, down in left:
        cut = best_cut(across, down, small, kerf, effort=_EFFORT) if small else None
        if cut is None or cut.block is None:
            rest.append((x, y, across, down))
            continue
        at += [
            p._replace(x=p.x + x, y=p.y + y)
            for p in placed(cut.block, small, kerf, across, down)
        ]  # fmt: skip
        over = drops(cut.block, kerf, across, down)
        rest += [(x + dx, y + dy, w, h) for dx, dy, w, h in over]
        small[:] = [p for p, taken in zip(small, cut.counts, strict=True) if not taken]
    least = shop["drop.least"]
    kept = [d for d in rest if min(d[2], d[3]) >= least - _GRAIN_MM]
    kept.sort(key=lambda d: -d[2] * d[3])
    return SheetCut(
        sheet=sheet.name,
        hand=sheet.hand,
        width=needed(sheet.width_mm),
        height=needed(sheet.height_mm),
        pieces=tuple(
            PlacedPiece(p.name, mark(p.x), mark(p.y), needed(p.width), needed(p.height))
            for p in sorted(at, key=lambda p: (p.y, p.x))
        ),
        drops=tuple(Drop(width(d[2]), width(d[3]), _edges(sheet, d)) for d in kept),
        lot=sheet.lot,
    )


def _options(
    sheet: StockSheet, wanted: Sequence[Wanted], pattern: Pattern | None, kerf: float
) -> dict[int, Block]:
    """What this sheet yields: one block for every set of pieces that fits it."""
    edges = frozenset[str](sheet.finished)
    pieces = [want.piece(sheet) for want in wanted]
    fit = [
        k
        for k, (want, piece) in enumerate(zip(wanted, pieces, strict=True))
        if piece.needs <= edges and _printed_to_suit(sheet, want, pattern)
    ]
    found: dict[int, Block] = {}
    groups = [fit] if len(fit) <= _MOST_TOGETHER else [[k] for k in fit]
    for group in groups:
        blocks = all_blocks(
            sheet.width_mm, sheet.height_mm, [pieces[k] for k in group], kerf, edges
        )
        for mask, same in blocks.items():
            members = [group[k] for k in range(len(group)) if mask >> k & 1]
            if same and _patterns_agree(sheet, [wanted[k] for k in members], pattern):
                found[sum(1 << k for k in members)] = _widened(same[0], group, len(wanted))
    return found


def _printed_to_suit(sheet: StockSheet, want: Wanted, pattern: Pattern | None) -> bool:
    """Whether the sheet's printed pattern starts full where the panel needs it."""
    if want.starts is None or pattern is None or sheet.printed is None:
        return True
    if want.starts == sheet.printed:
        return True
    return "centre" not in (want.starts, sheet.printed) and _whole_tiles(sheet, pattern)


def _patterns_agree(sheet: StockSheet, members: Sequence[Wanted], pattern: Pattern | None) -> bool:
    """Whether patterned panels can share a sheet: one from each side of whole tiles."""
    patterned = [want for want in members if want.starts is not None]
    if len(patterned) < 2 or pattern is None:
        return True
    starts = {want.starts for want in patterned}
    if starts != {"left", "right"} or len(patterned) > 2 or not _whole_tiles(sheet, pattern):
        return False
    return all(want.starts in want.needs for want in patterned)


def _whole_tiles(sheet: StockSheet, pattern: Pattern) -> bool:
    """Full at one side is full at the other where whole tiles fill the sheet."""
    module = pattern.tile_mm[0] + pattern.joint_mm
    over = (sheet.width_mm + pattern.joint_mm) % module
    return min(over, module - over) <= _TILE_GRAIN_MM


def _widened(block: Block, group: Sequence[int], many: int) -> Block:
    """The block with its pieces numbered among all that are wanted."""
    counts = [0] * many
    for k, number in zip(group, block.counts, strict=True):
        counts[k] = number
    return Block(
        tuple(counts),
        block.width,
        block.height,
        block.needs,
        group[block.piece] if block.join is None else -1,
        block.join,
        tuple(_widened(part, group, many) for part in block.parts),
    )


def _parted(
    every: int, best: dict[int, tuple[Rank, StockSheet, Block]]
) -> list[tuple[int, StockSheet, Block]]:
    """The cheapest parting of the pieces into sets that one sheet yields, over all partings."""
    least: dict[int, tuple[Rank, tuple[int, ...]]] = {0: ((0.0, Decimal(0), 0.0, 0), ())}
    for mask in range(1, every + 1):
        if mask & ~every:
            continue
        low = mask & -mask
        for part, (rank, _, _) in best.items():
            if part & low and not part & ~mask and (mask ^ part) in least:
                before, parts = least[mask ^ part]
                total = (
                    before[0] + rank[0], before[1] + rank[1], before[2] + rank[2], before[3] + 1
                )  # fmt: skip
                if mask not in least or total < least[mask][0]:
                    least[mask] = (total, (*parts, part))
    return [(part, best[part][1], best[part][2]) for part in least[every][1]]


def _rank(sheet: StockSheet) -> Rank:
    area = sheet.width_mm * sheet.height_mm
    if sheet.price is None:
        return (area, Decimal(0), area, 1)
    return (0.0, sheet.price, area, 1)


def _edges(sheet: StockSheet, drop: tuple[float, float, float, float]) -> tuple[str, ...]:
    """The sheet's finished edges that a drop still has."""
    x, y, across, down = drop
    at = {
        "top": y <= _GRAIN_MM,
        "left": x <= _GRAIN_MM,
        "right": x + across >= sheet.width_mm - 1e-3,
        "bottom": y + down >= sheet.height_mm - 1e-3,
    }
    return tuple(edge for edge in sheet.finished if at[edge])
