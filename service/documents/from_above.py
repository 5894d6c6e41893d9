"""The alcove from above as a drawing: its walls in plan, and the taped sizes that lie in plan.

Frame: x right along the back wall from its left corner, y up towards it from the front, mm.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.cross_check import size_layer, size_words, slanted
from service.documents.drawing import (
    Dimension,
    Drawing,
    Layer,
    Place,
    Polyline,
    Primitive,
    Text,
)
from service.lengths import inches_text
from service.measuring.alcove.from_above import from_above, out_of_square
from service.measuring.alcove.vocabulary import Role, Side

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.documents.drawing import Across
    from service.measuring.alcove.placing import Ends
    from service.measuring.cross_check import CheckedSize, CrossCheck

_ALONG: Final = {Role.CORNER_DIAGONAL: 0.58, Role.PLAN_DIAGONAL: 0.74}


def drawn_from_above(found: CrossCheck, text_mm: float) -> Drawing:
    """The alcove in plan, each size as it was read; empty where no size of it in plan is taped.

    Parameters
    ----------
    text_mm
        Height of the text, in the alcove's own millimetres.
    """
    rows = {row.size.name: row for row in found.rows if row.size is not None and row.readings}
    taped = {name: abs(row.tape.mm) for name, row in rows.items() if row.tape is not None}
    plan = from_above([wall.sizes for wall in found.walls], taped)
    if plan is None or not rows.keys() & plan.ends.keys():
        return ()
    outline = tuple(_down(place) for place in plan.outline)
    drawn: list[Primitive] = [Polyline(Layer.OUTLINE, outline), *_names(outline, text_mm)]
    beside = {Role.OPENING: 0, Role.DEPTH: 0}
    for name, ends in plan.ends.items():
        row = rows.get(name)
        if row is None or row.size is None:
            continue
        drawn += _size(row, row.size.role, ends, text_mm, beside.get(row.size.role, 0))
        if row.size.role in beside:
            beside[row.size.role] += 1
        drawn += _square(row, outline, text_mm)
    return tuple(drawn)


def out_words(row: CheckedSize) -> str:
    """How far a back corner is out of square, by its diagonal: ``1/4" open over 24"``."""
    if row.tape is None:
        return ""
    out = out_of_square(row.tape)
    how = inches_text(abs(out.mm), mark='"')
    if how == '0"':
        return 'square over 24"'
    return f'{how} {"open" if out.mm > 0 else "closed"} over 24"'


def _down(place: tuple[float, float]) -> Place:
    """The front is drawn below the back wall."""
    return Place(place[0], -place[1])


def _names(outline: tuple[Place, ...], text_mm: float) -> Iterator[Primitive]:
    _, left, right, _ = outline
    at = Place((left.x + right.x) / 2, left.y + 0.8 * text_mm)
    yield Text(Layer.NOTE, at, "back wall", text_mm, upright="base")


def _size(
    row: CheckedSize, role: Role, ends: Ends, text_mm: float, before: int
) -> Iterator[Primitive]:
    start, end = _down(ends[0]), _down(ends[1])
    if role in _ALONG:
        yield from slanted(start, end, _ALONG[role], row, text_mm)
        return
    words = size_words(row) if role is Role.DEPTH else f"{row.name}: {size_words(row)}"
    aside = -(2.6 + 2.4 * before) * text_mm
    yield Dimension(start, end, aside, words, text_mm, size_layer(row))


def _square(row: CheckedSize, outline: tuple[Place, ...], text_mm: float) -> Iterator[Primitive]:
    """Over a back corner, how far it is out."""
    size = row.size
    if size is None or size.role is not Role.CORNER_DIAGONAL:
        return
    left = size.side is Side.LEFT
    corner = outline[1 if left else 2]
    at = Place(corner.x, corner.y + 2.6 * text_mm)
    across: Across = "left" if left else "right"
    yield Text(Layer.NOTE, at, out_words(row), text_mm, across=across, upright="base")
