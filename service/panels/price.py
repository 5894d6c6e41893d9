"""The price: one figure for released panels, else a range with what drives it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Literal

from service.panels.model import Price, PriceLine

if TYPE_CHECKING:
    from collections.abc import Mapping

    from service.panels.model import OrderLine, TakeoffLine
    from service.panels.practice import Practice

ItemKind = Literal["sheet", "material", "labour", "unseen"]
_CENT = Decimal("0.01")


@dataclass(frozen=True)
class PriceItem:
    """One line of a price book.

    `kind`: a sheet or a material by the package, labour by the hour (`item` is the operation, or
    `labour` for all), or `unseen`: an allowance for what cannot be seen before the work starts.
    """

    item: str
    kind: ItemKind
    unit: str
    price: Decimal


@dataclass(frozen=True)
class PriceBook:
    """A price book: `name` is printed with every price made from it."""

    name: str
    items: Mapping[str, PriceItem]
    currency: str = "USD"


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
    shop: Practice,
) -> Price:
    """Price sheets, materials, labour and, on an estimate, what cannot be seen.

    Released: low and high are one figure, labour at the middle of its hours. Otherwise materials
    and sheets run up to what larger sizes would need, labour over its hours, and each unseen thing
    is in the high end only.
    """
    items = book.items if book else {}
    lines: list[PriceLine] = []
    unpriced: list[str] = []
    for sheet in sheets:
        _sheet_line(sheet, items, released, lines, unpriced)
    for material in materials:
        _material_line(material, items, released, shop, lines, unpriced)
    _labour_lines(items, released, shop, lines, unpriced)
    if not released:
        lines += [_unseen(item) for item in items.values() if item.kind == "unseen"]
    low = sum((line.low for line in lines), Decimal(0))
    high = sum((line.high for line in lines), Decimal(0))
    return Price(
        currency=book.currency if book else "USD",
        lines=tuple(lines),
        low=low,
        high=high,
        figure=low if released and not unpriced else None,
        unpriced=tuple(unpriced),
        book=book.name if book else "no price book",
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
    why = f"{line.quantity} sheet"
    if not released and sheet.larger is not None and sheet.larger > unit:
        high = sheet.larger * line.quantity
        why += "; the next larger one if the wall proves wider"
    lines.append(PriceLine(line.sheet, line.quantity, unit, low, high, why))


def _material_line(
    material: TakeoffLine,
    items: Mapping[str, PriceItem],
    released: bool,
    shop: Practice,
    lines: list[PriceLine],
    unpriced: list[str],
) -> None:
    if material.item not in items:
        unpriced.append(material.item)
        return
    unit = items[material.item].price
    low = unit * material.packages
    extra = Decimal(0) if released else Decimal(str(shop["estimate.material_high"]))
    high = _cents(low * (1 + extra))
    lines.append(PriceLine(material.item, material.packages, unit, low, high, material.why))


def _labour_lines(
    items: Mapping[str, PriceItem],
    released: bool,
    shop: Practice,
    lines: list[PriceLine],
    unpriced: list[str],
) -> None:
    rates = {name: item for name, item in items.items() if item.kind == "labour"}
    if not rates:
        unpriced.append("labour")
        return
    for key in (key for key in shop.allowances if key.startswith("hours.")):
        operation = key.partition(".")[2]
        rate = rates.get(operation) or rates.get("labour")
        if rate is None:
            unpriced.append(operation)
            continue
        least, most = (Decimal(str(hours)) for hours in shop.several(key))
        lines.append(_hours(operation, rate.price, least, most, released))


def _hours(
    operation: str, rate: Decimal, least: Decimal, most: Decimal, released: bool
) -> PriceLine:
    why = f"{least:g} h" if least == most else f"{least:g} to {most:g} h"
    if released and least != most:
        least = most = (least + most) / 2
        why = f"{least:g} h, the middle of {why}"
    low, high = _cents(rate * least), _cents(rate * most)
    name = f"{operation} labour"
    if least == most == int(least):
        return PriceLine(name, int(least), rate, low, high, why)
    return PriceLine(name, 1, high, low, high, why)


def _unseen(item: PriceItem) -> PriceLine:
    why = "cannot be seen before the work starts"
    return PriceLine(item.item, 1, item.price, Decimal(0), item.price, why)


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, ROUND_HALF_UP)
