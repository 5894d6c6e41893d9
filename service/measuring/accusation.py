"""Which slip, in which reading: the readings set aside together, and those that may be it instead.

Geometry alone often cannot tell readings apart, for setting any one of them aside mends the rest.
The kinds of slip often can: 3 7/8 cm is a unit, while no slip makes the pipe's other reading 9 in
too long. Each pair of a reading and a kind is one hypothesis about the whole network. Its weight is
the rate of the slip times the density of the reading under it, the others being honest, over the
density of the reading under no slip: chi² of what is then left, which compares across readings. Two
readings in one another's boxes are one hypothesis more, over both.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from service.measuring.adjustment import Adjustment
from service.measuring.believable import more_believable
from service.measuring.boxes import EXCHANGED, Boxes, box_rate
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH
from service.measuring.limits import Limits
from service.measuring.network import Network
from service.measuring.reading import Reading
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind, asking, wording
from service.measuring.slips import (
    MOST_ODDS,
    Choice,
    Suspect,
    choose,
    either_wording,
    log_of,
    log_sum,
    take_again,
)
from service.measuring.snooping import SetAside, Snooping
from service.measuring.weighing import Weighed, ranked_slips

_NO_RIVAL: Final = 10.0
"""A reading whose best slip is this much less likely (as a logarithm) is no rival any more: rates
and shares differ by less."""
_MOST_RIVALS: Final = 5
_FAR: Final = 6.0
"""Standard deviations: no reading is so far from the size that it was put down for."""
_SAME_MM: Final = 0.01
"""Two values no further apart are the same writing, whatever unit it is in."""
_LONGEST_MM: Final = 20 * 12 * MM_PER_INCH
"""No size of an alcove is longer: where the rest says so, it is the rest that is off."""
_PER: Final = 1000.0
"""Rates are per this many readings."""


@dataclass(frozen=True, slots=True)
class Accused:
    """One reading and, per hypothesis, the logarithm of its weight.

    ``truth`` is what the rest says of its dimension, as a magnitude.
    """

    row: int
    reading: Reading
    place: int
    truth: Estimate | None
    slips: tuple[tuple[float, Weighed], ...]

    @property
    def total(self) -> float:
        return log_sum([weight for weight, _ in self.slips])


@dataclass(frozen=True, slots=True)
class Accusation:
    """The readings that may be behind one conflict, the likeliest culprit first.

    The repeat of the likeliest tells most, too: it settles whether that reading was off, and the
    doubt in that is largest where its odds are nearest to even. A less likely one has at most what
    the likeliest leaves over, so that its odds are further from even.
    """

    accused: tuple[Accused, ...]

    def suspect(self, place: int, limits: Limits) -> Suspect:
        """What the report says beside one of its dimensions.

        The reading is accused only where it is clearly the likelier culprit; the kind is named
        where it is clear, be it in whichever reading.
        """
        own = next(one for one in self.accused if one.place == place)
        first = self.accused[0]
        choice = choose([pair for one in self.accused for pair in one.slips], limits.named_odds)
        near = [one for one in self.accused if first.total - one.total < self._clear(limits)]
        rest = tuple(one.reading.id for one in near if one is not own)
        again = first.reading.id
        if len(near) == 1 and own is not first:
            text = f"contradicts {again}, the likelier one to be off: take that again"
            return replace(take_again(own.reading, choice), text=text, again=again, either=())
        if not choice.named:
            return self._unclear(own, rest, choice)
        kind, runner_up = choice.slip.kind, str(choice.runner_up)
        if rest:
            said = f"this one or {', '.join(rest)}: {asking(kind)} Take {again} again first"
            return Suspect(
                own.reading.id, kind, None, choice.odds, runner_up, said, again, rivals=rest
            )
        slip = max((s for s in own.slips if s[1].kind is kind), key=lambda pair: pair[0])[1]
        odds = min(choice.odds, self._reading_odds())
        said = wording(kind, slip.meant if slip.meant is not None else slip.where)
        return Suspect(
            own.reading.id, kind, slip.meant, odds, runner_up, said, again, truth=own.truth
        )

    def _unclear(self, own: Accused, rest: Sequence[str], choice: Choice) -> Suspect:
        found = replace(take_again(own.reading, choice), rivals=tuple(rest))
        if not rest:
            return replace(found, again=own.reading.id, truth=own.truth)
        again = self.accused[0].reading.id
        text = f"contradicts {', '.join(rest)} and nothing tells which is off: take {again} again"
        if choice.either:
            text = f"this one or {', '.join(rest)}: {either_wording(choice.either, again)}"
        return replace(found, text=f"{text} first", again=again)

    @staticmethod
    def _clear(limits: Limits) -> float:
        return math.log(limits.clear_odds)

    def _reading_odds(self) -> float:
        if len(self.accused) < 2:
            return MOST_ODDS
        difference = self.accused[0].total - self.accused[1].total
        return min(math.exp(min(difference, 50.0)), MOST_ODDS)


def accusations(
    network: Network, found: Snooping, book: SlipBook
) -> dict[tuple[int, ...], Accusation]:
    """Every slip that may be behind each group set aside, weighed; by the group's rows.

    Repeats that slipped alike are left to `suspicion`.
    """
    weighed = {
        group.rows: _accused_of(network, found, group, book)
        for group in found.aside
        if group.clash or len(group.rows) == 1
    }
    crossed = dict(weighed)
    for one in weighed:
        for other in weighed:
            if one != other and _may_be_swapped(weighed[one], weighed[other]):
                swaps = _swaps_across(network, found, weighed, one, other, book)
                crossed[one] = [_with(accused, swaps) for accused in crossed[one]]
    return {
        rows: Accusation(tuple(sorted(accused, key=lambda of: -of.total)))
        for rows, accused in crossed.items()
    }


def seen_book(network: Network, dimension: str, book: SlipBook) -> SlipBook:
    """The book without wrong marks where no photo looked."""
    if network.photo is not None and dimension in network.photo.names:
        return book
    return replace(book, rates={**book.rates, SlipKind.PHOTO_MARK: 0.0})


def _with(accused: Accused, swaps: Mapping[int, list[tuple[float, Weighed]]]) -> Accused:
    return replace(accused, slips=(*accused.slips, *swaps.get(accused.row, ())))


def _accused_of(
    network: Network, found: Snooping, group: SetAside, book: SlipBook
) -> list[Accused]:
    elsewhere = [row for other in found.aside if other is not group for row in other.rows]
    base = network.solved.without(elsewhere)
    known = _known(network, base)
    accused = []
    for row in _rivals(network, base, group, elsewhere):
        one = _accused(network, base, row, elsewhere, book)
        swaps = _swaps(network, base, row, elsewhere, book, known)
        accused.append(replace(one, slips=(*one.slips, *swaps)))
    return accused


def _rivals(
    network: Network, base: Adjustment, group: SetAside, elsewhere: Sequence[int]
) -> list[int]:
    """The group's rows, and others whose slip could explain the conflict nearly as well."""
    w = np.abs(np.nan_to_num(base.w[: len(network.readings)]))
    w[list(elsewhere)] = 0.0
    best = float(w[list(group.rows)].max())
    order = [int(row) for row in np.argsort(-w) if (best**2 - w[row] ** 2) / 2 < _NO_RIVAL]
    further = [row for row in order if row not in group.rows]
    return [*group.rows, *further[: max(_MOST_RIVALS - len(group.rows), 0)]]


