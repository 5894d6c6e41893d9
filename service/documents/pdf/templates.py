"""Full-size templates on paper: tiled over pages where they are larger, each with check bars."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from service.documents.drawing import bounds
from service.documents.line_styles import BLACK, VERMILLION
from service.documents.pdf.faces import BOLD
from service.documents.pdf.paper import Area, PaperStack, fitted, text_width_mm, wrapped
from service.documents.release_words import letter_of, override_lines, stamp_of
from service.documents.templates import Template, templates
from service.documents.wording import NOT_FOR_CUTTING, hand_words
from service.product import NAME

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta
    from service.panels.model import Panel, Plan

_MARGIN_MM: Final = 12.0
_HEAD_MM: Final = 34.0
_FOOT_MM: Final = 24.0
_RIGHT_MM: Final = 22.0
"""Room for the upright bar."""
_OVERLAP_MM: Final = 10.0
BARS_MM: Final = (("100 mm", 100.0), ("4 in", 101.6))
"""Two check bars: in points 283.465 and 288."""
_ROUND_MM: Final = 6.0
_TOLD_MM: Final = 2.9
_MOST_TOLD: Final = 12
"""Lines of overrides at the foot of a page, and how far apart they are."""
_TITLE_PT: Final = (14.0, 12.0, 10.0, 9.0)


@dataclass(frozen=True)
class _Tile:
    """One page of one template: which part of the drawing lies in its window."""

    panel: Panel
    template: Template
    window: Area
    left: float
    bottom: float
    place: str


def templates_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """All templates of all panels at 1:1; the same plan and meta give the same bytes.

    Every page carries a level and an upright check bar, to be measured before anything is cut by
    it. A plan without a hole or a return has one page that says so.
    """
    page = PaperStack(meta.paper, f"{NAME}: templates, {plan.job}")
    tiles = [
        tile
        for panel in plan.panels
        for template in templates(panel)
        for tile in _tiles(panel, template, _window(page, panel))
    ]
    for number, tile in enumerate(tiles, 1):
        _page(page, plan, meta, tile, f"page {number} of {len(tiles)}")
        page.next_page()
    if not tiles:
        page.text(_MARGIN_MM, page.height_mm - 30, "No hole and no return: no template.", 12)
        page.next_page()
    return page.finished()


def _window(page: PaperStack, panel: Panel) -> Area:
    """What head, bars and what somebody let stand leave of a page of the panel."""
    foot = _FOOT_MM + _TOLD_MM * len(_told(panel, page.width_mm - 2 * _MARGIN_MM))
    return Area(
        _MARGIN_MM,
        _MARGIN_MM + foot,
        page.width_mm - 2 * _MARGIN_MM - _RIGHT_MM,
        page.height_mm - 2 * _MARGIN_MM - _HEAD_MM - foot,
    )


def _told(panel: Panel, width: float) -> list[str]:
    """What somebody let stand, for the foot of every page."""
    lines = wrapped("; ".join(override_lines(panel)), width, 7, BOLD)
    if len(lines) <= _MOST_TOLD:
        return lines
    return [
        *lines[: _MOST_TOLD - 1],
        "... and more: in full on the steps page of its cutting sheet",
    ]


def _tiles(panel: Panel, template: Template, window: Area) -> list[_Tile]:
    """Pages from the upper left, each overlapping its neighbour."""
    box = bounds(template.drawing)
    wide, high = box.width + 2 * _ROUND_MM, box.height + 2 * _ROUND_MM
    columns = _number(wide, window.width)
    rows = _number(high, window.height)
    step_x, step_y = window.width - _OVERLAP_MM, window.height - _OVERLAP_MM
    left = box.left - _ROUND_MM if columns > 1 else box.left - (window.width - box.width) / 2
    top = box.top + _ROUND_MM if rows > 1 else box.top + (window.height - box.height) / 2
    return [
        _Tile(
            panel,
            template,
            window,
            left + column * step_x,
            top - row * step_y - window.height,
            "" if columns * rows == 1 else f"sheet {row + 1}.{column + 1} of {rows}.{columns}",
        )
        for row in range(rows)
        for column in range(columns)
    ]


def _number(size: float, room: float) -> int:
    if size <= room:
        return 1
    return 1 + math.ceil((size - room) / (room - _OVERLAP_MM))


def _page(page: PaperStack, plan: Plan, meta: DocumentMeta, tile: _Tile, number: str) -> None:
    window = tile.window
    top, width = page.height_mm - _MARGIN_MM, page.width_mm - 2 * _MARGIN_MM
    _title(page, tile.template.title, top - 5, width * 0.85)
    page.text(_MARGIN_MM + width, top - 5, tile.place, 11, bold=True, across="right")
    page.text(_MARGIN_MM, top - 10.5, hand_words(tile.panel), 9.5)
    for row, line in enumerate(wrapped(tile.template.how, width, 9)[:2]):
        page.text(_MARGIN_MM, top - 15.5 - row * 4.0, line, 9)
    band = Area(_MARGIN_MM, top - 32.5, width, 9.0)
    released = tile.panel.released
    page.box(band, 0.7 if released else 1.4, BLACK if released else VERMILLION)
    words = "MEASURE THIS FIRST: both bars, with a steel rule; print at 100 %"
    if not released:
        words = f"{NOT_FOR_CUTTING}. {words}"
    page.text(band.left + 2, band.bottom + 2.8, fitted(words, width - 4, 9, BOLD), 9, bold=True)
    let_stand = _told(tile.panel, width)
    for row, line in enumerate(reversed(let_stand)):
        page.text(_MARGIN_MM, 12.0 + row * _TOLD_MM, line, 7, bold=True)
    page.drawing_within(
        tile.template.drawing, 1.0, window.left - tile.left, window.bottom - tile.bottom, window
    )
    if tile.place:
        page.box(window, 0.18)
    _bars(page, window)
    stamp = f" · plan {meta.fingerprint}" if meta.fingerprint else ""
    letter = letter_of(tile.panel, meta.revision)
    sheet = stamp_of(tile.panel)
    stamp += f" · {sheet}" if sheet else ""
    foot = f"{NAME} · {plan.job} · revision {letter} · {meta.date}{stamp}"
    foot += f" · practice: {plan.practice}"
    page.text(_MARGIN_MM, 8, fitted(foot, width - 30, 8), 8)
    page.text(_MARGIN_MM + width, 8, number, 8, across="right")


def _title(page: PaperStack, words: str, y: float, room_mm: float) -> None:
    """In letters small enough that the end, which tells one template from the next, is read."""
    sizes = [pt for pt in _TITLE_PT if text_width_mm(words, pt, BOLD) <= room_mm]
    size_pt = sizes[0] if sizes else _TITLE_PT[-1]
    page.text(_MARGIN_MM, y, fitted(words, room_mm, size_pt, BOLD), size_pt, bold=True)


def _bars(page: PaperStack, window: Area) -> None:
    """A level bar of 4 in with 100 mm marked on it, and an upright one."""
    x, y = window.left, window.bottom - _FOOT_MM + 10.0
    right = page.width_mm - _MARGIN_MM - 8.0
    for place, (words, length) in enumerate(BARS_MM):
        low = y + place * 6.0
        page.line(x, low, x + length, low, 0.35)
        for end in (x, x + length):
            page.line(end, low - 2.0, end, low + 2.0, 0.18)
        page.text(x + length + 3.0, low - 1.2, words, 9, bold=True)
    low = window.bottom
    page.line(right, low, right, low + 101.6, 0.35)
    for end in (low, low + 101.6):
        page.line(right - 2.0, end, right + 2.0, end, 0.18)
    page.text(right, low + 104.5, "4 in", 9, bold=True, across="middle")
