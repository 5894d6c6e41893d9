"""prices.csv: a shop's price book, read with errors that name the line."""

from __future__ import annotations

import csv
import io
from decimal import Decimal, InvalidOperation
from typing import Final, get_args

from service.errors import FileError
from service.panels.price import ItemKind, PriceBook, PriceItem

COLUMNS: Final = ("item", "kind", "unit", "price", "currency")
_KINDS: Final = get_args(ItemKind)
_LARGEST: Final = Decimal(1_000_000)


def read_price_book(text: str, source: str) -> PriceBook:
    """The price book in a CSV text with the columns `item, kind, unit, price, currency`.

    Raises
    ------
    FileError
        Naming the line: a missing column, an amount that is none, an item twice, two currencies.
    """
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff")), strict=True)
    try:
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader if any(row)]
    except csv.Error as error:
        raise FileError(source, f"line {reader.line_num}", f"expected CSV: {error}") from None
    if not rows or tuple(rows[0][1]) != COLUMNS:
        raise FileError(source, "line 1", f"expected the columns {','.join(COLUMNS)}")
    items: dict[str, PriceItem] = {}
    currency = ""
    for line, row in rows[1:]:
        item, theirs = _item(source, line, row)
        if item.item in items:
            raise FileError(source, f"line {line}: item", f"{item.item!r} stands here twice")
        if currency and theirs != currency:
            raise FileError(source, f"line {line}: currency", f"expected {currency} as above")
        items[item.item], currency = item, theirs
    if not items:
        raise FileError(source, "line 2", "expected one priced item or more")
    return PriceBook(source.replace("\\", "/").rpartition("/")[2], items, currency)


def _item(source: str, line: int, row: list[str]) -> tuple[PriceItem, str]:
    if len(row) != len(COLUMNS):
        raise FileError(source, f"line {line}", f"expected {len(COLUMNS)} cells, not {len(row)}")
    name, kind, unit, price, currency = row
    if not name:
        raise FileError(source, f"line {line}: item", "expected a name")
    for known in _KINDS:
        if kind == known:
            item = PriceItem(name, known, unit, _amount(source, line, price))
            break
    else:
        raise FileError(source, f"line {line}: kind", f"expected one of {', '.join(_KINDS)}")
    if len(currency) != 3 or not (currency.isascii() and currency.isalpha()):
        expected = "expected a code of three letters (ISO 4217)"
        raise FileError(source, f"line {line}: currency", expected)
    return item, currency.upper()


def _amount(source: str, line: int, text: str) -> Decimal:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal("NaN")
    cents = amount.as_tuple().exponent
    if not amount.is_finite() or not 0 <= amount <= _LARGEST or int(cents) < -2:
        expected = f"expected an amount from 0 to {_LARGEST} with at most two decimals"
        raise FileError(source, f"line {line}: price", f"{expected}, not {text!r}")
    return amount
