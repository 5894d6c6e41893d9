"""How far a reading can be trusted: the tape's class, its graduation, and how it was held.

Three components, kept apart because they behave apart:

* the **class** of the tape, its maximum permissible error: the same tape errs the same way each
  time, so this part is *systematic* and repeating the reading does not shrink it;
* the **graduation**, read to the nearest line: random, half-width half a graduation;
* the **setting**, how the ends were found: random, half-width by method.

Each half-width h is a rectangular limit, u = h / sqrt 3 (GUM 4.3.7).

The trade gives whole-reading limits (1/16 in hook to mark, 1/8 in bent into a corner). Class II
with its hook and 1/16 in lines already make U = 1.39 mm at 60 in, which *is* the trade's 1/16 in
(1.59 mm): hook to mark therefore adds no setting of its own, or the same doubt would count twice.
The other methods add what their limit holds beyond that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

MM_PER_INCH: Final = 25.4
_MM_PER_FOOT: Final = 304.8
WIDEST_GRADUATION_MM: Final = 100.0
_USUAL_GRADUATION_MM: Final = MM_PER_INCH / 16
WIDEST_TOLERANCE_MM: Final = 100.0
HB44_LONGEST_MM: Final = 100 * _MM_PER_FOOT
"""The longest tape that Handbook 44 tables."""


class InstrumentKind(StrEnum):
    """What a reading can be taken with."""

    TAPE = "tape"
    LASER = "laser"
    ROD = "rod"


class Method(StrEnum):
    """How the ends of a reading were found."""

    HOOK_TO_MARK = "hook to mark"
    BENT_INSIDE = "bent inside"
    MARK_AND_ADD = "mark and add"
    ROD = "rod"
    LASER_REAR = "laser rear"
    LASER_FRONT = "laser front"


class TapeClass(StrEnum):
    """Accuracy classes of OIML R 35-1, or the tolerances of NIST Handbook 44."""

    I = "I"  # noqa: E741 - the name of the class in the standard
    II = "II"
    III = "III"
    HB44 = "HB44"


@dataclass(frozen=True, slots=True)
class Instrument:
    """What a reading was taken with.

    Attributes
    ----------
    kind, method, tape_class
        As in the wall file; ``tape_class`` is meaningless for a laser or a rod.
    id
        Which one: readings with the same id share their systematic part. None is "not told", and
        readings that are not told apart are taken to share it.
    graduation_mm
        Distance between two lines of the scale, or the last digit of a display.
    tolerance_mm
        Half-width that a laser meter or a rod is stated to keep to (of a laser as ISO 16331-1 has
        it stated, for the light it is used in); None takes the usual 1/16 in. A tape has a class.
    """

    kind: InstrumentKind = InstrumentKind.TAPE
    id: str | None = None
    tape_class: TapeClass = TapeClass.II
    graduation_mm: float = _USUAL_GRADUATION_MM
    method: Method = Method.HOOK_TO_MARK
    tolerance_mm: float | None = None

    def __post_init__(self) -> None:
        self._check_tolerance()
        if not (
            math.isfinite(self.graduation_mm) and 0 < self.graduation_mm <= WIDEST_GRADUATION_MM
        ):
            raise ValueError(
                f"graduation {self.graduation_mm} mm: expected more than 0 and at most "
                f"{WIDEST_GRADUATION_MM:g} mm"
            )
        if self.method not in METHODS_OF_KIND[self.kind]:
            allowed = ", ".join(METHODS_OF_KIND[self.kind])
            raise ValueError(f"method {self.method!r} with a {self.kind}: expected {allowed}")

    def _check_tolerance(self) -> None:
        if self.tolerance_mm is None:
            return
        if self.kind is InstrumentKind.TAPE:
            raise ValueError("tolerance of a tape: expected none, a tape has a class")
        if not (math.isfinite(self.tolerance_mm) and 0 < self.tolerance_mm <= WIDEST_TOLERANCE_MM):
            raise ValueError(
                f"tolerance {self.tolerance_mm} mm: expected more than 0 and at most "
                f"{WIDEST_TOLERANCE_MM:g} mm"
            )


@dataclass(frozen=True, slots=True)
class ReadingUncertainty:
    """Standard uncertainties, mm: what repeats with the instrument, and what does not."""

    systematic_mm: float
    random_mm: float

    @property
    def u_mm(self) -> float:
        return math.hypot(self.systematic_mm, self.random_mm)


METHODS_OF_KIND: Final = {
    InstrumentKind.TAPE: (Method.HOOK_TO_MARK, Method.BENT_INSIDE, Method.MARK_AND_ADD),
    InstrumentKind.LASER: (Method.LASER_REAR, Method.LASER_FRONT),
    InstrumentKind.ROD: (Method.ROD,),
}
METHOD_OF_KIND: Final = {kind: methods[0] for kind, methods in METHODS_OF_KIND.items()}
"""The method meant when only the kind of instrument is told."""

_R35_A_B_C_MM: Final = {
    TapeClass.I: (0.1, 0.1, 0.1),
    TapeClass.II: (0.3, 0.2, 0.2),
    TapeClass.III: (0.6, 0.4, 0.3),
}
_HB44_FEET_AND_INCHES: Final = ((6, 1 / 32), (30, 1 / 16), (55, 1 / 8), (80, 3 / 16), (100, 1 / 4))

# Half-widths of the setting, mm: what the trade's limit for the method holds beyond class and
# graduation (common practice; see the head of the file).
_BENT_INSIDE_MM: Final = MM_PER_INCH / 8
_PENCIL_MARK_MM: Final = MM_PER_INCH / 32
_ROD_MM: Final = MM_PER_INCH / 16
# A laser meter's stated tolerance, 1.5 mm in good light as ISO 16331-1 has it stated, taken at
# the trade's 1/16 in. Its offset is the larger half of it and does not shrink by repeating; where
# another tolerance is stated, the offset has the same share of it.
_LASER_MM: Final = MM_PER_INCH / 16
_LASER_OFFSET_MM: Final = 1.0


def permissible_error_mm(length_mm: float, tape_class: TapeClass, *, hooked: bool) -> float:
    """Maximum permissible error of a tape over an interval, mm.

    Parameters
    ----------
    length_mm
        Length of the interval, above 0.
    tape_class
        R 35-1: (a + b L) with L in metres rounded **up** to the next whole metre, plus c when the
        interval starts at an end surface (hook or butt); OIML R 35-1:2007 clause 4, the same
        table in Directive 2014/32/EU annex X. Handbook 44: the table of section 5.52; a length
        between two rows takes the longer row, which is the safe side and our rule.
    hooked
        Whether the interval starts at the hook or butt.

    Raises
    ------
    ValueError
        For a length that is not above 0, or beyond the 100 ft of Handbook 44.
    """
    if not (math.isfinite(length_mm) and length_mm > 0):
        raise ValueError(f"length {length_mm} mm: expected more than 0")
    if tape_class is TapeClass.HB44:
        return _handbook_tolerance_mm(length_mm)
    a, b, c = _R35_A_B_C_MM[tape_class]
    whole_metres = math.ceil(length_mm / 1000 - 1e-9)
    return a + b * whole_metres + (c if hooked else 0.0)


def reading_uncertainty(length_mm: float, instrument: Instrument) -> ReadingUncertainty:
    """Standard uncertainty of one reading, by instrument and method.

    Examples
    --------
    >>> round(reading_uncertainty(60 * 25.4, Instrument()).u_mm, 3)
    0.693
    """
    if instrument.kind is InstrumentKind.LASER:
        stated_mm = _LASER_MM if instrument.tolerance_mm is None else instrument.tolerance_mm
        offset_mm = stated_mm * _LASER_OFFSET_MM / _LASER_MM
        spread_mm = max(math.sqrt(stated_mm**2 - offset_mm**2), _coarser_mm(instrument))
        return ReadingUncertainty(_rectangular(offset_mm), _rectangular(spread_mm))
    if instrument.kind is InstrumentKind.ROD:
        stated_mm = _ROD_MM if instrument.tolerance_mm is None else instrument.tolerance_mm
        return ReadingUncertainty(0.0, _rectangular(max(stated_mm, _coarser_mm(instrument))))
    reading = _rectangular(instrument.graduation_mm / 2)
    error_mm = permissible_error_mm(length_mm, instrument.tape_class, hooked=True)
    if instrument.method is Method.MARK_AND_ADD:
        # Two intervals: the part of the error that does not grow with length counts twice, two
        # lines are read, and a pencil mark stands between them.
        error_mm += permissible_error_mm(1.0, instrument.tape_class, hooked=False)
        random = math.hypot(reading, reading, _rectangular(_PENCIL_MARK_MM))
    elif instrument.method is Method.BENT_INSIDE:
        random = math.hypot(reading, _rectangular(_BENT_INSIDE_MM))
    else:
        random = reading
    return ReadingUncertainty(_rectangular(error_mm), random)


def _coarser_mm(instrument: Instrument) -> float:
    """Half-width of a last digit or line that is coarser than the usual one, which a stated
    tolerance holds already: a laser that shows 1.52 m says no more than that."""
    return instrument.graduation_mm / 2 if instrument.graduation_mm > _USUAL_GRADUATION_MM else 0.0


def _handbook_tolerance_mm(length_mm: float) -> float:
    for feet, inches in _HB44_FEET_AND_INCHES:
        if length_mm <= feet * _MM_PER_FOOT + 1e-6:
            return inches * MM_PER_INCH
    raise ValueError(f"length {length_mm} mm: Handbook 44 tables tapes up to 100 ft")


def _rectangular(half_width: float) -> float:
    return half_width / math.sqrt(3)
