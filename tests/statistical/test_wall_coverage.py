"""Stated uncertainty against what happens, over walls whose nuisances are drawn from their priors.

A reduced draw; the long one is a bench. Bounds are those of the binomial and chi-square laws at
the number drawn, 0.1 % outside on either side.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.stats import binom, chi2

from tests.support.cramer_rao import least_u_mm
from tests.support.simulated_wall import Plan, simulate
from vision.measure_wall import measure_wall
from vision.units import FloatArray

pytestmark = pytest.mark.statistical

WALLS = 240
SIZES = ("width low", "width top", "height left", "diagonal", "valve down")
"""Sizes that do not follow from one another, so that their covariance has full rank."""


@dataclass(frozen=True)
class Draw:
    """Errors (walls, sizes) in mm, stated u (walls, sizes), and NEES (walls,)."""

    errors_mm: FloatArray
    u_mm: FloatArray
    nees: FloatArray


@pytest.fixture(scope="module")
def draw() -> Draw:
    """Walls of two cards and two photos with the ruler check, by photo alone."""
    errors, spreads, nees = [], [], []
    for seed in range(WALLS):
        wall = simulate(np.random.default_rng([20, seed]), print_check_half_width_mm=0.25)
        found = measure_wall(wall.request, wall.sights).estimates()
        index = [found.names.index(name) for name in SIZES]
        error = found.mm[index] - np.array([wall.truth_mm[name] for name in SIZES])
        covariance = found.covariance_mm2[np.ix_(index, index)]
        errors.append(error)
        spreads.append(np.sqrt(np.diag(covariance)))
        nees.append(float(error @ np.linalg.solve(covariance, error)))
    return Draw(np.array(errors), np.array(spreads), np.array(nees))


@pytest.mark.parametrize("size", range(len(SIZES)), ids=SIZES)
def test_95_percent_intervals_hold_the_truth_95_percent_of_the_time(draw: Draw, size: int) -> None:
    """Neither too seldom nor too often, for each size by itself."""
    held = int(np.count_nonzero(np.abs(draw.errors_mm[:, size]) < 1.96 * draw.u_mm[:, size]))

    low, high = (float(binom.ppf(tail, WALLS, 0.95)) for tail in (0.001, 0.999))
    assert low <= held <= high


def test_errors_of_all_sizes_together_are_as_large_as_the_covariance_says(draw: Draw) -> None:
    """The normalised estimation error squared, summed over walls, is chi-square distributed."""
    low, high = (float(chi2.ppf(tail, WALLS * len(SIZES))) for tail in (0.001, 0.999))

    assert low <= float(np.sum(draw.nees)) <= high


def test_errors_have_no_bias(draw: Draw) -> None:
    """Each size's mean standardised error is zero within its own spread."""
    means = np.mean(draw.errors_mm / draw.u_mm, axis=0)

    assert np.all(np.abs(means) < 3.5 / np.sqrt(WALLS))


@pytest.fixture(scope="module")
def bound_mm() -> FloatArray:
    """Cramér-Rao bound of each size, worked out without the package."""
    return least_u_mm(Plan(), SIZES, 0.25)


@pytest.mark.parametrize("size", range(len(SIZES)), ids=SIZES)
def test_errors_are_hardly_larger_than_any_estimator_must_have(
    draw: Draw, bound_mm: FloatArray, size: int
) -> None:
    """rms error at most 1.1 times the bound, and not below it: the law of chi-square both ways."""
    squared = float(np.sum((draw.errors_mm[:, size] / bound_mm[size]) ** 2))

    low, high = (float(chi2.ppf(tail, WALLS)) for tail in (0.001, 0.999))
    assert low <= squared <= 1.1**2 * high


def test_intervals_are_hardly_wider_than_the_bound_allows(draw: Draw, bound_mm: FloatArray) -> None:
    """The median half-width of each size is within 1.2 of the bound's, and no narrower than it."""
    ratio = np.median(draw.u_mm, axis=0) / bound_mm

    assert np.all(ratio < 1.2)
    assert np.all(ratio > 0.95)
