"""Millimetres to printed sizes: the calculator's rounding directions in one place."""

from __future__ import annotations

from typing import Final

from service.lengths import MM_PER_INCH, inches_text, round_length
from service.panels.model import Size

_SIXTEENTHS: Final = 16
"""Graduation that marks are made to: the finest that a tape's blade shows all along."""

_GRAIN_MM: Final = 0.05


def mark(mm: float) -> Size:
    """A layout mark: to the nearest 1/16 in."""
    return Size(mm, inches_text(mm, _SIXTEENTHS))


def width(mm: float) -> Size:
    """An overall width: down, for a sheet cut long will not go in."""
    return Size(mm, inches_text(mm, _SIXTEENTHS, "down"))


def held(mm: float) -> Size:
    """The box that a sheet must hold: up, save for the grain of heights between two stations.

    An edge is evaluated a joint away from where the corner was taped, which moves it by some
    thousandths; that must not add a sixteenth to a height that was taped on one.
    """
    nearest = marked_mm(mm)
    if nearest < mm <= nearest + _GRAIN_MM:
        return Size(mm, inches_text(nearest, _SIXTEENTHS))
    return needed(mm)


def needed(mm: float) -> Size:
    """What must be had, such as the box that a sheet must hold: up."""
    return Size(mm, inches_text(mm, _SIXTEENTHS, "up"))


def cut_mm(mm: float) -> float:
    """An overall width as it is cut, in mm: the take-off counts what is cut."""
    return float(round_length(mm, _SIXTEENTHS, "down") * MM_PER_INCH)


def marked_mm(mm: float) -> float:
    """A place as it is marked, in mm."""
    return float(round_length(mm, _SIXTEENTHS) * MM_PER_INCH)


def part_words(part: float) -> str:
    """A part of a tile as it is spoken of."""
    return "half a tile" if part == 0.5 else f"{part:g} of a tile"
