"""Which readings are set aside, which come back, and which cannot be told apart.

Every candidate culprit is one direction in the space of observations: a reading alone, all repeats
of a dimension together (the same slip made twice), or the photos' scale. Their |w| compare
directly, since each explains the contradiction by one unknown: setting a culprit free lowers chi²
by w². So exp((w² - w'²) / 2) is the odds of one against another before their rates.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from service.measuring.adjustment import Adjustment
from service.measuring.judgement import PrintScale
from service.measuring.limits import Limits
from service.measuring.network import Network

FloatArray: TypeAlias = NDArray[np.float64]

_LEAST_FOR_SCALE: Final = 3
"""A common factor shows only over three dimensions and more."""
_MOST_SCALE: Final = 0.05
"""No printer is further out than this; beyond it the cause is another."""
_MOST_ODDS: Final = 1e6


@dataclass(frozen=True, slots=True)
class SetAside:
    """Readings set aside together: one, repeats that slipped alike, or some that clash.

    ``w`` are their own standardised differences at that moment.
    """

    rows: tuple[int, ...]
    w: tuple[float, ...]
    clash: bool


@dataclass(frozen=True, slots=True)
class Snooping:
    """The readings set aside, the network without them, and the print scale if that is it."""

    aside: tuple[SetAside, ...]
    active: Adjustment
    print_scale: PrintScale | None


def snoop(network: Network, limits: Limits) -> Snooping:
    """Set aside the worst reading, judge the rest anew, and so on; then let back what agrees."""
    aside: list[SetAside] = []
    active = network.solved
    while True:
        culprits = _culprits(network, aside)
        w = culprits.w(active)
        worst = float(np.abs(w).max(initial=0.0))
        scale = _print_scale(network, aside, active, worst, limits)
        if scale is not None:
            return Snooping(tuple(aside), active, scale)
        if worst <= limits.conflict_w:
            break
        aside.append(_condemned(active, culprits, w, limits))
        active = network.solved.without(_rows(aside))
    kept = _let_back(network, aside, limits)
    return Snooping(tuple(kept), network.solved.without(_rows(kept)), None)


@dataclass(frozen=True, slots=True)
class _Culprits:
    """Readings that may be at fault: each alone (s,), then repeats as one (n, b)."""

    singles: NDArray[np.intp]
    blocks: FloatArray

    def w(self, active: Adjustment) -> FloatArray:
        """Test statistics (s + b,); zero where nothing can show the error."""
        alone = active.w[self.singles]
        together = active.test(self.blocks)
        return np.asarray(np.nan_to_num(np.concatenate([alone, together])), dtype=np.float64)

    def direction(self, place: int) -> FloatArray:
        """(n,) what the slip that test ``place`` is for would add to each observation, per unit."""
        if place >= self.singles.size:
            return np.asarray(self.blocks[:, place - self.singles.size], dtype=np.float64)
        along = np.zeros(self.blocks.shape[0])
        along[self.singles[place]] = 1.0
        return along

    def likeness(self, active: Adjustment, place: int) -> FloatArray:
        """Correlation of every w with that of one culprit (s + b,)."""
        pulled = active.information @ self.direction(place)
        overlap = np.concatenate([pulled[self.singles], self.blocks.T @ pulled])
        blocks = (self.blocks * (active.information @ self.blocks)).sum(axis=0)
        strength = np.concatenate([np.diag(active.information)[self.singles], blocks])
        strength = np.maximum(strength, 1e-300)
        return np.asarray(overlap / np.sqrt(strength * strength[place]))


def _culprits(network: Network, aside: Sequence[SetAside]) -> _Culprits:
    out = set(_rows(aside))
    singles = [row for row in range(len(network.readings)) if row not in out]
    repeats = [
        active
        for rows in network.rows_of
        if len(rows) > 1 and len(active := [row for row in rows if row not in out]) > 1
    ]
    blocks = np.zeros((network.solved.weighted_residuals.size, len(repeats)))
    for column, members in enumerate(repeats):
        blocks[members, column] = 1.0
    return _Culprits(np.array(singles, dtype=np.intp), blocks)


def _condemned(active: Adjustment, culprits: _Culprits, w: FloatArray, limits: Limits) -> SetAside:
    """The likeliest culprit, with those that explain it nearly as well.

    Two are told apart only when one is clearly likelier; a culprit elsewhere in the network with
    as large a w is no rival, since setting it aside would leave this one in conflict.
    """
    worst = int(np.abs(w).argmax())
    likeness = culprits.likeness(active, worst)
    # w of the worst once the other is set aside: its own, less what the other explains of it.
    alone = np.maximum(1 - likeness**2, 0.0)
    remaining = np.abs(w[worst] - likeness * w) / np.sqrt(np.where(alone > 1e-9, alone, np.inf))
    rivals = np.asarray(w[worst] ** 2 - w**2 < 2 * math.log(limits.clear_odds))
    rivals &= (remaining <= limits.conflict_w) & (np.abs(likeness) > 1e-6)
    rivals[worst] = True
    among = [culprits.direction(place) for place in range(w.size) if rivals[place]]
    rows = np.flatnonzero(np.any(among, axis=0)).tolist()
    own = np.nan_to_num(active.w[rows])
    return SetAside(tuple(rows), tuple(map(float, own)), clash=len(among) > 1)


def _let_back(network: Network, aside: Sequence[SetAside], limits: Limits) -> list[SetAside]:
    """Readings set aside early may agree once the true culprit is gone.

    Those that clash come back together or not at all, or one would be kept in silence. While some
    clash, nothing else comes back either: what it agrees with is itself in doubt.
    """
    kept = list(aside)
    agrees_w = 2 * limits.agree_en  # U = 2u in E_n
    for group in aside:
        others = [other for other in kept if other is not group]
        if any(other.clash for other in others):
            continue
        active = network.solved.without(_rows(others))
        rest = np.abs(_culprits(network, others).w(active))
        own = np.abs(active.w[list(group.rows)])
        # NaN: nothing is left that could check it, so it cannot be said to agree.
        if rest.max(initial=0.0) <= limits.conflict_w and bool((own <= agrees_w).all()):
            kept = others
    return kept


def _print_scale(
    network: Network,
    aside: Sequence[SetAside],
    active: Adjustment,
    worst: float,
    limits: Limits,
) -> PrintScale | None:
    """The photos' scale, if it explains the readings clearly better than any one of them."""
    direction = network.scale_direction
    out = set(_rows(aside))
    taped = [
        rows
        for rows in network.rows_of
        if direction is not None and any(row not in out and direction[row] != 0 for row in rows)
    ]
    if direction is None or len(taped) < _LEAST_FOR_SCALE:
        return None
    w = float(active.test(direction[:, None])[0])
    if not abs(w) > limits.conflict_w:
        return None
    gain = (w**2 - worst**2) / 2
    pulled = active.information @ direction
    strength = float(direction @ pulled)
    size = float(direction @ active.weighted_residuals) / strength
    if gain < math.log(limits.clear_odds) or abs(size) > _MOST_SCALE:
        return None
    # With the scale set free, what is left must be in order, or several slips look like one scale.
    freed = replace(
        active,
        information=active.information - np.outer(pulled, pulled) / strength,
        weighted_residuals=active.weighted_residuals - pulled * size,
    )
    left = np.abs(_culprits(network, aside).w(freed)).max(initial=0.0)
    if left > limits.conflict_w:
        return None
    odds = min(math.exp(min(gain, 50.0)), _MOST_ODDS)
    return PrintScale(1 + size, 1 / math.sqrt(strength), odds)


def _rows(groups: Sequence[SetAside]) -> list[int]:
    return [row for group in groups for row in group.rows]
