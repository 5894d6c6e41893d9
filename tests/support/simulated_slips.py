"""Slips as people make them: an honest reading, and what is written in its place.

Made from the words of the trade's list, in sixteenths of an inch, and sharing no code with the
hypotheses that are to find them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

import numpy as np
from numpy.random import Generator

from service.measuring.alcove.vocabulary import Role, Size

SIXTEENTH = Fraction(1, 16)
Made = Callable[[Fraction, Size, Generator], Fraction | str | None]


def written(inches: Fraction) -> str:
    """As a tape is read: ``28 1/16``."""
    whole, rest = divmod(inches, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def inch(true: Fraction, _size: Size, rng: Generator) -> Fraction:
    """Burnt, or taken off for nothing."""
    return true + int(rng.choice([-1, 1]))


def foot(true: Fraction, _size: Size, rng: Generator) -> Fraction:
    return true + int(rng.choice([-12, 12]))


def digits(true: Fraction, _size: Size, _rng: Generator) -> Fraction | None:
    """28 1/16 for 82 1/16; alike digits cannot be swapped."""
    whole, rest = divmod(true, 1)
    swapped = int(str(whole)[::-1])
    return None if whole < 10 or swapped == whole or str(whole)[-1] == "0" else swapped + rest


def unit(true: Fraction, _size: Size, rng: Generator) -> str:
    """Read in centimetres and written as inches, or the other way."""
    if rng.random() < 0.5:
        return f"{float(true) * 2.54:.1f} in"
    return f"{float(true):.4f} cm"


def dropped(true: Fraction, _size: Size, _rng: Generator) -> Fraction | None:
    """Twenty-nine and what?"""
    return Fraction(true // 1) if true % 1 >= Fraction(1, 4) else None


def upside_down(true: Fraction, _size: Size, _rng: Generator) -> Fraction | None:
    """The fraction counted from the next inch."""
    whole, rest = divmod(true, 1)
    return whole + 1 - rest if rest and abs(rest - Fraction(1, 2)) >= Fraction(1, 8) else None


def ten(true: Fraction, _size: Size, _rng: Generator) -> Fraction:
    return true - 10


def case(true: Fraction, _size: Size, rng: Generator) -> Fraction:
    return true - Fraction(round(rng.uniform(2.75, 5) * 16), 16)


def hold_down(true: Fraction, size: Size, rng: Generator) -> Fraction | None:
    return true + Fraction(3, 4) * int(rng.choice([-1, 1])) if size.role is Role.HEIGHT else None


def unlisted(true: Fraction, _size: Size, rng: Generator) -> Fraction:
    """Anything: a two-sided exponential of 8 in, at least 1/2 in."""
    off = float(rng.exponential(8.0)) + 0.5
    return true + Fraction(round(off * 16), 16) * int(rng.choice([-1, 1]))


KINDS: Mapping[str, tuple[Made, float]] = {
    "inch": (inch, 3),
    "foot": (foot, 0.5),
    "digits swapped": (digits, 1),
    "units": (unit, 0.3),
    "fraction dropped": (dropped, 2),
    "fraction from the wrong end": (upside_down, 3),
    "ten inches": (ten, 1),
    "case length": (case, 2),
    "hold-down": (hold_down, 4),
}
"""Each with its installer's rate per 1,000; wrong boxes are made over several readings at once."""
BOX = "wrong box"
BOX_RATE = 3.0
NONE = "no listed kind"


def drawn_kind(rng: Generator, unlisted_share: float = 0.1) -> str:
    """A kind at the rates of the trade, one in ten of no listed kind."""
    if rng.random() < unlisted_share:
        return NONE
    names = [*KINDS, BOX]
    rates = np.array([*(rate for _, rate in KINDS.values()), BOX_RATE])
    return names[int(rng.choice(len(names), p=rates / rates.sum()))]


def slipped(kind: str, true: Fraction, size: Size, rng: Generator) -> str | None:
    """What is written under a slip of this kind; None where the size cannot have it."""
    make = unlisted if kind == NONE else KINDS[kind][0]
    value = make(true, size, rng)
    if isinstance(value, str):
        return value
    return written(value) if value is not None and value > 0 and value != true else None
