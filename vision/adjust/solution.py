"""Solve a wall from its photos, then say what any set of sizes is worth.

The photo-only solution is found once. ``estimates`` gives sizes as the photos alone see them,
linearised at the solution that also includes given tapes, so that fusion with those tapes and
every deletion can be done exactly in the space of sizes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from scipy.stats import chi2

from vision.adjust.image_rows import ImageRows
from vision.adjust.lengths import Size
from vision.adjust.network import Network
from vision.adjust.solver import Minimum, NotObservable, invert_normal, minimise
from vision.adjust.start import Start, starting_values
from vision.adjust.state import LENS, MARK, POSE, Layout, State
from vision.adjust.wall_problem import Tape, WallProblem
from vision.units import FloatArray, read_only

TWIN_TRIES: Final = 6
"""How many doubtful poses are tried the other way round."""


@dataclass(frozen=True)
class SizeEstimates:
    """Sizes (m,) in mm with their joint covariance (m, m)."""

    names: tuple[str, ...]
    mm: FloatArray
    covariance_mm2: FloatArray


@dataclass(frozen=True)
class WallSolution:
    """A solved wall: state, covariance and what the fit says of itself.

    Attributes
    ----------
    state, minimum
        End point of the adjustment, tapes included where given.
    covariance
        (p, p) of all unknowns.
    image_residuals_px
        (n, 2) predicted minus observed pixel of every sighting.
    degrees_of_freedom
        Observations and priors less unknowns.
    """

    problem: WallProblem
    state: State
    minimum: Minimum
    covariance: FloatArray
    image_residuals_px: FloatArray
    degrees_of_freedom: int

    @property
    def network(self) -> Network:
        """The network that was solved."""
        return self.problem.network

    @property
    def layout(self) -> Layout:
        """Where the unknowns stand."""
        return self.problem.layout

    @property
    def variance_factor(self) -> float:
        """Weighted sum of squared residuals per degree of freedom."""
        return self.minimum.cost / max(self.degrees_of_freedom, 1)

    @property
    def variance_bounds(self) -> tuple[float, float]:
        """95 % bounds of the variance factor when the model is right."""
        dof = max(self.degrees_of_freedom, 1)
        low, high = (float(chi2.ppf(share, dof)) / dof for share in (0.025, 0.975))
        return low, high

    def mark_points(self) -> tuple[FloatArray, FloatArray]:
        """Marks (m, 3), wall frame, and their joint covariance (3m, 3m)."""
        block = slice(self.layout.mark, self.layout.edge)
        return self.problem.mark_points(self.state), self.covariance[block, block]

    def lens_constants(self, lens: int) -> FloatArray:
        """(5,) log f, cx, cy (from the picture's centre, sensor frame), k1, k2."""
        start = self.layout.lens + LENS * lens
        return self.state.x[start : start + LENS]

    def prior_departure(self, lens: int) -> float:
        """Largest standardised departure of a lens constant from its prior.

        The difference of an estimate and a prior it was made with has the difference of their
        variances.
        """
        block = slice(self.layout.lens + LENS * lens, self.layout.lens + LENS * (lens + 1))
        prior = self.network.lenses[lens]
        learnt = np.diag(prior.covariance) - np.diag(self.covariance[block, block])
        moved = np.abs(self.state.x[block] - prior.mean)
        return float(np.max(moved / np.sqrt(np.maximum(learnt, 1e-3 * np.diag(prior.covariance)))))

    def posterior_over_prior(self, lens: int) -> FloatArray:
        """(5,) ratio of standard deviations after and before, for log f, cx, cy, k1, k2."""
        block = slice(self.layout.lens + LENS * lens, self.layout.lens + LENS * (lens + 1))
        after = np.sqrt(np.diag(self.covariance[block, block]))
        before = np.sqrt(np.diag(self.network.lenses[lens].covariance))
        return np.asarray(after / before)


class WallAdjustment:
    """One wall's photos, solved; asked again and again with other tapes."""

    def __init__(
        self, network: Network, level: tuple[int, int] | None, starts_log_f: Sequence[FloatArray]
    ) -> None:
        found = _solve_photos(network, level, starts_log_f)
        self.start = found.start
        self.network = found.network
        self.level = level
        self._whitening, self._photo_state = found.whitening, found.state

    @cached_property
    def photo(self) -> WallSolution:
        """The photo-only solution."""
        return self.solve()

    def solve(self, tapes: Sequence[Tape] = ()) -> WallSolution:
        """The wall with these tapes; without any, the photo-only solution."""
        problem = WallProblem(self.network, self._whitening, tapes, self.level)
        state, minimum = minimise(problem, self._photo_state, damping=1e-8)
        covariance = invert_normal(minimum.normal)
        predicted = problem.images.predict(state)
        return WallSolution(
            problem=problem,
            state=state,
            minimum=minimum,
            covariance=read_only(covariance),
            image_residuals_px=read_only(predicted - self.network.sightings.pixels),
            degrees_of_freedom=problem.observation_count - problem.layout.size,
        )

    def estimates(self, sizes: Sequence[Size], tapes: Sequence[Tape] = ()) -> SizeEstimates:
        """Sizes as the photos alone see them, linearised at the solution with ``tapes``."""
        problem = WallProblem(self.network, self._whitening, (), self.level)
        state = self.solve(tapes).state if tapes else self._photo_state
        residuals, jacobian = problem.linearise(state)
        covariance = invert_normal(jacobian.T @ jacobian)
        back = -covariance @ (jacobian.T @ residuals)
        found = [problem.size_gradient(size, state) for size in sizes]
        values = np.array([value for value, _ in found])
        gradients = np.array([gradient for _, gradient in found]).reshape(-1, problem.layout.size)
        return SizeEstimates(
            names=tuple(size.name for size in sizes),
            mm=read_only(values + gradients @ back),
            covariance_mm2=read_only(gradients @ covariance @ gradients.T),
        )


@dataclass(frozen=True)
class _Photos:
    """The photo-only solution, or the start that shows why there is none."""

    network: Network
    start: Start
    whitening: FloatArray
    state: State
    cost: float


def _solve_photos(
    network: Network, level: tuple[int, int] | None, starts_log_f: Sequence[FloatArray]
) -> _Photos:
    """The best photo-only solution over the focal lengths to start from."""
    best: _Photos | None = None
    for log_f in starts_log_f:
        start = starting_values(network, log_f)
        if start.unplaced_shots or start.clashing_sheets:
            return _Photos(network, start, np.zeros((0, 2, 2)), start.state, np.inf)
        tied = replace(network, loose_sheets=start.loose_sheets)
        whitening = _whitening(tied, start.state)
        found = _minimise_with_twins(WallProblem(tied, whitening, (), level), start)
        if found is not None and (best is None or found[0] < best.cost):
            best = _Photos(tied, start, whitening, found[1], found[0])
    if best is None:
        raise NotObservable
    return best


def _minimise_with_twins(problem: WallProblem, start: Start) -> tuple[float, State] | None:
    """Minimise, then try the other pose of each doubtful photo and keep what fits better."""
    best = _try(problem, start.state)
    for shot, pose in list(start.twins.items())[:TWIN_TRIES]:
        base = best[1] if best else start.state
        rotations, x = base.rotations.copy(), base.x.copy()
        rotations[shot] = pose.rotation
        x[POSE * shot + 3 : POSE * shot + 6] = pose.shift
        other = _try(problem, State(rotations, x))
        if other is not None and (best is None or other[0] < best[0] - 1e-6):
            best = other
    return best


def _try(problem: WallProblem, state: State) -> tuple[float, State] | None:
    if not np.all(np.isfinite(problem.residuals(state))):
        return None
    try:
        end, minimum = minimise(problem, state)
    except NotObservable:
        return None
    return minimum.cost, end


def _whitening(network: Network, state: State) -> FloatArray:
    """Inverse Cholesky factors of the sightings' covariances at the starting values.

    How sharply a thing is defined on the wall is turned into pixels by the derivative of the
    image with respect to the wall's plane, then kept, so that the weights do not move while
    the adjustment iterates.
    """
    covariance = network.sightings.covariance_px2 + _definition(network, state)
    return np.linalg.inv(np.linalg.cholesky(covariance))


def _definition(network: Network, state: State) -> FloatArray:
    seen = network.sightings
    rows = np.flatnonzero((seen.sheet < 0) & (seen.defined_mm > 0))
    spread = np.zeros((len(seen.shot), 2, 2))
    if len(rows):
        images = ImageRows(network)
        _, jacobian = images.linearise(state)
        columns = images.layout.mark + MARK * seen.point[rows][:, None] + np.arange(2)
        image = np.take_along_axis(jacobian[rows], columns[:, None, :], axis=2)
        spread[rows] = (image @ np.swapaxes(image, 1, 2)) * seen.defined_mm[rows, None, None] ** 2
    return spread
