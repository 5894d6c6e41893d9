"""One bought sheet with the pieces on it, front up, as it lies on the saw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.documents.drawing import (
    Dimension,
    Drawing,
    Layer,
    Place,
    Polyline,
    Primitive,
    Text,
    estimated_width,
)
from service.documents.wording import inches

if TYPE_CHECKING:
    from service.panels.cut_plan import SheetCut


def sheet_layout(cut: SheetCut, text_mm: float) -> Drawing:
    """The sheet, its pieces with names and sizes, y up with 0 at the sheet's top."""
    drawn: list[Primitive] = [
        _rectangle(Layer.OUTLINE, 0.0, 0.0, cut.width.mm, cut.height.mm),
        Dimension(
            Place(0.0, 0.0), Place(cut.width.mm, 0.0), 2.2 * text_mm, inches(cut.width), text_mm
        ),
        Dimension(
            Place(0.0, -cut.height.mm), Place(0.0, 0.0), 2.2 * text_mm, inches(cut.height), text_mm
        ),
    ]
    for number, piece in enumerate(cut.pieces, 1):
        middle = Place(piece.x.mm + piece.width.mm / 2, -(piece.y.mm + piece.height.mm / 2))
        size = f"{inches(piece.width)} x {inches(piece.height)}"
        drawn.append(
            _rectangle(Layer.CUTOUT, piece.x.mm, piece.y.mm, piece.width.mm, piece.height.mm)
        )
        # A small piece has its number only; its size stands in the list beside.
        least = min(piece.width.mm, piece.height.mm)
        drawn.append(
            Text(Layer.CUTOUT, middle, str(number), min(1.4 * text_mm, 0.7 * least), bold=True)
        )
        if piece.width.mm > estimated_width(size, text_mm) and piece.height.mm > 7 * text_mm:
            drawn.append(Text(Layer.NOTE, Place(middle.x, middle.y - 2.6 * text_mm), size, text_mm))
    return tuple(drawn)


def _rectangle(layer: Layer, x: float, y: float, width: float, height: float) -> Polyline:
    corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Polyline(layer, tuple(Place(px, -py) for px, py in corners), closed=True)
