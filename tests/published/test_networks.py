"""Survey networks from the literature through the adjustment that judges the readings."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from scipy.stats import t as student

from service.measuring.adjustment import CONFLICT_W, Adjustment, FloatArray, adjust

pytestmark = pytest.mark.published

# Level net with data snooping: OSGeoLabBp/tutorials, english/data_processing/level_net.rst.
# Point 4 is fixed; sigma is 0.7 mm per kilometre.
FIXED_M = 101.345
FIRST_M = (104.234, 103.487, 102.958)
LINES = [(1, 2), (1, 3), (1, 4), (2, 3), (2, 4), (3, 4)]
RISES_M = np.array([-0.749, -1.274, -2.890, -0.530, -2.141, -1.614])
SIGMA_MM = 0.7 * np.array([1.1, 1.8, 1.4, 1.5, 1.9, 0.9])


def _levelled(extra_mm: FloatArray | None = None) -> Adjustment:
    """Unknowns: corrections in mm to the first heights of points 1 to 3."""
    heights_m = (*FIRST_M, FIXED_M)
    design = np.zeros((6, 4))
    for row, (start, end) in enumerate(LINES):
        design[row, start - 1], design[row, end - 1] = -1.0, 1.0
    first = np.array([heights_m[b - 1] - heights_m[a - 1] for a, b in LINES])
    misclosure_mm = (RISES_M - first) * 1000
    if extra_mm is not None:
        misclosure_mm = misclosure_mm + extra_mm
    return adjust(design[:, :3], misclosure_mm, np.diag(SIGMA_MM**2))


def test_level_net_heights() -> None:
    """Published corrections .9969 -.1919 .8200 mm, and their deviations with m0 = 1.65."""
    solved = _levelled()
    assert solved.values == pytest.approx([0.9969, -0.1919, 0.8200], abs=5e-5)
    residuals = solved.covariance @ solved.weighted_residuals
    m0 = math.sqrt(float(residuals @ solved.weighted_residuals) / 3)
    assert m0 == pytest.approx(1.65, abs=5e-3)
    assert m0 * np.sqrt(solved.variances) == pytest.approx([1.13, 1.19, 0.91], abs=5e-3)


def test_level_net_residuals_and_redundancy() -> None:
    """Published v, v'Pv = 8.217 and redundancy; v is adjusted less observed there."""
    solved = _levelled()
    residuals = solved.covariance @ solved.weighted_residuals
    assert -residuals == pytest.approx([0.81, -2.18, 0.00, 2.01, -0.81, 0.18], abs=6e-3)
    assert float(residuals @ solved.weighted_residuals) == pytest.approx(8.217, abs=1e-3)
    assert solved.redundancy == pytest.approx([0.314, 0.686, 0.511, 0.547, 0.707, 0.234], abs=5e-4)
    assert solved.redundancy.sum() == pytest.approx(3.0)


def test_level_net_w_and_least_detectable_errors() -> None:
    """Published U = 1.9 2.1 0 2.6 .7 .6: none above 3.29; least detectable errors recomputed."""
    solved = _levelled()
    assert np.abs(solved.w) == pytest.approx([1.9, 2.1, 0.0, 2.6, 0.7, 0.6], abs=0.051)
    assert np.abs(solved.w).max() == pytest.approx(2.592, abs=5e-4)
    assert solved.detectable == pytest.approx([5.68, 6.28, 5.66, 5.87, 6.53, 5.38], abs=5e-3)


def test_a_blunder_in_the_level_net_is_found_and_sized() -> None:
    """+15 mm in line 2-3: |w| is largest there, and its size is estimated as 11.32 mm."""
    solved = _levelled(np.array([0, 0, 0, 15.0, 0, 0]))
    assert -solved.w == pytest.approx([-4.57, 1.77, 2.96, -7.97, 3.62, -5.79], abs=5e-3)
    size = solved.weighted_residuals[3] / solved.information[3, 3]
    assert size == pytest.approx(11.32, abs=5e-3)
    rest = solved.without([3])
    assert np.nanmax(np.abs(rest.w)) < CONFLICT_W


def test_pope_cannot_tell_with_few_redundant_readings() -> None:
    """Pope (1976): tau is at most sqrt f, here 1.712 of 1.718, so w with known sigma is used."""
    blundered = _levelled(np.array([0, 0, 0, 15.0, 0, 0]))
    residuals = blundered.covariance @ blundered.weighted_residuals
    sigma0 = math.sqrt(float(residuals @ blundered.weighted_residuals) / 3)
    tau = float(np.abs(blundered.w).max()) / sigma0
    quantile = student.ppf(1 - 0.05 / (2 * 6), 2)
    critical = math.sqrt(3) * quantile / math.sqrt(2 + quantile**2)
    assert tau == pytest.approx(1.712, abs=1e-3)
    assert critical == pytest.approx(1.718, abs=1e-3)


