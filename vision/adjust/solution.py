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

from vision.adjust.lengths import Size
from vision.adjust.network import Network, Sightings
from vision.adjust.solver import Minimum, NotObservable, invert_normal, minimise
from vision.adjust.start import Start, mark_places, starting_values
from vision.adjust.state import LENS, LINE, MARK, Layout, State, layout_of
from vision.adjust.twins import ENOUGH, minimise_with_twins
from vision.adjust.wall_problem import Tape, WallProblem, scales_covariance, starting_weights
from vision.units import FloatArray, IntArray, read_only

ENOUGH_TAPED: Final = 1e-6
"""The same with tapes, 0.001: sizes are carried on from there to what the photos alone say."""
FURTHER: Final = 3
"""How often a search is carried on."""


@dataclass(frozen=True)
class SizeEstimates:
    """Sizes (m,) in mm with their joint covariance (m, m).

    ``by_scale`` (m, 2g) is how far each follows what was known beforehand of the print scales, mm
    per unit, x and y of each group in turn: what two walls of one print have in common.
    """

    names: tuple[str, ...]
    mm: FloatArray
    covariance_mm2: FloatArray
    by_scale: FloatArray


@dataclass(frozen=True)
class WallSolution:
    """A solved wall: state, covariance and what the fit says of itself.

    Attributes
    ----------
    state, minimum
        End point of the adjustment, tapes included where given.
    covariance
        (p, p) of all unknowns.
    degrees_of_freedom
        Observations and priors less unknowns.
    """

    problem: WallProblem
    state: State
    minimum: Minimum
    covariance: FloatArray
    degrees_of_freedom: int

    @property
    def network(self) -> Network:
        """The network that was solved."""
        return self.problem.network

    @property
    def layout(self) -> Layout:
        """Where the unknowns stand."""
        return self.problem.layout

    @cached_property
    def image_residuals_px(self) -> FloatArray:
        """(n, 2) predicted minus observed pixel of every sighting."""
        predicted = self.problem.images.predict(self.state)
        return read_only(predicted - self.network.sightings.pixels)

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
    """One wall's photos, solved; asked again and again with other tapes.

    Raises
    ------
    NotObservable
        If the photos do not determine the wall.
    """

    def __init__(
        self, network: Network, level: tuple[int, int] | None, starts_log_f: Sequence[FloatArray]
    ) -> None:
        self._take(_solve_photos(network, level, starts_log_f), level)

    def revised(self, network: Network, shots: Sequence[int]) -> WallAdjustment:
        """The adjustment of the same unknowns with sightings of some photos left out or widened.

        Of these photos the other pose is tried again.
        """
        doubtful = {shot: pose for shot, pose in self.start.twins.items() if shot in shots}
        here = replace(
            self.start,
            state=self._photos.state,
            line_frames=self.network.line_frames,
            twins=doubtful,
        )
        photos = _solve_from(network, self.level, here)
        if photos is None:
            raise NotObservable
        other = WallAdjustment.__new__(WallAdjustment)
        other._take(replace(photos, start=replace(here, twins=self.start.twins)), self.level)
        return other

    def followed(self) -> WallAdjustment:
        """The same with its search carried on where it was stopped, as far as there is a wall.

        A search is stopped early, for one that a blunder leads on ends where nothing is left of
        the wall; once gross blunders are out, an honest one may need more.
        """
        here = self
        for _ in range(FURTHER):
            if here.photo.minimum.converged:
                break
            try:
                here = here.revised(here.network, ())
            except NotObservable:
                break
        return here

    def _take(self, found: _Photos, level: tuple[int, int] | None) -> None:
        self.start = found.start
        self.network = found.problem.network
        self.level = level
        self._photos = found
        self._last: tuple[tuple[Tape, ...], WallSolution] | None = None

    @cached_property
    def photo(self) -> WallSolution:
        """The photo-only solution."""
        return _solution(self._photos.problem, self._photos.state, self._photos.settled())

    def solve(self, tapes: Sequence[Tape] = ()) -> WallSolution:
        """The wall with these tapes; without any, the photo-only solution."""
        if not tapes:
            return self.photo
        wanted = tuple(tapes)
        last = self._last  # read once: others may ask with other tapes at the same moment
        if last is None or last[0] != wanted:
            photos, problem = self._photos, self._photos.problem.with_tapes(wanted)
            known = photos.settled().with_rows(*problem.tape_rows(photos.state))
            state, minimum = minimise(
                problem, photos.state, damping=1e-8, enough=ENOUGH_TAPED, known=known
            )
            self._last = last = wanted, _solution(problem, state, minimum)
        return last[1]

    def estimates(self, sizes: Sequence[Size], tapes: Sequence[Tape] = ()) -> SizeEstimates:
        """Sizes as the photos alone see them, linearised at the solution with ``tapes``."""
        problem = self._photos.problem
        solution = self.solve(tapes)
        state, minimum = solution.state, solution.minimum
        if tapes:
            taped = slice(problem.direction_rows.stop, None)
            jacobian, off = minimum.jacobian[taped], minimum.residuals[taped]
            covariance = invert_normal(minimum.normal - jacobian.T @ jacobian)
            back = -covariance @ (minimum.gradient - jacobian.T @ off)
        else:
            covariance = solution.covariance
            back = -covariance @ minimum.gradient
        values, gradients = problem.size_values(sizes, state)
        spread = gradients @ covariance
        # of a least-squares solution, d estimate / d prior = covariance with it / its variance
        with_scales = spread[:, problem.layout.scale : problem.layout.mark]
        known = scales_covariance(problem.network.scale_groups)
        return SizeEstimates(
            names=tuple(size.name for size in sizes),
            mm=read_only(values + gradients @ back),
            covariance_mm2=read_only(spread @ gradients.T),
            by_scale=read_only(np.asarray(np.linalg.solve(known, with_scales.T).T, dtype=float)),
        )


