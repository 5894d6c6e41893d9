"""Slips as people make them: an honest reading, and what is written in its place.

Each kind is a law: given the honest reading, the chance of every text that may be written. Made
from the words of the trade's list, in sixteenths of an inch, and sharing no code with the
hypotheses that are to find them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from typing import Final

from numpy.random import Generator

from service.measuring.alcove.vocabulary import Role, Size

Law = Mapping[str, float]
SIXTEENTH: Final = Fraction(1, 16)
BOX: Final = "wrong box"
NONE: Final = "no listed kind"
UNLISTED_SHARE: Final = 0.1
"""Part of all slips that are of no listed kind."""

RATES: Final[Mapping[str, float]] = {
    "inch": 3,
    "foot": 0.5,
    "digits swapped": 1,
    "units": 0.3,
    BOX: 3,
    "misheard": 1,
    "ten inches": 1,
    "hold-down": 4,
    "fraction dropped": 2,
    "fraction from the wrong end": 3,
    "eighths for sixteenths": 2,
    "wrong reference": 5,
    "case length": 2,
    "caulk": 3,
    "bent tape": 10,
    "other height": 3,
    "mirrored": 5,
    "sheet edge": 4,
    "nominal": 0.5,
}
"""An installer's, per 1,000 readings in which the slip can happen."""
GOAL_KINDS: Final = ("inch", "foot", "digits swapped", BOX, "units")
"""Those that are to be named rightly in nine of ten."""

OUTCOMES: Final = ("exchanged", "own box left empty", "both boxes filled")
"""What comes of a wrong box, each as often: its own value goes into the other, too; that is never
filled; or both hold the one value. Nobody has counted them."""
ON_LISTED: Final = "on a listed kind's value"
OFF_LISTED: Final = "on none"
"""Whether a slip of no listed kind wrote, to an eighth, what one of a listed kind would have
written there: a reading and what the rest expects of it are each good to a sixteenth, so that
nothing in the readings can tell the two."""
UNTAPED_SHARE: Final = 0.02
"""Part of all boxes that are empty whatever was slipped in: one or two of an alcove's 74."""

_TO_A_WALL: Final = (Role.OFFSET, Role.WIDTH, Role.FIXTURE_FROM_CORNER)
_ADDED: Final[Mapping[str, tuple[Mapping[int, float], tuple[Role, ...]]]] = {
    "inch": ({16: 0.5, -16: 0.5}, ()),
    "foot": ({192: 0.5, -192: 0.5}, ()),
    "ten inches": ({-160: 1.0}, ()),
    "case length": ({-n: 1 / 37 for n in range(44, 81)}, ()),
    "hold-down": ({12: 0.5, -12: 0.5}, (Role.HEIGHT, Role.FIXTURE_DOWN, Role.LINE_TO_FLOOR)),
    "wrong reference": ({6: 0.5, -6: 0.5}, _TO_A_WALL),
    "caulk": ({-2: 1 / 3, -3: 1 / 3, -4: 1 / 3}, (*_TO_A_WALL, Role.HEIGHT)),
    "bent tape": (
        {**dict.fromkeys(range(1, 5), 0.7 / 4), **dict.fromkeys(range(-4, 0), 0.3 / 4)},
        (),
    ),
    "sheet edge": ({-6: 1.0}, (Role.FIXTURE_FROM_CORNER,)),
}
"""Sixteenths that are added, their chances, and the roles it can happen in (none: all)."""
_HEIGHTS: Final = 8
_NAMED: Final = (Role.WIDTH, Role.OPENING, Role.DEPTH)
"""A tub is called 60 by 30; no offset and no height has a name."""
_NOMINALS: Final = (30, 32, 36, 42, 48, 54, 60, 66, 72)


@dataclass(frozen=True)
class Taped:
    """An alcove's sizes and their honest readings, inches."""

    sizes: tuple[Size, ...]
    inches: tuple[Fraction, ...]

    @property
    def count(self) -> int:
        return len(self.sizes)


