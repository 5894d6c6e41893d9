"""What a conflicting reading was probably meant to be: slips as ranked hypotheses.

Each kind of slip says where the true value lies if that slip was made: a step from the reading (an
inch short), one of several values (digits swapped), anywhere in a range (the case length), or at
another size altogether. Its weight is the rate of the slip times the probability density of the
reading under it, given what everything else expects. A kind is named only when it is clearly
likelier than the next, "none of these" among them; otherwise the advice is to take the reading
again.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
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
from service.measuring.slip_kinds import INSTALLER_RATES, SlipKind, wording

MOST_ODDS: Final = 1e6
# How far a wrong mark, or a slip of no listed kind, puts a reading: mean of a two-sided
# exponential (our estimates). A wrong mark is on something beside the right thing.
_MARK_REACH_MM: Final = 2 * MM_PER_INCH
_UNLISTED_REACH_MM: Final = 8 * MM_PER_INCH
_LOOSE: Final = frozenset(
    {
        SlipKind.WRONG_REFERENCE,
        SlipKind.CAULK,
        SlipKind.BENT_TAPE,
        SlipKind.SHEET_EDGE,
        SlipKind.OTHER_HEIGHT,
        SlipKind.NOMINAL,
    }
)
_LOOSER: Final = 2.5
_VAGUER: Final = 5.0
_FITS: Final = 2.5
"""Standard deviations: a slip of a kind lands nearer to the kind's own value, 99 times in 100."""
_FILLED: Final = 0.5
"""How likely a value is another box's when that box holds its own already (our estimate)."""
_BESIDE: Final = 0.8
"""Part of the wrong boxes that are next in order, opposite, or of the same name (our estimate)."""
_NOMINALS: Final = (30, 32, 36, 42, 48, 54, 60, 66, 72)
_NOMINAL_OVER: Final = (0.75, 2.0)
_SWAPPED: Final = 100.0
"""How much likelier a wrong box is when the other box holds this one's value (our estimate)."""
_OFF_SCALE: Final = 20.0
"""How much likelier a wrong unit is when the value is on no line of a scale in that unit."""
_REPEAT: Final = 0.1
"""How likely the same slip is made again when a reading is repeated (our estimate)."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What a reading would be if it was taken elsewhere: a step from the right value, mm."""

    kind: SlipKind
    step_mm: float
    share: float = 1.0
    spread_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class SlipBook:
    """What a shop expects to go wrong, and where.

    Attributes
    ----------
    rates
        Slips per 1,000 readings by kind; a kind left out does not happen.
    hold_down_mm
        From the finished top down to the level line: 3/4 in.
    step_mm
        How far the tile stands proud of the plaster: 3/8 in.
    case_mm
        Length of the tape's case, or of the meter, as it is printed on it; None: 2 3/4 to 5 in.
    heights
        Names of the dimensions that a forgotten hold-down can be in.
    elsewhere
        Per dimension, where else its tape may have been: another height, the other side of the
        plumb line, a sheet's edge.
    beside
        Per dimension, the boxes that a value is likeliest put into or taken from by mistake.
    """

    rates: Mapping[SlipKind, float]
    hold_down_mm: float = 0.75 * MM_PER_INCH
    step_mm: float = 0.375 * MM_PER_INCH
    case_mm: float | None = None
    heights: frozenset[str] = frozenset()
    elsewhere: Mapping[str, Sequence[Elsewhere]] = field(default_factory=dict)
    beside: Mapping[str, Collection[str]] = field(default_factory=dict)


INSTALLER_BOOK: Final = SlipBook(INSTALLER_RATES)


@dataclass(frozen=True, slots=True)
class Suspect:
    """The likeliest slip behind a reading.

    Attributes
    ----------
    reading
        Its id.
    kind
        ``take again`` where no kind is clearly likelier than the rest.
    meant
        What was meant, as the reading was written; None where the kind does not say.
    odds
        Of the likeliest kind against the next.
    runner_up
        The next kind; of ``take again`` the likeliest one, which was not clear enough to be named.
    text
        As a colleague would say it.
    again
        Id of the reading whose repeat would tell most; its own, unless it contradicts another.
    """

    reading: str
    kind: SlipKind
    meant: str | None
    odds: float
    runner_up: str | None
    text: str
    again: str | None = None


def take_again(reading: Reading, odds: float = 1.0, runner_up: SlipKind | None = None) -> Suspect:
    """No kind is named: the reading has to be taken again."""
    kind = SlipKind.TAKE_AGAIN
    following = str(runner_up) if runner_up is not None else None
    return Suspect(reading.id, kind, None, odds, following, wording(kind))


