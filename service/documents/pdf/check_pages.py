"""The pages of a cross-check: heads, running notes and feet, one page after another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.line_styles import BLACK, BLUE
from service.documents.pdf.faces import BOLD
from service.documents.pdf.paper import PaperStack, fitted, wrapped
from service.lengths import inches_text
from service.product import NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.documents.line_styles import Colour
    from service.documents.wording import DocumentMeta

LEFT: Final = 14.0
RIGHT: Final = 12.0
"""Margins, mm."""
LINE: Final = 4.4
NOTE_LINE: Final = 3.7
"""From one base line to the next, mm."""
_TOP: Final = 12.0
_FOOT: Final = 18.0
_INDENT: Final = 4.0
_MOST_TOLD: Final = 12
_FOOT_WORDS: Final = (
    "A photo estimate is never a cutting dimension. Expected: what everything but the size's own "
    "readings says. Checked: its check would have shown a slip of {slip} in."
)


class CheckPages:
    """A cursor that runs down one page after another, millimetres."""

    def __init__(
        self, meta: DocumentMeta, job: str, told: Sequence[str], pages: int, slip_mm: float
    ) -> None:
        self.stack = PaperStack(meta.paper, f"{NAME}: cross-check, {job}")
        self.width = self.stack.width_mm - LEFT - RIGHT
        self._meta, self._job, self._told, self._pages = meta, job, told, pages
        self._foot_words = _FOOT_WORDS.format(slip=inches_text(slip_mm, 64))
        self._part = ""
        self.number = 1
        self.y = self.stack.height_mm - _TOP

    def room(self, needed: float, *, part: str | None = None) -> bool:
        """Make room for so many millimetres; whether that began a new page.

        The new page goes on with what the last one ended with, or begins a `part`.
        """
        if self.y - needed >= _FOOT:
            return False
        self._foot()
        self.stack.next_page()
        self.number += 1
        self.y = self.stack.height_mm - _TOP
        self._running_head(f"{self._part} (continued)" if part is None and self._part else "")
        self._let_stand()
        return True

    @property
    def _stamp(self) -> str:
        """What tells one report of a job from the next."""
        meta = self._meta
        check = f" · check {meta.fingerprint}" if meta.fingerprint else ""
        return f"revision {meta.revision} · {meta.date}{check}"

    def _running_head(self, words: str) -> None:
        """Job and revision, for a page may be lifted out of the stack; and which wall goes on."""
        right = LEFT + self.width
        job = fitted(self._job, self.width * 0.45, 9, BOLD)
        self.stack.text(LEFT, self.y - 3, words, 11, bold=True)
        self.stack.text(right, self.y - 2, job, 9, bold=True, across="right")
        self.stack.text(right, self.y - 6, self._stamp, 8, across="right")
        self.y -= 12.0

    def title(self, words: str, under: str) -> None:
        right = LEFT + self.width
        self.stack.text(LEFT, self.y - 6, words, 17, bold=True)
        job = fitted(self._job, self.width * 0.4, 11, BOLD)
        self.stack.text(right, self.y - 5, job, 11, bold=True, across="right")
        self.stack.text(right, self.y - 10, self._stamp, 9, across="right")
        self.y -= 15
        for line in wrapped(under, self.width, 9.5):
            self.stack.text(LEFT, self.y, line, 9.5)
            self.y -= LINE
        self._let_stand()
        self.y -= 2

    def _let_stand(self) -> None:
        """What somebody let stand, at the head of every page; no more than leaves it room."""
        lines = [line for words in self._told for line in wrapped(words, self.width, 8, BOLD)]
        if len(lines) > _MOST_TOLD:
            lines = [*lines[: _MOST_TOLD - 1], "... and more: see the tables"]
        for line in lines:
            self.y -= 1.0
            self.stack.text(LEFT, self.y, line, 8, bold=True, colour=BLUE)
            self.y -= 2.7
        self.y -= 2.0 if lines else 0.0

    def heading(self, words: str, room: float) -> None:
        """Begin a part with so much room under its heading, mm."""
        self.room(30 + room, part=words)
        self._part = words
        self.y -= 5
        self.stack.text(LEFT, self.y, words, 12, bold=True)
        self.y -= 2.0
        self.stack.line(LEFT, self.y, LEFT + self.width, self.y, 0.5)
        self.y -= 4.5

    def note(self, words: str, colour: Colour = BLACK, indent: float = _INDENT) -> None:
        """Running words under a row."""
        for line in self.lines(words, indent):
            self.room(LINE)
            self.stack.text(LEFT + indent, self.y, line, 8, colour=colour)
            self.y -= NOTE_LINE

    def lines(self, words: str, indent: float = _INDENT) -> list[str]:
        """Running words as they are broken under a row."""
        return wrapped(words, self.width - indent, 8)

    def finished(self) -> bytes:
        self._foot()
        self.stack.next_page()
        return self.stack.finished()

    def _foot(self) -> None:
        for row, line in enumerate(reversed(wrapped(self._foot_words, self.width - 24, 7.5))):
            self.stack.text(LEFT, 7.0 + row * 3.3, line, 7.5)
        right = LEFT + self.width
        page = f"page {self.number} of {self._pages}"
        self.stack.text(right, 7.0, page, 7.5, across="right")