def _accused(
    network: Network, base: Adjustment, row: int, elsewhere: Sequence[int], book: SlipBook
) -> Accused:
    """Logarithms of the weights of one reading's slips, all other active ones being honest."""
    reading = network.readings[row]
    place = next(place for place, rows in enumerate(network.rows_of) if row in rows)
    known = _known(network, base.without([row]))
    truth = known.pop(reading.dimension, None)
    if truth is None or abs(truth.mm) - 3 * truth.u_mm > _LONGEST_MM:
        nothing = Weighed(SlipKind.UNLISTED, 1.0), Weighed(SlipKind.INCH, 0.0)
        return Accused(row, reading, place, None, ((0.0, nothing[0]), (-math.inf, nothing[1])))
    # Signed as the reading: a pipe found on the other side of the plumb line is below zero.
    turned = math.copysign(1.0, float(network.signed_mm[row]))
    meant = Estimate(turned * truth.mm, truth.u_mm)
    spread = math.hypot(reading.uncertainty.u_mm, truth.u_mm)
    honest = -0.5 * ((reading.mm - meant.mm) / spread) ** 2 - math.log(spread)
    honest -= more_believable(book, reading.dimension, abs(reading.mm), truth, known)
    own_book = seen_book(network, reading.dimension, book)
    slips = tuple(
        (log_of(slip.weight) - honest, slip)
        for slip in ranked_slips(
            reading, meant, _boxes(network, reading, known, elsewhere), own_book
        )
    )
    return Accused(row, reading, place, Estimate(abs(truth.mm), truth.u_mm), slips)


