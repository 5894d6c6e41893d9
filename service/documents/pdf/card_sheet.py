"""The reference card on paper, at exact scale."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Final

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from service.documents.pdf.faces import BOLD, PLAIN, register_fonts
from service.documents.pdf.paper import text_width_mm
from service.product import NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

Rectangle = tuple[float, float, float, float]
"""x, y, width, height in mm; x and y are the lower left corner, y up."""

_MM_PER_INCH: Final = 25.4
_LINE_MM: Final = 0.25
_TICK_MM: Final = 4.0
_SIDE_SIZE_PT: Final = 7.0
_SIDE_LEADING_MM: Final = 3.3
_PAPER_WORDS: Final = {"letter": "letter paper, 8 1/2 x 11 in", "a4": "A4 paper, 210 x 297 mm"}


@dataclass(frozen=True)
class SheetBar:
    """A bar to be measured with a ruler, from the middle of one end tick to that of the other."""

    axis: str
    nominal_mm: float
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


@dataclass(frozen=True)
class CardSheet:
    """What is printed; the frame is the page's, origin lower left, y up, millimetres.

    Attributes
    ----------
    serial
        Number of the card.
    paper
        `letter`, `a4`, or any other name, which is then printed as it stands.
    page_mm
        Width and height.
    black_mm
        Rectangles filled black first.
    white_mm
        Rectangles filled white on top.
    check_bars
        Bars for the ruler check of the print scale.
    board_mm
        Bounding rectangle of the black and white pattern, which no text may enter.
    lines
        Further lines of advice, printed beside the board.
    """

    serial: int
    paper: str
    page_mm: tuple[float, float]
    black_mm: Sequence[Rectangle]
    white_mm: Sequence[Rectangle]
    check_bars: Sequence[SheetBar]
    board_mm: Rectangle
    lines: Sequence[str] = (
        "Tape all four edges flat on the finished wall: no curl, no bubble, no bridge across a"
        " hollow. Keep it dry. Matt paper; no lamination, it shines.",
        "Measure both bars with a steel ruler, tick to tick, and write both down: they tell the"
        " scale at which this sheet was printed.",
        "A size from a photo is an estimate. Check it with a tape; never cut to it alone.",
    )


def card_pdf(sheet: CardSheet) -> bytes:
    """One page with the card; the same sheet gives the same bytes."""
    register_fonts()
    buffer = BytesIO()
    width, height = sheet.page_mm
    page = (width * mm, height * mm)
    canvas = Canvas(buffer, pagesize=page, invariant=1, initialFontName=PLAIN)
    canvas.setTitle(f"{NAME} card {sheet.serial}")
    canvas.setViewerPreference("PrintScaling", "None")
    _fill(canvas, sheet.black_mm, 0.0)
    _fill(canvas, sheet.white_mm, 1.0)
    canvas.setFillGray(0)
    _head(canvas, sheet)
    _side_lines(canvas, sheet)
    for bar in sheet.check_bars:
        _check_bar(canvas, bar)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _fill(canvas: Canvas, rectangles: Sequence[Rectangle], grey: float) -> None:
    canvas.setFillGray(grey)
    for x, y, width, height in rectangles:
        canvas.rect(x * mm, y * mm, width * mm, height * mm, stroke=0, fill=1)


def _head(canvas: Canvas, sheet: CardSheet) -> None:
    left, bottom, width, height = sheet.board_mm
    base = bottom + height + 2.6
    canvas.setFont(BOLD, 11)
    canvas.drawString(left * mm, base * mm, f"{NAME} card {sheet.serial}")
    canvas.setFont(PLAIN, 8)
    paper = _PAPER_WORDS.get(sheet.paper, sheet.paper)
    words = f"{paper}  ·  print at 100 %, no fit to page"
    canvas.drawRightString((left + width) * mm, base * mm, words)


def _side_lines(canvas: Canvas, sheet: CardSheet) -> None:
    left, bottom, width, height = sheet.board_mm
    canvas.saveState()
    canvas.translate((left + width) * mm, (bottom + height) * mm)
    canvas.rotate(-90)
    for number, line in enumerate(sheet.lines):
        size = _size_that_fits(line, height)
        canvas.setFont(PLAIN, size)
        top_line = (len(sheet.lines) - 1 - number) * _SIDE_LEADING_MM
        canvas.drawString(0, (1.6 + top_line) * mm, line)
    canvas.restoreState()


def _size_that_fits(line: str, room_mm: float) -> float:
    return min(1.0, room_mm / text_width_mm(line, _SIDE_SIZE_PT)) * _SIDE_SIZE_PT


def _check_bar(canvas: Canvas, bar: SheetBar) -> None:
    """The bar along its own x axis, so that both directions share one drawing."""
    canvas.saveState()
    canvas.translate(bar.start_mm[0] * mm, bar.start_mm[1] * mm)
    if bar.axis == "y":
        canvas.rotate(90)
    length = bar.nominal_mm * mm
    half = _TICK_MM / 2 * mm
    canvas.setLineWidth(_LINE_MM * mm)
    canvas.setLineCap(0)
    words = f"measure this bar: {bar.nominal_mm:g} mm = {bar.nominal_mm / _MM_PER_INCH:.3f} in"
    canvas.setFont(PLAIN, 7)
    gap = (text_width_mm(words, 7) / 2 + 1.5) * mm
    canvas.line(0, 0, length / 2 - gap, 0)
    canvas.line(length / 2 + gap, 0, length, 0)
    canvas.drawCentredString(length / 2, -0.9 * mm, words)
    for end in (0.0, length):
        canvas.line(end, -half, end, half)
    canvas.restoreState()
