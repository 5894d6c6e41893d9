"""The cross-check report: each wall drawn and tabled, what closes, and what was done."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from service.documents.cross_check import status_words, value_text, wall_drawing
from service.documents.drawing import bounds
from service.documents.from_above import drawn_from_above
from service.documents.line_styles import BLACK, BLUE, BLUISH_GREEN, VERMILLION
from service.documents.pdf.paper import BOLD, PaperStack, fitted, wrapped
from service.lengths import inches_text
from service.measuring.judgement import Status
from service.product import NAME

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from service.documents.drawing import Drawing
    from service.documents.line_styles import Colour
    from service.documents.wording import DocumentMeta
    from service.measuring.alcove.closing import Closing
    from service.measuring.alcove.derived import Derived
    from service.measuring.alcove.next_to_tape import ToTape
    from service.measuring.cross_check import CheckedSize, CheckedWall, CrossCheck

_LEFT: Final = 14.0
_RIGHT: Final = 12.0
_TOP: Final = 12.0
_FOOT: Final = 18.0
_LINE: Final = 4.4
_SCALES: Final = (8, 10, 12, 15, 20, 25, 30)
_MOST_HEIGHT: Final = 150.0
_MOST_TOLD: Final = 12
_TEXT_ON_PAPER: Final = 1.9
_COLUMNS: Final = (
    ("size", 0.0, "left"),
    ("photo, 95 %", 78.0, "right"),
    ("tape", 99.0, "right"),
    ("expected, 95 %", 132.0, "right"),
    ("best", 151.0, "right"),
    ("status", 154.0, "left"),
)
_FOOT_WORDS: Final = (
    "A photo estimate is never a cutting dimension. Expected: what everything but the size's own "
    "readings says. Checked: its check would have shown a slip of 1/4 in."
)


def cross_check_pdf(
    found: CrossCheck,
    job: str,
    meta: DocumentMeta,
    to_tape: Mapping[str, ToTape] = MappingProxyType({}),
) -> bytes:
    """The whole report, with what each wall's sheet still wants taped; the same values give the
    same bytes."""
    page = _Pages(meta, job, _let_stand(found))
    page.title("Cross-check of tape and photo", _summary(found))
    for wall in found.walls:
        _wall(page, wall, to_tape.get(wall.sizes.wall))
    _between(page, found)
    return page.finished()


class _Pages:
    """A cursor that runs down one page after another, millimetres."""

    def __init__(self, meta: DocumentMeta, job: str, told: Sequence[str]) -> None:
        self.stack = PaperStack(meta.paper, f"{NAME}: cross-check, {job}")
        self.width = self.stack.width_mm - _LEFT - _RIGHT
        self._meta, self._job, self._told = meta, job, told
        self._number = 1
        self.y = self.stack.height_mm - _TOP

    def room(self, needed: float) -> bool:
        """Make room for so many millimetres; whether that began a new page."""
        if self.y - needed >= _FOOT:
            return False
        self._foot()
        self.stack.next_page()
        self._number += 1
        self.y = self.stack.height_mm - _TOP
        self._let_stand()
        return True

    def title(self, words: str, under: str) -> None:
        right = _LEFT + self.width
        self.stack.text(_LEFT, self.y - 6, words, 17, bold=True)
        job = fitted(self._job, self.width * 0.4, 11, BOLD)
        self.stack.text(right, self.y - 5, job, 11, bold=True, across="right")
        stamp = f"revision {self._meta.revision} · {self._meta.date}"
        self.stack.text(right, self.y - 10, stamp, 9, across="right")
        self.y -= 15
        for line in wrapped(under, self.width, 9.5):
            self.stack.text(_LEFT, self.y, line, 9.5)
            self.y -= _LINE
        self._let_stand()
        self.y -= 2

    def _let_stand(self) -> None:
        """What somebody let stand, at the head of every page; no more than leaves it room."""
        lines = [line for words in self._told for line in wrapped(words, self.width, 8, BOLD)]
        if len(lines) > _MOST_TOLD:
            lines = [*lines[: _MOST_TOLD - 1], "... and more: see the tables"]
        for line in lines:
            self.y -= 1.0
            self.stack.text(_LEFT, self.y, line, 8, bold=True, colour=BLUE)
            self.y -= 2.7
        self.y -= 2.0 if lines else 0.0

    def heading(self, words: str) -> None:
        self.room(30)
        self.y -= 5
        self.stack.text(_LEFT, self.y, words, 12, bold=True)
        self.y -= 2.0
        self.stack.line(_LEFT, self.y, _LEFT + self.width, self.y, 0.5)
        self.y -= 4.5

    def note(self, words: str, colour: Colour = BLACK, indent: float = 4.0) -> None:
        """Running words under a row."""
        for line in wrapped(words, self.width - indent, 8):
            self.room(_LINE)
            self.stack.text(_LEFT + indent, self.y, line, 8, colour=colour)
            self.y -= 3.7

    def finished(self) -> bytes:
        self._foot()
        self.stack.next_page()
        return self.stack.finished()

    def _foot(self) -> None:
        for row, line in enumerate(reversed(wrapped(_FOOT_WORDS, self.width - 24, 7.5))):
            self.stack.text(_LEFT, 7.0 + row * 3.3, line, 7.5)
        right = _LEFT + self.width
        self.stack.text(right, 7.0, f"page {self._number}", 7.5, across="right")


def _summary(found: CrossCheck) -> str:
    counts = ", ".join(f"{count} {status}" for status in Status if (count := found.count(status)))
    words = f"{len(found.rows)} sizes: {counts}." if found.rows else "No size was asked for."
    if found.print_scale is not None:
        words += (
            f" Photos and tape differ by one factor (tape is {found.print_scale:.4f} of photo): "
            "check the card's bars with a ruler."
        )
    return words


def _let_stand(found: CrossCheck) -> list[str]:
    return [
        f"let stand on the {wall.sizes.wall} wall, {row.name}, by {row.let_stand_by}: "
        f"{row.let_stand_why}"
        for wall in found.walls
        for row in wall.rows
        if row.let_stand_by
    ]


def _wall(page: _Pages, wall: CheckedWall, to_tape: ToTape | None) -> None:
    drawing, scale = _fitting(page, lambda text_mm: wall_drawing(wall, text_mm))
    page.room(30 + (bounds(drawing).height / scale if drawing else 0.0))
    page.heading(f"{wall.sizes.wall} wall")
    _draw(page, drawing, scale)
    _table_head(page)
    for row in wall.rows:
        _row(page, row)
    _to_tape(page, wall.sizes.wall, to_tape)
    if wall.derived:
        page.y -= 2
        page.note("; ".join(_derived_words(found) for found in wall.derived), indent=0.0)
    if wall.closings:
        page.y -= 2
        page.room(16)
        page.stack.text(_LEFT, page.y, "What must close", 9.5, bold=True)
        page.y -= 5
        _closings(page, wall.closings)


def _between(page: _Pages, found: CrossCheck) -> None:
    """What the walls say of one another: in plan, and what must close."""
    drawing, scale = _fitting(page, lambda text_mm: drawn_from_above(found, text_mm))
    if not drawing and not found.across:
        return
    page.room(30 + (bounds(drawing).height / scale if drawing else 0.0))
    page.heading("Between the walls" + (", from above" if drawing else ""))
    _draw(page, drawing, scale)
    _closings(page, found.across)


def _to_tape(page: _Pages, wall: str, to_tape: ToTape | None) -> None:
    """What its sheet still wants, in the order in which one walks; other walls' by their names."""
    if to_tape is None or not to_tape.count:
        return
    page.y -= 2
    listed = {
        "To take again, for it does not fit": to_tape.anew,
        "To tape next": to_tape.first,
        "Once more, by another person or with another instrument": to_tape.again,
    }
    for words, names in listed.items():
        called = ", ".join(name.removeprefix(f"{wall}: ") for name in names)
        if called:
            page.note(f"{words}: {called}.", BLUE, indent=0.0)