def _known(network: Network, rest: Adjustment) -> dict[str, Estimate]:
    """Every dimension that these observations give, by name."""
    return {
        name: Estimate(float(mm), math.sqrt(max(float(variance), 0.0)))
        for name, mm, variance in zip(network.names, rest.values, rest.variances, strict=True)
        if not math.isnan(mm)
    }


def _boxes(
    network: Network, reading: Reading, known: Mapping[str, Estimate], elsewhere: Sequence[int]
) -> Boxes:
    """Where else this reading may belong, those in other conflicts being in doubt."""
    aside = {network.readings[other].dimension for other in elsewhere}
    active = [r for r in network.readings if r.dimension not in aside]
    return Boxes(
        sizes={name: Estimate(abs(of.mm), of.u_mm) for name, of in known.items()},
        filled={r.dimension for r in active},
        same={r.dimension for r in active if abs(r.mm - reading.mm) < _SAME_MM},
        empty=network.empty,
        empty_share=network.empty_share,
    )


def _swaps(
    network: Network,
    base: Adjustment,
    row: int,
    elsewhere: Sequence[int],
    book: SlipBook,
    known: Mapping[str, Estimate],
) -> Iterator[tuple[float, Weighed]]:
    """This reading and another active one in one another's boxes."""
    out = {row, *elsewhere}
    for other, gain, off in _swapped_back(network, base, row):
        rate = _swap_rate(network, row, other, book)
        if other not in out and rate > 0:
            where = network.readings[other].dimension
            gain += _believable_swap(network, row, other, book, known)
            yield log_of(rate) + gain, Weighed(SlipKind.WRONG_BOX, rate, where=where, off=off)


def _may_be_swapped(one: Sequence[Accused], other: Sequence[Accused]) -> bool:
    """Whether two of these readings fit one another's sizes: most groups have no such pair."""
    return any(_fits(a, b) and _fits(b, a) for a in one for b in other)


def _fits(written: Accused, box: Accused) -> bool:
    if box.truth is None:
        return False
    spread = math.hypot(written.reading.uncertainty.u_mm, box.truth.u_mm)
    return abs(written.reading.mm - box.truth.mm) <= _FAR * spread


