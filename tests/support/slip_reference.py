"""The judge that knows how the slips were drawn: what anyone could know of a spoiled alcove.

It is told the law of every kind, its rate, the true room that the closures are linearised at, and
that just one slip was made. What it cannot tell, nothing can that sees the same readings: where it
names a kind less often than wished, the readings do not hold more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from service.measuring.network import Network
from service.measuring.reading import Reading
from tests.support.simulated_alcove import exact
from tests.support.simulated_slips import (
    BOX,
    OUTCOMES,
    UNTAPED_SHARE,
    Taped,
    behind,
    box_share,
)

MM = 25.4
_FALL = 14.0
"""Readings this much less likely to be off (as a logarithm) are left out."""
_VAGUEST_MM = 100.0
"""Where the rest of the alcove says less than this, no slip would show."""
_REACH = 4.5
"""Standard deviations of the honest reading that are summed over."""


@dataclass(frozen=True)
class Verdict:
    """Posterior of each kind, the likeliest first."""

    posterior: tuple[tuple[str, float], ...]

    def named(self, least: float) -> str | None:
        kind, part = self.posterior[0]
        return kind if part >= least else None


def verdict(
    network: Network, taped: Taped, places: Sequence[int], rates: Mapping[str, float]
) -> Verdict:
    """Sum over every place, kind and honest reading that may lie behind these readings.

    ``places`` are those of the readings among the sizes of ``taped``.
    """
    solved = network.solved
    power = np.diag(solved.information)[: len(network.readings)]
    pull = solved.weighted_residuals[: len(network.readings)]
    told = power > 1 / _VAGUEST_MM**2
    gain = np.where(told, pull**2 / np.where(told, power, 1.0), 0.0) / 2
    weights: dict[str, float] = dict.fromkeys(rates, 0.0)
    base = float(gain.max())
    for row in map(int, np.flatnonzero(told & (gain > base - _FALL))):
        rest = pull[row] / power[row], 1 / math.sqrt(power[row])
        # chi² without this reading, of which only the difference counts
        scale = math.exp(float(gain[row]) - base)
        steps = _honest_steps(network.readings[row], rest)
        if not steps:  # it would have to be less than nothing
            continue
        for kind, weight in _at_row(network, taped, places, row, steps, rates).items():
            weights[kind] += weight * scale
    if BOX in rates:
        weights[BOX] += _exchanges(network, places, taped.count, gain, rates[BOX], base)
    total = sum(weights.values())
    ranked = sorted(((k, w / max(total, 1e-300)) for k, w in weights.items()), key=lambda p: -p[1])
    return Verdict(tuple(ranked))


def _honest_steps(reading: Reading, rest: tuple[float, float]) -> dict[int, float]:
    """Of each honest reading in sixteenths, how likely the rest (mean off, sd) makes it; not
    normed, which is alike for every hypothesis."""
    off, spread = rest
    expected = (reading.mm - off) / MM * 16
    reach = _REACH * spread / MM * 16
    steps = range(max(math.floor(expected - reach), 1), math.ceil(expected + reach) + 1)
    return {n: math.exp(-0.5 * ((n - expected) * MM / 16 / spread) ** 2) for n in steps}


def _at_row(
    network: Network,
    taped: Taped,
    places: Sequence[int],
    row: int,
    honest: Mapping[int, float],
    rates: Mapping[str, float],
) -> dict[str, float]:
    """Rate times chance of the text, summed over the honest readings, per kind."""
    text, place = network.readings[row].text, places[row]
    steps = range(min(honest), max(honest) + 1)
    found: dict[str, float] = {}
    for kind, rate in rates.items():
        if kind == BOX:
            # whatever was to be written here, the value is another box's
            share = _both_filled(network, taped, places, row) + _left_empty(
                network, taped, places, row
            )
            found[kind] = rate * share / len(OUTCOMES) * sum(honest.values())
        else:
            chances = behind(kind, taped, place, text, steps)
            found[kind] = rate * sum(share * honest[n] for n, share in chances.items())
    return found


def _both_filled(network: Network, taped: Taped, places: Sequence[int], row: int) -> float:
    """Share of the boxes taken for this one that hold the same text."""
    text = network.readings[row].text
    same = [p for p, r in zip(places, network.readings, strict=True) if r.text == text]
    return sum(box_share(taped.count, places[row], p) for p in same if p != places[row])


def _left_empty(network: Network, taped: Taped, places: Sequence[int], row: int) -> float:
    """Share of each empty box, times the chance that its honest reading is this text, over the
    chance that it is empty for no reason."""
    empty = sorted(set(range(taped.count)) - set(places))
    rest = network.solved.without([row])
    total = 0.0
    for other in empty:
        variance = float(rest.variances[other])
        if math.isfinite(variance):
            true_mm = float(taped.inches[other]) * MM
            u_mm = exact(taped.sizes[other], true_mm).uncertainty.u_mm
            spread = math.sqrt(max(variance, 0.0) + u_mm**2)
            off = (network.readings[row].mm - float(rest.values[other])) / spread
            chance = MM / 16 * math.exp(-0.5 * off**2) / (spread * math.sqrt(2 * math.pi))
            total += box_share(taped.count, places[row], other) * chance / UNTAPED_SHARE
    return total


def _exchanges(
    network: Network,
    places: Sequence[int],
    sizes: int,
    gain: np.ndarray,
    rate: float,
    base: float,
) -> float:
    """Two readings in one another's boxes, each other pair of the alcove."""
    solved, count = network.solved, len(network.readings)
    signed, pull = network.signed_mm, solved.weighted_residuals
    power = solved.information
    total = 0.0
    for one in np.flatnonzero(gain > base / 4 - _FALL):
        back = signed - signed[one]  # what the first must gain, and the other lose
        strength = power[one, one] - 2 * power[one, :count] + np.diag(power)[:count]
        moved = -back * (pull[one] - pull[:count]) - 0.5 * back**2 * strength
        for other in np.flatnonzero((moved > base - 2 * _FALL) & (np.abs(back) > 1e-6)):
            share = box_share(sizes, places[int(one)], places[int(other)])
            # each pair comes up twice, once from either side
            total += rate / len(OUTCOMES) * share * math.exp(min(float(moved[other]) - base, 50.0))
    return total
