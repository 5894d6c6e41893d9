"""Two walls whose cards were checked by one ruler reading: how they err together.

Walls are drawn by code that knows nothing of the adjustment; its cards are true, the one ruler
reading is off, and so both walls are out alike.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import chi2

from service.actions.measure.wall import PhotoPart
from service.measuring.estimates import PhotoEstimates
from service.measuring.several_walls import together
from tests.support.simulated_wall import ADVISED, Nuisances, SimulatedWall, simulate
from vision.measure_wall import measure_wall

PAIRS = 120
SIZE = "height left"
TRUE_PRINT = replace(Nuisances(), print_scale=0.0)

pytestmark = pytest.mark.statistical


def two_walls(seed: int) -> tuple[SimulatedWall, SimulatedWall]:
    """Walls of their own photos, the second with the first one's ruler checks."""
    first, second = (
        simulate(np.random.default_rng([seed, wall]), ADVISED, TRUE_PRINT, 0.5) for wall in (0, 1)
    )
    request = replace(second.request, cards=first.request.cards)
    return first, replace(second, request=request)


def seen(wall: SimulatedWall, prefix: str) -> PhotoEstimates:
    found = PhotoPart(measure_wall(wall.request, wall.sights)).estimates()
    return replace(found, names=tuple(f"{prefix}{name}" for name in found.names))


def test_two_walls_of_one_print_err_together_as_stated() -> None:
    """Their difference errs less than two walls apart would, their sum more; each as stated."""
    errors, stated, apart = [], [], []
    for seed in range(PAIRS):
        walls = two_walls(seed)
        joint = together([seen(wall, f"{which} ") for which, wall in enumerate(walls)])
        assert joint is not None
        at = [joint.names.index(f"{which} {SIZE}") for which in (0, 1)]
        truth = np.array([wall.truth_mm[SIZE] for wall in walls])
        errors.append(joint.mm[at] - truth)
        stated.append(joint.covariance_mm2[np.ix_(at, at)])
        apart.append(np.diag(np.diag(stated[-1])))
    low, high = (float(chi2.ppf(share, PAIRS)) / PAIRS for share in (0.0005, 0.9995))
    for sign in (-1.0, 1.0):
        turn = np.array([1.0, sign])
        found = np.array([turn @ error for error in errors]) ** 2
        together_u2 = np.array([turn @ covariance @ turn for covariance in stated])
        apart_u2 = np.array([turn @ covariance @ turn for covariance in apart])
        assert low < np.mean(found / together_u2) < high
        assert not low < np.mean(found / apart_u2) < high