def _derived_words(found: Derived) -> str:
    about = inches_text(1.96 * found.value.u_mm, 16, "up")
    return (
        f'{found.what} {inches_text(found.value.mm)}" in {inches_text(found.over_mm)}", ± {about}"'
    )


def _fitting(page: _Pages, drawn: Callable[[float], Drawing]) -> tuple[Drawing, int]:
    """A drawing at the largest scale at which it fits; empty where nothing is named."""
    for scale in _SCALES:
        drawing = drawn(_TEXT_ON_PAPER * scale)
        if not drawing:
            break
        box = bounds(drawing)
        if box.width / scale <= page.width and box.height / scale <= _MOST_HEIGHT:
            break
    return drawing, scale


def _draw(page: _Pages, drawing: Drawing, scale: int) -> None:
    if not drawing:
        return
    box = bounds(drawing)
    x = _LEFT + (page.width - box.width / scale) / 2 - box.left / scale
    page.stack.drawing(drawing, scale, x, page.y - box.top / scale)
    page.y -= box.height / scale + 4
    words = (
        f"Scale 1:{scale}. A plain value agrees and is checked; every other one says how it stands "
        "(≈: by photo alone; tape: by tape alone)."
    )
    page.stack.text(_LEFT, page.y, words, 8)
    page.y -= 7


