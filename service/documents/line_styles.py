"""How each layer looks, in every writer alike.

Line widths are of the series of ISO 128-2 (0.18, 0.25, 0.35, 0.5, 0.7 mm, thick to thin 2:1);
colours are Okabe and Ito's. Layers differ by width and dash as well as by colour, so that a grey
print reads the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from service.documents.drawing import Layer

if TYPE_CHECKING:
    from collections.abc import Mapping

Colour = tuple[int, int, int]

BLACK: Final[Colour] = (0, 0, 0)
BLUE: Final[Colour] = (0, 114, 178)
BLUISH_GREEN: Final[Colour] = (0, 158, 115)
VERMILLION: Final[Colour] = (213, 94, 0)
ORANGE: Final[Colour] = (230, 159, 0)


@dataclass(frozen=True)
class LineStyle:
    """Width and dashes in mm on paper; `text_colour` is black or blue, which pass 4.5:1."""

    width_mm: float
    colour: Colour
    dashes_mm: tuple[float, ...] = ()
    text_colour: Colour = BLACK


STYLES: Final[Mapping[Layer, LineStyle]] = MappingProxyType(
    {
        Layer.OUTLINE: LineStyle(0.7, BLACK),
        Layer.CUTOUT: LineStyle(0.35, BLUE, text_colour=BLUE),
        Layer.DIMENSION: LineStyle(0.25, BLACK),
        Layer.MARK: LineStyle(0.35, BLACK),
        Layer.PATTERN: LineStyle(0.18, BLUISH_GREEN, (1.6, 1.0)),
        # Long dash, short dash: the centre line of ISO 128-2 (line type 10).
        Layer.CENTRE: LineStyle(0.18, BLACK, (4.0, 1.0, 0.6, 1.0)),
        Layer.NOTE: LineStyle(0.35, BLACK),
        Layer.WARNING: LineStyle(0.7, VERMILLION),
    }
)


BACKED_TEXT: Final = frozenset({Layer.DIMENSION, Layer.CUTOUT})
"""Layers whose text is drawn over a white ground, so that no line runs through a number."""


def hex_colour(colour: Colour) -> str:
    """`#rrggbb`."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
