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
from dataclasses import dataclass
from typing import Final

from service.measuring.candidates import Candidate, step_candidates, text_candidates
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH, InstrumentKind
from service.measuring.reading import Reading
from service.measuring.slip_kinds import INSTALLER_RATES, SlipKind, wording

_MOST_ODDS: Final = 1e6
# How far a wrong mark, or a slip of no listed kind, puts a reading: mean of a two-sided
# exponential (our estimates). A wrong mark is on something beside the right thing.
_MARK_REACH_MM: Final = 2 * MM_PER_INCH
_UNLISTED_REACH_MM: Final = 8 * MM_PER_INCH
_FILLED: Final = 0.5
"""How likely a value is another box's when that box holds its own already (our estimate)."""
_REPEAT: Final = 0.1
"""How likely the same slip is made again when a reading is repeated (our estimate)."""


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
    heights
        Names of the dimensions that a forgotten hold-down can be in.
    """

    rates: Mapping[SlipKind, float]
    hold_down_mm: float = 0.75 * MM_PER_INCH
    step_mm: float = 0.375 * MM_PER_INCH
    heights: frozenset[str] = frozenset()


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
    """

    reading: str
    kind: SlipKind
    meant: str | None
    odds: float
    runner_up: str | None
    text: str


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
    clear_odds: float = 10.0,
    witnesses: int = 1,
    filled: Collection[str] = (),
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
    clear_odds
        Least odds at which a kind is named.
    witnesses
        Readings that say the same as this one. Each further one makes a slip of the tape less
        likely, and a wrong mark in the photo no less.
    filled
        Those of ``others`` whose own box holds a reading that fits: a reading put into the wrong
        box mostly leaves its own empty.
    """
    ranked = _ranked(reading, truth, others, book, witnesses, filled)
    best, runner_up = ranked[0], ranked[1]
    odds = min(best.weight / max(runner_up.weight, 1e-300), _MOST_ODDS)
    nameable = best.kind not in (SlipKind.UNLISTED, SlipKind.TAKE_AGAIN)
    if not nameable or odds < clear_odds:
        likeliest = runner_up.kind if not nameable else best.kind
        return take_again(reading, odds, likeliest)
    meant = best.meant
    shown = meant if meant is not None else best.where
    return Suspect(
        reading.id, best.kind, meant, odds, str(runner_up.kind), wording(best.kind, shown)
    )


@dataclass(frozen=True, slots=True)
class _Weighed:
    kind: SlipKind
    weight: float
    meant: str | None = None
    where: str | None = None


def _ranked(
    reading: Reading,
    truth: Estimate,
    others: Mapping[str, Estimate],
    book: SlipBook,
    witnesses: int,
    filled: Collection[str],
) -> list[_Weighed]:
    """At least two kinds, the heaviest first."""
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
    ]
    for kind in dict.fromkeys(candidate.kind for candidate in candidates):
        own = [candidate for candidate in candidates if candidate.kind is kind]
        rate = _rate(book, kind) * repeated
        weighed.append(_weigh(kind, own, rate, truth.mm, spread))
    weighed.append(_case_length(reading, truth.mm, spread, book, repeated))
    weighed.append(_wrong_box(reading, others, filled, tape_mm, book, repeated))
    return sorted(weighed, key=lambda found: -found.weight)


def _rate(book: SlipBook, kind: SlipKind) -> float:
    return book.rates.get(kind, 0.0)


def _anywhere(
    kind: SlipKind, off_mm: float, reach_mm: float, book: SlipBook, repeated: float = 1.0
) -> _Weighed:
    density = math.exp(-abs(off_mm) / reach_mm) / (2 * reach_mm)
    return _Weighed(kind, _rate(book, kind) * repeated * density)


def _weigh(
    kind: SlipKind, candidates: Sequence[Candidate], rate: float, truth_mm: float, spread: float
) -> _Weighed:
    def density(candidate: Candidate) -> float:
        wide = math.hypot(spread, candidate.spread_mm)
        # A reading that is a multiple of the truth spreads by that multiple.
        return candidate.share * _density(candidate.mm - truth_mm, wide) * candidate.stretch

    heaviest = max(candidates, key=density)
    return _Weighed(kind, rate * sum(map(density, candidates)), heaviest.meant)


def _case_length(
    reading: Reading, truth_mm: float, spread: float, book: SlipBook, repeated: float
) -> _Weighed:
    """Case of a tape, or body of a laser meter, left out: 2 3/4 to 5 in short."""
    laser = reading.instrument.kind is InstrumentKind.LASER
    kind = SlipKind.LASER_FRONT if laser else SlipKind.CASE_LENGTH
    low, high = 2.75 * MM_PER_INCH, 5.0 * MM_PER_INCH
    short = truth_mm - reading.mm
    inside = _below((high - short) / spread) - _below((low - short) / spread)
    return _Weighed(kind, _rate(book, kind) * repeated * inside / (high - low))


def _wrong_box(
    reading: Reading,
    others: Mapping[str, Estimate],
    filled: Collection[str],
    tape_mm: float,
    book: SlipBook,
    repeated: float,
) -> _Weighed:
    """The reading is right, but of another dimension."""
    if not others:
        return _Weighed(SlipKind.WRONG_BOX, 0.0)

    def weight(name: str) -> float:
        other = others[name]
        share = _FILLED if name in filled else 1.0
        return share * _density(reading.mm - abs(other.mm), math.hypot(tape_mm, other.u_mm))

    weights = {name: weight(name) for name in others}
    rate = _rate(book, SlipKind.WRONG_BOX) * repeated / len(others)
    where = max(weights, key=lambda name: weights[name])
    return _Weighed(SlipKind.WRONG_BOX, rate * sum(weights.values()), None, where)


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
