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
from tests.support.simulated_slips import BOX, Taped, behind, box_share

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


def verdict(network: Network, taped: Taped, rates: Mapping[str, float]) -> Verdict:
    """Sum over every place, kind and honest reading that may lie behind these readings."""
    solved = network.solved
    power = np.diag(solved.information)[: len(network.readings)]
    pull = solved.weighted_residuals[: len(network.readings)]
    told = power > 1 / _VAGUEST_MM**2
    gain = np.where(told, pull**2 / np.where(told, power, 1.0), 0.0) / 2
    weights: dict[str, float] = dict.fromkeys(rates, 0.0)
    base = float(gain.max())
    for place in np.flatnonzero(gain > base - _FALL):
        rest = pull[place] / power[place], 1 / math.sqrt(power[place])
        at = int(place)
        for kind, weight in _at_place(network.readings, taped, at, rest, rates).items():
            # chi² without this reading, of which only the difference counts
            weights[kind] += weight * math.exp(float(gain[place]) - base)
    if BOX in rates:
        weights[BOX] += _swaps(network, gain, rates[BOX], base)
    total = sum(weights.values())
    ranked = sorted(((k, w / max(total, 1e-300)) for k, w in weights.items()), key=lambda p: -p[1])
    return Verdict(tuple(ranked))


def _at_place(
    readings: Sequence[Reading],
    taped: Taped,
    place: int,
    rest: tuple[float, float],
    rates: Mapping[str, float],
) -> dict[str, float]:
    """Rate times chance of the text, summed over the honest readings (mean off, sd), per kind."""
    off, spread = rest
    text = readings[place].text
    expected = (readings[place].mm - off) / MM * 16
    reach = _REACH * spread / MM * 16
    steps = range(max(math.floor(expected - reach), 1), math.ceil(expected + reach) + 1)
    honest = {n: math.exp(-0.5 * ((n - expected) * MM / 16 / spread) ** 2) for n in steps}
    found: dict[str, float] = {}
    for kind, rate in rates.items():
        if kind == BOX:
            # whatever was to be written here, another box's value is the same
            same = [p for p, r in enumerate(readings) if p != place and r.text == text]
            share = sum(box_share(taped.count, place, other) for other in same) / 2
            found[kind] = rate * share * sum(honest.values())
        else:
            chances = behind(kind, taped, place, text, steps)
            found[kind] = rate * sum(share * honest[n] for n, share in chances.items())
    return found


def _swaps(network: Network, gain: np.ndarray, rate: float, base: float) -> float:
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
            share = box_share(count, int(one), int(other))
            # each pair comes up twice, once from either side
            total += rate / 2 * share * math.exp(min(float(moved[other]) - base, 50.0))
    return total
