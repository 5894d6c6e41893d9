"""A drawing among the rows of a paper, with letters that stay readable at every scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from service.documents.drawing import bounds

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.documents.drawing import Drawing
    from service.documents.pdf.paper import PaperStack

_SCALES: Final = (5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 150, 200)
_TEXT_MM: Final = 2.0
"""Capital height on paper, 7.8 pt, whatever the scale: a wide alcove is read as well."""


@dataclass(frozen=True)
class Picture:
    """A drawing as large as the width and `most_mm` of height allow, with its scale below.

    `drawn` makes it with letters of a height in the drawing's own millimetres.
    """

    drawn: Callable[[float], Drawing]
    most_mm: float = 140.0

    def height_mm(self, width_mm: float) -> float:
        """Height at this width."""
        drawing, scale = self.fitted(width_mm)
        return bounds(drawing).height / scale + 9.0

    def draw(self, page: PaperStack, left: float, top: float, width: float) -> None:
        """Draw it under `top`."""
        drawing, scale = self.fitted(width)
        box = bounds(drawing)
        x = left + (width - box.width / scale) / 2 - box.left / scale
        page.drawing(drawing, scale, x, top - 3.0 - box.top / scale)
        page.text(left, top - 3.0 - box.height / scale - 3.8, f"Scale 1:{scale}.", 8.5)

    def fitted(self, width_mm: float) -> tuple[Drawing, int]:
        """The drawing at the largest scale that fits, and its denominator."""
        for scale in _SCALES:
            drawing = self.drawn(_TEXT_MM * scale)
            box = bounds(drawing)
            if box.width / scale <= width_mm and box.height / scale <= self.most_mm:
                break
        return drawing, scale
