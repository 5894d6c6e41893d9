"""A panel drawn: the front view, and the back view that is its mirror image.

Frame of both: y up with 0 at the finished top, x = 0 at the panel's reference upright (plumb line
on the back wall, finished outer edge on an end wall). In the front view x grows to the right as
seen from the room; the back view has every x negated and the same numbers.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from service.documents.clipping import level_runs, upright_runs
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
    estimated_width,
    mirrored,
)
from service.documents.hole_labels import hole_labels, opening_names, past_hole_words
from service.documents.mark_labels import mark_labels
from service.documents.pattern_lines import pattern_lines
from service.documents.release_words import override_lines, stamp_of
from service.documents.word_lines import word_lines
from service.documents.wording import BACK, FRONT, NOT_FOR_CUTTING, inches, top_words

if TYPE_CHECKING:
    from service.documents.wording import Face
    from service.panels.cut_plan import Seam
    from service.panels.model import Edge, Panel, Point
    from service.panels.openings import NotchCut

_UP: Final = math.pi / 2
_SIGN, _SMALL_SIGN, _CLOSE_TO_TOP = 2.0, 1.2, 4.0
"""Leg of the black corner, small where a hole's number stands beside it; in text heights."""
_ROOM_FOR_NAME: Final = 9.0
"""Least side of a notch that holds its name beside the numbers of its corners, in text heights."""
_LEAST_TOLD: Final = 40.0
"""Room for job and overrides over a narrow panel, in text heights."""
_NUMBERS_END: Final = 4.2
_PAST_NUMBERS: Final = 6.4
_PAST_WORDS: Final = 5.0
"""Overall height's dimension line from the outline, in text heights: past the marks' numbers, or
past the name of an edge that has no marks."""


def panel_view(panel: Panel, face: Face, text_mm: float) -> Drawing:
    """One face of a panel: the front as seen from the room, or the back as it lies on the bench.

    Parameters
    ----------
    panel
        The panel.
    face
        `back` is the mirror image of `front`, with the same numbers.
    text_mm
        Text height in the drawing's millimetres: height on paper times the scale's denominator.
    """
    front = _front_view(panel, text_mm)
    return front if face == "front" else mirrored(front)


