"""prices.csv: a shop's price book, read with errors that name the line."""

from __future__ import annotations

import csv
import hashlib
import io
from decimal import Decimal, InvalidOperation
from typing import Final, get_args

from service.errors import FileError
from service.panels.labour import ItemKind, PriceItem
from service.panels.price import PriceBook

COLUMNS: Final = ("item", "kind", "unit", "price", "currency")
_NEEDED: Final = ("item", "price")
_KINDS: Final = get_args(ItemKind)
_LARGEST: Final = Decimal(1_000_000)


def read_price_book(text: str, source: str) -> PriceBook:
    """The price book in a CSV text: `item` and `price`, and if need be `kind`, `unit`, `currency`.

    Without `kind` an item is material, by the package; without `currency`, US dollars. A first line
    `# version ...` names the book's version; beside it stands the start of the text's SHA-256, so
    that two books of one name can be told apart.

    Raises
    ------
    FileError
        Naming the line: a missing column, an amount that is none, an item twice, two currencies.
    """
    stated, body = _version(text.removeprefix("\ufeff"))
    reader = csv.reader(io.StringIO(body), strict=True)
    try:
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader if any(row)]
    except csv.Error as error:
        raise FileError(source, f"line {reader.line_num}", f"expected CSV: {error}") from None
    columns = rows[0][1] if rows else []
    wrong = set(columns) - set(COLUMNS) or set(_NEEDED) - set(columns)
    if wrong or len(columns) != len(set(columns)):
        expected = f"expected columns out of {', '.join(COLUMNS)}, with item and price among them"
        raise FileError(source, "line 1", expected)
    items: dict[str, PriceItem] = {}
    currencies: dict[str, int] = {}
    for line, row in rows[1:]:
        if len(row) != len(columns):
            raise FileError(source, f"line {line}", f"expected {len(columns)} cells")
        cells = dict(zip(columns, row, strict=True))
        item = _item(source, line, cells)
        if item.item in items:
            raise FileError(source, f"line {line}: item", f"{item.item!r} stands here twice")
        items[item.item] = item
        currencies.setdefault(_currency(source, line, cells), line)
    if not items:
        raise FileError(source, "line 2", "expected one priced item or more")
    if len(currencies) > 1:
        line = max(currencies.values())
        raise FileError(source, f"line {line}: currency", "expected one currency throughout")
    name = source.replace("\\", "/").rpartition("/")[2]
    stamp = hashlib.sha256(text.encode()).hexdigest()[:8]
    return PriceBook(name, items, next(iter(currencies)), f"{stated} {stamp}".strip())


def _version(text: str) -> tuple[str, str]:
    """The stated version, and the text with that line left empty so that line numbers hold."""
    first, end, rest = text.partition("\n")
    words = first.strip().strip(",").split(maxsplit=2)
    if words[:2] != ["#", "version"]:
        return "", text
    return (words[2] if len(words) > 2 else ""), f"{end}{rest}"


def _item(source: str, line: int, cells: dict[str, str]) -> PriceItem:
    if not cells["item"]:
        raise FileError(source, f"line {line}: item", "expected a name")
    price = _amount(source, line, cells["price"])
    written = cells.get("kind") or "material"
    kind = next((known for known in _KINDS if known == written), None)
    if kind is None:
        raise FileError(source, f"line {line}: kind", f"expected one of {', '.join(_KINDS)}")
    return PriceItem(cells["item"], kind, cells.get("unit", ""), price)


def _currency(source: str, line: int, cells: dict[str, str]) -> str:
    code = cells.get("currency") or "USD"
    if len(code) != 3 or not (code.isascii() and code.isalpha()):
        expected = "expected a code of three letters (ISO 4217)"
        raise FileError(source, f"line {line}: currency", expected)
    return code.upper()


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
