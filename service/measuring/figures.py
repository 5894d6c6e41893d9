"""The figures of each dimension, from the solved network by deletion."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from service.measuring.adjustment import CONFLICT_W, DETECTION_SHIFT, LEAST_REDUNDANCY, Adjustment
from service.measuring.estimates import Estimate, PhotoEstimates
from service.measuring.network import Network, build_network
from service.measuring.reading import Combined, combine_values, stays_mm
from service.measuring.snooping import Snooping

_SCALE_IN_DOUBT: Final = 0.05


@dataclass(frozen=True, slots=True)
class Figures:
    """One dimension; see `judgement.DimensionJudgement` for the words.

    ``taped``: it has readings at all; ``active``: some of them are not set aside.
    """

    taped: bool
    active: bool
    tape: Estimate | None
    tape_stays_mm: float | None
    birge: float | None
    expected: Estimate | None
    best: Estimate | None

    @property
    def w(self) -> float | None:
        if self.tape is None or self.expected is None:
            return None
        return (self.tape.mm - self.expected.mm) / math.hypot(self.tape.u_mm, self.expected.u_mm)

    @property
    def en(self) -> float | None:
        """ISO 13528 with U = 2u on both sides, so half of w."""
        return None if self.w is None else self.w / 2

    @property
    def mdb_mm(self) -> float | None:
        if self.tape is None or self.expected is None:
            return None
        return DETECTION_SHIFT * math.hypot(self.tape.u_mm, self.expected.u_mm)


def dimension_figures(network: Network, found: Snooping) -> tuple[Figures, ...]:
    """Figures of every dimension of the network, in its order."""
    aside = {row for group in found.aside for row in group.rows}
    best = found.active if found.print_scale is None else _scale_set_free(network, sorted(aside))
    figures = []
    for place, rows in enumerate(network.rows_of):
        active = [row for row in rows if row not in aside]
        tape = _combined(network, active or rows)
        if active and tape is not None:
            expected = _expected(found.active, active, tape)
        else:
            expected = _estimate(found.active, place)
        figures.append(
            Figures(
                taped=bool(rows),
                active=bool(active),
                tape=_believable(tape, clash_counts=not active),
                tape_stays_mm=_stays(network, active or rows),
                birge=tape.birge if tape is not None else None,
                expected=expected,
                best=_estimate(best, place),
            )
        )
    return tuple(figures)


def _combined(network: Network, rows: Sequence[int]) -> Combined | None:
    if not rows:
        return None
    places = np.asarray(rows)
    return combine_values(
        network.signed_mm[places], network.covariance_mm2[places[:, None], places]
    )


def _stays(network: Network, rows: Sequence[int]) -> float | None:
    return stays_mm([network.readings[row] for row in rows]) if rows else None


def _believable(tape: Combined | None, *, clash_counts: bool) -> Estimate | None:
    """Set-aside repeats that clash have no mean worth a line."""
    if tape is None or (clash_counts and tape.birge is not None and tape.birge > CONFLICT_W):
        return None
    return Estimate(tape.mm, tape.u_mm)


def _expected(active: Adjustment, rows: Sequence[int], tape: Combined) -> Estimate | None:
    """What the rest says, from how the dimension's own readings pull together.

    Over its rows, 1'M1 = 1 / (u_tape² + u_expected²) and 1'q = (tape - expected) · 1'M1.
    """
    places = np.asarray(rows)
    strength = float(active.information[places[:, None], places].sum())
    if strength * tape.u_mm**2 < LEAST_REDUNDANCY:
        return None
    difference = float(active.weighted_residuals[places].sum()) / strength
    variance = max(1 / strength - tape.u_mm**2, 0.0)
    return Estimate(tape.mm - difference, math.sqrt(variance))


def _estimate(adjustment: Adjustment, place: int) -> Estimate | None:
    mm, variance = float(adjustment.values[place]), float(adjustment.variances[place])
    if math.isnan(mm):
        return None
    return Estimate(mm, math.sqrt(max(variance, 0.0)))


def _scale_set_free(network: Network, aside: Sequence[int]) -> Adjustment:
    """The network with the photos' scale left to the tape."""
    photo = network.photo
    if photo is None:
        return network.solved.without(aside)
    freed = scale_set_free(photo)
    return build_network(network.names, freed, network.readings, network.closures).solved.without(
        aside
    )


def scale_set_free(photo: PhotoEstimates) -> PhotoEstimates:
    """The same photos where their scale is known to a twentieth only."""
    looser = photo.covariance_mm2 + _SCALE_IN_DOUBT**2 * np.outer(photo.mm, photo.mm)
    return PhotoEstimates(photo.names, photo.mm, looser)
