"""Readings that contradict one another: which slip, in which of them, and which to take again.

Geometry cannot tell them apart, for setting any one of them aside mends the rest. The kinds of
slip often can: 3 7/8 cm is a unit, while no slip makes the pipe's other reading 9 in too long.
Each pair of a reading and a kind is one hypothesis. With the others honest, its weight is the rate
of the slip times the density of the reading under it, over the density of the reading under
no slip: what the rest says of it is the same for all pairs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.measuring.adjustment import Adjustment
from service.measuring.estimates import Estimate
from service.measuring.limits import Limits
from service.measuring.network import Network
from service.measuring.reading import Reading
from service.measuring.slip_kinds import SlipKind, wording
from service.measuring.slips import (
    MOST_ODDS,
    SlipBook,
    Suspect,
    Weighed,
    box_rate,
    nameable,
    needed_odds,
    ranked_slips,
    take_again,
)
from service.measuring.snooping import SetAside, Snooping


@dataclass(frozen=True, slots=True)
class Accused:
    """One reading of a clash and, per kind, the logarithm of its weight, the heaviest first."""

    reading: Reading
    place: int
    truth: Estimate | None
    slips: tuple[tuple[float, Weighed], ...]

    @property
    def total(self) -> float:
        return _log_sum([weight for weight, _ in self.slips])


@dataclass(frozen=True, slots=True)
class Clash:
    """The readings of one clash, the likeliest culprit first."""

    accused: tuple[Accused, ...]

    def suspect(self, place: int, limits: Limits) -> Suspect:
        """What the report says beside one of its dimensions.

        The reading is accused only where it is clearly the likelier culprit; the kind is named
        where it is clear, be it in whichever reading.
        """
        own = next(one for one in self.accused if one.place == place)
        first = self.accused[0]
        rest = ", ".join(one.reading.id for one in self.accused if one is not own)
        again = first.reading.id
        kind, kind_odds, runner_up = self._kind()
        reading_odds = self._reading_odds()
        unclear = replace(
            take_again(own.reading, kind_odds, kind if nameable(kind) else runner_up),
            text=f"contradicts {rest} and nothing tells which is off: take {again} again first",
            again=again,
        )
        if reading_odds >= limits.clear_odds and own is not first:
            return replace(
                unclear, text=f"contradicts {again}, the likelier one to be off: take that again"
            )
        own_kind = [pair for pair in first.slips if pair[1].kind is kind]
        slip = max(own_kind, key=lambda pair: pair[0])[1]
        if not nameable(kind) or kind_odds < needed_odds(slip, limits.named_odds):
            return unclear
        if reading_odds < limits.clear_odds:
            said = f"this one or {rest}: {wording(kind)} Take {again} again first"
            return Suspect(own.reading.id, kind, None, kind_odds, str(runner_up), said, again)
        odds = min(kind_odds, reading_odds)
        said = wording(kind, slip.meant if slip.meant is not None else slip.where)
        return Suspect(own.reading.id, kind, slip.meant, odds, str(runner_up), said, again)

    def _kind(self) -> tuple[SlipKind, float, SlipKind]:
        """The likeliest kind in any of the readings, its odds against the next, and that one."""
        weights: dict[SlipKind, list[float]] = {}
        for one in self.accused:
            for weight, slip in one.slips:
                weights.setdefault(slip.kind, []).append(weight)
        totals = [(_log_sum(w), kind) for kind, w in weights.items()]
        ranked = sorted(totals, key=lambda pair: -pair[0])
        (best, kind), (second, runner_up) = ranked[0], ranked[1]
        return kind, _odds(best - second), runner_up

    def _reading_odds(self) -> float:
        if len(self.accused) < 2:
            return MOST_ODDS
        return _odds(self.accused[0].total - self.accused[1].total)


def weigh_clash(network: Network, found: Snooping, group: SetAside, book: SlipBook) -> Clash:
    """Every slip in every reading of a clash, weighed."""
    elsewhere = [row for other in found.aside if other is not group for row in other.rows]
    accused = [_accused(network, row, elsewhere, book) for row in group.rows]
    together = network.solved.without(elsewhere)
    accused = [
        replace(one, slips=(*one.slips, *_swaps(network, together, row, group.rows, book)))
        for one, row in zip(accused, group.rows, strict=True)
    ]
    return Clash(tuple(sorted(accused, key=lambda one: -one.total)))


def swapped_with(network: Network, aside: Sequence[int], meant: Estimate) -> frozenset[str]:
    """Dimensions with a reading set aside that fits this value: two boxes may be swapped."""
    readings = [network.readings[row] for row in aside]
    return frozenset(
        reading.dimension
        for reading in readings
        if abs(reading.mm - meant.mm) <= 3 * math.hypot(reading.uncertainty.u_mm, meant.u_mm)
    )


def seen_book(network: Network, dimension: str, book: SlipBook) -> SlipBook:
    """The book without wrong marks where no photo looked."""
    if network.photo is not None and dimension in network.photo.names:
        return book
    return replace(book, rates={**book.rates, SlipKind.PHOTO_MARK: 0.0})


def _accused(network: Network, row: int, elsewhere: Sequence[int], book: SlipBook) -> Accused:
    """Logarithms of the weights of one reading's slips, the rest of the clash being honest."""
    reading = network.readings[row]
    place = next(place for place, rows in enumerate(network.rows_of) if row in rows)
    rest = network.solved.without([*elsewhere, row])
    known = {
        name: Estimate(float(mm), math.sqrt(max(float(variance), 0.0)))
        for name, mm, variance in zip(network.names, rest.values, rest.variances, strict=True)
        if not math.isnan(mm)
    }
    truth = known.pop(reading.dimension, None)
    if truth is None:
        nothing = Weighed(SlipKind.UNLISTED, 1.0), Weighed(SlipKind.INCH, 0.0)
        return Accused(reading, place, None, ((0.0, nothing[0]), (-math.inf, nothing[1])))
    turned = math.copysign(1.0, float(network.signed_mm[row]))
    meant = Estimate(turned * truth.mm, truth.u_mm)
    others = {name: Estimate(abs(of.mm), of.u_mm) for name, of in known.items()}
    aside = {network.readings[other].dimension for other in elsewhere}
    filled = {r.dimension for r in network.readings} - aside
    swapped = swapped_with(network, elsewhere, meant)
    spread = math.hypot(reading.uncertainty.u_mm, truth.u_mm)
    honest = -0.5 * ((reading.mm - meant.mm) / spread) ** 2 - math.log(spread)
    own_book = seen_book(network, reading.dimension, book)
    ranked = ranked_slips(reading, meant, others, own_book, 1, filled, swapped)
    slips = tuple(
        (math.log(slip.weight) - honest if slip.weight > 0 else -math.inf, slip) for slip in ranked
    )
    return Accused(reading, place, Estimate(abs(truth.mm), truth.u_mm), slips)


