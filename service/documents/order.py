"""The order list as CSV: sheets with hands, backers, trims, whole packages, what was let stand.

RFC 4180, UTF-8. A cell that a spreadsheet would take for a formula gets an apostrophe in front.
"""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING, Final

from service.documents.release_words import plan_override_lines
from service.documents.wording import edge_words, millimetres

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.documents.wording import DocumentMeta
    from service.panels.model import Backer, OrderLine, Plan, Size, TakeoffLine, Trim

COLUMNS: Final = (
    "job",
    "kind",
    "item",
    "hand",
    "finished edges",
    "width in",
    "height in",
    "length in",
    "quantity",
    "package",
    "needed",
    "for",
    "state",
    "why",
    "revision",
    "date",
    "plan",
    "width mm",
    "height mm",
    "length mm",
)
_FORMULA_SIGNS: Final = ("=", "+", "-", "@")
_RELEASED: Final = "released"
_ESTIMATE: Final = "estimate, not for cutting"


def order_csv(plan: Plan, meta: DocumentMeta) -> bytes:
    """Everything to buy, one line each, under one header line; each with what it was ordered by,
    for an older list looks like a newer one."""
    buffer = StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for cells in _lines(plan):
        stamp = {"revision": meta.revision, "date": meta.date, "plan": meta.fingerprint}
        row = {"job": plan.job, **cells, **stamp}
        writer.writerow([safe_cell(row.get(column, "")) for column in COLUMNS])
    return buffer.getvalue().encode("utf-8")


def safe_cell(text: str) -> str:
    """The text on one line, and never one that a spreadsheet would run as a formula."""
    # Control characters first: some programs skip them and then see the sign behind.
    words = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return f"'{words}" if words.startswith(_FORMULA_SIGNS) else words


def _lines(plan: Plan) -> Iterator[dict[str, str]]:
    state = _RELEASED if plan.released else _ESTIMATE
    yield from (_sheet(line) for line in plan.order)
    yield from (_backer(backer, state) for backer in plan.backers)
    yield from (_trim(trim, state) for trim in plan.trims)
    yield from (_takeoff(line, state) for line in plan.takeoff)
    yield from ({"kind": "override", "why": told} for told in plan_override_lines(plan))


def _sheet(line: OrderLine) -> dict[str, str]:
    return {
        "kind": "sheet",
        "item": line.sheet,
        "hand": line.hand,
        "finished edges": " + ".join(line.finished),
        "width in": _figure(line.width),
        "height in": _figure(line.height),
        "width mm": millimetres(line.width.mm),
        "height mm": millimetres(line.height.mm),
        "quantity": str(line.quantity),
        "package": "sheet",
        "for": "; ".join(line.panels),
        "state": _RELEASED if line.released else _ESTIMATE,
    }


def _backer(backer: Backer, state: str) -> dict[str, str]:
    return {
        "kind": "corner backer",
        "item": f"{backer.corner} corner",
        "length in": _figure(backer.length),
        "length mm": millimetres(backer.length.mm),
        "quantity": "1",
        "package": "piece",
        "state": state,
    }


def _trim(trim: Trim, state: str) -> dict[str, str]:
    return {
        "kind": "trim",
        "item": trim.kind,
        "length in": _figure(trim.length),
        "length mm": millimetres(trim.length.mm),
        "quantity": "1",
        "package": "piece",
        "for": f"{trim.wall} wall, {edge_words(trim.edge)}",
        "state": state,
        "why": trim.why,
    }


def _takeoff(line: TakeoffLine, state: str) -> dict[str, str]:
    return {
        "kind": "material",
        "item": line.item,
        "quantity": str(line.packages),
        "package": line.package,
        "needed": f"{line.gross:.1f} {line.unit} ({line.net:.1f} before waste)",
        "state": state,
        "why": line.why,
    }


def _figure(size: Size) -> str:
    return size.text.removesuffix(" in")
