"""What a reading would have been without a given slip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from service.lengths import (
    BARE_UNITS,
    Length,
    LengthError,
    feet_inches_text,
    inches_text,
    parse_length,
)
from service.measuring.instruments import MM_PER_INCH
from service.measuring.reading import Reading
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind

_GRADUATIONS: Final = 16
_FINEST: Final = 64
_METERED: Final[Mapping[str, tuple[tuple[float, float], ...]]] = {
    "in": ((1 / 2.54, 0.8), (1 / 25.4, 0.2)),
    "cm": ((2.54, 0.7), (0.1, 0.3)),
    "mm": ((10.0, 0.7), (25.4, 0.3)),
    "m": ((0.01, 0.4), (0.001, 0.4), (0.0254, 0.2)),
}
"""By the unit that was written: meant over written for each other unit that the number may have
been in, and the part of the wrong units that falls to it (our estimate)."""
_AND_A_HALF: Final = 0.05
"""How often a number of centimetres is written with a half: one in ten has one, said so every
other time (our estimate). Their scale has no other fraction."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One value that may have been meant.

    Attributes
    ----------
    mm
        The value.
    share
        Part of the kind's rate that falls to it.
    spread_mm
        How sharply the kind says it: standard deviation.
    stretch
        Meant value over reading where the slip is a factor; else 1.
    meant
        The value as the reading was written; None where the kind is not sharp.
    """

    kind: SlipKind
    mm: float
    share: float
    spread_mm: float = 0.0
    stretch: float = 1.0
    meant: str | None = None


def step_candidates(reading: Reading, book: SlipBook) -> Iterator[Candidate]:
    """Slips that move a reading by a known step, whatever its digits."""
    name = reading.dimension
    cannot = book.cannot.get(name, frozenset())
    sharp: tuple[tuple[SlipKind, float, float], ...] = (
        (SlipKind.INCH, MM_PER_INCH, 0.5),
        (SlipKind.INCH, -MM_PER_INCH, 0.5),
        (SlipKind.FOOT, 12 * MM_PER_INCH, 0.5),
        (SlipKind.FOOT, -12 * MM_PER_INCH, 0.5),
        (SlipKind.TEN_INCHES, 10 * MM_PER_INCH, 1.0),
    )
    reference = SlipKind.WRONG_REFERENCE
    if reference not in cannot:
        sharp += ((reference, book.step_mm, 0.5), (reference, -book.step_mm, 0.5))
    if name in book.heights:
        hold_down = SlipKind.HOLD_DOWN
        sharp += ((hold_down, book.hold_down_mm, 0.5), (hold_down, -book.hold_down_mm, 0.5))
    for kind, step, share in sharp:
        # A tile's step is known to about 1/16 in, a line on the tape exactly.
        spread = MM_PER_INCH / 16 if kind is SlipKind.WRONG_REFERENCE else 0.0
        meant = None if spread else _as_written(reading, reading.mm + step)
        yield Candidate(kind, reading.mm + step, share, spread, meant=meant)
    # The fillet makes a reading 1/8 to 1/4 in short at each end it is in; sag, skew and a corner
    # not reached make it 1/16 to 1/4 in long or short, long more often.
    if SlipKind.CAULK not in cannot:
        yield Candidate(SlipKind.CAULK, reading.mm + 3 / 16 * MM_PER_INCH, 1.0, MM_PER_INCH / 24)
    bent, spread = 5 / 32 * MM_PER_INCH, MM_PER_INCH / 18
    yield Candidate(SlipKind.BENT_TAPE, reading.mm - bent, 0.7, spread)
    yield Candidate(SlipKind.BENT_TAPE, reading.mm + bent, 0.3, spread)


def text_candidates(reading: Reading) -> Iterator[Candidate]:
    """Slips that change what was written: digits, fraction, unit."""
    length = _written(reading)
    if length is None:
        return
    found: dict[SlipKind, dict[float, float]] = {}
    for kind, value in _misread(length):
        mm = float(value)
        if mm > 0 and value != length.mm:
            found.setdefault(kind, {})[mm] = 1.0
    for kind, values in found.items():
        for share, mm in zip(_shares(kind, len(values)), values, strict=True):
            yield Candidate(kind, mm, share, meant=_as_written(reading, mm))
    if length.denominator not in (None, 2):
        return
    said = 1.0 if length.denominator is None else _AND_A_HALF
    for factor, share in _METERED.get(length.unit, ()):
        mm = reading.mm * factor
        yield Candidate(SlipKind.UNITS, mm, share * said, stretch=factor, meant=_in_other_unit(mm))


def _shares(kind: SlipKind, count: int) -> list[float]:
    """Part of a kind's rate that falls to each value it may have been, in the order found."""
    if kind is SlipKind.FRACTION_DROPPED:
        # Whatever the fraction was, dropping it leaves this same whole number.
        return [1.0] * count
    if kind is SlipKind.WRONG_END and count > 1:
        # Mostly the fraction is counted back from the next inch (our estimate).
        return [0.7, *[0.3 / (count - 1)] * (count - 1)]
    return [1.0 / count] * count


