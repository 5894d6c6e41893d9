"""Rows of numbers and words that flow down columns and over pages."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Protocol

from service.documents.pdf.faces import BOLD
from service.documents.pdf.paper import Area, fitted, wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from service.documents.pdf.paper import PaperStack

_HEAD_PT: Final = 9.0
_NUMBER_PT: Final = 11.0
_SIDE_PT: Final = 9.0
_LEADING_MM: Final = 4.3
_BEFORE_HEADING_MM: Final = 1.4
_BETWEEN_MM: Final = 0.6
_CELLS: Final = (0.0, 0.13, 0.44, 0.79)
"""Where the four cells of a number row begin, as shares of the width."""


class Row(Protocol):
    """Something with a height that can be drawn from its top left corner."""

    def height_mm(self, width_mm: float) -> float:
        """Height at this width."""
        ...

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        """Draw it under `top`."""
        ...


@dataclass(frozen=True)
class Heading:
    """What follows, and the names of the columns under it."""

    words: str
    columns: tuple[str, str, str, str] | None = None

    def height_mm(self, width_mm: float) -> float:
        lines = len(wrapped(self.words, width_mm - 3, _HEAD_PT, BOLD))
        return _BEFORE_HEADING_MM + 1.6 + lines * _LEADING_MM + (4.2 if self.columns else 0.0)

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        lines = wrapped(self.words, width - 3, _HEAD_PT, BOLD)
        top -= _BEFORE_HEADING_MM
        band = 1.2 + len(lines) * _LEADING_MM
        page.band(Area(left, top - band, width, band), 0.88)
        for number, words in enumerate(lines):
            page.text(left + 1.5, top - 3.6 - number * _LEADING_MM, words, _HEAD_PT, bold=True)
        if self.columns:
            base = top - band - 3.6
            for share, words in zip(_CELLS[:3], self.columns[:3], strict=True):
                page.text(left + share * width, base, words, 8.0)
            page.text(left + width, base, self.columns[3], 8.0, across="right")


@dataclass(frozen=True)
class NumberRow:
    """One mark or hole: its number or name, station, value in inches (large) and in mm."""

    number: str
    station: str
    value: str
    mm: str

    def height_mm(self, width_mm: float) -> float:  # noqa: ARG002  # one of a family of rows
        return 5.4

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        base = top - 4.0
        cells = [left + share * width for share in _CELLS]
        page.text(cells[0] + 1.0, base, self.number, _NUMBER_PT, bold=True)
        # A hole's rows have no number, so the words may begin where it would stand.
        station_left = cells[1] if self.number else cells[0] + 1.0
        page.text(station_left, base, self.station, _SIDE_PT)
        page.text(cells[2], base, self.value, _NUMBER_PT, bold=True)
        page.text(left + width, base, self.mm, _SIDE_PT, across="right")
        page.line(left, top - 5.3, left + width, top - 5.3, 0.13)


@dataclass(frozen=True)
class Words:
    """A label and a sentence, wrapped."""

    label: str
    words: str
    label_mm: float = 26.0

    def height_mm(self, width_mm: float) -> float:
        return _BETWEEN_MM + len(self._lines(width_mm)) * _LEADING_MM

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        label = fitted(self.label, self.label_mm - 1.5, _SIDE_PT, BOLD)
        page.text(left, top - 3.5, label, _SIDE_PT, bold=True)
        for number, line in enumerate(self._lines(width)):
            page.text(left + self.label_mm, top - 3.5 - number * _LEADING_MM, line, _SIDE_PT)

    def parted(self, width_mm: float, room_mm: float) -> tuple[Words, tuple[Words, ...]]:
        """What fits the room, and the rest without the label; at least one line is taken."""
        lines = self._lines(width_mm)
        fit = max(1, int((room_mm - _BETWEEN_MM) / _LEADING_MM))
        first = replace(self, words=" ".join(lines[:fit]))
        if fit >= len(lines):
            return first, ()
        return first, (replace(self, label="", words=" ".join(lines[fit:])),)

    def _lines(self, width_mm: float) -> list[str]:
        return wrapped(self.words, width_mm - self.label_mm, _SIDE_PT) or [""]


def height_mm(rows: Iterable[Row], width_mm: float) -> float:
    """Height of the rows, one under another."""
    return sum(row.height_mm(width_mm) for row in rows)


def draw_rows(page: PaperStack, rows: Iterable[Row], area: Area) -> None:
    """The rows from the top of the area down."""
    top = area.top
    for row in rows:
        row.draw(page, area.left, top, area.width)
        top -= row.height_mm(area.width)


def split_rows(
    rows: Sequence[Row], width_mm: float, room_mm: float
) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """The rows that fit, and the rest under a repeat of the heading they belong to.

    A heading is never left alone at the end. At least one row is always taken, so that a caller
    who goes on until nothing is left comes to an end.
    """
    used, count = 0.0, 0
    for row in rows:
        height = row.height_mm(width_mm)
        if count and used + height > room_mm:
            break
        used += height
        count += 1
    if count == 1 and used > room_mm and isinstance(rows[0], Words):
        head, tail = rows[0].parted(width_mm, room_mm)
        return (head,), (*tail, *rows[1:])
    while 1 < count < len(rows) and isinstance(rows[count - 1], Heading):
        count -= 1
    rest = tuple(rows[count:])
    if rest and not isinstance(rest[0], Heading):
        heads = [row for row in rows[:count] if isinstance(row, Heading)]
        if heads and count > 1:
            rest = (_again(heads[-1]), *rest)
    return tuple(rows[:count]), rest


def _again(heading: Heading) -> Heading:
    suffix = " (continued)"
    words = heading.words.removesuffix(suffix) + suffix
    return Heading(words, heading.columns)
