"""The cross-check report: each wall drawn and tabled, what closes, and what was done."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from service.documents.checked_wall import wall_drawing
from service.documents.cross_check import BY_PHOTO, derived_words, status_words, value_text
from service.documents.drawing import bounds
from service.documents.from_above import drawn_from_above
from service.documents.line_styles import BLACK, BLUE, BLUISH_GREEN, VERMILLION
from service.documents.pdf.check_pages import LEFT, LINE, NOTE_LINE, RIGHT, CheckPages
from service.documents.pdf.faces import BOXED_DO, BOXED_WORDS
from service.documents.pdf.paper import PAGE_MM, fitted, wrapped
from service.documents.wording import millimetres
from service.lengths import inches_text
from service.measuring.judgement import Status

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from service.documents.drawing import Drawing
    from service.documents.line_styles import Colour
    from service.documents.wording import DocumentMeta
    from service.measuring.alcove.closing import Closing
    from service.measuring.alcove.next_to_tape import ToTape
    from service.measuring.cross_check import CheckedSize, CheckedWall, CrossCheck

_MOST_TOGETHER: Final = 12
"""Lines under a row that are kept on one page with it."""
_SCALES: Final = (8, 10, 12, 15, 20, 25, 30)
_MOST_HEIGHT: Final = 178.0
_TEXT_ON_PAPER: Final = 1.9
_COLUMNS: Final = (
    ("size", 0.0, "left"),
    ("photo, 95 %", 65.0, "right"),
    ("tape", 83.0, "right"),
    ("expected, 95 %", 112.0, "right"),
    ("best", 130.0, "right"),
    ("mm", 143.2, "right"),
    ("status", 145.5, "left"),
)
_LEGEND: Final = (
    "Not for cutting by. A plain value agrees and is checked; every other one says how it stands "
    "(≈: by photo alone; tape: by tape alone; not taped: by other sizes; weak: agrees, but its "
    "check is too weak to catch a slip). Lines beside the wall are from the level line or from the "
    "deck. What has no room here is in the table."
)
_PLURAL: Final[Mapping[str, str]] = {Status.AGREES: "agree", Status.CONFLICTS: "conflict"}


def cross_check_pdf(
    found: CrossCheck,
    job: str,
    meta: DocumentMeta,
    to_tape: Mapping[str, ToTape] = MappingProxyType({}),
) -> bytes:
    """The whole report, with what each wall's sheet still wants taped; the same values give the
    same bytes."""
    room_mm = PAGE_MM[meta.paper][0] - LEFT - RIGHT
    drawn = [_fitting(room_mm, partial(wall_drawing, wall)) for wall in found.walls]
    above = _fitting(room_mm, partial(drawn_from_above, found))
    data, pages = b"", 0
    for _ in range(2):  # the second time with the number of all pages on each
        page = CheckPages(meta, job, _let_stand(found), pages, found.slip_mm)
        page.title("Cross-check of tape and photo", _summary(found))
        for wall, picture in zip(found.walls, drawn, strict=True):
            _wall(page, wall, picture, to_tape.get(wall.sizes.wall))
        _between(page, found, above)
        if page.stack.boxed:
            page.y -= 2
            page.note(f"{page.stack.boxed} {BOXED_WORDS}: {BOXED_DO}.", BLUE, indent=0.0)
        data, pages = page.finished(), page.number
    return data


def _summary(found: CrossCheck) -> str:
    stand = [(str(status), found.count(status)) for status in Status]
    counts = ", ".join(
        f"{count} {_PLURAL.get(status, status) if count != 1 else status}"
        for status, count in (*stand, ("not taped", found.untaped))
        if count
    )
    words = f"{len(found.rows)} sizes: {counts}." if found.rows else "No size was asked for."
    if found.print_scale is not None:
        words += (
            f" Photos and tape differ by one factor (tape is {found.print_scale:.4f} of photo): "
            "check the card's bars with a ruler."
        )
    return words


def _let_stand(found: CrossCheck) -> list[str]:
    return [
        f"let stand on the {_called(wall)} wall, {row.name}, by {row.let_stand_by}: "
        f"{row.let_stand_why}"
        for wall in found.walls
        for row in wall.rows
        if row.let_stand_by
    ]


def _called(wall: CheckedWall) -> str:
    """As people say it: ``far end``."""
    return wall.sizes.wall.replace("-", " ")


def _wall(page: CheckPages, wall: CheckedWall, picture: _Picture, to_tape: ToTape | None) -> None:
    page.heading(f"{_called(wall)} wall", picture.height_mm)
    _draw(page, picture)
    _table_head(page)
    for row in wall.rows:
        _row(page, row)
    _to_tape(page, wall.sizes.wall, to_tape)
    if wall.derived:
        page.y -= 2
        page.note("; ".join(derived_words(found) for found in wall.derived), indent=0.0)
    if wall.closings:
        page.y -= 2
        if page.room(16):
            page.y -= 2
        _closing_head(page, "What must close")
        _closings(page, wall.closings)


def _between(page: CheckPages, found: CrossCheck, above: _Picture) -> None:
    """What the walls say of one another: in plan, and what must close."""
    if not above.drawing and not found.across:
        return
    page.heading("Between the walls" + (", from above" if above.drawing else ""), above.height_mm)
    _draw(page, above)
    _closings(page, found.across)


def _to_tape(page: CheckPages, wall: str, to_tape: ToTape | None) -> None:
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
        called = ", ".join(_in_words(name.removeprefix(f"{wall}: ")) for name in names)
        if called:
            page.note(f"{words}: {called}.", BLUE, indent=0.0)


def _in_words(name: str) -> str:
    """Of a size or a closure of any wall, which is called as people say it."""
    return name.replace("far-end", "far end")


@dataclass(frozen=True)
class _Picture:
    """A drawing, empty where nothing is named, and the denominator of its scale."""

    drawing: Drawing
    scale: int

    @property
    def height_mm(self) -> float:
        """On paper."""
        return bounds(self.drawing).height / self.scale if self.drawing else 0.0


def _fitting(room_mm: float, drawn: Callable[[float], Drawing]) -> _Picture:
    """A drawing at the largest scale at which it fits."""
    for scale in _SCALES:
        drawing = drawn(_TEXT_ON_PAPER * scale)
        if not drawing:
            break
        box = bounds(drawing)
        if box.width / scale <= room_mm and box.height / scale <= _MOST_HEIGHT:
            break
    return _Picture(drawing, scale)


def _draw(page: CheckPages, picture: _Picture) -> None:
    if not picture.drawing:
        return
    box, scale = bounds(picture.drawing), picture.scale
    x = LEFT + (page.width - box.width / scale) / 2 - box.left / scale
    page.stack.drawing(picture.drawing, scale, x, page.y - box.top / scale)
    page.y -= box.height / scale + 4
    for line in wrapped(f"Scale 1:{scale}. {_LEGEND}", page.width, 8):
        page.stack.text(LEFT, page.y, line, 8)
        page.y -= 3.5
    page.y -= 3.5


def _table_head(page: CheckPages) -> None:
    page.room(14)
    for words, x, across in _COLUMNS:
        page.stack.text(LEFT + x, page.y, words, 8.5, bold=True, across=across)
    page.y -= 1.6
    page.stack.line(LEFT, page.y, LEFT + page.width, page.y, 0.25)
    page.y -= 4


def _row(page: CheckPages, row: CheckedSize) -> None:
    notes = _notes(row)
    lines = sum(len(page.lines(words)) for words, _ in notes)
    if page.room(8 + min(lines, _MOST_TOGETHER) * NOTE_LINE):
        _table_head(page)
    cells = (
        fitted(row.name, 37.0, 8.5),
        _interval(row, "photo"),
        value_text(row.tape),
        _interval(row, "expected"),
        *_best(row),
    )
    for words, (_, x, across) in zip(cells, _COLUMNS, strict=False):
        page.stack.text(LEFT + x, page.y, words, 8.5, across=across)
    _status(page, row)
    page.y -= LINE
    for words, colour in notes:
        page.note(words, colour)
    page.y -= 1.2 if notes else 0.0


def _best(row: CheckedSize) -> tuple[str, str]:
    """In inches and mm; by photo alone neither is a plain figure, nor told to the tenth."""
    if row.best is None:
        return "", ""
    if row.status is Status.PHOTO_ONLY:
        return f"{BY_PHOTO}{value_text(row.best)}", f"{BY_PHOTO}{abs(row.best.mm):.0f}"
    return value_text(row.best), millimetres(row.best.mm)


def _notes(row: CheckedSize) -> list[tuple[str, Colour]]:
    """What stands under a row."""
    notes = [(f"{'; '.join(row.readings)}: {row.suspect}", BLACK)] if row.suspect else []
    notes += [(done, BLUE) for done in row.done]
    if row.holds and row.status is not Status.PHOTO_ONLY:
        notes.append((f"not for cutting: {row.holds}", BLACK))
    return notes


def _status(page: CheckPages, row: CheckedSize) -> None:
    """Word, shape and colour: a tick, a triangle, a square or a ring."""
    x, y = LEFT + _COLUMNS[-1][1], page.y
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


def _closing_head(page: CheckPages, words: str) -> None:
    page.stack.text(LEFT, page.y, words, 9.5, bold=True)
    page.y -= 5


def _closings(page: CheckPages, closings: Sequence[Closing]) -> None:
    for closing in closings:
        if page.room(6):
            _closing_head(page, "What must close (continued)")
        open_ = closing.closes is False
        colour = VERMILLION if open_ else BLACK
        page.stack.text(LEFT, page.y, fitted(_in_words(closing.name), 106, 8.5), 8.5)
        out = "kept back" if closing.told is not None else "not taken"
        if closing.out_mm is not None:
            out = f'{inches_text(closing.out_mm, 16)}"'
        page.stack.text(LEFT + 128, page.y, out, 8.5, across="right", bold=open_)
        limit = f'limit {inches_text(closing.limit_mm, 16)}"'
        state = {True: f"closes, {limit}", False: f"DOES NOT CLOSE, {limit}", None: ""}
        page.stack.text(LEFT + 132, page.y, state[closing.closes], 8.5, bold=open_, colour=BLACK)
        if open_:
            x = LEFT + 108.5
            page.stack.polygon(
                [(x, page.y), (x + 2.6, page.y), (x + 1.3, page.y + 2.3)], 0.5, colour
            )
        page.y -= LINE
