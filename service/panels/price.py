"""The price: one figure for released panels, else a range with what drives it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from service.panels.labour import PriceItem, labour_lines
from service.panels.model import Price, PriceLine
from service.panels.problem import PlanError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from service.panels.model import OrderLine, TakeoffLine
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Change

_CENT = Decimal("0.01")


@dataclass(frozen=True)
class PriceBook:
    """A price book: `name` and `version` are printed with every price made from it."""

    name: str
    items: Mapping[str, PriceItem]
    currency: str = "USD"
    version: str = ""


@dataclass(frozen=True)
class SheetRange:
    """A sheet to order and, while sizes are estimates, what a larger one would cost."""

    line: OrderLine
    larger: Decimal | None


def price(
    sheets: tuple[SheetRange, ...],
    materials: tuple[TakeoffLine, ...],
    book: PriceBook | None,
    released: bool,
    alcove: Alcove,
    shop: Practice,
) -> Price:
    """Price sheets, materials, labour, signed changes and, on an estimate, what cannot be seen.

    Released: low and high are one figure, labour at the middle of its hours. Otherwise materials
    and sheets run up to what larger sizes would need, labour over its hours, and each unseen thing
    is in the high end only. Every line is what the customer pays for it; `cost_low` and
    `cost_high` are before markup or margin, tax and changes.

    Raises
    ------
    PlanError
        Both a markup and a margin.
    """
    items = book.items if book else {}
    lines: list[PriceLine] = []
    unpriced: list[str] = []
    for sheet in sheets:
        _sheet_line(sheet, items, released, lines, unpriced)
    for material in materials:
        _material_line(material, items, released, shop, lines, unpriced)
    lines += labour_lines(items, released, alcove, shop, unpriced)
    if not released:
        lines += [_unseen(item) for item in items.values() if item.kind == "unseen"]
    cost_low, cost_high = _sum(lines)
    sold = [_sold(line, _factor(shop)) for line in lines]
    sold += [_change(change) for change in alcove.changes if change.signed]
    if tax := _tax(sold, shop):
        sold.append(tax)
    low, high = _sum(sold)
    return Price(
        currency=book.currency if book else "USD",
        lines=tuple(sold),
        low=low,
        high=high,
        figure=low if released and not unpriced else None,
        unpriced=tuple(unpriced),
        book=book.name if book else "no price book",
        book_version=book.version if book else "",
        cost_low=cost_low,
        cost_high=cost_high,
        drivers=_drivers(sold),
        offered=tuple(_change(change) for change in alcove.changes if not change.signed),
        valid_days=int(shop["estimate.valid_days"]),
    )


def _sheet_line(
    sheet: SheetRange,
    items: Mapping[str, PriceItem],
    released: bool,
    lines: list[PriceLine],
    unpriced: list[str],
) -> None:
    line = sheet.line
    unit = line.price
    if unit is None and line.sheet in items:
        unit = items[line.sheet].price
    if unit is None:
        unpriced.append(line.sheet)
        return
    low = unit * line.quantity
    high = low
    why = "1 sheet" if line.quantity == 1 else f"{line.quantity} sheets"
    if not released and sheet.larger is not None and sheet.larger > unit:
        high = sheet.larger * line.quantity
        why += "; the next larger one if the wall proves wider"
    lines.append(PriceLine(line.sheet, line.quantity, unit, low, high, why, "sheet"))


def _material_line(
    material: TakeoffLine,
    items: Mapping[str, PriceItem],
    released: bool,
    shop: Practice,
    lines: list[PriceLine],
    unpriced: list[str],
) -> None:
    if material.item not in items:
        if not material.sundry:
            unpriced.append(material.item)
        return
    unit = items[material.item].price
    low = unit * material.packages
    extra = Decimal(0) if released else Decimal(str(shop["estimate.material_high"]))
    high = _cents(low * (1 + extra))
    line = PriceLine(material.item, material.packages, unit, low, high, material.why, "material")
    lines.append(line)


def _unseen(item: PriceItem) -> PriceLine:
    why = "cannot be seen before the work starts"
    return PriceLine(item.item, 1, item.price, Decimal(0), item.price, why, "unseen")


def _change(change: Change) -> PriceLine:
    why = "change order, signed" if change.signed else "change order, not signed yet"
    amount = _cents(change.amount)
    return PriceLine(change.name, 1, amount, amount, amount, why, "change")


def _factor(shop: Practice) -> Decimal:
    """What a cost is multiplied by: 1 + markup on cost, or 1 / (1 - margin of the price)."""
    markup, margin = (Decimal(str(shop[f"estimate.{key}"])) for key in ("markup", "margin"))
    if markup and margin:
        raise PlanError("practice estimate.margin", "expected 0 beside a markup: give one of them")
    return 1 / (1 - margin) if margin else 1 + markup


def _sold(line: PriceLine, factor: Decimal) -> PriceLine:
    if factor == 1:
        return line
    return replace(
        line,
        unit_price=_cents(line.unit_price * factor),
        low=_cents(line.low * factor),
        high=_cents(line.high * factor),
    )


def _tax(lines: list[PriceLine], shop: Practice) -> PriceLine | None:
    """Sales tax on what is sold; labour by the share that local law taxes."""
    rate, on_labour = (Decimal(str(shop[f"estimate.{key}"])) for key in ("tax", "tax_labour"))
    if not rate:
        return None
    low = high = Decimal(0)
    for line in lines:
        share = on_labour if line.kind == "labour" else Decimal(1)
        low, high = low + share * line.low, high + share * line.high
    low, high = _cents(rate * low), _cents(rate * high)
    what = "on materials" if not on_labour else "on materials and labour"
    return PriceLine("sales tax", 1, high, low, high, f"{rate * 100:g} % {what}", "tax")


def _drivers(lines: list[PriceLine]) -> tuple[str, ...]:
    """What makes the range, the widest first; lines without a range are left out."""
    open_ = [line for line in lines if line.high > line.low and line.kind != "tax"]
    ranked = sorted(open_, key=lambda line: (line.low - line.high, line.item))
    return tuple(f"{line.item}: {line.high - line.low:,.2f}" for line in ranked)


def _sum(lines: list[PriceLine]) -> tuple[Decimal, Decimal]:
    low = sum((line.low for line in lines), Decimal(0))
    return low, sum((line.high for line in lines), Decimal(0))


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, ROUND_HALF_UP)
