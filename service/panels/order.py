"""The sheets to order: what each panel is cut from, gathered into lines with their hands."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.model import OrderLine
from service.panels.price import SheetRange
from service.panels.stock import choice, sheets_that_fit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from decimal import Decimal

    from service.panels.model import Panel, SheetChoice
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import StockSheet


@dataclass(frozen=True)
class SheetPick:
    """The chosen sheet and, where sizes leave a doubt, the price of the next that is larger."""

    sheet: StockSheet
    choice: SheetChoice
    larger: Decimal | None


def pick_sheet(
    stock: Iterable[StockSheet],
    outline: Outline,
    edges: frozenset[str],
    shop: Practice,
) -> SheetPick | None:
    """The best sheet that holds the panel, None when the stock has none."""
    fits = sheets_that_fit(stock, outline, edges)
    if not fits:
        return None
    u_width = math.sqrt(2) * max((size.u_mm for size in outline.used), default=0.0)
    best = choice(fits[0], outline, shop["saw.kerf"], u_width)
    larger = None
    if best.chance < shop["estimate.sheet_chance"]:
        wider = [s.price for s in fits if s.width_mm > fits[0].width_mm and s.price is not None]
        larger = min(wider, default=None)
    return SheetPick(fits[0], best, larger)


def order(panels: Sequence[Panel], picks: Sequence[SheetPick | None]) -> tuple[SheetRange, ...]:
    """One line per kind of sheet and hand; one panel a sheet."""
    grouped: dict[tuple[str, tuple[str, ...]], list[tuple[Panel, SheetPick]]] = {}
    for panel, pick in zip(panels, picks, strict=True):
        if pick is not None:
            key = (pick.choice.name, pick.choice.finished)
            grouped.setdefault(key, []).append((panel, pick))
    return tuple(_line(group) for group in grouped.values())


def _line(group: list[tuple[Panel, SheetPick]]) -> SheetRange:
    sheet = group[0][1].choice
    larger = [pick.larger for _, pick in group if pick.larger is not None]
    return SheetRange(
        OrderLine(
            sheet=sheet.name,
            width=sheet.width,
            height=sheet.height,
            finished=sheet.finished,
            hand=sheet.hand,
            quantity=len(group),
            panels=tuple(panel.title for panel, _ in group),
            released=all(panel.released for panel, _ in group),
            price=sheet.price,
        ),
        max(larger, default=None),
    )
