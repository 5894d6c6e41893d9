"""Crew-hours by operation, with what the scope and the tub add to them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Final, Literal

from service.panels.model import PriceLine

if TYPE_CHECKING:
    from collections.abc import Mapping

    from service.panels.practice import Practice
    from service.panels.walls import Alcove

ItemKind = Literal["sheet", "material", "labour", "unseen"]
_CENT = Decimal("0.01")
_TUB: Final = {
    "new": ("new tub", "scope.new_tub"),
    "base": ("tub out, base in", "scope.base"),
    "floor": ("tub out, floor made", "scope.floor"),
}


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


def labour_lines(
    items: Mapping[str, PriceItem],
    released: bool,
    alcove: Alcove,
    shop: Practice,
    unpriced: list[str],
) -> list[PriceLine]:
    """One line per operation; what has no rate is added to `unpriced`.

    Hours run from least to most on an estimate and stand at the middle once sizes are proved.
    """
    rates = {name: item for name, item in items.items() if item.kind == "labour"}
    if not rates:
        unpriced.append("labour")
        return []
    found = []
    for operation, key in operations(alcove, shop):
        rate = rates.get(operation) or rates.get("labour")
        if rate is None:
            unpriced.append(operation)
            continue
        least, most = (Decimal(str(hours)) for hours in shop.several(key))
        found.append(_hours(operation, rate.price, least, most, released))
    return found


def operations(alcove: Alcove, shop: Practice) -> list[tuple[str, str]]:
    """Each operation with the key of its hours: the usual ones, and what scope and tub add."""
    found = [(k.partition(".")[2], k) for k in shop.allowances if k.startswith("hours.")]
    words = alcove.scope.lower()
    if "stud" in words:
        found.append(("down to the studs", "scope.studs"))
    elif "strip" in words:
        found.append(("strip the tile", "scope.strip"))
    if alcove.tub != "stays":
        found.append(_TUB[alcove.tub])
    return found


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
        return PriceLine(name, int(least), rate, low, high, why, "labour")
    return PriceLine(name, 1, high, low, high, why, "labour")


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(_CENT, ROUND_HALF_UP)
