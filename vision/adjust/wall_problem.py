"""The wall's least-squares problem: photo rows, prior rows, direction and tape rows."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, solve_triangular

from vision.adjust.curve_rows import CurveRows
from vision.adjust.direction_rows import DirectionRows
from vision.adjust.image_rows import ImageRows
from vision.adjust.lengths import Size, evaluate_sizes
from vision.adjust.network import Network, ScaleGroup
from vision.adjust.state import LENS, MARK, SCALE, Layout, State, layout_of, prior_means_and_spreads
from vision.adjust.views import Views
from vision.units import FloatArray, IntArray


@dataclass(frozen=True)
class Tape:
    """A taped size, signed as the size is."""

    size: Size
    value_mm: float
    u_mm: float


@dataclass(frozen=True)
class Weights:
    """How observations in pixels are made unitless.

    ``sightings`` (n, 2, 2) are the inverse Cholesky factors of their covariances, ``curves`` (m,)
    the inverse standard deviations of points along curves.
    """

    sightings: FloatArray
    curves: FloatArray


class WallProblem:
    """Whitened residuals and Jacobian of one wall.

    Parameters
    ----------
    network
        What was seen and known.
    weights
        Of what was seen in photos; None leaves all at one pixel.
    tapes
        Taped sizes that take part.
    level
        Marks that give the frame of ``dx`` and ``dy`` sizes, or None.
    """

    def __init__(
        self,
        network: Network,
        weights: Weights | None = None,
        tapes: Sequence[Tape] = (),
        level: tuple[int, int] | None = None,
    ) -> None:
        self.network = network
        self.layout: Layout = layout_of(network)
        self.views = Views(network, self.layout)
        self.images = ImageRows(network, self.layout, self.views)
        self.curves = CurveRows(network, self.layout, self.views)
        self.directions = DirectionRows(network, self.layout, level)
        self.weights = weights or _no_weights(network)
        self.tapes = tuple(tapes)
        self.level = level
        mean, spread = prior_means_and_spreads(network)
        self._held = np.flatnonzero(np.isfinite(spread))
        self._mean = mean
        self._prior_jacobian = self._prior_rows(1 / spread[self._held])
        self._lay_out_rows()

    @property
    def observation_count(self) -> int:
        """Rows that carry information, priors included."""
        return (
            2 * len(self.network.sightings.shot)
            + self.curves.count
            + len(self._prior_jacobian)
            + self.directions.count
            + len(self.tapes)
        )

    def residuals(self, state: State) -> FloatArray:
        """Whitened residuals (n,); not finite if a point is behind its camera."""
        return self.linearise(state)[0]

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened residuals (n,), not finite where impossible, and Jacobian (n, p)."""
        residuals, jacobian = self._untaped(state)
        if not self.tapes:
            return residuals, jacobian
        off, slopes = self.tape_rows(state)
        return np.concatenate([residuals, off]), np.concatenate([jacobian, slopes])

    def with_tapes(self, tapes: Sequence[Tape]) -> WallProblem:
        """The same problem with other tapes."""
        other = copy(self)
        other.tapes = tuple(tapes)
        return other

    def tape_rows(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened residuals and Jacobian of the tapes, which are the last rows."""
        values, gradients = self.size_values([tape.size for tape in self.tapes], state)
        taped = np.array([(tape.value_mm, tape.u_mm) for tape in self.tapes]).reshape(-1, 2)
        return (values - taped[:, 0]) / taped[:, 1], gradients / taped[:, 1:]

    def _untaped(self, state: State) -> tuple[FloatArray, FloatArray]:
        jacobian = self._template.copy()
        predicted, slopes = self.images.linearise(state)
        whiten, seen = self.weights.sightings, self.network.sightings
        jacobian[self._sighting_cells] = (whiten @ slopes).ravel()
        parts = [(whiten @ (predicted - seen.pixels)[:, :, None]).ravel()]
        if self.curves.count:
            distance, across = self.curves.linearise(state)
            jacobian[self._curve_cells] = (self.weights.curves[:, None] * across).ravel()
            parts.append(self.weights.curves * distance)
        rows = jacobian[:-1].reshape(-1, self.layout.size)
        parts.append(self._prior_jacobian @ (state.x - self._mean))
        directions, rows[self.direction_rows] = self.directions.linearise(state)
        return np.concatenate([*parts, directions]), rows

    def retract(self, state: State, step: FloatArray) -> State:
        """The state moved by a step."""
        return state.moved(step)

    def mark_points(self, state: State) -> FloatArray:
        """Marks (m, 3), wall frame."""
        return state.x[self.layout.mark : self.layout.edge].reshape(-1, MARK)

    def size_values(self, sizes: Sequence[Size], state: State) -> tuple[FloatArray, FloatArray]:
        """Values (k,) of sizes and their gradients (k, p) with respect to all unknowns."""
        layout = self.layout
        values, slopes = evaluate_sizes(sizes, self.level, self.mark_points(state))
        gradients = np.zeros((len(sizes), layout.size))
        gradients[:, layout.mark : layout.edge] = slopes.reshape(len(sizes), MARK * layout.marks)
        return values, gradients

    def _lay_out_rows(self) -> None:
        """Where each derivative goes in the flat Jacobian; those by nothing into its last cell."""
        size, first_curve = self.layout.size, 2 * len(self.network.sightings.shot)
        first_prior = first_curve + self.curves.count
        first_direction = first_prior + len(self._prior_jacobian)
        self.curve_rows = slice(first_curve, first_prior)
        self.prior_rows = slice(first_prior, first_direction)
        self.direction_rows = slice(first_direction, first_direction + self.directions.count)
        count = self.direction_rows.stop
        self._sighting_cells = _cells(
            np.repeat(self.images.columns, 2, axis=0), np.arange(first_curve), size, count
        )
        curves = np.arange(first_curve, first_prior)
        self._curve_cells = _cells(self.curves.columns, curves, size, count)
        self._template = np.zeros(count * size + 1)
        self._template[:-1].reshape(count, size)[self.prior_rows] = self._prior_jacobian

    def prior_row(self, unknown: int) -> int:
        """The row that holds the prior of an unknown that has one of its own."""
        return self.prior_rows.start + int(np.searchsorted(self._held, unknown))

    def lens_rows(self, lens: int) -> IntArray:
        """The rows that hold the joint prior of a lens's constants."""
        first = self.prior_rows.start + len(self._held) + LENS * lens
        return np.arange(first, first + LENS)

    def _prior_rows(self, inverse_spread: FloatArray) -> FloatArray:
        """Whitened derivatives of all priors; constant, since each is of the unknowns themselves.

        A lens's five constants may be correlated. Their means go where all the others' are.
        """
        held, size = len(self._held), self.layout.size
        jacobian = np.zeros((held + LENS * len(self.network.lenses), size))
        jacobian[np.arange(held), self._held] = inverse_spread
        for index, lens in enumerate(self.network.lenses):
            row, column = held + LENS * index, self.layout.lens + LENS * index
            jacobian[row : row + LENS, column : column + LENS] = _whiten(lens.covariance)
            self._mean[column : column + LENS] = lens.mean
        self._join_scales(jacobian)
        return jacobian

    def _join_scales(self, jacobian: FloatArray) -> None:
        """Rows of the print scales of which a part errs together."""
        groups = self.network.scale_groups
        joined = np.flatnonzero([group.common_u > 0 for group in groups])
        covariance = scales_covariance(groups)
        for axis in range(SCALE if len(joined) > 1 else 0):
            places = SCALE * joined + axis
            columns = self.layout.scale + places
            rows = np.searchsorted(self._held, columns)
            jacobian[np.ix_(rows, columns)] = _whiten(covariance[np.ix_(places, places)])


def scales_covariance(groups: Sequence[ScaleGroup]) -> FloatArray:
    """(2g, 2g) prior covariance of print scales, x and y of each group in turn."""
    covariance = np.zeros((SCALE * len(groups), SCALE * len(groups)))
    common = np.array([group.common_u for group in groups])
    for axis in range(SCALE):
        of_axis = np.outer(common, common)
        np.fill_diagonal(of_axis, [group.u[axis] ** 2 for group in groups])
        covariance[axis::SCALE, axis::SCALE] = of_axis
    return covariance


def _cells(columns: IntArray, rows: IntArray, size: int, count: int) -> IntArray:
    cells = np.where(columns < size, size * rows[:, None] + columns, size * count)
    return np.asarray(cells.ravel())


def starting_weights(network: Network, state: State) -> Weights:
    """Weights by the covariances of what was seen, at the starting values.

    How sharply a thing is defined on the wall is turned into pixels by the derivative of the
    image with respect to the wall's plane, then kept, so that the weights do not move while
    the adjustment iterates.
    """
    layout, seen = layout_of(network), network.sightings
    views = Views(network, layout)
    covariance = seen.covariance_px2.copy()
    rows = np.flatnonzero((seen.sheet < 0) & (seen.defined_mm > 0))
    if len(rows):
        marks = state.x[layout.mark : layout.edge].reshape(-1, MARK)[seen.point[rows]]
        by_place = views.look(state, seen.shot[rows], marks).by_point[:, :, :2]
        covariance[rows] += (by_place @ np.swapaxes(by_place, 1, 2)) * (
            seen.defined_mm[rows, None, None] ** 2
        )
    curves = network.curves
    spread = curves.sd_px
    if np.any(curves.defined_mm > 0):
        sharpness = CurveRows(network, layout, views).sharpness(state)
        spread = np.hypot(spread, curves.defined_mm * sharpness)
    return Weights(np.linalg.inv(np.linalg.cholesky(covariance)), 1 / spread)


def _no_weights(network: Network) -> Weights:
    seen = len(network.sightings.shot)
    return Weights(np.tile(np.eye(2), (seen, 1, 1)), np.ones(len(network.curves.shot)))


def _whiten(covariance: FloatArray) -> FloatArray:
    factor, lower = cho_factor(covariance, lower=True)
    return np.asarray(solve_triangular(np.tril(factor), np.eye(len(covariance)), lower=lower))