def test_ghilani_level_net() -> None:
    """Ghilani, *Adjustment Computations*, example 12.1: heights, S0 and redundancy numbers."""
    lines = [("A", "B"), ("B", "C"), ("C", "D"), ("D", "A"), ("B", "D"), ("A", "C")]
    rises = np.array([10.509, 5.360, -8.523, -7.348, -3.167, 15.881])
    sigma = np.array([0.006, 0.004, 0.005, 0.003, 0.004, 0.012])
    design = np.zeros((6, 3))
    observed = rises.copy()
    for row, (start, end) in enumerate(lines):
        for point, sign in ((start, -1.0), (end, 1.0)):
            if point == "A":
                observed[row] -= sign * 437.596
            else:
                design[row, "BCD".index(point)] = sign
    solved = adjust(design, observed, np.diag(sigma**2))
    assert solved.values == pytest.approx([448.1087, 453.4685, 444.9436], abs=5e-5)
    assert solved.redundancy == pytest.approx([0.655, 0.329, 0.509, 0.188, 0.433, 0.886], abs=6e-4)
    residuals = solved.covariance @ solved.weighted_residuals
    s0 = math.sqrt(float(residuals @ solved.weighted_residuals) / 3)
    assert s0 == pytest.approx(0.651, abs=1e-3)


def _distances(points: list[tuple[float, float]], blunder: FloatArray | None = None) -> Adjustment:
    """All distances between points of a plane, equal sigma, no datum at all."""
    pairs = list(itertools.combinations(range(len(points)), 2))
    design = np.zeros((len(pairs), 2 * len(points)))
    for row, (start, end) in enumerate(pairs):
        step = np.subtract(points[end], points[start])
        unit = step / np.linalg.norm(step)
        design[row, 2 * start : 2 * start + 2] = -unit
        design[row, 2 * end : 2 * end + 2] = unit
    observed = np.zeros(len(pairs)) if blunder is None else blunder
    return adjust(design, observed, np.eye(len(pairs)))


SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
DIAGONALS = [1, 4]
SIDES = [0, 2, 3, 5]


def test_a_taped_square() -> None:
    """Closed form: redundancy 1/8 a side, 1/4 a diagonal; least detectable 11.687 and 8.264."""
    solved = _distances(SQUARE)
    assert solved.redundancy[SIDES] == pytest.approx(1 / 8)
    assert solved.redundancy[DIAGONALS] == pytest.approx(1 / 4)
    assert solved.detectable[SIDES] == pytest.approx(11.687, abs=5e-4)
    assert solved.detectable[DIAGONALS] == pytest.approx(8.264, abs=5e-4)


def test_one_redundant_reading_detects_and_cannot_locate() -> None:
    """A blunder of 10 sigma in one side of the square gives |w| = 3.5355 on all six."""
    blunder = np.zeros(6)
    blunder[0] = 10.0
    assert np.abs(_distances(SQUARE, blunder).w) == pytest.approx(3.5355, abs=5e-5)


def test_coordinates_without_a_datum_are_not_given() -> None:
    """Distances alone determine no coordinate: none is reported, rather than an arbitrary one."""
    assert np.isnan(_distances(SQUARE).values).all()


def test_a_grid_of_six_points() -> None:
    """2 x 3 unit grid, all 15 distances: redundancy by kind of distance, six in all."""
    points = [(float(x), float(y)) for y in (0, 1) for x in (0, 1, 2)]
    solved = _distances(points)
    kinds = {
        (1.0, 0.0): 0.478,
        (0.0, 1.0): None,
        (1.0, 1.0): 0.376,
        (2.0, 0.0): 0.443,
        (2.0, 1.0): 0.541,
    }
    for row, (a, b) in enumerate(itertools.combinations(points, 2)):
        expected = kinds[abs(a[0] - b[0]), abs(a[1] - b[1])]
        if expected is None:
            expected = 0.284 if a[0] == 1 else 0.167
        assert solved.redundancy[row] == pytest.approx(expected, abs=5e-4)
    assert solved.redundancy.sum() == pytest.approx(6.0)


def test_a_levelling_loop_of_three() -> None:
    """Closed form: redundancy 1/3 each, least detectable error 7.157 sigma."""
    design = np.array([[-1.0, 1, 0], [0, -1, 1], [1, 0, -1]])
    solved = adjust(design, np.zeros(3), np.eye(3))
    assert solved.redundancy == pytest.approx(1 / 3)
    assert solved.detectable == pytest.approx(7.157, abs=5e-4)