def view_title(panel: Panel, face: Face, text_mm: float, job: str = "") -> Drawing:
    """Large words above a view: which panel and face, the warning while it is not released, whose
    it is and what somebody let stand."""
    xs = [p.x if face == "front" else -p.x for p in outline(panel)]
    middle = (min(xs) + max(xs)) / 2
    drawn: list[Primitive] = [
        _title(middle, 8.0 * text_mm, FRONT if face == "front" else BACK, text_mm),
        _title(middle, 10.8 * text_mm, panel.title, text_mm),
    ]
    if not panel.released:
        y = 14.4 * text_mm
        half = 0.8 * text_mm * len(NOT_FOR_CUTTING)
        frame = tuple(
            Place(middle + sx * half, y + sy * 1.4 * text_mm)
            for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        drawn += [
            Polyline(Layer.WARNING, frame, closed=True),
            replace(_title(middle, y, NOT_FOR_CUTTING, text_mm), layer=Layer.WARNING),
        ]
    room = max(max(xs) - min(xs), _LEAST_TOLD * text_mm)
    told = [
        line
        for words in filter(None, (job, stamp_of(panel), *override_lines(panel)))
        for line in word_lines(words, room, text_mm)
    ]
    drawn += [
        Text(Layer.NOTE, Place(middle, (17.4 + 1.8 * row) * text_mm), line, text_mm)
        for row, line in enumerate(reversed(told))
    ]
    return tuple(drawn)


def _title(x: float, y: float, words: str, text_mm: float) -> Text:
    return Text(Layer.NOTE, Place(x, y), words, 1.4 * text_mm, bold=True)


def outline(panel: Panel) -> tuple[Place, ...]:
    """The outline on the front view."""
    return tuple(_front(panel, point) for point in panel.outline_mm)


def panel_shape(panel: Panel, text_mm: float) -> Drawing:
    """Outline, holes, openings by name and pattern on the front view, without a number."""
    edge = outline(panel)
    return (
        *pattern_lines(panel, edge),
        *_holes(panel, text_mm),
        *_seam(panel, edge, text_mm),
        *_notch_names(panel, text_mm),
        *opening_names(panel, text_mm),
        Polyline(Layer.OUTLINE, edge, closed=True),
    )


def _front_view(panel: Panel, text_mm: float) -> Drawing:
    edge = outline(panel)
    middle_x = (min(p.x for p in edge) + max(p.x for p in edge)) / 2
    edge_words = _edge_words(panel, edge, text_mm)
    return (
        *pattern_lines(panel, edge),
        *_level_and_plumb(panel, edge),
        *_corner_sign(panel, edge, text_mm),
        *_holes(panel, text_mm),
        *hole_labels(panel, edge, text_mm, edge_words),
        *_seam(panel, edge, text_mm),
        *_notch_names(panel, text_mm),
        # After the numbers, whose white ground must not break it.
        Polyline(Layer.OUTLINE, edge, closed=True),
        *mark_labels(
            panel.marks,
            lambda mark: _front(panel, mark.at_mm),
            middle_x,
            text_mm,
            lambda mark: _void(panel, mark.at_mm),
        ),
        *edge_words,
        *_overall(panel, edge, text_mm),
    )


def _front(panel: Panel, point: Point) -> Place:
    return Place(panel.front_sign * point.x, -point.y)


def _level_and_plumb(panel: Panel, edge: tuple[Place, ...]) -> list[Primitive]:
    plumb_x = panel.front_sign * panel.plumb_x_mm
    level = level_runs(edge, -panel.level_y_mm)
    upright = upright_runs(edge, plumb_x)
    return [
        *(
            Line(Layer.CENTRE, Place(a, -panel.level_y_mm), Place(b, -panel.level_y_mm))
            for a, b in level
        ),
        *(Line(Layer.CENTRE, Place(plumb_x, a), Place(plumb_x, b)) for a, b in upright),
    ]


def _corner_sign(panel: Panel, edge: tuple[Place, ...], text_mm: float) -> list[Primitive]:
    """A black corner where the finished top meets the outer edge (the left edge on the back)."""
    side = panel.front_sign
    top = max(p.y for p in edge)
    at_top = [p for p in edge if math.isclose(p.y, top, abs_tol=0.5)]
    corner = min(at_top, key=lambda p: side * p.x)
    close = any(hole.at_mm.y < _CLOSE_TO_TOP * text_mm for hole in panel.cutouts)
    leg = (_SMALL_SIGN if close else _SIGN) * text_mm
    triangle = (corner, Place(corner.x + side * leg, corner.y), Place(corner.x, corner.y - leg))
    return [Polyline(Layer.NOTE, triangle, closed=True, filled=True)]


def _holes(panel: Panel, text_mm: float) -> list[Primitive]:
    drawn: list[Primitive] = []
    for hole in panel.cutouts:
        centre, radius = _front(panel, hole.at_mm), hole.diameter_mm / 2
        arm = radius + max(0.4 * radius, 0.4 * text_mm)
        drawn += [
            Circle(Layer.CUTOUT, centre, radius),
            Line(Layer.CENTRE, Place(centre.x - arm, centre.y), Place(centre.x + arm, centre.y)),
            Line(Layer.CENTRE, Place(centre.x, centre.y - arm), Place(centre.x, centre.y + arm)),
        ]
    return drawn + _windows(panel)


def _seam(panel: Panel, edge: tuple[Place, ...], text_mm: float) -> list[Primitive]:
    """The seams of a panel of two sheets or more, from edge to edge, named beside their lines."""
    return [drawn for seam in panel.seams for drawn in _one_seam(panel, seam, edge, text_mm)]


def _one_seam(panel: Panel, seam: Seam, edge: tuple[Place, ...], text_mm: float) -> list[Primitive]:
    if seam.direction == "level":
        y = -seam.at.mm
        runs = [(Place(a, y), Place(b, y)) for a, b in level_runs(edge, y)]
    else:
        x = panel.front_sign * seam.at.mm
        runs = [(Place(x, a), Place(x, b)) for a, b in upright_runs(edge, x)]
    drawn: list[Primitive] = [Line(Layer.CUTOUT, start, end) for start, end in runs]
    for start, end in runs[:1]:
        middle = Place((start.x + end.x) / 2, (start.y + end.y) / 2)
        turn = _UP if seam.direction == "upright" else 0.0
        words = f"SEAM, {seam.place}"
        if estimated_width(words, text_mm, bold=True) > math.dist(start, end):
            words = "SEAM"
        drawn.append(
            Text(Layer.CUTOUT, middle, words, text_mm, upright="base", rotation_rad=turn, bold=True)
        )
    return drawn


def _notch_names(panel: Panel, text_mm: float) -> list[Primitive]:
    """What the panel is cut round, dashed, with its name: it is on the wall, not on the sheet."""
    drawn: list[Primitive] = []
    for cut in panel.notches:
        if not cut.height.mm or not cut.width.mm:
            continue
        x, y = cut.corner_mm
        across, down = cut.width.mm, cut.height.mm
        corners = ((x, y), (x + across, y), (x + across, y + down), (x, y + down))
        edge = tuple(Place(panel.front_sign * px, -py) for px, py in corners)
        middle = Place(panel.front_sign * (x + across / 2), -(y + down / 2))
        drawn.append(Polyline(Layer.PATTERN, edge, closed=True))
        if min(across, down) > _ROOM_FOR_NAME * text_mm:  # the corners' numbers come first
            turn = _UP if down > across else 0.0
            drawn.append(Text(Layer.NOTE, middle, cut.name, text_mm, rotation_rad=turn))
    return drawn


def _void(panel: Panel, point: Point) -> Place:
    """The middle of the notch that a corner belongs to, on the front view."""

    def away(cut: NotchCut) -> float:
        (x, y), w, h = cut.corner_mm, cut.width.mm, cut.height.mm
        return max(x - point.x, point.x - x - w, 0.0) + max(y - point.y, point.y - y - h, 0.0)

    if not panel.notches:
        return _front(panel, point)
    cut = min(panel.notches, key=away)
    x, y = cut.corner_mm
    return Place(panel.front_sign * (x + cut.width.mm / 2), -(y + cut.height.mm / 2))


def _windows(panel: Panel) -> list[Primitive]:
    drawn: list[Primitive] = []
    for cut in panel.windows:
        x, y = cut.corner_mm
        across, down = cut.width.mm, cut.height.mm
        corners = ((x, y), (x + across, y), (x + across, y + down), (x, y + down))
        edge = tuple(Place(panel.front_sign * px, -py) for px, py in corners)
        drawn.append(Polyline(Layer.CUTOUT, edge, closed=True))
    return drawn


def _edge_words(panel: Panel, edge: tuple[Place, ...], text_mm: float) -> list[Text]:
    """Which edge is which, outside the outline and along it."""
    left, right = min(p.x for p in edge), max(p.x for p in edge)
    top = Place((left + right) / 2, 1.3 * text_mm)
    words = [Text(Layer.NOTE, top, top_words(panel), text_mm, "middle", "base", bold=True)]
    names: tuple[Edge, Edge] = ("left", "right") if panel.wall == "back" else ("outer", "inner")
    if panel.front_sign < 0:
        names = (names[1], names[0])
    marked = {mark.edge for mark in panel.marks}
    y = _quiet_height(panel, edge)
    for x, outward, name in ((left, -1.0, names[0]), (right, 1.0, names[1])):
        away = _edge_word_place(panel, name in marked) * text_mm
        at = Place(x + outward * away, y)
        words.append(
            Text(Layer.NOTE, at, f"{name.upper()} EDGE", text_mm, rotation_rad=_UP, bold=True)
        )
    return words


def _edge_word_place(panel: Panel, marked: bool) -> float:
    """Text heights outside the outline; inside it on the back panel, which has the room."""
    if panel.wall == "back":
        return -1.8
    return 5.4 if marked else 1.6


def _quiet_height(panel: Panel, edge: tuple[Place, ...]) -> float:
    """The middle of the longest stretch between marks of the sides, clear of the leg."""
    ys = [-m.at_mm.y for m in panel.marks if m.edge not in ("bottom", "leg")]
    stops = sorted({0.0, min(p.y for p in edge), *ys}, reverse=True)
    above, below = max(pairwise(stops), key=lambda pair: pair[0] - pair[1])
    return (above + below) / 2


def _overall(panel: Panel, edge: tuple[Place, ...], text_mm: float) -> list[Primitive]:
    """The box that must fit on the sheet: rounded up, so it is called that and no width."""
    left, right = min(p.x for p in edge), max(p.x for p in edge)
    top, low = max(p.y for p in edge), min(p.y for p in edge)
    outer = left if panel.front_sign > 0 else right
    side: Edge = "left" if panel.wall == "back" else "outer"
    marked = any(mark.edge == side for mark in panel.marks)
    past = _PAST_NUMBERS if marked else max(_PAST_WORDS, past_hole_words(panel, text_mm))
    away = panel.front_sign * past * text_mm
    # Extension lines begin past the numbers too, so that they strike none of them through.
    clear = panel.front_sign * (_NUMBERS_END if marked else 0.0) * text_mm
    words = f"box {inches(panel.box.height)}"
    low_point, top_point = Place(outer - clear, low), Place(outer - clear, top)
    upright = Dimension(low_point, top_point, away - clear, words, text_mm)
    width = f"box {inches(panel.box.width)}"
    across = Dimension(Place(left, top), Place(right, top), 4.2 * text_mm, width, text_mm)
    return [across, upright]