def _table_head(page: _Pages) -> None:
    page.room(14)
    for words, x, across in _COLUMNS:
        page.stack.text(_LEFT + x, page.y, words, 8.5, bold=True, across=across)
    page.y -= 1.6
    page.stack.line(_LEFT, page.y, _LEFT + page.width, page.y, 0.25)
    page.y -= 4


def _row(page: _Pages, row: CheckedSize) -> None:
    if page.room(12):
        _table_head(page)
    cells = (
        fitted(row.name, 44.0, 8.5),
        _interval(row, "photo"),
        value_text(row.tape),
        _interval(row, "expected"),
        value_text(row.best),
    )
    for words, (_, x, across) in zip(cells, _COLUMNS, strict=False):
        page.stack.text(_LEFT + x, page.y, words, 8.5, across=across)
    _status(page, row)
    page.y -= _LINE
    if row.suspect:
        page.note(f"{'; '.join(row.readings)}: {row.suspect}", VERMILLION)
    for done in row.done:
        page.note(done, BLUE)
    if row.holds and row.status is not Status.PHOTO_ONLY:
        page.note(f"not for cutting: {row.holds}")
    if row.suspect or row.done or row.holds:
        page.y -= 1.2


def _status(page: _Pages, row: CheckedSize) -> None:
    """Word, shape and colour: a tick, a triangle, a square or a ring."""
    x, y = _LEFT + _COLUMNS[-1][1], page.y
    if row.status is Status.AGREES and row.checked:
        page.stack.polyline([(x, y + 1.0), (x + 0.9, y), (x + 2.6, y + 2.3)], 0.5, BLUISH_GREEN)
    elif row.status is Status.CONFLICTS:
        page.stack.polygon([(x, y), (x + 2.6, y), (x + 1.3, y + 2.3)], 0.5, VERMILLION)
    else:
        corners = [(x, y), (x + 2.2, y), (x + 2.2, y + 2.2), (x, y + 2.2)]
        page.stack.polygon(corners, 0.4, BLACK)
    page.stack.text(x + 3.8, y, status_words(row), 8.5, bold=row.status is Status.CONFLICTS)


def _interval(row: CheckedSize, which: str) -> str:
    estimate = row.photo if which == "photo" else row.expected
    if estimate is None:
        return ""
    half = inches_text(1.96 * estimate.u_mm, 16, "up")
    return f"{value_text(estimate)} ± {half}"


def _closings(page: _Pages, closings: Sequence[Closing]) -> None:
    for closing in closings:
        page.room(6)
        open_ = closing.closes is False
        colour = VERMILLION if open_ else BLACK
        page.stack.text(_LEFT, page.y, fitted(closing.name, 114, 8.5), 8.5)
        out = "kept back" if closing.told is not None else "not taken"
        if closing.out_mm is not None:
            out = f'{inches_text(closing.out_mm, 16)}"'
        page.stack.text(_LEFT + 136, page.y, out, 8.5, across="right", bold=open_)
        limit = f'limit {inches_text(closing.limit_mm, 16)}"'
        state = {True: f"closes, {limit}", False: f"DOES NOT CLOSE, {limit}", None: ""}
        page.stack.text(_LEFT + 140, page.y, state[closing.closes], 8.5, bold=open_, colour=BLACK)
        if open_:
            x = _LEFT + 116.5
            page.stack.polygon(
                [(x, page.y), (x + 2.6, page.y), (x + 1.3, page.y + 2.3)], 0.5, colour
            )
        page.y -= _LINE
