"""What stands on every page of a cutting sheet: head, state, cautions, foot."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.line_styles import BLACK, BLUISH_GREEN, ORANGE, VERMILLION
from service.documents.pdf.faces import BOLD
from service.documents.pdf.paper import PAGE_MM, Area, fitted, text_width_mm, wrapped
from service.documents.release_words import (
    letter_of,
    override_lines,
    proof_words,
    released_by,
    stamp_of,
)
from service.documents.wording import (
    BACK,
    CAUTIONS,
    FRONT,
    NOT_FOR_CUTTING,
    RELEASED,
    hand_words,
)
from service.product import NAME

if TYPE_CHECKING:
    from service.documents.pdf.paper import PaperStack
    from service.documents.wording import DocumentMeta, Paper
    from service.panels.model import Panel, Plan

LEFT_MM: Final = 12.0
RIGHT_MM: Final = 10.0
_EDGE_MM: Final = 8.0
_HEAD_MM: Final = 27.0
_SMALL_PT: Final = 8.0
_SMALL_LEADING_MM: Final = 3.5
_CAUTIONS_LOW_MM: Final = _EDGE_MM + 4.4
_STATE_MM: Final = {True: 12.0, False: 25.0}
_REASON_LINES: Final = 3
_GAP_MM: Final = 3.0
_OVERRIDE_LEADING_MM: Final = 4.2
_MOST_TOLD: Final = 14
"""Lines of overrides on a page of a panel."""


def face_words(face: str) -> str:
    """The large words of a page."""
    return {"front": FRONT, "back": BACK}.get(face, "STEPS")


def free_area(paper: Paper, panel: Panel) -> Area:
    """What the frame leaves free on a page of the panel."""
    page_width, page_height = PAGE_MM[paper]
    width = page_width - LEFT_MM - RIGHT_MM
    low = _foot_top(width) + _GAP_MM
    state = _STATE_MM[panel.released] + _overrides_mm(panel, width)
    top = page_height - _EDGE_MM - _HEAD_MM - state - _GAP_MM
    return Area(LEFT_MM, low, width, top - low)


def draw_frame(
    page: PaperStack, plan: Plan, panel: Panel, meta: DocumentMeta, face: str, number: str
) -> None:
    """All that is the same on every page of a panel, round the free area."""
    free = free_area(meta.paper, panel)
    top = page.height_mm - _EDGE_MM
    _head(page, plan, panel, meta, face, Area(LEFT_MM, top - _HEAD_MM, free.width, _HEAD_MM))
    told = _overrides_mm(panel, free.width)
    _overrides(page, panel, Area(LEFT_MM, free.top + _GAP_MM, free.width, told))
    state = Area(LEFT_MM, free.top + _GAP_MM + told, free.width, _STATE_MM[panel.released])
    if panel.released:
        _released(page, panel, meta, state)
    else:
        _banner(page, panel.why_not, state)
    _foot(page, plan, panel, meta, free.width, number)


def _head(
    page: PaperStack, plan: Plan, panel: Panel, meta: DocumentMeta, face: str, area: Area
) -> None:
    page.text(area.left, area.top - 5.5, panel.title.upper(), 16, bold=True)
    job = fitted(plan.job, area.width * 0.45, 11, BOLD)
    page.text(area.right, area.top - 4.5, job, 11, bold=True, across="right")
    page.text(area.left, area.top - 10.5, hand_words(panel), 9.5)
    revision = f"revision {letter_of(panel, meta.revision)} · {meta.date}"
    page.text(area.right, area.top - 10.5, revision, 9.5, across="right")
    band = Area(area.left, area.bottom + 2.0, area.width, 11.5)
    # The back view is white on black: nobody should mistake one for the other at a glance.
    behind = face == "back"
    if behind:
        page.band(band, 0.0)
    page.box(band, 0.7)
    ink = (255, 255, 255) if behind else BLACK
    page.text(band.left + 3, band.bottom + 3.2, face_words(face), 19, bold=True, colour=ink)
    aside = {
        "front": "as seen from the room",
        "back": "mirror image, the same numbers",
    }.get(face, "in the order they are made")
    page.text(band.right - 3, band.bottom + 3.8, aside, 11, across="right", colour=ink)


def _banner(page: PaperStack, reasons: tuple[str, ...], area: Area) -> None:
    inner = Area(area.left, area.bottom, area.width, area.height - 1.0)
    page.box(inner, 1.4, VERMILLION)
    centre, low = inner.left + 13, inner.bottom + 4.0
    page.polygon([(centre - 9, low), (centre + 9, low), (centre, low + 16)], 1.4, VERMILLION)
    page.text(centre, low + 2.4, "!", 26, bold=True, across="middle")
    left = inner.left + 27
    page.text(left, inner.top - 8.6, NOT_FOR_CUTTING, 20, bold=True)
    for row, line in enumerate(_reason_lines(reasons, inner.right - left - 3)):
        page.text(left, inner.top - 13.4 - row * 4.0, line, 9)


def _reason_lines(reasons: tuple[str, ...], width_mm: float) -> list[str]:
    """As many whole reasons as fit; the rest are counted and stand on the steps page."""
    for shown in range(len(reasons), -1, -1):
        left_out = len(reasons) - shown
        words = "; ".join(reasons[:shown])
        if left_out:
            words = f"{words}; and {left_out} more, listed on the steps page".lstrip("; ")
        lines = wrapped(f"Because: {words}." if words else "", width_mm, 9)
        if len(lines) <= _REASON_LINES:
            return lines
    return []


def _released(page: PaperStack, panel: Panel, meta: DocumentMeta, area: Area) -> None:
    inner = Area(area.left, area.bottom, area.width, area.height - 1.0)
    page.box(inner, 0.7, BLUISH_GREEN)
    x, y = inner.left + 4, inner.bottom + 2.6
    page.polyline([(x, y + 2.4), (x + 2.2, y), (x + 6.4, y + 6)], 1.4, BLUISH_GREEN)
    page.text(inner.left + 14, inner.bottom + 3.4, RELEASED, 15, bold=True)
    by = released_by(panel) or meta.date
    first = f"revision {letter_of(panel, meta.revision)}, {by}"
    room = inner.width - 14 - text_width_mm(RELEASED, 15, BOLD) - 8
    for words, up in ((first, 6.3), (proof_words(panel), 2.2)):
        page.text(inner.right - 3, inner.bottom + up, fitted(words, room, 9), 9, across="right")


def _overrides_mm(panel: Panel, width: float) -> float:
    """Height of what somebody let stand: who and why is read on every page."""
    lines = _override_lines(panel, width)
    return len(lines) * _OVERRIDE_LEADING_MM + 3.0 if lines else 0.0


def _overrides(page: PaperStack, panel: Panel, area: Area) -> None:
    lines = _override_lines(panel, area.width)
    if not lines:
        return
    inner = Area(area.left, area.bottom, area.width, area.height - 1.0)
    page.box(inner, 1.0, ORANGE)
    for row, line in enumerate(lines):
        low = inner.top - 4.0 - row * _OVERRIDE_LEADING_MM
        page.text(inner.left + 3, low, line, 9, bold=True)


def _override_lines(panel: Panel, width: float) -> list[str]:
    """In full while there is room for the drawing as well; else each cut short, and where it is."""
    told = [wrapped(words, width - 6, 9, BOLD) for words in override_lines(panel)]
    if sum(map(len, told)) <= _MOST_TOLD:
        return [line for one in told for line in one]
    each = max(1, (_MOST_TOLD - 1) // len(told))
    lines = [line for one in told for line in _cut_short(one, each, width - 6)]
    return [*lines[: _MOST_TOLD - 1], f"all {len(told)} of them in full on the steps page"]


def _cut_short(lines: list[str], count: int, room_mm: float) -> list[str]:
    if len(lines) <= count:
        return lines
    return [*lines[: count - 1], fitted(f"{lines[count - 1]} {lines[count]}", room_mm, 9, BOLD)]


def _foot(
    page: PaperStack, plan: Plan, panel: Panel, meta: DocumentMeta, width: float, number: str
) -> None:
    stamp = f" · plan {meta.fingerprint}" if meta.fingerprint else ""
    sheet = stamp_of(panel)
    stamp += f" · {sheet}" if sheet else ""
    letter = letter_of(panel, meta.revision)
    words = f"{NAME} · revision {letter}{stamp} · practice: {plan.practice}"
    room = width - text_width_mm(number, _SMALL_PT) - 4
    page.text(LEFT_MM, _EDGE_MM, fitted(words, room, _SMALL_PT), _SMALL_PT)
    page.text(LEFT_MM + width, _EDGE_MM, number, _SMALL_PT, across="right")
    for row, line in enumerate(reversed(_caution_lines(width))):
        page.text(LEFT_MM, _CAUTIONS_LOW_MM + row * _SMALL_LEADING_MM, line, _SMALL_PT)
    page.line(LEFT_MM, _foot_top(width), LEFT_MM + width, _foot_top(width), 0.35)


def _caution_lines(width: float) -> list[str]:
    return wrapped(" ".join(CAUTIONS), width, _SMALL_PT)


def _foot_top(width: float) -> float:
    return _CAUTIONS_LOW_MM + len(_caution_lines(width)) * _SMALL_LEADING_MM + 0.6
