"""The sheets to order and how they are cut, gathered into lines with their hands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from service.panels.cut_plan import CuttingPlan
from service.panels.model import Caution, OrderLine, OtherSheet
from service.panels.price import SheetRange
from service.panels.sheets import cheapest_sheets, sheet_cut
from service.panels.sizes import needed, width
from service.panels.stock import choice

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from decimal import Decimal

    from service.panels.guillotine import Piece
    from service.panels.model import Panel, SheetChoice
    from service.panels.planned_wall import PlannedWall
    from service.panels.practice import Practice
    from service.panels.seams import SeamedPanel
    from service.panels.sheets import Purchase, Wanted
    from service.panels.walls import Alcove, StockSheet


@dataclass(frozen=True)
class SheetPick:
    """The sheet of one panel and, where sizes leave a doubt, the price of one that is larger."""

    sheet: StockSheet
    choice: SheetChoice
    larger: Decimal | None


@dataclass(frozen=True)
class Sheets:
    """What is bought: the purchase, its pieces, and the pick of each panel by its title."""

    purchase: Purchase
    wanted: tuple[Wanted, ...]
    picks: Mapping[str, SheetPick]
    seamed: tuple[SeamedPanel, ...]


def choose_sheets(
    walls: Sequence[PlannedWall], seamed: Mapping[str, SeamedPanel], alcove: Alcove, shop: Practice
) -> Sheets:
    """The cheapest sheets for all panels, a seamed panel by its two parts."""
    wanted: list[Wanted] = []
    for wall in walls:
        parts = seamed.get(wall.title)
        wanted += [wall.wanted(alcove)] if parts is None else parts.parts
    purchase = cheapest_sheets(wanted, alcove.stock, alcove.pattern, shop["saw.kerf"])
    picks: dict[str, SheetPick] = {}
    by_title = {wall.title: wall for wall in walls}
    for bought in purchase.bought:
        for number in bought.pieces:
            title = wanted[number].name
            if title in by_title:
                shared = len(bought.pieces) > 1
                picks[title] = _pick(bought.sheet, shared, by_title[title], alcove, shop)
    return Sheets(purchase, tuple(wanted), picks, tuple(seamed.values()))


def cutting_plan(
    sheets: Sheets, small: list[Piece], shop: Practice
) -> tuple[CuttingPlan | None, tuple[Caution, ...]]:
    """How every sheet is cut, drops first used for the small pieces; what of those is left over."""
    if not sheets.purchase.bought:
        return None, ()
    left = list(small)
    cuts = tuple(sheet_cut(b, sheets.wanted, left, shop) for b in sheets.purchase.bought)
    area = sum(p.width.mm * p.height.mm for cut in cuts for p in cut.pieces)
    whole = sum(cut.width.mm * cut.height.mm for cut in cuts)
    cautions: tuple[Caution, ...] = ()
    if left:
        names = ", ".join(piece.name for piece in left)
        text = f"no drop holds {names}: order sheet for them"
        cautions = (Caution("liner-sheet", text),)
    lots = sorted({cut.lot for cut in cuts if cut.lot})
    if len(lots) > 1:
        text = f"sheets of lots {' and '.join(lots)} may differ in colour side by side"
        cautions = (*cautions, Caution("lots", text, None, "order one lot"))
    plan = CuttingPlan(
        sheets=cuts,
        seams=tuple(seam for panel in sheets.seamed for seam in panel.seams),
        tried=sheets.purchase.tried,
        proved=sheets.purchase.proved and not sheets.purchase.missing,
        used=area / whole,
    )
    return plan, cautions


def order(panels: Sequence[Panel], sheets: Sheets) -> tuple[SheetRange, ...]:
    """One line per kind of sheet and hand, with the panels that are cut from it."""
    released = {panel.title: panel.released for panel in panels}
    lines: dict[str, SheetRange] = {}
    for bought in sheets.purchase.bought:
        titles = tuple(sheets.wanted[k].name for k in bought.pieces)
        proved = all(
            next(ok for title, ok in released.items() if name.startswith(title)) for name in titles
        )
        larger = [
            pick.larger for t in titles if (pick := sheets.picks.get(t)) and pick.larger is not None
        ]
        line = _line(bought.sheet, titles, proved, max(larger, default=None))
        known = lines.get(bought.sheet.name)
        lines[bought.sheet.name] = line if known is None else _more(known, line)
    return tuple(lines.values())


def short_by(wall: PlannedWall, alcove: Alcove) -> str:
    """What the nearest sheet with the right edges lacks, in words."""
    want = wall.wanted(alcove)
    lacks = []
    for sheet in alcove.stock:
        if want.needs <= set(sheet.finished):
            narrow = max(want.width_mm - sheet.width_mm, 0.0)
            low = max(want.height_mm - sheet.height_mm, 0.0)
            lacks.append((max(narrow, low), sheet.name, narrow, low))
    if not lacks:
        edges = " + ".join(sorted(want.needs)) or "no"
        return (
            f"no sheet has {edges} finished" if alcove.stock else "stock is empty: expected a sheet"
        )
    _, name, narrow, low = min(lacks)
    found = [f"{needed(narrow).text} in too narrow"] if narrow else []
    found += [f"{needed(low).text} in too short"] if low else []
    return f"{name} is {' and '.join(found)}"


def _pick(
    sheet: StockSheet, shared: bool, wall: PlannedWall, alcove: Alcove, shop: Practice
) -> SheetPick:
    terms = wall.terms
    needs = wall.wanted(alcove).needs
    others = [(s, terms.chance_fits(s)) for s in alcove.stock if needs <= set(s.finished)]
    fits = {s.name: chance for s, chance in others}[sheet.name]
    chosen = choice(sheet, wall.outline, shop["saw.kerf"], terms.chance_wide(sheet.width_mm))
    chosen = replace(
        chosen,
        # What is left of a shared sheet stands in the cutting plan.
        drop=width(0.0) if shared else chosen.drop,
        chance_fits=fits,
        shared=shared,
        others=tuple(OtherSheet(s.name, chance) for s, chance in others),
    )
    larger = None
    if fits < shop["estimate.sheet_chance"]:
        surer = [s.price for s, chance in others if chance > fits and s.price is not None]
        larger = min(surer, default=None)
    return SheetPick(sheet, chosen, larger)


def _line(
    sheet: StockSheet, titles: tuple[str, ...], released: bool, larger: Decimal | None
) -> SheetRange:
    return SheetRange(
        OrderLine(
            sheet=sheet.name,
            width=needed(sheet.width_mm),
            height=needed(sheet.height_mm),
            finished=tuple(sheet.finished),
            hand=sheet.hand,
            quantity=1,
            panels=titles,
            released=released,
            price=sheet.price,
        ),
        larger,
    )


def _more(known: SheetRange, line: SheetRange) -> SheetRange:
    a, b = known.line, line.line
    both = replace(
        a,
        quantity=a.quantity + 1,
        panels=(*a.panels, *b.panels),
        released=a.released and b.released,
    )
    dearer = [price for price in (known.larger, line.larger) if price is not None]
    return SheetRange(both, max(dearer, default=None))
