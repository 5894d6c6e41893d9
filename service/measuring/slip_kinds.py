"""The closed list of slips: word, rate, and what a colleague would say.

Rates are slips per 1,000 readings, by installers and by salespeople: common practice, from
experience and unpublished. A shop may hold its own (`slips.SlipBook`).
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final


class SlipKind(StrEnum):
    """Kinds of slip; the value is the word in a report."""

    INCH = "inch"
    """Started at the 1 in mark and did not take it off, or took it off for nothing."""
    FOOT = "foot"
    """The foot mark beside the one meant."""
    FRACTION_DROPPED = "fraction dropped"
    """The whole inches were written, the fraction was not."""
    WRONG_END = "fraction from the wrong end"
    """Tape upside down: the fraction counted back from the next inch, or 6 read for 9."""
    EIGHTHS = "eighths for sixteenths"
    """Lines counted as eighths that are sixteenths, or the other way."""
    CASE_LENGTH = "case length"
    """The tape's case was not added to an inside reading."""
    LASER_FRONT = "laser front"
    """The laser meter counted from its front, held at its rear."""
    TEN_INCHES = "ten inches"
    """Mark-and-add from the 10 in mark, the ten not added."""
    HOLD_DOWN = "hold-down"
    """Taken to the finished top and not the level line, or the hold-down taken off twice."""
    WRONG_REFERENCE = "wrong reference"
    """To the plaster and not the tile, or the other way."""
    CAULK = "caulk"
    """The tape met the fillet of caulk and not the wall."""
    BENT_TAPE = "bent tape"
    """The tape sagged, ran skew, or did not reach into the corner."""
    WRONG_BOX = "wrong box"
    """A reading of another dimension."""
    OTHER_HEIGHT = "other height"
    """Taken at another height than its partner on the other side."""
    MIRRORED = "mirrored"
    """A pipe on the other side of the plumb line, or measured from the other side."""
    SHEET_EDGE = "sheet edge"
    """From the edge of a hung sheet and not the wall's corner."""
    NOMINAL = "nominal"
    """A written name such as 60, stud to stud, and not a reading."""
    DIGITS_SWAPPED = "digits swapped"
    """Two digits beside each other changed places."""
    MISHEARD = "misheard"
    """Fifteen for fifty, and its like."""
    UNITS = "units"
    """A number of centimetres written as inches, of millimetres as centimetres, and the like."""
    PHOTO_MARK = "photo mark"
    """The mark in the photo is not on the thing that was taped."""
    PRINT_SCALE = "print scale"
    """All photo sizes are out by one factor: the card was not printed at its size."""
    UNLISTED = "no listed kind"
    """Something else; never named."""
    TAKE_AGAIN = "take again"
    """No kind is clearly likelier than the rest."""


def _rates(column: int) -> Mapping[SlipKind, float]:
    return MappingProxyType({kind: rates[column] for kind, rates in _RATES.items()})


# Wrong reference is 8/20 in all, divided between the step of the tile and the fillet of caulk.
# Mirrored and sheet edge are per 1,000 readings of pipes, the only ones they are looked for in;
# nominal is per 1,000 readings of a whole number that is one. It, photo mark and no listed kind
# are this project's own estimates.
_RATES: Final[Mapping[SlipKind, tuple[float, float]]] = {
    SlipKind.INCH: (3, 8),
    SlipKind.FOOT: (0.5, 2),
    SlipKind.FRACTION_DROPPED: (2, 15),
    SlipKind.WRONG_END: (3, 6),
    SlipKind.EIGHTHS: (2, 5),
    SlipKind.CASE_LENGTH: (2, 4),
    SlipKind.LASER_FRONT: (2, 4),
    SlipKind.TEN_INCHES: (1, 2),
    SlipKind.HOLD_DOWN: (4, 10),
    SlipKind.WRONG_REFERENCE: (5, 12),
    SlipKind.CAULK: (3, 8),
    SlipKind.BENT_TAPE: (10, 10),
    SlipKind.WRONG_BOX: (3, 5),
    SlipKind.OTHER_HEIGHT: (3, 3),
    SlipKind.MIRRORED: (5, 5),
    SlipKind.SHEET_EDGE: (4, 4),
    SlipKind.NOMINAL: (0.5, 5),
    SlipKind.DIGITS_SWAPPED: (1, 2),
    SlipKind.MISHEARD: (1, 2),
    SlipKind.UNITS: (0.3, 0.5),
    SlipKind.PHOTO_MARK: (0.5, 0.5),
    SlipKind.UNLISTED: (2.5, 5),
}
INSTALLER_RATES: Final = _rates(0)
SALESPERSON_RATES: Final = _rates(1)

_WORDING: Final[Mapping[SlipKind, str]] = {
    SlipKind.INCH: "did you burn an inch?",
    SlipKind.FOOT: "is that the right foot mark?",
    SlipKind.FRACTION_DROPPED: "and what? the fraction is missing",
    SlipKind.WRONG_END: "was the tape upside down?",
    SlipKind.EIGHTHS: "eighths or sixteenths?",
    SlipKind.CASE_LENGTH: "add the case",
    SlipKind.LASER_FRONT: "was the laser set to its front?",
    SlipKind.TEN_INCHES: "add the ten inches",
    SlipKind.HOLD_DOWN: "from the level line, or from the finished top?",
    SlipKind.WRONG_REFERENCE: "to the tile, or to the plaster?",
    SlipKind.CAULK: "you hit the caulk, not the wall",
    SlipKind.BENT_TAPE: "was the tape straight, and tight into the corner?",
    SlipKind.WRONG_BOX: "is this in the right box?",
    SlipKind.OTHER_HEIGHT: "left and right at the same height?",
    SlipKind.MIRRORED: "which way were you facing?",
    SlipKind.SHEET_EDGE: "from the wall's corner, or from the sheet's edge?",
    SlipKind.NOMINAL: "is that what the tape said, or what it is called?",
    SlipKind.DIGITS_SWAPPED: "are two digits swapped?",
    SlipKind.MISHEARD: "fifteen or fifty? say it once more",
    SlipKind.UNITS: "is the unit right?",
    SlipKind.PHOTO_MARK: "look at the marks in the photo: are they on what was taped?",
    SlipKind.PRINT_SCALE: "check the card's bars with a ruler: all photo sizes are out alike",
    SlipKind.UNLISTED: "take this one again",
    SlipKind.TAKE_AGAIN: "take this one again",
}


def wording(kind: SlipKind, meant: str | None = None) -> str:
    """As a colleague would say it, with the value that would fit."""
    said = _WORDING[kind]
    if meant is None:
        return said
    return f"{said} It reads like {meant}" if kind is SlipKind.WRONG_BOX else f"{said} ({meant})"


def asking(kind: SlipKind) -> str:
    """The same as a sentence that another may follow."""
    said = wording(kind)
    return said if said.endswith("?") else f"{said}."


def question(kind: str, meant: str | None, text: str) -> str:
    """What is asked of a reading, without the value that would fit: for a retake that is to be
    blind."""
    if kind == SlipKind.PRINT_SCALE:
        return wording(SlipKind.PRINT_SCALE)
    return text if meant is None else text.replace(f" ({meant})", "")
