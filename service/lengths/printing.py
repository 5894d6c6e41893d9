"""Rounding to a graduation, and the text of a rounded length."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final, Literal, TypeAlias

Direction: TypeAlias = Literal["nearest", "down", "up"]

MM_PER_INCH: Final = Fraction(254, 10)
"""Exact since the 1959 agreement (NIST SP 811, appendix B.8)."""

_FLOAT_GRAIN: Final = 1_000_000
"""Parts of a millimetre to which a float is taken. Every 1/64 in is a whole number of them, so
that a float which means 59 3/4 in is not rounded *down* to 59 11/16 for its last binary digit."""


def round_length(
    mm: Fraction | float, denominator: int, direction: Direction = "nearest"
) -> Fraction:
    """Inches, on a graduation of ``1/denominator`` in.

    Parameters
    ----------
    mm
        Millimetres; a float is taken to the nearest 0.000001 mm.
    denominator
        Graduations per inch, at least 1.
    direction
        ``nearest``: exactly midway goes to the graduation whose value is even (NIST Handbook 44,
        section 10.3). ``down`` and ``up``: towards minus and plus infinity; for what must not be
        longer, or not be smaller, than it was worked out to be.

    Raises
    ------
    ValueError
        For a length that is not finite, a denominator below 1 or another direction.
    """
    if denominator < 1:
        raise ValueError(f"denominator {denominator}: expected 1 or more graduations per inch")
    graduations = _exact_mm(mm) / MM_PER_INCH * denominator
    if direction == "nearest":
        return Fraction(round(graduations), denominator)  # half to even
    if direction == "down":
        return Fraction(math.floor(graduations), denominator)
    if direction == "up":
        return Fraction(math.ceil(graduations), denominator)
    raise ValueError(f"direction {direction!r}: expected nearest, down or up")


def inches_text(
    mm: Fraction | float,
    denominator: int = 16,
    direction: Direction = "nearest",
    mark: str = "",
) -> str:
    """Inches and a fraction in lowest terms: ``59 7/8``, with ``mark`` behind it.

    Examples
    --------
    >>> inches_text(1520.8)
    '59 7/8'
    >>> inches_text(12.7, mark='"')
    '1/2"'
    """
    inches = round_length(mm, denominator, direction)
    return f"{_sign(inches)}{_mixed(abs(inches))}{mark}"


def feet_inches_text(
    mm: Fraction | float, denominator: int = 16, direction: Direction = "nearest"
) -> str:
    """Feet and inches: ``4' 11 7/8"``; a zero inch is shown, below one foot there are no feet.

    Examples
    --------
    >>> feet_inches_text(1520.8)
    '4\\' 11 7/8"'
    >>> feet_inches_text(3048.0)
    '10\\' 0"'
    """
    inches = round_length(mm, denominator, direction)
    feet, rest = divmod(abs(inches), 12)
    field = f'{_mixed(rest, keep_zero=feet > 0)}"'
    return f"{_sign(inches)}{feet}' {field}" if feet else f"{_sign(inches)}{field}"


def mm_text(mm: Fraction | float) -> str:
    """Millimetres to one tenth, midway to the even tenth: ``1520.8 mm``."""
    tenths = round(_exact_mm(mm) * 10)
    whole, tenth = divmod(abs(tenths), 10)
    return f"{'-' if tenths < 0 else ''}{whole}.{tenth} mm"


def _exact_mm(mm: Fraction | float) -> Fraction:
    if isinstance(mm, Fraction):
        return mm
    if not math.isfinite(mm):
        raise ValueError(f"length {mm}: expected a finite number of millimetres")
    return Fraction(round(mm * _FLOAT_GRAIN), _FLOAT_GRAIN)


def _sign(inches: Fraction) -> str:
    return "-" if inches < 0 else ""


def _mixed(inches: Fraction, *, keep_zero: bool = False) -> str:
    whole, rest = divmod(inches, 1)
    if not rest:
        return str(whole)
    fraction = f"{rest.numerator}/{rest.denominator}"
    # After feet the inch field is kept: 4' 0 3/4", for 4' 3/4" is misread as 4 3/4.
    return f"{whole} {fraction}" if whole or keep_zero else fraction
