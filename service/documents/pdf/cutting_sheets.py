"""Cutting sheets: for each panel its front, its back, and the steps in words."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Final

from service.documents.drawing import bounds
from service.documents.panel_views import panel_view
from service.documents.pdf.number_column import (
    Heading,
    NumberRow,
    Row,
    draw_rows,
    height_mm,
    split_rows,
)
from service.documents.pdf.paper import Area, PaperStack
from service.documents.pdf.sheet_facts import facts, steps
from service.documents.pdf.sheet_frame import draw_frame, free_area
from service.documents.wording import (
    SIDES_AS_SEEN,
    edge_words,
    hole_letters,
    inches,
    millimetres,
    reference_words,
)
from service.product import NAME

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta, Face, Paper
    from service.panels.model import Cutout, Edge, Mark, Panel, Plan
    from service.panels.openings import WindowCut

TEXT_MM: Final = 2.5
"""Capital height of the figures on a drawing: ISO 3098 nominal height, 9.7 pt."""
_COLUMN_MM: Final = 80.0
_GAP_MM: Final = 4.0
_ON_THE_LINE_MM: Final = 0.5
"""A station nearer to the plumb line than this needs no left or right."""
_FACES: Final[tuple[Face, Face]] = ("front", "back")
_SCALES: Final[dict[Paper, tuple[int, ...]]] = {
    "letter": (8, 12, 16, 20, 24, 32, 48, 96, 192),
    "a4": (5, 10, 15, 20, 25, 30, 40, 50, 100, 200),
}
"""Inch scales from 1 1/2 in = 1 ft, with 1:20, on letter; on A4 those of ISO 5455 and between its
1:10, 1:20 and 1:50 others, which it allows where they are needed: a back wall misses 1:20."""
_WORTH: Final = 1.3
"""How many times as large a drawing must become for the notes below it to go to the steps."""


@dataclass(frozen=True)
class _Leaf:
    """One page to be: a face with a column of numbers beside it, or a column alone."""

    panel: Panel
    face: str
    column: tuple[Row, ...]
    drawn: Face | None


def cutting_sheets_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """All panels' cutting sheets as one PDF; the same plan and meta give the same bytes.

    Each panel has a page of its front, a page of its back with the same numbers, and the steps
    in words. A panel that is not released carries the warning on every one of its pages.
    """
    page = PaperStack(meta.paper, f"{NAME}: cutting sheets, {plan.job}")
    leaves = [leaf for panel in plan.panels for leaf in _leaves(panel, meta.paper)]
    for number, leaf in enumerate(leaves, 1):
        free = free_area(meta.paper, leaf.panel)
        if not leaf.panel.released:
            page.ghost_word(free, "NOT FOR CUTTING", 44)
        draw_frame(page, plan, leaf.panel, meta, leaf.face, f"page {number} of {len(leaves)}")
        if leaf.drawn:
            _draw_face(page, leaf.panel, leaf.drawn, _left_of_column(free), meta.paper)
            draw_rows(page, leaf.column, _column(free))
        else:
            draw_rows(page, leaf.column, free)
        page.next_page()
    return page.finished()


def fitting_scale(panel: Panel, room: Area, paper: Paper) -> int:
    """The denominator of the largest usual scale at which both faces fit the room."""
    for scale in _SCALES[paper]:
        boxes = [bounds(panel_view(panel, face, TEXT_MM * scale)) for face in _FACES]
        if all(
            box.width / scale <= room.width and box.height / scale <= room.height for box in boxes
        ):
            return scale
    return _SCALES[paper][-1]


def number_rows(panel: Panel) -> tuple[Row, ...]:
    """Marks in the order they are made, then holes: the same rows for front and back."""
    rows: list[Row] = []
    for edge, group in groupby(sorted(panel.marks, key=lambda m: m.order), lambda m: m.edge):
        rows.append(_edge_heading(panel, edge))
        rows.extend(_mark_row(panel, mark) for mark in group)
    letters = hole_letters(panel)
    seen = SIDES_AS_SEEN if panel.wall == "back" else ""
    if panel.cutouts:
        side = reference_words(panel)
        rows.append(Heading(f"HOLES: centre from the {side} and from the TOP{seen}"))
        for letter, hole in zip(letters, panel.cutouts, strict=False):
            rows.extend(_hole_rows(panel, letter, hole))
    for letter, cut in zip(letters[len(panel.cutouts) :], panel.windows, strict=True):
        rows.extend(_window_rows(panel, letter, cut, seen))
    return tuple(rows)


def _leaves(panel: Panel, paper: Paper) -> list[_Leaf]:
    free = free_area(paper, panel)
    leaves: list[_Leaf] = []
    for face in _FACES:
        first, rest = split_rows(number_rows(panel), _COLUMN_MM, free.height)
        leaves.append(_Leaf(panel, face, first, face))
        leaves += _column_leaves(panel, face, rest, free)
    return leaves + _column_leaves(panel, "steps", steps(panel), free)


def _column_leaves(panel: Panel, face: str, rows: tuple[Row, ...], free: Area) -> list[_Leaf]:
    leaves: list[_Leaf] = []
    while rows:
        taken, rows = split_rows(rows, free.width, free.height)
        leaves.append(_Leaf(panel, face, taken, None))
    return leaves


def _column(free: Area) -> Area:
    return Area(free.right - _COLUMN_MM, free.bottom, _COLUMN_MM, free.height)


def _left_of_column(free: Area) -> Area:
    return Area(free.left, free.bottom, free.width - _COLUMN_MM - _GAP_MM, free.height)


def _draw_face(page: PaperStack, panel: Panel, face: Face, room: Area, paper: Paper) -> None:
    """The drawing at the top of the room, the facts under it at the bottom."""
    rows = facts(panel)
    space = _above(rows, room)
    scale = fitting_scale(panel, space, paper)
    brief = facts(panel, notes=False)
    larger = fitting_scale(panel, _above(brief, room), paper)
    if scale >= _WORTH * larger:
        rows, space, scale = brief, _above(brief, room), larger
    draw_rows(page, rows, Area(room.left, room.bottom, room.width, height_mm(rows, room.width)))
    drawing = panel_view(panel, face, TEXT_MM * scale)
    box = bounds(drawing)
    x = space.left + (space.width - box.width / scale) / 2 - box.left / scale
    page.drawing(drawing, scale, x, space.top - box.top / scale)
    page.text(
        room.left,
        space.bottom - 3.6,
        f"Scale 1:{scale}. Mark from the numbers; do not scale off the paper.",
        8.5,
    )


def _above(rows: tuple[Row, ...], room: Area) -> Area:
    """What rows at the foot of the room leave for the drawing, less the line of its scale."""
    below = height_mm(rows, room.width) + 6.0
    return Area(room.left, room.bottom + below, room.width, room.height - below)


def _edge_heading(panel: Panel, edge: Edge) -> Heading:
    side = "plumb line" if panel.wall == "back" else "OUTER edge"
    name = "TOP" if edge == "top" else edge_words(edge).upper()
    if edge in ("bottom", "leg", "top", "notch"):
        which = SIDES_AS_SEEN if panel.wall == "back" else ""
        return Heading(
            f"{name}: along from the {side}{which}, then down from the top",
            ("mark", "along", "down", "mm"),
        )
    return Heading(
        f"{name}: down from the top, then out from the {side}",
        ("mark", "down", "out", "mm"),
    )


def _mark_row(panel: Panel, mark: Mark) -> NumberRow:
    station = inches(mark.station)
    level = mark.edge in ("bottom", "top", "notch")
    if panel.wall == "back" and level and abs(mark.station.mm) > _ON_THE_LINE_MM:
        station = f"{station} {'L' if mark.station.mm < 0 else 'R'}"
    return NumberRow(str(mark.order), station, inches(mark.value), millimetres(mark.value.mm))


def _hole_rows(panel: Panel, letter: str, hole: Cutout) -> tuple[Row, ...]:
    side = "out from plumb" if panel.wall == "back" else "from OUTER edge"
    if panel.wall == "back" and abs(hole.from_side.mm) > _ON_THE_LINE_MM:
        side = f"{'LEFT' if hole.from_side.mm < 0 else 'RIGHT'} of plumb"
    return (
        Heading(f"{letter} {hole.name}: {hole.saw}"),
        NumberRow("", side, inches(hole.from_side), millimetres(hole.from_side.mm)),
        NumberRow("", "from TOP", inches(hole.from_top), millimetres(hole.from_top.mm)),
    )


def _window_rows(panel: Panel, letter: str, cut: WindowCut, seen: str) -> tuple[Row, ...]:
    """The opening by its corner nearest to both references, and its size."""
    back = panel.wall == "back"
    side = ""
    if back and abs(cut.from_side.mm) > _ON_THE_LINE_MM:
        side = " L" if cut.from_side.mm < 0 else " R"
    sizes = (
        ("left side from plumb" if back else "from OUTER edge", cut.from_side, side),
        ("head from TOP", cut.from_top, ""),
        ("width", cut.width, ""),
        ("height", cut.height, ""),
    )
    drill = f" {inches(cut.drill)}" if cut.drill else ""
    return (
        Heading(f"{letter} OPENING for {cut.name}: drill the corners{drill}, then jigsaw{seen}"),
        *(
            NumberRow("", words, f"{inches(size)}{aside}", millimetres(size.mm))
            for words, size, aside in sizes
        ),
    )
