"""The cross-check as CSV, and each of its walls as a drawing.

The drawing's frame: x right from the plumb line, y up from the level line, mm. A dimension line
carries its value, and a word for every status but *agrees, checked*; one in conflict is drawn on
the warning layer as well.
"""

from __future__ import annotations

import csv
import math
from io import StringIO
from typing import TYPE_CHECKING, Final

from service.documents.drawing import (
    Circle,
    Dimension,
    Drawing,
    Layer,
    Line,
    Place,
    Polyline,
    Primitive,
    Text,
)
from service.documents.order import safe_cell
from service.lengths import inches_text
from service.measuring.alcove.edges import sign_of
from service.measuring.alcove.vocabulary import OPPOSITE, Role, Side
from service.measuring.judgement import Status

if TYPE_CHECKING:
    from service.measuring.cross_check import CheckedSize, CheckedWall, CrossCheck
    from service.measuring.estimates import Estimate

_ALONG: Final = 0.2
_BY_PHOTO: Final = "≈"
"""Before a value by photo alone: no wider than a figure, for such a wall has it on every line."""
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


def cross_check_csv(found: CrossCheck) -> bytes:
    """Every size, one line each, then every closure; RFC 4180, UTF-8."""
    buffer = StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow((*COLUMNS, *FIGURES))
    for wall in found.walls:
        for row in wall.rows:
            cells = _cells(wall.sizes.wall, row)
            words = [safe_cell(cells.get(column, "")) for column in COLUMNS]
            writer.writerow([*words, *_figures(row)])
    writer.writerow([])
    writer.writerow(["closure", "out in", "out mm", "limit mm", "closes"])
    for closing in (*(c for wall in found.walls for c in wall.closings), *found.across):
        out = closing.out_mm
        values = ("", "", "") if out is None else (_signed(out), f"{out:.2f}", "")
        state = {True: "yes", False: "no", None: "not taken"}[closing.closes]
        writer.writerow(
            [safe_cell(closing.name), values[0], values[1], f"{closing.limit_mm:.2f}", state]
        )
    return buffer.getvalue().encode("utf-8")


def status_words(row: CheckedSize) -> str:
    """The status, whether its check was worth anything, and whether a conflict was let stand."""
    if row.let_stand_by:
        return f"{row.status}, let stand"
    if row.kept_back:
        return f"{row.status}, kept back" if row.readings else "kept back till taped"
    if row.status is Status.AGREES:
        return "agrees, checked" if row.checked else "agrees, weak check"
    return str(row.status)


def value_text(estimate: Estimate | None) -> str:
    """A size as it is printed; empty where there is none."""
    return "" if estimate is None else inches_text(abs(estimate.mm), mark='"')


def size_words(row: CheckedSize) -> str:
    """What stands on a size's line: the value, and how it stands for all but *agrees, checked*."""
    # As it was read, where it was; drawn where it should be.
    value = value_text(row.tape) or inches_text(row.mm or 0.0, mark='"')
    told = ["taken again"] if row.taken_again else []
    if row.status is Status.PHOTO_ONLY:
        return f"{_BY_PHOTO}{value}"
    if row.status is Status.TAPE_ONLY:
        told.append("tape")
    elif row.status is not Status.AGREES:
        told.append(status_words(row))
    elif not row.checked:
        told.append("weak check")
    return f"{value} {', '.join(told)}".rstrip()


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


def wall_drawing(wall: CheckedWall, text_mm: float) -> Drawing:
    """The wall with every named size on it; empty where no size is named.

    Parameters
    ----------
    text_mm
        Height of the text, in the wall's own millimetres.
    """
    values = {row.size.name: row.mm for row in wall.rows if row.size is not None}
    known = {name: mm for name, mm in values.items() if mm is not None}
    drawn: list[Primitive] = list(_outline(wall, known))
    for row in wall.rows:
        drawn += _size(wall, row, known, text_mm)
    return tuple(drawn)


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


def _outline(wall: CheckedWall, known: dict[str, float]) -> list[Primitive]:
    """Level line, plumb line, and the edges through their stations."""
    drawn: list[Primitive] = []
    deepest = max((known[s.name] for s in wall.sizes.of(Role.HEIGHT) if s.name in known), default=0)
    for side in OPPOSITE:
        stations = [
            Place(sign_of(wall.sizes, side) * known[s.name], -s.down_mm)
            for s in wall.sizes.of(Role.OFFSET, side=side)
            if s.name in known and s.down_mm is not None
        ]
        stations.sort(key=lambda place: -place.y)
        if len(stations) > 1:
            drawn.append(Polyline(Layer.OUTLINE, tuple(stations)))
            level = Line(Layer.CENTRE, Place(0, 0), Place(stations[0].x, 0))
            drawn.append(level)
            deepest = max(deepest, -stations[-1].y)
    if deepest:
        drawn.append(Line(Layer.CENTRE, Place(0, 0), Place(0, -deepest)))
    return drawn


