"""What each sighting's own misfit says, and what a wrong one could hide.

For one sighting with whitened residual v (2,) and redundancy block R = I - A C A^T (2, 2), where A
are its whitened rows and C the covariance of the unknowns, the drop of the weighted sum of squares
when the sighting is freed is T = v^T R^-1 v, chi-square with two degrees of freedom when nothing is
wrong (Baarda 1968, for two coordinates at once).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.adjust.solution import WallSolution
from vision.adjust.state import LINE
from vision.units import FloatArray, IntArray

LEAST_REDUNDANCY = 1e-4
"""Directions that nothing else controls are not tested."""
NON_CENTRALITY = 17.075
"""Baarda's lambda for 0.1 % and 80 % in one dimension; a slight understatement for two."""


@dataclass(frozen=True)
class SightingTests:
    """Per sighting.

    Attributes
    ----------
    drop
        (n,) T: how much the weighted sum of squares would drop without it.
    redundancy
        (n,) trace of R, from 0 (nothing controls it) to 2.
    detectable_px
        (n,) least wrong placement that would have shown, in its best controlled direction, pixels;
        infinite where nothing controls it.
    """

    drop: FloatArray
    redundancy: FloatArray
    detectable_px: FloatArray


@dataclass(frozen=True)
class LineTests:
    """How much the weighted sum of squares would drop without each; chi-square of one each.

    Attributes
    ----------
    points
        (m,) points along lines and edges.
    directions
        (k,) square corners, then lines known to be level or plumb.
    bows
        (l,) lines' being as straight as stated.
    """

    points: FloatArray
    directions: FloatArray
    bows: FloatArray


def sighting_tests(solution: WallSolution) -> SightingTests:
    """Test every sighting of a solved wall against all others."""
    problem = solution.problem
    off, rows = solution.minimum.residuals, solution.minimum.jacobian
    count = 2 * len(solution.network.sightings.shot)
    residuals, rows = off[:count].reshape(-1, 2), rows[:count]
    reach = (rows @ solution.covariance).reshape(len(residuals), 2, -1)
    explained = reach @ np.swapaxes(rows.reshape(reach.shape), 1, 2)
    control = np.eye(2) - explained
    values, vectors = np.linalg.eigh(control)
    along = np.einsum("nij,ni->nj", vectors, residuals)
    controlled = values > LEAST_REDUNDANCY
    drop = np.sum(np.where(controlled, along**2 / np.where(controlled, values, 1.0), 0.0), axis=1)
    sigma = np.sqrt(1 / np.linalg.det(problem.weights.sightings))
    best = np.maximum(values[:, 1], 0.0)
    with np.errstate(divide="ignore"):
        detectable = np.where(
            best > LEAST_REDUNDANCY, np.abs(sigma) * np.sqrt(NON_CENTRALITY / best), np.inf
        )
    return SightingTests(drop, np.sum(np.maximum(values, 0.0), axis=1), detectable)


def line_tests(solution: WallSolution) -> LineTests:
    """Test what is known of lines and directions against all else."""
    problem, layout = solution.problem, solution.layout
    residuals, rows = solution.minimum.residuals, solution.minimum.jacobian

    def drops(block: slice | list[int], errors: FloatArray | None = None) -> FloatArray:
        part = rows[block]
        control = np.eye(len(part)) - part @ solution.covariance @ part.T
        errors = np.eye(len(part)) if errors is None else errors
        strength = np.einsum("nk,nm,mk->k", errors, control, errors)
        shows = strength > LEAST_REDUNDANCY
        pull = errors.T @ residuals[block]
        return np.asarray(np.where(shows, pull**2 / np.where(shows, strength, 1.0), 0.0))

    lines = range(len(solution.network.lines))
    return LineTests(
        points=drops(problem.curve_rows),
        directions=drops(problem.direction_rows, problem.directions.errors),
        bows=drops([problem.prior_row(layout.line + LINE * line + 2) for line in lines]),
    )


def freed_drops(solution: WallSolution, rows: IntArray, errors: FloatArray) -> FloatArray:
    """How much the weighted sum would drop if whitened rows had errors along ``errors``.

    ``rows`` (n, m) and ``errors`` E (n, m, k) are of n hypotheses; the drops (n,) are each of one
    of them alone. With ``S = E^T R E`` a drop is ``(E^T v)^T S^-1 (E^T v)``, chi-square of k
    degrees of freedom when nothing is wrong. Directions that nothing else controls do not count.
    """
    basis = np.linalg.qr(errors)[0]
    reach = np.swapaxes(basis, 1, 2) @ solution.minimum.jacobian[rows]
    explained = reach @ solution.covariance @ np.swapaxes(reach, 1, 2)
    residuals = solution.minimum.residuals[rows]
    return _drops(explained, np.einsum("nmk,nm->nk", basis, residuals))


def freed_prior_drops(solution: WallSolution, rows: IntArray, first: IntArray) -> FloatArray:
    """`freed_drops` of prior ``rows`` (n, k), each of the k unknowns from ``first`` (n,) on."""
    own = first[:, None] + np.arange(rows.shape[1])
    whiten = solution.minimum.jacobian[rows[:, :, None], own[:, None, :]]
    block = solution.covariance[own[:, :, None], own[:, None, :]]
    explained = whiten @ block @ np.swapaxes(whiten, 1, 2)
    return _drops(explained, solution.minimum.residuals[rows])


def _drops(explained: FloatArray, pull: FloatArray) -> FloatArray:
    values, vectors = np.linalg.eigh(np.eye(pull.shape[1]) - explained)
    along, shows = np.einsum("nij,ni->nj", vectors, pull), values > LEAST_REDUNDANCY
    drops = np.where(shows, along**2 / np.where(shows, values, 1.0), 0.0)
    return np.asarray(drops.sum(axis=1))
