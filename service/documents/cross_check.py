"""The cross-check as CSV, and how its sizes are told in drawings.

A dimension line carries its value, and a word for every status but *agrees, checked*; one in
conflict is drawn on the warning layer as well.
"""

from __future__ import annotations

import csv
import math
from io import StringIO
from typing import TYPE_CHECKING, Final

from service.documents.drawing import (
    Layer,
    Line,
    Place,
    Primitive,
    Text,
)
from service.documents.order import safe_cell
from service.lengths import inches_text
from service.measuring.judgement import Status

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta
    from service.measuring.alcove.derived import Derived
    from service.measuring.cross_check import CheckedSize, CrossCheck
    from service.measuring.estimates import Estimate

BY_PHOTO: Final = "≈"
"""Before a value by photo alone: no wider than a figure, for such a wall has it on every line."""
_WAYS: Final = {
    "out of plumb": ("outwards going down", "inwards going down"),
    "out of level": ("falling to the right", "falling to the left"),
    "out of square": ("open", "closed"),
}
"""Which way a positive figure is, and a negative one."""
COLUMNS: Final = (
    "wall",
    "size",
    "photo in",
    "photo from mm",
    "photo to mm",
    "readings",
    "tape in",
    "tape mm",
    "expected in",
    "expected from mm",
    "expected to mm",
    "best in",
    "best mm",
    "best u mm",
    "status",
    "checked",
    "holds",
    "suspect",
    "done",
    "let stand by",
)
FIGURES: Final = ("en", "w", "least slip mm", "birge")
CLOSURE_COLUMNS: Final = ("closure", "out in", "out mm", "limit mm", "closes")
STAMP: Final = ("job", "revision", "date", "check")
"""What tells one report from the next, behind every row: a line is copied without its file."""


def cross_check_csv(found: CrossCheck, job: str, meta: DocumentMeta) -> bytes:
    """Every size, one line each, then every closure; RFC 4180, UTF-8."""
    buffer = StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    stamp = [safe_cell(text) for text in (job, meta.revision, meta.date, meta.fingerprint)]
    writer.writerow((*COLUMNS, *FIGURES, *STAMP))
    for wall in found.walls:
        for row in wall.rows:
            cells = _cells(wall.sizes.wall, row)
            words = [safe_cell(cells.get(column, "")) for column in COLUMNS]
            writer.writerow([*words, *_figures(row), *stamp])
    writer.writerow([])
    writer.writerow([*CLOSURE_COLUMNS, *STAMP])
    for closing in (*(c for wall in found.walls for c in wall.closings), *found.across):
        out = closing.out_mm
        values = ("", "") if out is None else (_signed(out), f"{out:.2f}")
        state = {True: "yes", False: "no", None: "not taken"}[closing.closes]
        told = [safe_cell(closing.name), *values, f"{closing.limit_mm:.2f}", state]
        writer.writerow([*told, *stamp])
    return buffer.getvalue().encode("utf-8")


def status_words(row: CheckedSize) -> str:
    """The status, whether its check was worth anything, and whether a conflict was let stand."""
    if row.let_stand_by:
        return f"{row.status}, let stand"
    if row.kept_back:
        return f"{row.status}, kept back" if row.readings else "kept back till taped"
    if row.status is Status.AGREES:
        return "agrees, checked" if row.checked else "agrees, weak check"
    return "not taped" if row.untaped else str(row.status)


def value_text(estimate: Estimate | None) -> str:
    """A size as it is printed; empty where there is none."""
    return "" if estimate is None else inches_text(abs(estimate.mm), mark='"')


def size_words(row: CheckedSize) -> str:
    """What stands on a size's line: the value, and how it stands for all but *agrees, checked*; in
    so few letters that it fits there."""
    # As it was read, where it was; drawn where it should be.
    value = value_text(row.tape) or inches_text(row.mm or 0.0, mark='"')
    told = ["taken again"] if row.taken_again else []
    if row.status is Status.PHOTO_ONLY:
        return f"{BY_PHOTO}{value}"
    if row.status is Status.TAPE_ONLY:
        told.append("not taped" if row.untaped else "tape")
    elif row.status is not Status.AGREES:
        told.append(status_words(row))
    elif not row.checked:
        told.append("weak")
    return f"{value} {', '.join(told)}".rstrip()


def derived_words(found: Derived) -> str:
    """How far a wall is out and which way, for a sign says that to nobody: ``out of plumb left
    9/16" inwards going down, over 64", ± 7/16"``."""
    size, over = inches_text(abs(found.value.mm)), inches_text(found.over_mm)
    about = inches_text(1.96 * found.value.u_mm, 16, "up")
    ways = next(ways for what, ways in _WAYS.items() if found.what.startswith(what))
    way = "" if size == "0" else f" {ways[found.value.mm < 0]}"
    return f'{found.what} {size}"{way}, over {over}", ± {about}"'


def size_layer(row: CheckedSize) -> Layer:
    """The layer of a size's line: one in conflict warns."""
    return Layer.WARNING if row.status is Status.CONFLICTS else Layer.DIMENSION


def slanted(
    start: Place, end: Place, along: float, row: CheckedSize, text_mm: float
) -> list[Primitive]:
    """A size on the slant, its words over it at this part of its length."""
    left, right = sorted((start, end), key=lambda place: place.x)
    turn = math.atan2(right.y - left.y, right.x - left.x)
    up = Place(-text_mm * math.sin(turn), text_mm * math.cos(turn))
    on = Place(start.x + along * (end.x - start.x), start.y + along * (end.y - start.y))
    at = Place(on.x + up.x, on.y + up.y)
    layer = size_layer(row)
    return [
        Line(layer, start, end),
        Text(layer, at, size_words(row), text_mm, rotation_rad=turn),
    ]


def _cells(wall: str, row: CheckedSize) -> dict[str, str]:
    cells = {
        "wall": wall,
        "size": row.name,
        "photo in": value_text(row.photo),
        "readings": "; ".join(row.readings),
        "tape in": value_text(row.tape),
        "expected in": value_text(row.expected),
        "best in": value_text(row.best),
        "status": str(row.status) if row.readings or not row.kept_back else "kept back until taped",
        "checked": "yes" if row.checked else "no",
        "holds": row.holds,
        "suspect": row.suspect,
        "done": "; ".join(row.done),
        "let stand by": row.let_stand_by,
    }
    for column, estimate in (("photo", row.photo), ("expected", row.expected)):
        if estimate is not None:
            low, high = estimate.interval95_mm
            cells[f"{column} from mm"], cells[f"{column} to mm"] = f"{low:.1f}", f"{high:.1f}"
    for column, estimate in (("tape", row.tape), ("best", row.best)):
        if estimate is not None:
            cells[f"{column} mm"] = f"{estimate.mm:.1f}"
    if row.best is not None:
        cells["best u mm"] = f"{row.best.u_mm:.2f}"
    return cells


def _figures(row: CheckedSize) -> list[str]:
    """Numbers, which may be negative, in the order of `FIGURES`."""
    found = (row.en, row.w, row.mdb_mm, row.birge)
    return ["" if value is None else f"{value:.2f}" for value in found]


def _signed(mm: float) -> str:
    return inches_text(mm, 16)