def _size(
    wall: CheckedWall, row: CheckedSize, known: dict[str, float], text_mm: float
) -> list[Primitive]:
    size, mm = row.size, row.mm
    if size is None or mm is None:
        return []
    layer = size_layer(row)
    words = size_words(row)
    if size.role is Role.OFFSET and size.side is not None and size.down_mm is not None:
        end = Place(sign_of(wall.sizes, size.side) * mm, -size.down_mm)
        return [Dimension(Place(0, -size.down_mm), end, 0.0, words, text_mm, layer)]
    if size.role is Role.WIDTH and size.down_mm is not None:
        left, right = _ends(wall, size.down_mm, mm, known)
        below = -2.2 * text_mm
        return [Dimension(left, right, below, words, text_mm, layer)]
    if size.role is Role.HEIGHT:
        x = _place_of_height(wall, size.side, size.at_mm, known)
        return (
            []
            if x is None
            else [Dimension(Place(x, -mm), Place(x, 0), -1.2 * text_mm, words, text_mm, layer)]
        )
    if size.role is Role.DIAGONAL:
        return _diagonal(wall, row, known, text_mm)
    if size.role is Role.TUB_FRONT:
        level = -_deck_mm(wall, Side.FRONT, known)
        front = Place(sign_of(wall.sizes, Side.OUTER) * mm, level)
        below = math.copysign(4.4 * text_mm, -front.x)
        return [Dimension(Place(0, level), front, below, words, text_mm, layer)]
    if size.role is Role.FIXTURE_FROM_PLUMB:
        return _fixture(wall, row, known, layer, text_mm)
    return []


def _diagonal(
    wall: CheckedWall, row: CheckedSize, known: dict[str, float], text_mm: float
) -> list[Primitive]:
    """From side to side; its words keep off the middle, where others stand."""
    size = row.size
    if size is None or size.side is None or size.down_mm is None:
        return []
    other = OPPOSITE[size.side]
    to_down = size.to_down_mm
    if to_down is None:
        to_down = _deck_mm(wall, Side.FRONT if other is Side.OUTER else other, known)
    start = _on_edge(wall, size.side, size.down_mm, known)
    end = _on_edge(wall, other, to_down, known)
    if start is None or end is None:
        return []
    return slanted(start, end, _ALONG, row, text_mm)


def _on_edge(
    wall: CheckedWall, side: Side, down_mm: float, known: dict[str, float]
) -> Place | None:
    """Where an edge is at a height: at its station there, or at the nearest."""
    near = [s for s in wall.sizes.of(Role.OFFSET, side=side) if s.name in known]
    if not near:
        return None
    station = min(near, key=lambda s: abs((s.down_mm or 0.0) - down_mm))
    return Place(sign_of(wall.sizes, side) * known[station.name], -down_mm)


def _deck_mm(wall: CheckedWall, side: Side, known: dict[str, float]) -> float:
    """Level line to deck at a side; where that was not taken, at its deepest."""
    heights = [s for s in wall.sizes.of(Role.HEIGHT) if s.name in known]
    here = [known[s.name] for s in heights if s.side is side]
    return here[0] if here else max((known[s.name] for s in heights), default=0.0)


def _ends(
    wall: CheckedWall, down_mm: float, width_mm: float, known: dict[str, float]
) -> tuple[Place, Place]:
    """Where a width begins and ends: at the edges there, or about the plumb line."""
    one = Side.LEFT if wall.sizes.corner is None else Side.INNER
    near = [s for s in wall.sizes.of(Role.OFFSET, side=one) if s.name in known]
    here = next((known[s.name] for s in near if s.down_mm == down_mm), width_mm / 2)
    start = sign_of(wall.sizes, one) * here
    end = start - sign_of(wall.sizes, one) * width_mm
    return Place(min(start, end), -down_mm), Place(max(start, end), -down_mm)


def _place_of_height(
    wall: CheckedWall, side: Side | None, at_mm: float | None, known: dict[str, float]
) -> float | None:
    if at_mm is not None or side is None:
        return at_mm
    edge = Side.OUTER if side is Side.FRONT else side
    stations = [s for s in wall.sizes.of(Role.OFFSET, side=edge) if s.name in known]
    fronts = [s for s in wall.sizes.of(Role.TUB_FRONT) if s.name in known]
    if side is Side.FRONT and fronts:
        return sign_of(wall.sizes, edge) * known[fronts[0].name]
    if not stations:
        return None
    lowest = max(stations, key=lambda s: s.down_mm or 0.0)
    return sign_of(wall.sizes, edge) * known[lowest.name]


def _fixture(
    wall: CheckedWall, row: CheckedSize, known: dict[str, float], layer: Layer, text_mm: float
) -> list[Primitive]:
    size, mm = row.size, row.mm or 0.0
    fixture = None if size is None else size.fixture
    downs = [s for s in wall.sizes.of(Role.FIXTURE_DOWN, fixture=fixture) if s.name in known]
    if size is None or fixture is None or not downs:
        return []
    side = size.side or (Side.OUTER if wall.sizes.corner is not None else Side.RIGHT)
    at = Place(sign_of(wall.sizes, side) * mm, -known[downs[0].name])
    over = Place(at.x, at.y + 1.6 * text_mm)
    down = next((one for one in wall.rows if one.size is downs[0]), row)
    name = f"{fixture}, down {size_words(down)}"
    return [
        Circle(Layer.CUTOUT, at, text_mm),
        Dimension(Place(0, at.y), at, 1.2 * text_mm, size_words(row), text_mm, layer),
        Text(Layer.NOTE, over, name, text_mm, upright="base"),
    ]


def _signed(mm: float) -> str:
    return inches_text(mm, 16)
