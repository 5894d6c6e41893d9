"""The least standard uncertainties that anything could have of a scene's sizes.

The Cramér–Rao bound, with the priors as information (van Trees 1968): the inverse of the
information matrix at the scene's nominal truth, from differences of residuals that are written
without the package (``outside_wall``). No solver takes part.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

import numpy as np

from tests.support.outside_wall import OutsideStart, OutsideWall
from tests.support.simulated_wall import (
    Nuisances,
    Plan,
    SimulatedWall,
    look_at,
    simulate,
    with_sizes,
)
from vision.adjust.wall_problem import Tape
from vision.measure_wall import SizeRequest, measure_wall
from vision.units import FloatArray


def least_u_mm(
    plan: Plan,
    names: Sequence[str],
    half_width_mm: float,
    taped: Sequence[str] = (),
    more: Sequence[SizeRequest] = (),
) -> FloatArray:
    """Of each named size of the scene's own or of ``more``; ``taped`` ones are known to 0.7 mm."""
    spread = Nuisances()
    exact = Nuisances(*(0.0,) * 11, corner_px=0.0, tap_px=0.0)
    drawn = simulate(np.random.default_rng(0), plan, exact, half_width_mm)
    wall = with_sizes(_stating(drawn, spread), more)
    measurement = measure_wall(wall.request, wall.sights)
    network = measurement.built.network
    # a tape of no weight asks for a size and says nothing of it
    weights = {name: 0.7 if name in taped else 1e9 for name in names} | dict.fromkeys(taped, 0.7)
    sizes = {size.name: size for size in measurement.sizes}
    tapes = [Tape(sizes[name], wall.truth_mm[name], u) for name, u in weights.items()]
    views = [look_at(np.array(place), np.array([*to, 0.0])) for place, to in plan.cameras]
    start = OutsideStart(
        [rotation for rotation, _ in views],
        [shift for _, shift in views],
        list(plan.cards.values()),
        np.array([[*plan.marks[mark.name], 0.0] for mark in network.marks]),
    )
    outside = OutsideWall(network, tapes, measurement.solve().problem.level)
    found = outside.described(outside.start_vector(start))
    variance = dict(zip(weights, np.diag(found.covariance_mm2).tolist(), strict=True))
    return np.array([sqrt(variance[name]) for name in names])


def _stating(wall: SimulatedWall, spread: Nuisances) -> SimulatedWall:
    """The wall whose pixels are exact, stating the deviations that drawn pixels would have."""
    photos = tuple(
        replace(photo, taps=tuple(replace(tap, sd_px=spread.tap_px) for tap in photo.taps))
        for photo in wall.request.photos
    )
    sights = tuple(
        replace(
            sight,
            cards=tuple(
                replace(
                    card,
                    covariance_px2=np.tile(
                        np.eye(2) * spread.corner_px**2, (len(card.pixels), 1, 1)
                    ),
                )
                for card in sight.cards
            ),
        )
        for sight in wall.sights
    )
    return replace(wall, request=replace(wall.request, photos=photos), sights=sights)