def is_off_scale(reading: Reading) -> bool:
    """Whether no tape in the unit written has a line there: 152.1 in, 59.875 cm."""
    length = _written(reading)
    if length is None:
        return False
    grain = {"mm": Fraction(1, 2), "cm": Fraction(1, 20), "m": Fraction(1, 2000)}
    if length.unit in grain:
        unit_mm = {"mm": 1, "cm": 10, "m": 1000}[length.unit]
        return (length.mm / unit_mm / grain[length.unit]).denominator != 1
    return (length.inches * _FINEST).denominator != 1


def _misread(length: Length) -> Iterator[tuple[SlipKind, Fraction]]:
    if length.unit in ("in", "ft-in"):
        inches = length.inches
        whole = inches.numerator // inches.denominator
        fraction = inches - whole
        if (fraction * _FINEST).denominator == 1:
            # a decimal that no tape has a line for was not read as a fraction
            yield from _fraction_slips(whole, fraction)
        rest, unit_mm = fraction, Fraction(254, 10)
    else:
        unit_mm = Fraction({"mm": 1, "cm": 10, "m": 1000}[length.unit])
        value = length.mm / unit_mm
        whole = value.numerator // value.denominator
        rest = value - whole
    if length.unit in ("in", "mm", "cm"):
        for kind, other in _whole_number_slips(whole):
            yield kind, (other + rest) * unit_mm


def _fraction_slips(whole: int, fraction: Fraction) -> Iterator[tuple[SlipKind, Fraction]]:
    inch = Fraction(254, 10)
    if fraction == 0:
        for count in range(1, _GRADUATIONS):
            yield SlipKind.FRACTION_DROPPED, (whole + Fraction(count, _GRADUATIONS)) * inch
        return
    if fraction != Fraction(1, 2):  # a half is a half from either end
        yield SlipKind.WRONG_END, (whole + 1 - fraction) * inch
        yield SlipKind.WRONG_END, (whole - fraction) * inch
    yield SlipKind.EIGHTHS, (whole + fraction / 2) * inch
    if fraction < Fraction(1, 2):
        yield SlipKind.EIGHTHS, (whole + fraction * 2) * inch


def _whole_number_slips(whole: int) -> Iterator[tuple[SlipKind, int]]:
    digits = str(whole)
    for place in range(len(digits) - 1):
        swapped = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
        if swapped[0] != "0":
            yield SlipKind.DIGITS_SWAPPED, int(swapped)
    for place, digit in enumerate(digits):
        if digit in "69":
            other = "9" if digit == "6" else "6"
            yield SlipKind.WRONG_END, int(digits[:place] + other + digits[place + 1 :])
    tens, units = divmod(whole, 10)
    if tens == 1 and units >= 3:
        yield SlipKind.MISHEARD, units * 10
    if units == 0 and 3 <= tens <= 9:
        yield SlipKind.MISHEARD, 10 + tens


def _written(reading: Reading) -> Length | None:
    bare_unit = reading.unit if reading.unit in BARE_UNITS else None
    try:
        return parse_length(reading.text, bare_unit)
    except LengthError:
        return None  # a reading made from a number alone has no text to misread


def _as_written(reading: Reading, mm: float) -> str | None:
    """In the reading's own unit and no coarser than 1/16 in; None below zero."""
    if mm <= 0:
        return None
    length = _written(reading)
    denominator = max((length.denominator or 0) if length else 0, _GRADUATIONS)
    if reading.unit == "in":
        return inches_text(mm, denominator)
    if reading.unit == "ft-in":
        return feet_inches_text(mm, denominator)
    size, places = {"mm": (1, 1), "cm": (10, 2), "m": (1000, 4)}[reading.unit]
    digits = f"{mm / size:.{places}f}".rstrip("0").rstrip(".")
    return f"{digits} {reading.unit}"


def _in_other_unit(mm: float) -> str:
    return f"{round(mm, 1):g} mm"
