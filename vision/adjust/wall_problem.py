"""The wall's least-squares problem: photo rows, prior rows, squareness and tape rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, solve_triangular

from vision.adjust.image_rows import ImageRows
from vision.adjust.lengths import Size, evaluate_size
from vision.adjust.network import Network, SquareCorner
from vision.adjust.state import LENS, MARK, Layout, State, prior_means_and_spreads
from vision.units import FloatArray


@dataclass(frozen=True)
class Tape:
    """A taped size, signed as the size is."""

    size: Size
    value_mm: float
    u_mm: float


class WallProblem:
    """Whitened residuals and Jacobian of one wall.

    Parameters
    ----------
    network
        What was seen and known.
    whitening
        (n, 2, 2) inverse Cholesky factors of the sightings' covariances.
    tapes
        Taped sizes that take part.
    level
        Marks that give the frame of ``dx`` and ``dy`` sizes, or None.
    """

    def __init__(
        self,
        network: Network,
        whitening: FloatArray,
        tapes: Sequence[Tape] = (),
        level: tuple[int, int] | None = None,
    ) -> None:
        self.network = network
        self.images = ImageRows(network)
        self.layout: Layout = self.images.layout
        self.whitening = whitening
        self.tapes = tuple(tapes)
        self.level = level
        mean, spread = prior_means_and_spreads(network)
        self._held = np.flatnonzero(np.isfinite(spread))
        self._mean, self._inverse_spread = mean[self._held], 1 / spread[self._held]
        self._lens_whitening = [_whiten(lens.covariance) for lens in network.lenses]

    @property
    def observation_count(self) -> int:
        """Rows that carry information, priors included."""
        return (
            2 * len(self.network.sightings.shot)
            + len(self._held)
            + LENS * len(self.network.lenses)
            + len(self.network.square_corners)
            + len(self.tapes)
        )

    def residuals(self, state: State) -> FloatArray:
        """Whitened residuals (n,); not finite if a point is behind its camera."""
        predicted = self.images.predict(state)
        return np.concatenate(
            [self._image_residuals(predicted), *(rows for rows, _ in self._other_rows(state))]
        )

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened residuals (n,) and Jacobian (n, p)."""
        predicted, jacobian = self.images.linearise(state)
        image = (self.whitening @ jacobian).reshape(-1, self.layout.size)
        others = self._other_rows(state)
        return (
            np.concatenate([self._image_residuals(predicted), *(rows for rows, _ in others)]),
            np.concatenate([image, *(jacobian for _, jacobian in others)]),
        )

    def retract(self, state: State, step: FloatArray) -> State:
        """The state moved by a step."""
        return state.moved(step)

    def mark_points(self, state: State) -> FloatArray:
        """Marks (m, 3), wall frame."""
        return state.x[self.layout.mark : self.layout.edge].reshape(-1, MARK)

    def size_gradient(self, size: Size, state: State) -> tuple[float, FloatArray]:
        """Value of a size and its gradient (p,) with respect to all unknowns."""
        found = evaluate_size(size, self.level, self.mark_points(state))
        gradient = np.zeros(self.layout.size)
        gradient[self.layout.mark : self.layout.edge] = found.gradient.ravel()
        return found.value_mm, gradient

    def _image_residuals(self, predicted: FloatArray) -> FloatArray:
        difference = predicted - self.network.sightings.pixels
        return np.asarray(np.einsum("nij,nj->ni", self.whitening, difference).ravel())

    def _other_rows(self, state: State) -> list[tuple[FloatArray, FloatArray]]:
        rows = [self._prior_rows(state), *self._lens_rows(state)]
        rows += [self._square_row(corner, state) for corner in self.network.square_corners]
        return rows + [self._tape_row(tape, state) for tape in self.tapes]

    def _prior_rows(self, state: State) -> tuple[FloatArray, FloatArray]:
        jacobian = np.zeros((len(self._held), self.layout.size))
        jacobian[np.arange(len(self._held)), self._held] = self._inverse_spread
        return (state.x[self._held] - self._mean) * self._inverse_spread, jacobian

    def _lens_rows(self, state: State) -> list[tuple[FloatArray, FloatArray]]:
        rows = []
        for index, (lens, whiten) in enumerate(
            zip(self.network.lenses, self._lens_whitening, strict=True)
        ):
            start = self.layout.lens + LENS * index
            jacobian = np.zeros((LENS, self.layout.size))
            jacobian[:, start : start + LENS] = whiten
            rows.append((whiten @ (state.x[start : start + LENS] - lens.mean), jacobian))
        return rows

    def _square_row(self, corner: SquareCorner, state: State) -> tuple[FloatArray, FloatArray]:
        # the plumb line's direction against the level line's normal, as an angle
        points = self.mark_points(state)
        ends = np.array([*corner.level, *corner.plumb])
        level = points[ends[1], :2] - points[ends[0], :2]
        plumb = points[ends[3], :2] - points[ends[2], :2]
        angle = np.arctan2(level @ plumb, level[0] * plumb[1] - level[1] * plumb[0])
        angle -= np.pi * np.round(angle / np.pi)
        d_level = np.array([-level[1], level[0]]) / (level @ level)
        d_plumb = np.array([-plumb[1], plumb[0]]) / (plumb @ plumb)
        jacobian = np.zeros((1, self.layout.size))
        for end, slope in zip(ends, (-d_level, d_level, d_plumb, -d_plumb), strict=True):
            start = self.layout.mark + MARK * end
            jacobian[0, start : start + 2] += slope / corner.u_rad
        return np.array([angle / corner.u_rad]), jacobian

    def _tape_row(self, tape: Tape, state: State) -> tuple[FloatArray, FloatArray]:
        value, gradient = self.size_gradient(tape.size, state)
        return np.array([(value - tape.value_mm) / tape.u_mm]), gradient[None, :] / tape.u_mm


def _whiten(covariance: FloatArray) -> FloatArray:
    factor, lower = cho_factor(covariance, lower=True)
    return np.asarray(solve_triangular(np.tril(factor), np.eye(len(covariance)), lower=lower))
