"""Non-linear least squares: Levenberg-Marquardt on normal equations.

Residuals come whitened, so that the covariance of the estimate is the inverse of the normal
matrix (Triggs et al., Bundle Adjustment: A Modern Synthesis, 2000, section 2 and appendix). The
damping follows Nielsen (IMM-REP-1999-05) and is weighted by the largest curvature met so far of
each unknown (More, The Levenberg-Marquardt Algorithm, 1978), so that an unknown that has run
where nothing depends on it can still come back. Deterministic.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Protocol, TypeVar

import numpy as np
from scipy.linalg.lapack import dposv, dpotrf, dpotri

from vision.units import FloatArray

State = TypeVar("State")

RELATIVE_DECREASE: Final = 1e-13
LEAST_FACTOR: Final = 0.1
"""Of the damping after a step that kept its promise."""
NEAR: Final = 1e-3
"""A step of 0.03 standard deviations: over it the normal matrix changes so little that the one at
the start serves at the end for a further step; the gradient does not."""
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
    """What the solver knows where it stands, at last its end point; the caller holds the state.

    Attributes
    ----------
    cost
        Sum of squared whitened residuals.
    normal
        (p, p) normal matrix J^T J; on the way a few hundredths of a standard deviation old.
    gradient
        (p,) J^T r.
    residuals, jacobian
        (n,) whitened residuals and (n, p) their derivatives there.
    iterations
        Number of steps looked at, the start being one.
    converged
        False if the limit on iterations ended the search.
    """

    cost: float
    normal: FloatArray
    gradient: FloatArray
    residuals: FloatArray
    jacobian: FloatArray
    iterations: int = 1
    converged: bool = False

    def with_rows(self, residuals: FloatArray, jacobian: FloatArray) -> Minimum:
        """The same with further rows (k,) and (k, p)."""
        return Minimum(
            self.cost + float(residuals @ residuals),
            self.normal + jacobian.T @ jacobian,
            self.gradient + jacobian.T @ residuals,
            np.concatenate([self.residuals, residuals]),
            np.concatenate([self.jacobian, jacobian]),
        )

    def renewed(self) -> Minimum:
        """The same with the normal matrix of its own derivatives."""
        return replace(self, normal=self.jacobian.T @ self.jacobian)

    def after(self, step: FloatArray, predicted: float) -> Minimum:
        """What it comes to after a step, as the derivatives promise."""
        return replace(
            self,
            cost=self.cost - predicted,
            gradient=self.gradient + self.normal @ step,
            residuals=self.residuals + self.jacobian @ step,
        )


def minimise(
    problem: Problem[State],
    start: State,
    max_iterations: int = 60,
    damping: float = 1e-4,
    enough: float = 0.0,
    give_up: Callable[[State, float, float], bool] | None = None,
    known: Minimum | None = None,
) -> tuple[State, Minimum]:
    """Minimise the sum of squared whitened residuals from ``start``.

    The search ends with a step that promises to lower the sum by no more than ``enough``: a step
    of d standard deviations promises d squared. Over so short a step the derivatives are taken
    to be constant; over one that promises no more than ``NEAR`` the normal matrix is.
    ``give_up`` is asked before each step, with the state, its cost and the decrease that the step
    promises, whether to end unconverged. ``known`` is what the problem says of ``start``, where
    that has been worked out.

    Raises
    ------
    NotObservable
        If ``start`` is impossible, or the normal matrix is singular to working precision at the
        end point.
    """
    state, at, growth, converged = start, known or _look(problem, start), 2.0, False
    if not np.isfinite(at.cost):
        raise NotObservable
    near = NEAR if enough > 0 else 0.0
    iterations, reach = 1, np.zeros(len(at.gradient))
    while iterations < max_iterations and not converged:
        reach = np.maximum(reach, np.diag(at.normal))
        step, predicted = _damped_step(at.normal, at.gradient, damping * reach)
        if 0 <= predicted <= enough:
            state, at, converged = problem.retract(state, step), at.after(step, predicted), True
            break
        small = 0 <= predicted <= RELATIVE_DECREASE * at.cost
        if give_up is not None and predicted >= 0 and give_up(state, at.cost, predicted):
            break
        trial = problem.retract(state, step)
        found = _look(problem, trial, at.normal if 0 <= predicted <= near else None)
        gain = (at.cost - found.cost) / predicted if predicted > 0 else 0.0
        if np.isfinite(found.cost) and (gain > 0 or (small and found.cost <= at.cost)):
            state, at, growth = trial, found, 2.0
            damping *= max(LEAST_FACTOR, 1 - (2 * gain - 1) ** 3)
        else:
            damping, growth = damping * growth, growth * 2
        converged = small or damping > 1e16
        iterations += 1
    at = replace(at, iterations=iterations, converged=converged).renewed()
    _refuse_singular(at.normal)
    return state, at


def _look(problem: Problem[State], state: State, normal: FloatArray | None = None) -> Minimum:
    """Everything at a state, the normal matrix if it is not given.

    The cost is infinite where the state is far outside the model's reach.
    """
    with np.errstate(over="ignore", invalid="ignore"):
        residuals, jacobian = problem.linearise(state)
        cost = float(residuals @ residuals)
        if not np.isfinite(cost):
            return Minimum(np.inf, jacobian, residuals, residuals, jacobian)
    if normal is None:
        normal = jacobian.T @ jacobian
    return Minimum(cost, normal, jacobian.T @ residuals, residuals, jacobian)


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
    factor, failed = dpotrf(normal, lower=True)
    # the factor's diagonal over that of the matrix is what scaling the unknowns would make of it
    if failed or np.min(np.diag(factor) ** 2 / np.diag(normal)) < SMALLEST_PIVOT:
        raise NotObservable