def _swaps_across(
    network: Network,
    found: Snooping,
    weighed: Mapping[tuple[int, ...], Sequence[Accused]],
    one: tuple[int, ...],
    other: tuple[int, ...],
    book: SlipBook,
) -> dict[int, list[tuple[float, Weighed]]]:
    """Swaps of a reading of one group with one of another: one slip where else there are two.

    In the scale of the first group's weights, where the second has any of its own slips.
    """
    elsewhere = [r for of in found.aside if of.rows not in (one, other) for r in of.rows]
    base = network.solved.without(elsewhere)
    known = _known(network, base)
    theirs = [(of.row, of.total - _gain(network, found, of, other)) for of in weighed[other]]
    swaps: dict[int, list[tuple[float, Weighed]]] = {}
    for of in weighed[one]:
        # Each two slips free two readings: what that takes from chi², and how likely they are.
        apart = log_sum([log + _freed(base, of.row, row) for row, log in theirs if row != of.row])
        own = _gain(network, found, of, one)
        for row, gain, off in _swapped_back(network, base, of.row):
            rate = _swap_rate(network, of.row, row, book)
            if row in other and rate > 0:
                where = network.readings[row].dimension
                slip = Weighed(SlipKind.WRONG_BOX, rate, where=where, off=off)
                gain += _believable_swap(network, of.row, row, book, known)
                weight = log_of(rate) + gain + own - apart + math.log(_PER)
                swaps.setdefault(of.row, []).append((weight, slip))
    return swaps


def _freed(base: Adjustment, one: int, other: int) -> float:
    """Half of the chi² that setting two readings free takes away."""
    both = np.array([one, other])
    pull, strength = base.weighted_residuals[both], base.information[np.ix_(both, both)]
    return 0.5 * float(pull @ np.linalg.pinv(strength, rcond=1e-9, hermitian=True) @ pull)


def _gain(network: Network, found: Snooping, accused: Accused, group: tuple[int, ...]) -> float:
    """Half of the chi² that setting this reading free takes away, the other groups aside."""
    elsewhere = [row for of in found.aside if of.rows != group for row in of.rows]
    w = float(np.nan_to_num(network.solved.without(elsewhere).w[accused.row]))
    return 0.5 * w**2


def _swapped_back(
    network: Network, base: Adjustment, row: int
) -> Iterator[tuple[int, float, float]]:
    """Other rows, what putting both back gains, and how far from a perfect fit it is.

    Put back, the observations move by a known amount d and chi² by 2 d'q + d'Md.
    """
    count = len(network.readings)
    back = network.signed_mm - network.signed_mm[row]
    q, power = base.weighted_residuals[:count], base.information[:count, :count]
    own, diagonal = power[row], np.diag(power)
    gain = -back * (q[row] - q) - 0.5 * back**2 * (own[row] - 2 * own + diagonal)
    # The most that any two values could gain in these two boxes.
    determinant = own[row] * diagonal - own**2
    whole = q[row] ** 2 * diagonal - 2 * q[row] * q * own + q**2 * own[row]
    regular = determinant > 1e-9 * own[row] * diagonal
    most = np.where(regular, 0.5 * whole / np.where(regular, determinant, 1.0), np.maximum(gain, 0))
    for other in np.flatnonzero((gain > 0) & (np.abs(back) > 1e-6)):
        if network.readings[other].dimension != network.readings[row].dimension:
            off = math.sqrt(max(float(most[other] - gain[other]), 0.0))
            yield int(other), float(gain[other]), off


def _believable_swap(
    network: Network, row: int, other: int, book: SlipBook, known: Mapping[str, Estimate]
) -> float:
    """What each of the two gains by having the other's value."""
    one, two = network.readings[row], network.readings[other]
    rest = {name: of for name, of in known.items() if name not in (one.dimension, two.dimension)}
    return sum(
        more_believable(book, own.dimension, own.mm, Estimate(of.mm, of.uncertainty.u_mm), rest)
        for own, of in ((one, two), (two, one))
    )


def _swap_rate(network: Network, row: int, other: int, book: SlipBook) -> float:
    """What of the wrong boxes of this pair are two readings exchanged."""
    one, two = (network.readings[r].dimension for r in (row, other))
    beside = book.beside.get(one, ())
    return box_rate(book, two in beside, len(beside), len(network.names) - 1) * EXCHANGED
