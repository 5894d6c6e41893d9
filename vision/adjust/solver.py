"""Non-linear least squares: Levenberg-Marquardt on normal equations.

Residuals come whitened, so that the covariance of the estimate is the inverse of the normal
matrix (Triggs et al., Bundle Adjustment: A Modern Synthesis, 2000, section 2 and appendix). The
damping follows Nielsen (IMM-REP-1999-05) and is weighted by the largest curvature met so far of
each unknown (More, The Levenberg-Marquardt Algorithm, 1978), so that an unknown that has run
where nothing depends on it can still come back. Deterministic.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol, TypeVar

import numpy as np
from scipy.linalg.lapack import dposv, dpotrf, dpotri

from vision.units import FloatArray

State = TypeVar("State")

RELATIVE_DECREASE: Final = 1e-13
LEAST_FACTOR: Final = 0.1
"""Of the damping after a step that kept its promise."""
SMALLEST_PIVOT: Final = 1e-14
"""Below this relative pivot the scaled normal matrix counts as singular."""


class NotObservable(Exception):
    """The observations do not determine every unknown."""


class Problem(Protocol[State]):
    """What the solver needs to know of a problem."""

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened residuals (n,), not finite where impossible, and Jacobian (n, p)."""

    def retract(self, state: State, step: FloatArray) -> State:
        """The state moved by ``step`` (p,)."""


@dataclass(frozen=True)
class Minimum:
    """Solver's end point without the state, which the caller holds.

    Attributes
    ----------
    cost
        Sum of squared whitened residuals.
    normal
        (p, p) normal matrix J^T J at the end point.
    gradient
        (p,) J^T r there.
    residuals, jacobian
        (n,) whitened residuals and (n, p) their derivatives there.
    iterations
        Number of linearisations.
    converged
        False if the limit on iterations ended the search.
    """

    cost: float
    normal: FloatArray
    gradient: FloatArray
    residuals: FloatArray
    jacobian: FloatArray
    iterations: int
    converged: bool


def minimise(
    problem: Problem[State],
    start: State,
    max_iterations: int = 60,
    damping: float = 1e-4,
    enough: float = 0.0,
    give_up: Callable[[State, float, float], bool] | None = None,
) -> tuple[State, Minimum]:
    """Minimise the sum of squared whitened residuals from ``start``.

    The search ends with a step that promises to lower the sum by no more than ``enough``: a step
    of d standard deviations promises d squared. ``give_up`` is asked before each step, with the
    state, its cost and the decrease that the step promises, whether to end unconverged.

    Raises
    ------
    NotObservable
        If ``start`` is impossible, or the normal matrix is singular to working precision at the
        end point.
    """
    state, growth, converged = start, 2.0, False
    residuals, jacobian = problem.linearise(state)
    cost = float(residuals @ residuals)
    if not np.isfinite(cost):
        raise NotObservable
    normal, gradient = jacobian.T @ jacobian, jacobian.T @ residuals
    iterations, reach = 1, np.zeros(len(gradient))
    while iterations < max_iterations and not converged:
        reach = np.maximum(reach, np.diag(normal))
        step, predicted = _damped_step(normal, gradient, damping * reach)
        small = 0 <= predicted <= max(RELATIVE_DECREASE * cost, enough)
        if give_up is not None and predicted >= 0 and give_up(state, cost, predicted):
            break
        trial = problem.retract(state, step)
        # a trial far outside the model's reach may overflow; an infinite cost rejects it
        with np.errstate(over="ignore", invalid="ignore"):
            trial_residuals, trial_jacobian = problem.linearise(trial)
            trial_cost = float(trial_residuals @ trial_residuals)
        gain = (cost - trial_cost) / predicted if predicted > 0 else 0.0
        if np.isfinite(trial_cost) and (gain > 0 or (small and trial_cost <= cost)):
            state, cost, residuals, jacobian = trial, trial_cost, trial_residuals, trial_jacobian
            normal, gradient = jacobian.T @ jacobian, jacobian.T @ residuals
            damping *= max(LEAST_FACTOR, 1 - (2 * gain - 1) ** 3)
            growth = 2.0
        else:
            damping, growth = damping * growth, growth * 2
        converged = small or damping > 1e16
        iterations += 1
    _refuse_singular(normal)
    return state, Minimum(cost, normal, gradient, residuals, jacobian, iterations, converged)


def invert_normal(normal: FloatArray) -> FloatArray:
    """Inverse of a positive definite matrix.

    Raises
    ------
    NotObservable
        If the matrix is not positive definite to working precision.
    """
    factor, failed = dpotrf(normal, lower=True)
    inverse, singular = dpotri(factor, lower=True)
    if failed or singular:
        raise NotObservable
    lower = np.tril(inverse)
    return np.asarray(lower + np.tril(lower, -1).T)


def _damped_step(
    normal: FloatArray, gradient: FloatArray, damping: FloatArray
) -> tuple[FloatArray, float]:
    """The step and the decrease it promises; the latter is negative if more damping is needed.

    Cholesky's factor is as good without scaling the unknowns as with it (Higham, Accuracy and
    Stability of Numerical Algorithms, 2002, section 10.1).
    """
    damped = normal.copy()
    damped.flat[:: len(gradient) + 1] += damping
    _, step, failed = dposv(damped, -gradient, lower=True, overwrite_a=True)
    if failed:
        return np.zeros_like(gradient), -1.0
    # decrease of the quadratic model: -2 g.s - s.N.s
    return step, float(-2 * gradient @ step - step @ normal @ step)


def _refuse_singular(normal: FloatArray) -> None:
    diagonal = np.diag(normal)
    scale = 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0))
    factor, failed = dpotrf(normal * np.outer(scale, scale), lower=True)
    if failed or np.min(np.diag(factor)) ** 2 < SMALLEST_PIVOT:
        raise NotObservable
