"""The walls as they are seen: one panel, or the alcove unfolded as its walls meet in the room.

Frame: x right as seen from the room, y up with 0 at the finished top of every panel.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from service.documents.drawing import (
    Bounds,
    Dimension,
    Drawing,
    Layer,
    Place,
    Primitive,
    Text,
    bounds,
    estimated_width,
    on_layers,
    parts,
    shifted,
)
from service.documents.panel_views import panel_shape
from service.documents.release_words import plan_override_lines
from service.documents.word_lines import word_lines
from service.documents.wording import NOT_FOR_CUTTING, inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import Panel, Plan

_GAP: Final = 5.0
"""Between neighbouring panels, in text heights: the corners are drawn open, not as joints."""
_NAME: Final = 5.2
_SIZE: Final = 2.2
_LEADING: Final = 1.8


def panel_elevation(panel: Panel, text_mm: float) -> Drawing:
    """One panel on its wall with its name, hand and overall size."""
    shape = panel_shape(panel, text_mm)
    box = bounds(on_layers(shape, Layer.OUTLINE))
    side = box.left if panel.hand == "left" else box.right
    about = "" if panel.released else "about "
    outward = _SIZE * text_mm * (1 if panel.hand == "left" else -1)
    words: list[Primitive] = [
        *_overall(
            Place(box.left, box.top),
            Place(box.right, box.top),
            _SIZE * text_mm,
            f"{about}{inches(panel.box.width)}",
            text_mm,
        ),
        *_overall(
            Place(side, box.bottom),
            Place(side, box.top),
            outward,
            f"{about}{inches(panel.box.height)}",
            text_mm,
        ),
        *_title(panel, box, text_mm),
    ]
    return (*shape, *words)


def _overall(start: Place, end: Place, aside: float, words: str, text_mm: float) -> list[Primitive]:
    """An overall size; over the middle of its line even where it is longer than that, for past the
    ends stand the names and the neighbours."""
    size = Dimension(start, end, aside, words, text_mm)
    if estimated_width(words, text_mm) <= math.dist(start, end):
        return [size]
    line = replace(size, text="")
    over = [replace(text, text=words) for text in parts(line) if isinstance(text, Text)]
    return [line, *over]


def _title(panel: Panel, box: Bounds, text_mm: float) -> list[Primitive]:
    """Its name, the hand on a line of its own where the panel is narrow."""
    lines = [panel.title]
    if estimated_width(panel.title, text_mm, bold=True) > box.width + _GAP * text_mm:
        lines = panel.title.split(", ")
    middle = (box.left + box.right) / 2
    return [
        Text(
            Layer.NOTE,
            Place(middle, box.top + (_NAME + _LEADING * row) * text_mm),
            line,
            text_mm,
            bold=True,
        )
        for row, line in enumerate(reversed(lines))
    ]


def alcove_elevation(panels: Sequence[Panel], text_mm: float) -> Drawing:
    """The panels side by side: left hand, back, right hand, tops level.

    Pattern joints of neighbouring panels can be seen to meet. Panels of the same hand keep the
    order in which they are given.
    """
    order = {"left": 0, "none": 1, "right": 2}
    drawn: list[Primitive] = []
    edge = 0.0
    for panel in sorted(panels, key=lambda panel: order[panel.hand]):
        view = panel_elevation(panel, text_mm)
        box = bounds(view)
        drawn += shifted(view, edge - box.left, 0.0)
        edge += box.width + _GAP * text_mm
    if any(not panel.released for panel in panels):
        box = bounds(tuple(drawn))
        at = Place((box.left + box.right) / 2, box.bottom - 2.5 * text_mm)
        drawn.append(Text(Layer.WARNING, at, NOT_FOR_CUTTING, text_mm, bold=True))
    return tuple(drawn)


def whole_elevation(plan: Plan, text_mm: float) -> Drawing:
    """The unfolded alcove as a page of its own: below it who let what stand, as on every page."""
    drawn = alcove_elevation(plan.panels, text_mm)
    box = bounds(drawn)
    told = [
        line
        for words in plan_override_lines(plan)
        for line in word_lines(f"let stand: {words}", box.width, text_mm, bold=True)
    ]
    rows = (
        Text(
            Layer.NOTE,
            Place(box.left, box.bottom - (_LEADING * row + 1.5) * text_mm),
            line,
            text_mm,
            across="left",
            upright="top",
            bold=True,
        )
        for row, line in enumerate(told)
    )
    return (*drawn, *rows)