@cache
def written(inches: Fraction) -> str:
    """As a tape is read: ``28 1/16``."""
    whole, rest = divmod(inches, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def can_happen(kind: str, taped: Taped, place: int) -> bool:
    """Whether a slip of this kind can be made at this place at all."""
    true = taped.inches[place]
    if kind in _ADDED:
        offsets, roles = _ADDED[kind]
        longest = min(offsets) * SIXTEENTH
        return (not roles or taped.sizes[place].role in roles) and true + longest > 0
    return kind == NONE or bool(law(kind, taped, place, true))


def drawn(kind: str, taped: Taped, place: int, rng: Generator) -> str | None:
    """What is written under a slip of this kind; None where it comes to nothing."""
    true = taped.inches[place]
    if kind in _ADDED or kind == NONE:
        offsets = _unlisted() if kind == NONE else _ADDED[kind][0]
        steps = list(offsets)
        step = steps[int(rng.choice(len(steps), p=list(offsets.values())))]
        value = true + step * SIXTEENTH
        return written(value) if value > 0 else None
    texts = law(kind, taped, place, true)
    if not texts:
        return None
    chances = list(texts.values())
    total = sum(chances)
    return list(texts)[int(rng.choice(len(chances), p=[c / total for c in chances]))]


def behind(kind: str, taped: Taped, place: int, text: str, steps: range) -> dict[int, float]:
    """Chance of this text, by honest reading in sixteenths, of those in ``steps`` that allow it."""
    own = taped.sizes[place]
    if kind in _ADDED or kind == NONE:
        offsets, roles = (_unlisted(), ()) if kind == NONE else _ADDED[kind]
        at = _sixteenths(text)
        if at is None or (roles and own.role not in roles):
            return {}
        return {step: offsets[at - step] for step in steps if at - step in offsets}
    if kind == "nominal" and own.role not in _NAMED:
        return {}
    if kind in _TEXTS:
        return {step: p for step, p in _inverse(kind).get(text, {}).items() if step in steps}
    if own.role not in (Role.OFFSET, Role.FIXTURE_FROM_CORNER):
        return {}
    laws = {step: law(kind, taped, place, step * SIXTEENTH) for step in steps if step > 0}
    return {step: of[text] for step, of in laws.items() if text in of}


@cache
def _sixteenths(text: str) -> int | None:
    """Of a text as it is written in inches; None of a decimal or another unit."""
    if not all(part.replace("/", "").isdigit() for part in text.split()):
        return None
    steps = sum(Fraction(part) for part in text.split()) * 16
    return steps.numerator if steps.denominator == 1 else None


@cache
def _inverse(kind: str) -> Mapping[str, Mapping[int, float]]:
    """Of every text that a kind makes, the honest readings up to 100 in that it is made from."""
    found: dict[str, dict[int, float]] = {}
    for step in range(1, 1600):
        for text, share in _misread(kind, step * SIXTEENTH).items():
            found.setdefault(text, {})[step] = share
    return found


def law(kind: str, taped: Taped, place: int, true: Fraction) -> Law:
    """Of the kinds that do not merely add something: chance of each text."""
    if kind == BOX:
        return boxes(taped, place)
    if kind == "other height":
        return _other_height(taped, place, true)
    if kind == "mirrored":
        return _mirrored(taped, place, true)
    if kind == "nominal" and taped.sizes[place].role not in _NAMED:
        return {}
    return _misread(kind, true)


@cache
def _misread(kind: str, true: Fraction) -> Law:
    texts: dict[str, float] = {}
    for value, share in _TEXTS[kind](true):
        text = value if isinstance(value, str) else written(value)
        if text != written(true) and (isinstance(value, str) or value > 0):
            texts[text] = texts.get(text, 0.0) + share
    return texts


def on_or_off_listed(taped: Taped, place: int, text: str) -> str:
    """What came of a slip of no listed kind; ``text`` is in whole sixteenths of an inch."""
    at = Fraction(_sixteenths(text) or 0, 16)
    return (
        ON_LISTED
        if any(abs(at - v) <= 2 * SIXTEENTH for v in _listed(taped, place))
        else OFF_LISTED
    )


def _listed(taped: Taped, place: int) -> Iterator[Fraction]:
    """Every value, in inches, that a slip of a listed kind writes at this place."""
    true, role = taped.inches[place], taped.sizes[place].role
    for steps, roles in _ADDED.values():
        if not roles or role in roles:
            yield from (true + step * SIXTEENTH for step in steps)
    for kind in RATES:
        for text in law(kind, taped, place, true) if kind not in _ADDED else ():
            number, _, unit = text.rpartition(" ")
            if unit == "cm":
                yield Fraction(number) / Fraction(254, 100)
            else:
                yield (
                    Fraction(number)
                    if unit == "in"
                    else sum(map(Fraction, text.split()), Fraction())
                )


def boxes(taped: Taped, place: int) -> Law:
    """Three in four times what the box before or after holds, else what any other does."""
    texts: dict[str, float] = {}
    for other, value in enumerate(taped.inches):
        if other != place and value != taped.inches[place]:
            text = written(value)
            texts[text] = texts.get(text, 0.0) + box_share(taped.count, place, other)
    return texts


def box_share(count: int, place: int, other: int) -> float:
    """Chance that the box taken for this one is that."""
    beside = [p for p in (place - 1, place + 1) if 0 <= p < count]
    near = 0.75 / len(beside) if other in beside else 0.0
    return near + 0.25 / (count - 1)


Spoken = list[tuple[Fraction | str, float]]


def _digits(true: Fraction) -> Spoken:
    """28 1/16 for 82 1/16."""
    whole, rest = divmod(true, 1)
    return [] if whole < 10 or whole % 10 == 0 else [(int(str(whole)[::-1]) + rest, 1.0)]


def _units(true: Fraction) -> Spoken:
    """Read in centimetres and written as inches, or the other way."""
    return [(f"{float(true) * 2.54:.1f} in", 0.5), (f"{float(true):.4f} cm", 0.5)]


def _dropped(true: Fraction) -> Spoken:
    """Twenty-nine and what?"""
    return [(true - true % 1, 1.0)] if true % 1 and true >= 1 else []


def _wrong_end(true: Fraction) -> Spoken:
    """The fraction counted from the next inch; 6 for 9."""
    whole, rest = divmod(true, 1)
    found: Spoken = [] if rest in (0, Fraction(1, 2)) else [(whole + 1 - rest, 1.0)]
    digits = str(whole)
    if "6" in digits or "9" in digits:
        turned = int(digits.translate(str.maketrans("69", "96")))
        found.append((turned + rest, 0.25))
    return found


def _eighths(true: Fraction) -> Spoken:
    """Lines counted and called by the other name."""
    whole, rest = divmod(true, 1)
    found: Spoken = [(whole + 2 * rest, 1.0)] if 0 < rest < Fraction(1, 2) else []
    if rest and (rest / 2 * 16).denominator == 1:
        found.append((whole + rest / 2, 1.0))
    return found


def _misheard(true: Fraction) -> Spoken:
    """Fifteen, fifty."""
    whole, rest = divmod(true, 1)
    if 13 <= whole <= 19:
        return [((whole - 10) * 10 + rest, 1.0)]
    return [(10 + whole / Fraction(10) + rest, 1.0)] if whole in range(30, 100, 10) else []


def _nominal(true: Fraction) -> Spoken:
    """The name of a size that is 3/4 to 2 in less."""
    return [(Fraction(name), 1.0) for name in _NOMINALS if Fraction(3, 4) <= name - true <= 2]


_TEXTS: Final[Mapping[str, Callable[[Fraction], Spoken]]] = {
    "digits swapped": _digits,
    "units": _units,
    "fraction dropped": _dropped,
    "fraction from the wrong end": _wrong_end,
    "eighths for sixteenths": _eighths,
    "misheard": _misheard,
    "nominal": _nominal,
}


def _other_height(taped: Taped, place: int, true: Fraction) -> Law:
    """Somewhere towards the next station up or down the same side, any height as likely.

    Across the top of the tile the tape meets the one surface or the other, and nothing between.
    """
    own = taped.sizes[place]
    if own.role is not Role.OFFSET:
        return {}
    same = [p for p, s in enumerate(taped.sizes) if _one_edge(s, own)]
    at = same.index(place)
    near = [same[p] for p in (at - 1, at + 1) if 0 <= p < len(same)]
    texts: dict[str, float] = {}
    for other in near:
        alike = taped.sizes[other].surface is own.surface
        for part in range(1, _HEIGHTS + 1) if alike else (_HEIGHTS,):
            gone = (taped.inches[other] - true) * Fraction(part, _HEIGHTS)
            value = round(gone * 16) * SIXTEENTH
            if value:
                text = written(true + value)
                share = 1 / len(near) / (_HEIGHTS if alike else 1)
                texts[text] = texts.get(text, 0.0) + share
    return texts


def _one_edge(one: Size, other: Size) -> bool:
    return (one.wall, one.role, one.side) == (other.wall, other.role, other.side)


def _mirrored(taped: Taped, place: int, true: Fraction) -> Law:
    """A pipe as far on the other side of its plumb line, from the corner."""
    own = taped.sizes[place]
    if own.role is not Role.FIXTURE_FROM_CORNER:
        return {}
    plumb = _of(taped.sizes, Role.FIXTURE_FROM_PLUMB, own.fixture)
    value = true - 2 * taped.inches[plumb]
    return {written(value): 1.0} if value > 0 else {}


def _of(sizes: Sequence[Size], role: Role, fixture: str | None) -> int:
    return next(p for p, s in enumerate(sizes) if s.role is role and s.fixture == fixture)


@lru_cache(maxsize=1)
def _unlisted() -> Mapping[int, float]:
    """Anything: two-sided and exponential past 1/2 in, of 8 in on average beyond it."""
    fall = Fraction(127, 128)
    one_side = {8 + n: float(fall) ** n for n in range(16 * 60)}
    total = 2 * sum(one_side.values())
    return {sign * step: weight / total for step, weight in one_side.items() for sign in (1, -1)}