@dataclass(frozen=True)
class _Photos:
    """The photo-only solution, or the start that shows why there is none."""

    problem: WallProblem
    start: Start
    state: State
    minimum: Minimum | None

    @property
    def cost(self) -> float:
        return np.inf if self.minimum is None else self.minimum.cost

    def settled(self) -> Minimum:
        """The minimum; there is one wherever a solution is asked for."""
        if self.minimum is None:
            raise NotObservable
        return self.minimum


def _solution(problem: WallProblem, state: State, minimum: Minimum) -> WallSolution:
    return WallSolution(
        problem=problem,
        state=state,
        minimum=minimum,
        covariance=read_only(invert_normal(minimum.normal)),
        degrees_of_freedom=problem.observation_count - problem.layout.size,
    )


def _solve_photos(
    network: Network, level: tuple[int, int] | None, starts_log_f: Sequence[FloatArray]
) -> _Photos:
    """The best photo-only solution over the focal lengths to start from."""
    best: _Photos | None = None
    for log_f in starts_log_f:
        start = starting_values(network, log_f)
        if start.unplaced_shots or start.clashing_sheets:
            tied = replace(network, line_frames=start.line_frames)
            return _Photos(WallProblem(tied, level=level), start, start.state, None)
        found = _solve_from(network, level, start)
        if found is not None and (best is None or found.cost < best.cost):
            best = found
    if best is None:
        raise NotObservable
    return best


def _solve_from(network: Network, level: tuple[int, int] | None, start: Start) -> _Photos | None:
    tied = replace(network, loose_sheets=start.loose_sheets, line_frames=start.line_frames)
    near = _photos_placed_first(tied, start)
    problem = WallProblem(tied, starting_weights(tied, near.state), (), level)
    found = minimise_with_twins(problem, near)
    if found is None:
        return None
    if network.lines:
        problem, found = _with_settled_lines(problem, found[0])
    return _Photos(problem, start, *found)


def _photos_placed_first(network: Network, start: Start) -> Start:
    """The start with photos where they fit best without the marks that but one photo shows.

    Such a mark says nothing of where its photo stands, and yet holds it back: each step that
    turns the photo must carry the mark along a curve. From a rough start the search then took
    hundreds of steps, or ended where nothing fits.
    """
    seen = network.sightings
    of_marks = np.flatnonzero(seen.sheet < 0)
    times = np.bincount(seen.point[of_marks], minlength=len(network.marks))
    rows = of_marks[times[seen.point[of_marks]] == 1]
    if not len(rows):
        return start
    fewer, kept = _without_lone_marks(network, rows, times)
    unknown = _columns(network, kept)
    state = State(start.state.rotations, start.state.x[unknown])
    problem = WallProblem(fewer, starting_weights(fewer, state))
    found = minimise_with_twins(problem, replace(start, state=state))
    if found is None:
        return start
    x = start.state.x.copy()
    x[unknown] = found[0].x
    placed = replace(start, state=State(found[0].rotations, x), twins={})
    places, first = mark_places(network, placed), layout_of(network).mark
    for row in rows:
        mark = int(seen.point[row])
        at = places[int(seen.shot[row])].get(mark)
        if at is not None:
            x[first + MARK * mark : first + MARK * mark + 2] = at
    return placed


def _without_lone_marks(
    network: Network, rows: IntArray, times: IntArray
) -> tuple[Network, IntArray]:
    """The network without the marks sighted in these rows, and the indices of those it keeps."""
    kept = np.flatnonzero(times != 1)
    seen = network.sightings
    stay = np.ones(len(seen.shot), dtype=bool)
    stay[rows] = False
    fields = {name: getattr(seen, name)[stay] for name in type(seen).__dataclass_fields__}
    renumbered = np.cumsum(times != 1) - 1
    of_marks = fields["sheet"] < 0
    point = fields["point"].copy()
    point[of_marks] = renumbered[point[of_marks]]
    marks = tuple(network.marks[int(mark)] for mark in kept)
    sightings = Sightings(**{**fields, "point": point})
    return replace(network, marks=marks, sightings=sightings, square_corners=()), kept


def _columns(network: Network, kept: IntArray) -> IntArray:
    """Where the unknowns of a network stand that keeps some of the marks."""
    layout = layout_of(network)
    of_marks = layout.mark + MARK * kept[:, None] + np.arange(MARK)
    rest = np.arange(layout.edge, layout.size)
    return np.concatenate([np.arange(layout.mark), of_marks.ravel(), rest])


def _with_settled_lines(
    problem: WallProblem, state: State
) -> tuple[WallProblem, tuple[State, Minimum]]:
    """Solve again with each line's stretch as found, so that it owes nothing to the start.

    What a line may bow by holds for the stretch that was followed.
    """
    frames = problem.curves.stretches(state)
    network = replace(problem.network, line_frames=frames)
    settled = WallProblem(network, problem.weights, (), problem.level)
    x = state.x.copy()
    x[settled.layout.line :].reshape(-1, LINE)[:, :2] = 0.0
    found = minimise(settled, State(state.rotations, x), damping=1e-8, enough=ENOUGH)
    return settled, found
