"""The linear adjustment against plain normal equations, solved anew for every deletion."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from service.measuring.adjustment import Adjustment, Prior, adjust

Array = NDArray[np.float64]


def _problem(seed: int) -> tuple[Array, Array, Array, Prior]:
    """Eight correlated observations of five unknowns, three of which have a prior."""
    rng = np.random.default_rng(seed)
    design = rng.normal(size=(8, 5))
    root = rng.normal(size=(8, 8))
    covariance = root @ root.T + np.eye(8)
    prior_root = rng.normal(size=(3, 3))
    prior = Prior(np.array([0, 2, 3]), rng.normal(size=3), prior_root @ prior_root.T + np.eye(3))
    return design, rng.normal(size=8) * 3, covariance, prior


def _by_normal_equations(
    design: Array, observed: Array, covariance: Array, prior: Prior
) -> tuple[Array, Array]:
    """Independent of the code under test: information form, inverted outright."""
    weight = np.linalg.inv(covariance)
    normal = design.T @ weight @ design
    right = design.T @ weight @ observed
    prior_weight = np.linalg.inv(prior.covariance)
    normal[np.ix_(prior.places, prior.places)] += prior_weight
    right[prior.places] += prior_weight @ prior.mean
    inverse: Array = np.linalg.inv(normal).astype(np.float64)
    return inverse @ right, inverse


@pytest.mark.parametrize("seed", range(5))
def test_values_are_those_of_the_normal_equations(seed: int) -> None:
    """Estimates and variances agree with an outright inversion."""
    problem = _problem(seed)
    values, inverse = _by_normal_equations(*problem)
    solved = adjust(*problem)
    assert solved.values == pytest.approx(values, abs=1e-9)
    assert solved.variances == pytest.approx(np.diag(inverse), rel=1e-9)


@pytest.mark.parametrize("rows", [[0], [3, 5], [7, 1, 4]])
def test_deleting_is_solving_without(rows: list[int]) -> None:
    """A downdate gives what a fresh solution without those observations gives."""
    design, observed, covariance, prior = _problem(11)
    kept = [row for row in range(8) if row not in rows]
    fresh = adjust(design[kept], observed[kept], covariance[np.ix_(kept, kept)], prior)
    down = adjust(design, observed, covariance, prior).without(rows)
    assert down.values == pytest.approx(fresh.values, abs=1e-9)
    assert down.variances == pytest.approx(fresh.variances, rel=1e-9)
    assert down.information[np.ix_(kept, kept)] == pytest.approx(fresh.information, abs=1e-9)
    assert down.w[kept] == pytest.approx(fresh.w, abs=1e-9)
    assert np.isnan(down.w[rows]).all()


def test_deleting_twice_is_deleting_both() -> None:
    """Deletions add up, in whatever order."""
    solved = adjust(*_problem(3))
    assert solved.without([2]).without([6]).values == pytest.approx(
        solved.without([6, 2]).values, abs=1e-9
    )


def test_w_is_the_difference_from_the_rest_in_its_own_unit() -> None:
    """w of an observation is observed less predicted by the rest, over the sigma of that."""
    design, observed, _, prior = _problem(4)
    covariance = np.diag(np.linspace(0.5, 2.0, 8))
    solved = adjust(design, observed, covariance, prior)
    for row in range(8):
        kept = [other for other in range(8) if other != row]
        values, inverse = _by_normal_equations(
            design[kept], observed[kept], covariance[np.ix_(kept, kept)], prior
        )
        spread = np.sqrt(covariance[row, row] + design[row] @ inverse @ design[row])
        w = (observed[row] - design[row] @ values) / spread
        assert solved.w[row] == pytest.approx(w, abs=1e-9)
        assert solved.detectable[row] == pytest.approx(4.1321 * spread, rel=1e-4)


def test_redundancy_sums_to_the_surplus() -> None:
    """Without a prior the redundancy numbers sum to observations less unknowns."""
    design, observed, covariance, _ = _problem(5)
    assert adjust(design, observed, covariance).redundancy.sum() == pytest.approx(3.0)


def test_a_singular_prior_is_no_trouble() -> None:
    """Two unknowns that are one and the same in the prior are estimated alike."""
    prior = Prior(np.array([0, 1]), np.array([10.0, 10.0]), np.full((2, 2), 4.0))
    solved = adjust(np.array([[1.0, 0.0]]), np.array([12.0]), np.array([[1.0]]), prior)
    assert solved.values == pytest.approx([11.6, 11.6])
    assert solved.variances == pytest.approx([0.8, 0.8])


def test_what_nothing_determines_is_not_a_number() -> None:
    """A free unknown that is not observed has no value, nor has one whose last reading goes."""
    solved = adjust(np.array([[1.0, 0.0]]), np.array([5.0]), np.array([[1.0]]))
    assert solved.values[0] == pytest.approx(5.0)
    assert np.isnan(solved.values[1])
    assert np.isnan(solved.w[0])
    assert np.isinf(solved.detectable[0])
    assert np.isnan(solved.without([0]).values).all()


def test_an_error_of_several_rows_at_once_is_tested_as_one() -> None:
    """The w of a direction is that of an extra unknown along it."""
    design, observed, covariance, prior = _problem(6)
    direction = np.zeros((8, 1))
    direction[[1, 4], 0] = 1.0
    wider = np.hstack([design, direction])
    values, inverse = _by_normal_equations(wider, observed, covariance, prior)
    w = adjust(design, observed, covariance, prior).test(direction)[0]
    assert w == pytest.approx(values[5] / np.sqrt(inverse[5, 5]), abs=1e-9)


def test_nothing_is_changed_by_asking() -> None:
    """Deleting makes a new adjustment and leaves the old one as it was."""
    solved: Adjustment = adjust(*_problem(7))
    before = solved.information.copy(), solved.weighted_residuals.copy(), solved.gain.copy()
    solved.without([0, 1])
    after = solved.information, solved.weighted_residuals, solved.gain
    assert all(np.array_equal(a, b) for a, b in zip(before, after, strict=True))
