"""Every kind of slip weighed: rate times the density of the reading under it.

Each kind says where the true value lies if that slip was made: a step from the reading (an inch
short), one of several values (digits swapped), anywhere in a range (the case length), or at another
size altogether. Everything else in the network says where it lies, by deletion of this reading.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.boxes import Boxes, misplaced
from service.measuring.candidates import (
    Candidate,
    is_off_scale,
    step_candidates,
    text_candidates,
)
from service.measuring.densities import below, tailed_density
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH, InstrumentKind
from service.measuring.reading import Reading
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind

# How far a wrong mark, or a slip of no listed kind, puts a reading: mean of a two-sided
# exponential (our estimates). A wrong mark is on something beside the right thing.
_MARK_REACH_MM: Final = 2 * MM_PER_INCH
_UNLISTED_REACH_MM: Final = 8 * MM_PER_INCH
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
    boxes: Boxes,
    book: SlipBook,
    witnesses: int = 1,
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
        *step_candidates(reading, book),
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
    weighed.append(_other_height(reading, truth, boxes.sizes, book, repeated))
    weighed.append(_nominal(reading, truth.mm, spread, book))
    weighed.append(_wrong_box(reading, boxes, book, repeated))
    return sorted(weighed, key=lambda found: -found.weight)


def _anywhere(
    kind: SlipKind, off_mm: float, reach_mm: float, book: SlipBook, repeated: float = 1.0
) -> Weighed:
    density = math.exp(-abs(off_mm) / reach_mm) / (2 * reach_mm)
    return Weighed(kind, book.weight(kind) * repeated * density)


def _weigh(
    kind: SlipKind, candidates: Sequence[Candidate], rate: float, truth_mm: float, spread: float
) -> Weighed:
    def likelihood(candidate: Candidate) -> float:
        wide = math.hypot(spread, candidate.spread_mm)
        # A reading that is a multiple of the truth spreads by that multiple.
        return candidate.share * tailed_density(candidate.mm - truth_mm, wide) * candidate.stretch

    heaviest = max(candidates, key=likelihood)
    off = abs(heaviest.mm - truth_mm) / math.hypot(
        spread * max(heaviest.stretch, 1.0), heaviest.spread_mm
    )
    return Weighed(kind, rate * sum(map(likelihood, candidates)), heaviest.meant, off=off)


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
    inside = below((high - short) / spread) - below((low - short) / spread)
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
        inside = below((high - reading.mm) / spread) - below((low - reading.mm) / spread)
        weight += book.weight(kind) * repeated * inside / reach / len(near)
    return Weighed(kind, weight, vague=True)


def _wrong_box(reading: Reading, boxes: Boxes, book: SlipBook, repeated: float) -> Weighed:
    found = misplaced(reading, boxes, book)
    return Weighed(SlipKind.WRONG_BOX, repeated * found.weight, where=found.where, off=found.off)


def _nominal(reading: Reading, truth_mm: float, spread: float, book: SlipBook) -> Weighed:
    """A whole number of inches that things are called by: the real size is 3/4 to 2 in less.

    60 x 30 is stud to stud; tile to tile is 58 to 59 1/4 on the long side (common practice).
    """
    inches = reading.mm / MM_PER_INCH
    named = reading.unit in ("in", "ft-in") and round(inches, 6) in _NOMINALS
    if not named or SlipKind.NOMINAL in book.cannot.get(reading.dimension, ()):
        return Weighed(SlipKind.NOMINAL, 0.0)
    low, high = (part * MM_PER_INCH for part in _NOMINAL_OVER)
    over = reading.mm - truth_mm
    inside = below((high - over) / spread) - below((low - over) / spread)
    # Whoever writes the name writes just it: a probability, spread over one graduation.
    return Weighed(SlipKind.NOMINAL, book.weight(SlipKind.NOMINAL) * inside * 16 / MM_PER_INCH)