def suspect_slip(
    reading: Reading,
    truth: Estimate,
    others: Mapping[str, Estimate],
    book: SlipBook = INSTALLER_BOOK,
    named_odds: float = 4.0,
    witnesses: int = 1,
    filled: Collection[str] = (),
    swapped: Collection[str] = (),
) -> Suspect:
    """The likeliest slip of one conflicting reading.

    Parameters
    ----------
    reading
        The reading, a magnitude.
    truth
        What everything that agrees says of its dimension, as a magnitude.
    others
        The same of the other dimensions, by name, for a value in the wrong box.
    book
        Rates and the shop's sizes.
    named_odds
        Least odds at which a sharp kind is named; a looser one needs more, up to five times.
    witnesses
        Readings that say the same as this one. Each further one makes a slip of the tape less
        likely, and a wrong mark in the photo no less.
    filled
        Those of ``others`` whose own box holds a reading that fits: a reading put into the wrong
        box mostly leaves its own empty.
    swapped
        Those of ``others`` whose own box holds a reading that fits this one.
    """
    return suspect_of(
        reading, ranked_slips(reading, truth, others, book, witnesses, filled, swapped), named_odds
    )


def suspect_of(reading: Reading, ranked: Sequence[Weighed], named_odds: float) -> Suspect:
    """The likeliest kind if it is clear, else the advice to take the reading again."""
    best, runner_up = ranked[0], ranked[1]
    odds = min(best.weight / max(runner_up.weight, 1e-300), MOST_ODDS)
    if not nameable(best.kind) or odds < needed_odds(best, named_odds):
        return take_again(reading, odds, best.kind if nameable(best.kind) else runner_up.kind)
    shown = best.meant if best.meant is not None else best.where
    said = wording(best.kind, shown)
    return Suspect(reading.id, best.kind, best.meant, odds, str(runner_up.kind), said)


def needed_odds(slip: Weighed, named_odds: float) -> float:
    """What a kind must beat the next by: the looser its size, the more; a poor fit never does."""
    if slip.off > _FITS:
        return math.inf
    if slip.vague:
        return named_odds * _VAGUER
    return named_odds * (_LOOSER if slip.kind in _LOOSE else 1.0)


def nameable(kind: SlipKind) -> bool:
    return kind not in (SlipKind.UNLISTED, SlipKind.TAKE_AGAIN)


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
    swapped: Collection[str] = (),
) -> list[Weighed]:
    """At least two kinds, the heaviest first; parameters as of `suspect_slip`."""
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
        rate = _rate(book, kind) * repeated
        if kind is SlipKind.UNITS and off_scale:
            rate *= _OFF_SCALE
        weighed.append(_weigh(kind, own, rate, truth.mm, spread))
    weighed.append(_case_length(reading, truth.mm, spread, book, repeated))
    weighed.append(_nominal(reading, truth.mm, spread, book))
    weighed.append(_wrong_box(reading, others, filled, swapped, tape_mm, book, repeated))
    return sorted(weighed, key=lambda found: -found.weight)


def _rate(book: SlipBook, kind: SlipKind) -> float:
    return book.rates.get(kind, 0.0)


def _anywhere(
    kind: SlipKind, off_mm: float, reach_mm: float, book: SlipBook, repeated: float = 1.0
) -> Weighed:
    density = math.exp(-abs(off_mm) / reach_mm) / (2 * reach_mm)
    return Weighed(kind, _rate(book, kind) * repeated * density)


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
    weight = _rate(book, kind) * repeated * inside / (high - low)
    return Weighed(kind, weight, vague=book.case_mm is None)


def _wrong_box(
    reading: Reading,
    others: Mapping[str, Estimate],
    filled: Collection[str],
    swapped: Collection[str],
    tape_mm: float,
    book: SlipBook,
    repeated: float,
) -> Weighed:
    """The reading is right, but of another dimension."""
    if not others:
        return Weighed(SlipKind.WRONG_BOX, 0.0)

    near = [name for name in book.beside.get(reading.dimension, ()) if name in others]
    rates = {side: box_rate(book, side, len(near), len(others)) for side in (False, True)}

    def weight(name: str) -> float:
        other = others[name]
        share = rates[name in near] * (_FILLED if name in filled else 1.0)
        share *= _SWAPPED if name in swapped else 1.0
        return share * _density(reading.mm - abs(other.mm), math.hypot(tape_mm, other.u_mm))

    weights = {name: weight(name) for name in others}
    where = max(weights, key=lambda name: weights[name])
    off = abs(reading.mm - abs(others[where].mm)) / math.hypot(tape_mm, others[where].u_mm)
    return Weighed(SlipKind.WRONG_BOX, repeated * sum(weights.values()), None, where, off=off)


def box_rate(book: SlipBook, beside: bool, near: int, count: int) -> float:
    """Rate of the wrong boxes that falls to one box, beside or not, of ``near`` and ``count``."""
    rate = _rate(book, SlipKind.WRONG_BOX)
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
    return Weighed(SlipKind.NOMINAL, _rate(book, SlipKind.NOMINAL) * inside * 16 / MM_PER_INCH)


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
