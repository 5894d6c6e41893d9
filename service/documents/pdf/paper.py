"""A page in millimetres: embedded fonts, measured text, and drawings at a stated scale.

Origin at the page's lower left, y up. Text sizes are points, as they are spoken of.
"""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from service.documents.drawing import (
    CAPITAL_PER_EM,
    Arc,
    Circle,
    Drawing,
    Line,
    Polyline,
    Text,
    exploded,
    scaled,
    shifted,
)
from service.documents.line_styles import BACKED_TEXT, BLACK, STYLES
from service.documents.pdf.faces import BOLD, PLAIN, boxed_letters, pieces, register_fonts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.documents.drawing import Primitive
    from service.documents.line_styles import Colour
    from service.documents.pdf.faces import Piece
    from service.documents.wording import Paper

PAGE_MM: Final[dict[Paper, tuple[float, float]]] = {
    "letter": (215.9, 279.4),
    "a4": (210.0, 297.0),
}
"""Letter is 8.5 x 11 in (ANSI/ASME Y14.1), A4 is 210 x 297 mm (ISO 216)."""
_PT_PER_MM: Final = 72 / 25.4


def text_width_mm(text: str, size_pt: float, font: str = PLAIN) -> float:
    """The printed width of one line."""
    return _width_pt(pieces(text, font), size_pt) / _PT_PER_MM


def wrapped(text: str, width_mm: float, size_pt: float, font: str = PLAIN) -> list[str]:
    """The text in lines no wider than `width_mm`; a word that alone is wider is cut."""
    lines: list[str] = []
    for word in text.split():
        trial = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(trial, size_pt, font) <= width_mm:
            lines[-1] = trial
            continue
        lines.extend(_cut(word, width_mm, size_pt, font))
    return lines


def fitted(words: str, room_mm: float, size_pt: float, font: str = PLAIN) -> str:
    """The words, cut with an ellipsis if they are wider than the room."""
    if text_width_mm(words, size_pt, font) <= room_mm:
        return words
    kept = words
    while kept and text_width_mm(f"{kept}…", size_pt, font) > room_mm:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def _width_pt(parts: Sequence[Piece], size_pt: float) -> float:
    return sum(float(pdfmetrics.stringWidth(words, face, size_pt)) for face, words in parts)


def _set(
    canvas: Any, x: float, y: float, parts: Sequence[Piece], size_pt: float, across: str
) -> None:
    """One line, each part in its face, from x, about it or up to it, points."""
    width = _width_pt(parts, size_pt)
    x -= {"left": 0.0, "middle": 0.5, "right": 1.0}[across] * width
    for face, words in parts:
        canvas.setFont(face, size_pt)
        canvas.drawString(x, y, words)
        x += _width_pt([(face, words)], size_pt)


def _cut(word: str, width_mm: float, size_pt: float, font: str) -> list[str]:
    cut = [""]
    for letter in word:
        ends = cut[-1] and not unicodedata.category(letter).startswith("M")
        if ends and text_width_mm(cut[-1] + letter, size_pt, font) > width_mm:
            cut.append("")
        cut[-1] += letter
    return cut


@dataclass(frozen=True)
class Area:
    """An upright rectangle on the page, mm."""

    left: float
    bottom: float
    width: float
    height: float

    @property
    def top(self) -> float:
        return self.bottom + self.height

    @property
    def right(self) -> float:
        return self.left + self.width


