"""A paper of rows under one head: order list, install sheet, elevation to sign."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from service.documents.line_styles import BLUISH_GREEN, VERMILLION
from service.documents.pdf.faces import BOLD
from service.documents.pdf.number_column import Row, draw_rows, split_rows
from service.documents.pdf.paper import PAGE_MM, Area, PaperStack, fitted, wrapped
from service.documents.release_words import plan_override_lines
from service.documents.wording import NOT_FOR_CUTTING
from service.product import NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.documents.wording import DocumentMeta
    from service.panels.model import Plan

_LEFT_MM: Final = 16.0
_RIGHT_MM: Final = 12.0
_TOP_MM: Final = 10.0
_BOTTOM_MM: Final = 16.0
_HEAD_MM: Final = 28.0
_TOLD_MM: Final = 3.8
_MOST_TOLD: Final = 24
"""Lines of overrides on a page; what is more stands on the cutting sheets of its panel."""


@dataclass(frozen=True)
class Listing:
    """What a paper is called, and the sentence that stands in its state band."""

    title: str
    state: str
    released: bool


def listing_pdf(
    plan: Plan, meta: DocumentMeta, listing: Listing, rows: Sequence[Row], foot: str = ""
) -> bytes:
    """Rows over as many pages as they take, each with head, state, overrides and foot."""
    page = PaperStack(meta.paper, f"{NAME}: {listing.title.lower()}, {plan.job}")
    free = _free(plan, meta)
    told = _overrides(plan, free.width)
    pages = listing_pages(plan, meta, rows)
    for number, taken in enumerate(pages, 1):
        _head(page, plan, meta, listing, free)
        for row, line in enumerate(told):
            page.text(free.left, free.top + _TOLD_MM * (len(told) - row - 0.7), line, 8, bold=True)
        draw_rows(page, taken, free)
        stamp = f" · plan {meta.fingerprint}" if meta.fingerprint else ""
        words = f"{NAME} · {foot or 'practice: ' + plan.practice}{stamp}"
        page.text(free.left, 8, fitted(words, free.width - 30, 8), 8)
        page.text(free.right, 8, f"page {number} of {len(pages)}", 8, across="right")
        page.next_page()
    return page.finished()


def listing_pages(plan: Plan, meta: DocumentMeta, rows: Sequence[Row]) -> list[tuple[Row, ...]]:
    """The rows as they fall on pages."""
    free = _free(plan, meta)
    pages: list[tuple[Row, ...]] = []
    rest = tuple(rows)
    while rest:
        taken, rest = split_rows(rest, free.width, free.height)
        pages.append(taken)
    return pages


def _free(plan: Plan, meta: DocumentMeta) -> Area:
    page_width, page_height = PAGE_MM[meta.paper]
    width = page_width - _LEFT_MM - _RIGHT_MM
    told = _TOLD_MM * len(_overrides(plan, width))
    height = page_height - _TOP_MM - _BOTTOM_MM - _HEAD_MM - told
    return Area(_LEFT_MM, _BOTTOM_MM, width, height)


def _overrides(plan: Plan, width: float) -> list[str]:
    """What somebody let stand, as the lines that every page carries under its state."""
    lines = [
        line
        for words in plan_override_lines(plan)
        for line in wrapped(f"let stand: {words}", width, 8, BOLD)
    ]
    if len(lines) <= _MOST_TOLD:
        return lines
    return [*lines[: _MOST_TOLD - 1], "and more, on the cutting sheets of the panels"]


def _head(page: PaperStack, plan: Plan, meta: DocumentMeta, listing: Listing, free: Area) -> None:
    top = page.height_mm - _TOP_MM
    page.text(free.left, top - 6, listing.title, 18, bold=True)
    page.text(
        free.right, top - 4.5, fitted(plan.job, free.width * 0.5, 11, BOLD), 11,
        bold=True, across="right",
    )  # fmt: skip
    page.text(free.right, top - 10, f"revision {meta.revision} · {meta.date}", 9.5, across="right")
    page.text(free.left, top - 11.5, f"scope: {plan.scope}", 9.5)
    colour = BLUISH_GREEN if listing.released else VERMILLION
    band = Area(free.left, top - 25, free.width, 11.0)
    page.box(band, 0.7 if listing.released else 1.4, colour)
    x, y = band.left + 4, band.bottom + 2.6
    if listing.released:
        page.polyline([(x, y + 2.4), (x + 2.2, y), (x + 6.4, y + 6)], 1.4, colour)
    else:
        page.polygon([(x, y - 1), (x + 8, y - 1), (x + 4, y + 6.4)], 1.0, colour)
        page.text(x + 4, y - 0.2, "!", 11, bold=True, across="middle")
    words = listing.state if listing.released else f"{NOT_FOR_CUTTING}: {listing.state}"
    lines = wrapped(words, band.width - 20, 9, BOLD)[:2]
    for row, line in enumerate(lines):
        base = band.bottom + (4.0 if len(lines) == 1 else 6.2 - row * 4.2)
        page.text(band.left + 16, base, line, 9, bold=True)
