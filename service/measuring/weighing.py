"""Every kind of slip weighed: rate times the density of the reading under it.

Each kind says where the true value lies if that slip was made: a step from the reading (an inch
short), one of several values (digits swapped), anywhere in a range (the case length), or at another
size altogether. Everything else in the network says where it lies, by deletion of this reading.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.candidates import (
    Candidate,
    is_off_scale,
    step_candidates,
    text_candidates,
)
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH, InstrumentKind
from service.measuring.reading import Reading
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind

# How far a wrong mark, or a slip of no listed kind, puts a reading: mean of a two-sided
# exponential (our estimates). A wrong mark is on something beside the right thing.
_MARK_REACH_MM: Final = 2 * MM_PER_INCH
_UNLISTED_REACH_MM: Final = 8 * MM_PER_INCH
_FILLED: Final = 0.5
"""How likely a value is another box's when that box holds its own already (our estimate)."""
_COPIED: Final = 0.5
"""Part of these that hold the same writing twice: a line skipped when a list is copied, or one
number typed into two boxes. In the rest the other size was taped twice (our estimate)."""
_BESIDE: Final = 0.8
"""Part of the wrong boxes that are next in order, opposite, or of the same name (our estimate)."""
_NOMINALS: Final = (30, 32, 36, 42, 48, 54, 60, 66, 72)
_NOMINAL_OVER: Final = (0.75, 2.0)
_OFF_SCALE: Final = 20.0
"""How much likelier a wrong unit is when the value is on no line of a scale in that unit."""
_REPEAT: Final = 0.1
"""How likely the same slip is made again when a reading is repeated (our estimate)."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """One kind of slip: rate times the density of the reading under it, per mm.

    ``meant`` is what was to be written, ``where`` the box that the value belongs to; ``vague``
    slips fit any value over a wide range; ``off`` is how far the value is from the kind's own, in
    standard deviations.
    """

    kind: SlipKind
    weight: float
    meant: str | None = None
    where: str | None = None
    vague: bool = False
    off: float = 0.0


def ranked_slips(
    reading: Reading,
    truth: Estimate,
    others: Mapping[str, Estimate],
    book: SlipBook,
    witnesses: int = 1,
    filled: Collection[str] = (),
    same: Collection[str] = (),
) -> list[Weighed]:
    """At least two kinds, the heaviest first; parameters as of `slips.suspect_slip`."""
    tape_mm = reading.uncertainty.u_mm
    spread = math.hypot(tape_mm, truth.u_mm)
    repeated = _REPEAT ** (witnesses - 1)
    off_mm = reading.mm - truth.mm
    weighed = [
        _anywhere(SlipKind.PHOTO_MARK, off_mm, _MARK_REACH_MM, book),
        _anywhere(SlipKind.UNLISTED, off_mm, _UNLISTED_REACH_MM, book, repeated),
    ]
    candidates = [
        *step_candidates(reading, book.hold_down_mm, book.step_mm, book.heights),
        *text_candidates(reading),
        *(
            Candidate(e.kind, reading.mm - e.step_mm, e.share, e.spread_mm)
            for e in book.elsewhere.get(reading.dimension, ())
        ),
    ]
    off_scale = is_off_scale(reading)
    for kind in dict.fromkeys(candidate.kind for candidate in candidates):
        own = [candidate for candidate in candidates if candidate.kind is kind]
        rate = book.weight(kind) * repeated
        if kind is SlipKind.UNITS and off_scale:
            rate *= _OFF_SCALE
        weighed.append(_weigh(kind, own, rate, truth.mm, spread))
    weighed.append(_case_length(reading, truth.mm, spread, book, repeated))
    weighed.append(_other_height(reading, truth, others, book, repeated))
    weighed.append(_nominal(reading, truth.mm, spread, book))
    weighed.append(_wrong_box(reading, others, filled, same, book, repeated))
    return sorted(weighed, key=lambda found: -found.weight)


def _anywhere(
    kind: SlipKind, off_mm: float, reach_mm: float, book: SlipBook, repeated: float = 1.0
) -> Weighed:
    density = math.exp(-abs(off_mm) / reach_mm) / (2 * reach_mm)
    return Weighed(kind, book.weight(kind) * repeated * density)


def _weigh(
    kind: SlipKind, candidates: Sequence[Candidate], rate: float, truth_mm: float, spread: float
) -> Weighed:
    def density(candidate: Candidate) -> float:
        wide = math.hypot(spread, candidate.spread_mm)
        # A reading that is a multiple of the truth spreads by that multiple.
        return candidate.share * _density(candidate.mm - truth_mm, wide) * candidate.stretch

    heaviest = max(candidates, key=density)
    off = abs(heaviest.mm - truth_mm) / math.hypot(
        spread * max(heaviest.stretch, 1.0), heaviest.spread_mm
    )
    return Weighed(kind, rate * sum(map(density, candidates)), heaviest.meant, off=off)


def _case_length(
    reading: Reading, truth_mm: float, spread: float, book: SlipBook, repeated: float
) -> Weighed:
    """Case of a tape, or body of a laser meter, left out: 2 3/4 to 5 in short."""
    laser = reading.instrument.kind is InstrumentKind.LASER
    kind = SlipKind.LASER_FRONT if laser else SlipKind.CASE_LENGTH
    low, high = 2.75 * MM_PER_INCH, 5.0 * MM_PER_INCH
    if book.case_mm is not None:
        low, high = book.case_mm - MM_PER_INCH / 16, book.case_mm + MM_PER_INCH / 16
    short = truth_mm - reading.mm
    inside = _below((high - short) / spread) - _below((low - short) / spread)
    weight = book.weight(kind) * repeated * inside / (high - low)
    return Weighed(kind, weight, vague=book.case_mm is None)


def _other_height(
    reading: Reading,
    truth: Estimate,
    others: Mapping[str, Estimate],
    book: SlipBook,
    repeated: float,
) -> Weighed:
    """Taken somewhere between its own height and the next, up or down."""
    kind = SlipKind.OTHER_HEIGHT
    near = [others[n] for n in book.next_heights.get(reading.dimension, ()) if n in others]
    weight = 0.0
    for other in near:
        low, high = sorted((truth.mm, other.mm))
        reach = max(high - low, MM_PER_INCH / 16)
        spread = math.hypot(reading.uncertainty.u_mm, max(truth.u_mm, other.u_mm))
        low, high = (low + high - reach) / 2, (low + high + reach) / 2
        inside = _below((high - reading.mm) / spread) - _below((low - reading.mm) / spread)
        weight += book.weight(kind) * repeated * inside / reach / len(near)
    return Weighed(kind, weight, vague=True)


def _wrong_box(
    reading: Reading,
    others: Mapping[str, Estimate],
    filled: Collection[str],
    same: Collection[str],
    book: SlipBook,
    repeated: float,
) -> Weighed:
    """The reading is right, but of another dimension."""
    if not others:
        return Weighed(SlipKind.WRONG_BOX, 0.0)

    tape_mm = reading.uncertainty.u_mm
    near = [name for name in book.beside.get(reading.dimension, ()) if name in others]
    rates = {side: box_rate(book, side, len(near), len(others)) for side in (False, True)}

    def weight(name: str) -> float:
        other = others[name]
        taped = _density(reading.mm - abs(other.mm), math.hypot(tape_mm, other.u_mm))
        if name not in filled:
            return rates[name in near] * taped
        # A copy is the same to the graduation: a probability, spread over one of them.
        copied = 1 / _graduation_mm(reading) if name in same else 0.0
        return rates[name in near] * _FILLED * (_COPIED * copied + (1 - _COPIED) * taped)

    weights = {name: weight(name) for name in others}
    where = max(weights, key=lambda name: weights[name])
    off = abs(reading.mm - abs(others[where].mm)) / math.hypot(tape_mm, others[where].u_mm)
    return Weighed(SlipKind.WRONG_BOX, repeated * sum(weights.values()), None, where, off=off)


def _graduation_mm(reading: Reading) -> float:
    return MM_PER_INCH / 16 if reading.unit in ("in", "ft-in") else 1.0


def box_rate(book: SlipBook, beside: bool, near: int, count: int) -> float:
    """Rate of the wrong boxes that falls to one box, beside or not, of ``near`` and ``count``."""
    rate = book.weight(SlipKind.WRONG_BOX)
    if near in (0, count):
        return rate / max(count, 1)
    return rate * (_BESIDE / near if beside else (1 - _BESIDE) / (count - near))


def _nominal(reading: Reading, truth_mm: float, spread: float, book: SlipBook) -> Weighed:
    """A whole number of inches that things are called by: the real size is 3/4 to 2 in less.

    60 x 30 is stud to stud; tile to tile is 58 to 59 1/4 on the long side (common practice).
    """
    inches = reading.mm / MM_PER_INCH
    if reading.unit not in ("in", "ft-in") or round(inches, 6) not in _NOMINALS:
        return Weighed(SlipKind.NOMINAL, 0.0)
    low, high = (part * MM_PER_INCH for part in _NOMINAL_OVER)
    over = reading.mm - truth_mm
    inside = _below((high - over) / spread) - _below((low - over) / spread)
    # Whoever writes the name writes just it: a probability, spread over one graduation.
    return Weighed(SlipKind.NOMINAL, book.weight(SlipKind.NOMINAL) * inside * 16 / MM_PER_INCH)


def _density(difference: float, spread: float) -> float:
    """Normal, with one part in twenty three times as wide.

    Uncertainties are themselves only estimates: a reading 3 sigma from an inch is still likelier
    an inch than anything at all.
    """
    z_squared = (difference / spread) ** 2
    near, far = math.exp(-0.5 * z_squared), math.exp(-0.5 * z_squared / 9) / 3
    return (0.95 * near + 0.05 * far) / (spread * math.sqrt(2 * math.pi))


def _below(z: float) -> float:
    """Part of a normal distribution below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))