class PaperStack:
    """Pages one after another; the same calls give the same bytes."""

    def __init__(self, paper: Paper, title: str) -> None:
        register_fonts()
        self.width_mm, self.height_mm = PAGE_MM[paper]
        self._words: set[str] = set()
        self._buffer = BytesIO()
        self._canvas: Any = Canvas(
            self._buffer,
            pagesize=(self.width_mm * mm, self.height_mm * mm),
            invariant=1,
            initialFontName=PLAIN,
        )
        self._canvas.setTitle(title)
        self._canvas.setViewerPreference("PrintScaling", "None")

    def next_page(self) -> None:
        """Close this page and begin another."""
        self._canvas.showPage()

    def finished(self) -> bytes:
        """The document; the last page must have been closed by `next_page`."""
        self._canvas.save()
        return self._buffer.getvalue()

    @property
    def boxed(self) -> str:
        """The letters on its pages that print as empty boxes, as `boxed_letters` tells them."""
        return boxed_letters("\n".join(self._words))

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size_pt: float,
        *,
        bold: bool = False,
        across: str = "left",
        colour: Colour = BLACK,
    ) -> None:
        """One line with its base line at y."""
        canvas = self._canvas
        self._words.add(words)
        self._fill_colour(colour)
        _set(canvas, x * mm, y * mm, pieces(words, BOLD if bold else PLAIN), size_pt, across)

    def line(
        self, x0: float, y0: float, x1: float, y1: float, width_mm: float, colour: Colour = BLACK
    ) -> None:
        """A straight solid line."""
        self._pen(width_mm, colour, ())
        self._canvas.line(x0 * mm, y0 * mm, x1 * mm, y1 * mm)

    def box(self, area: Area, width_mm: float, colour: Colour = BLACK) -> None:
        """A rectangle with its line just inside the area."""
        self._pen(width_mm, colour, ())
        half = width_mm / 2
        self._canvas.rect(
            (area.left + half) * mm,
            (area.bottom + half) * mm,
            (area.width - width_mm) * mm,
            (area.height - width_mm) * mm,
        )

    def band(self, area: Area, grey: float) -> None:
        """A rectangle filled with grey, 1 white."""
        self._canvas.setFillGray(grey)
        self._canvas.rect(
            area.left * mm, area.bottom * mm, area.width * mm, area.height * mm, stroke=0, fill=1
        )

    def polyline(
        self, points: Sequence[tuple[float, float]], width_mm: float, colour: Colour
    ) -> None:
        """Straight pieces end to end."""
        self._pen(width_mm, colour, ())
        self._canvas.drawPath(self._path(points, closed=False))

    def polygon(
        self, points: Sequence[tuple[float, float]], width_mm: float, colour: Colour
    ) -> None:
        """A closed figure, not filled."""
        self._pen(width_mm, colour, ())
        self._canvas.drawPath(self._path(points, closed=True))

    def ghost_word(self, area: Area, words: str, size_pt: float) -> None:
        """Pale words across an area, drawn before what must stay legible."""
        canvas = self._canvas
        canvas.saveState()
        canvas.translate((area.left + area.width / 2) * mm, (area.bottom + area.height / 2) * mm)
        canvas.rotate(math.degrees(math.atan2(area.height, area.width)))
        canvas.setFillGray(0.9)
        canvas.setFont(BOLD, size_pt)
        canvas.drawCentredString(0, -size_pt * CAPITAL_PER_EM / 2, words)
        canvas.restoreState()

    def drawing(self, drawing: Drawing, scale: float, x: float, y: float) -> None:
        """A drawing at 1:`scale` with its origin at (x, y), texts last: no line crosses them."""
        placed = shifted(scaled(drawing, 1 / scale), x, y)
        for item in sorted(exploded(placed), key=lambda item: isinstance(item, Text)):
            self._draw(item)

    def drawing_within(
        self, drawing: Drawing, scale: float, x: float, y: float, area: Area
    ) -> None:
        """The same, cut off at the edges of an area."""
        canvas = self._canvas
        canvas.saveState()
        corners = (
            (area.left, area.bottom), (area.right, area.bottom),
            (area.right, area.top), (area.left, area.top),
        )  # fmt: skip
        canvas.clipPath(self._path(corners, closed=True), stroke=0, fill=0)
        self.drawing(drawing, scale, x, y)
        canvas.restoreState()

    def _draw(self, item: Primitive) -> None:
        canvas, style = self._canvas, STYLES[item.layer]
        if isinstance(item, Text):
            self._words.add(item.text)
            self._draw_text(item, style.text_colour)
            return
        self._pen(style.width_mm, style.colour, style.dashes_mm)
        match item:
            case Line():
                canvas.line(item.start.x * mm, item.start.y * mm, item.end.x * mm, item.end.y * mm)
            case Polyline():
                if item.filled:
                    self._fill_colour(style.colour)
                path = self._path(item.points, closed=item.closed)
                canvas.drawPath(path, stroke=1, fill=int(item.filled))
            case Circle():
                canvas.circle(item.centre.x * mm, item.centre.y * mm, item.radius * mm)
            case Arc():
                self._draw_arc(item)

    def _draw_arc(self, arc: Arc) -> None:
        sweep = (arc.end_rad - arc.start_rad) % math.tau
        (x, y), r = arc.centre, arc.radius
        self._canvas.arc(
            (x - r) * mm,
            (y - r) * mm,
            (x + r) * mm,
            (y + r) * mm,
            math.degrees(arc.start_rad),
            math.degrees(sweep),
        )

    def _draw_text(self, text: Text, colour: Colour) -> None:
        canvas = self._canvas
        canvas.saveState()
        canvas.translate(text.at.x * mm, text.at.y * mm)
        canvas.rotate(math.degrees(text.rotation_rad))
        font, size_pt = BOLD if text.bold else PLAIN, text.height / CAPITAL_PER_EM * mm
        if text.layer in BACKED_TEXT:
            self._white_ground(text, text_width_mm(text.text, size_pt, font))
        self._fill_colour(colour)
        drop = {"base": 0.0, "middle": 0.5, "top": 1.0}[text.upright] * text.height * mm
        _set(canvas, 0.0, -drop, pieces(text.text, font), size_pt, text.across)
        canvas.restoreState()

    def _white_ground(self, text: Text, width_mm: float) -> None:
        left = {"left": 0.0, "middle": -width_mm / 2, "right": -width_mm}[text.across]
        low = {"base": 0.0, "middle": -0.5, "top": -1.0}[text.upright] * text.height
        margin = 0.25 * text.height
        self.band(Area(left - margin, low - margin, width_mm + 2 * margin, 1.5 * text.height), 1.0)

    def _path(self, points: Sequence[tuple[float, float]], *, closed: bool) -> Any:
        path = self._canvas.beginPath()
        path.moveTo(points[0][0] * mm, points[0][1] * mm)
        for px, py in points[1:]:
            path.lineTo(px * mm, py * mm)
        if closed:
            path.close()
        return path

    def _pen(self, width_mm: float, colour: Colour, dashes_mm: tuple[float, ...]) -> None:
        self._canvas.setLineWidth(width_mm * mm)
        self._canvas.setStrokeColorRGB(*(value / 255 for value in colour))
        self._canvas.setDash([dash * mm for dash in dashes_mm])

    def _fill_colour(self, colour: Colour) -> None:
        self._canvas.setFillColorRGB(*(value / 255 for value in colour))