def _swaps(
    network: Network, together: Adjustment, row: int, rows: Sequence[int], book: SlipBook
) -> list[tuple[float, Weighed]]:
    """This reading and another of the clash in one another's boxes.

    Put back, the observations move by a known amount d and chi² by 2 d'q + d'Md.
    """
    found = []
    for other in rows:
        one, two = network.readings[row], network.readings[other]
        if one.dimension == two.dimension:
            continue
        back = float(network.signed_mm[other] - network.signed_mm[row])
        pulled = together.information[:, row] - together.information[:, other]
        strength = float(pulled[row] - pulled[other])
        pull = float(together.weighted_residuals[row] - together.weighted_residuals[other])
        gain = -back * pull - 0.5 * back**2 * strength
        beside = book.beside.get(one.dimension, ())
        rate = box_rate(book, two.dimension in beside, len(beside), len(network.names) - 1)
        if rate > 0:
            swapped = Weighed(SlipKind.WRONG_BOX, rate, where=two.dimension)
            found.append((math.log(rate / 2) + gain, swapped))
    return found


def _log_sum(logs: Sequence[float]) -> float:
    top = max(logs, default=-math.inf)
    if top == -math.inf:
        return top
    return top + math.log(sum(math.exp(log - top) for log in logs))


def _odds(difference: float) -> float:
    return min(math.exp(min(difference, 50.0)), MOST_ODDS)
