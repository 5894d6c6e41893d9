"""Rows of the adjustment that come from photos: predicted pixels and their derivatives."""

from __future__ import annotations

import numpy as np

from vision.adjust.network import Network
from vision.adjust.sheet_rows import SHEET_COLUMNS, SheetPoints
from vision.adjust.state import EXPOSURE, LENS, MARK, POSE, Layout, State, layout_of
from vision.camera.projection import Intrinsics, Projection, project
from vision.units import FloatArray, IntArray

BEHIND = 1.0
"""Points nearer to the camera plane than this, in mm, make a state impossible."""


class ImageRows:
    """Predicted pixel of every sighting of a network, for any state.

    What depends on the network alone (which unknowns a sighting depends on, and in which
    column) is worked out once.
    """

    def __init__(self, network: Network) -> None:
        self.network = network
        self.layout: Layout = layout_of(network)
        seen = network.sightings
        self._count = len(seen.shot)
        self._mark_rows = np.flatnonzero(seen.sheet < 0)
        self._sheet_rows = np.flatnonzero(seen.sheet >= 0)
        self._edge_rows = np.flatnonzero(seen.edge >= 0)
        self._sheets = SheetPoints(
            network, self.layout, seen.sheet[self._sheet_rows], seen.point[self._sheet_rows]
        )
        self._lens_of_shot = np.array([shot.lens for shot in network.shots], dtype=np.int64)
        self._turns = np.array([shot.sensor_turn for shot in network.shots]).reshape(-1, 2, 2)
        sizes = np.array([(s.width_px, s.height_px) for s in network.shots], dtype=np.float64)
        self._middles = (sizes.reshape(-1, 2) - 1) / 2
        self._point_columns = self._columns_of_points()
        shots = seen.shot[:, None]
        self._pose_columns = POSE * shots + np.arange(POSE)
        self._lens_columns = self.layout.lens + LENS * self._lens_of_shot[shots] + np.arange(LENS)
        self._exposure_columns = self.layout.exposure + EXPOSURE * shots + np.arange(EXPOSURE)

    def predict(self, state: State) -> FloatArray:
        """Predicted pixels (n, 2); NaN for points behind their camera."""
        in_camera, _ = self._in_camera(state, self._points(state))
        pixels = project(in_camera, self._cameras(state)).pixels + self._edge_shift(state)
        pixels[in_camera[:, 2] < BEHIND] = np.nan
        return pixels

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Predicted pixels (n, 2) and their derivatives (n, 2, p)."""
        in_camera, turned = self._in_camera(state, self._points(state))
        projection = project(in_camera, self._cameras(state))
        jacobian = np.zeros((self._count, 2, self.layout.size))
        dq_dwall = projection.dq_dpoint @ state.rotations[self.network.sightings.shot]
        self._put_points(state, dq_dwall, jacobian)
        dq_dpose = np.concatenate(
            [-projection.dq_dpoint @ _cross_matrices(turned), projection.dq_dpoint], axis=2
        )
        _put(jacobian, self._pose_columns, dq_dpose)
        self._put_camera(state, projection, jacobian)
        rows = self._edge_rows
        columns = self.layout.edge + self.network.sightings.edge[rows]
        jacobian[rows, :, columns] = self.network.sightings.edge_direction[rows]
        return projection.pixels + self._edge_shift(state), jacobian

    def camera_constants(self, state: State) -> FloatArray:
        """(s, 5): f, cx, cy in the upright picture, k1, k2 of each photo."""
        layout = self.layout
        lenses = state.x[layout.lens : layout.exposure].reshape(-1, LENS)[self._lens_of_shot]
        exposure = state.x[layout.exposure : layout.sheet].reshape(-1, EXPOSURE)
        offset = np.einsum("sij,sj->si", self._turns, lenses[:, 1:3]) + exposure[:, 1:3]
        f = np.exp(lenses[:, 0]) * (1 + exposure[:, 0])
        return np.column_stack([f, self._middles + offset, lenses[:, 3:5]])

    def _columns_of_points(self) -> IntArray:
        columns = np.zeros((self._count, SHEET_COLUMNS), dtype=np.int64)
        columns[self._sheet_rows] = self._sheets.columns
        marks = self.layout.mark + MARK * self.network.sightings.point[self._mark_rows]
        columns[self._mark_rows, :MARK] = marks[:, None] + np.arange(MARK)
        return columns

    def _points(self, state: State) -> FloatArray:
        points = np.zeros((self._count, 3))
        points[self._mark_rows] = state.x[self._point_columns[self._mark_rows, :MARK]]
        points[self._sheet_rows] = self._sheets.points(state)
        return points

    def _in_camera(self, state: State, points: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Points in the camera frame, and turned into it but not shifted."""
        shots = self.network.sightings.shot
        turned = np.einsum("nij,nj->ni", state.rotations[shots], points)
        return turned + state.x[: self.layout.lens].reshape(-1, POSE)[shots, 3:], turned

    def _cameras(self, state: State) -> Intrinsics:
        constants = self.camera_constants(state)[self.network.sightings.shot]
        return Intrinsics(*constants.T)

    def _edge_shift(self, state: State) -> FloatArray:
        seen = self.network.sightings
        offsets = np.append(state.x[self.layout.edge :], 0.0)[seen.edge]
        return np.asarray(offsets[:, None] * seen.edge_direction)

    def _put_points(self, state: State, dq_dwall: FloatArray, jacobian: FloatArray) -> None:
        rows = self._sheet_rows
        moved = np.zeros((self._count, 2, SHEET_COLUMNS))
        moved[self._mark_rows, :, :MARK] = dq_dwall[self._mark_rows]
        moved[rows] = dq_dwall[rows] @ self._sheets.derivatives(state)
        _put(jacobian, self._point_columns, moved)

    def _put_camera(self, state: State, projection: Projection, jacobian: FloatArray) -> None:
        """Derivatives with respect to the lens and to this exposure's departures from it."""
        shots = self.network.sightings.shot
        dlog = projection.dq_dlogf[:, :, None]
        lens = np.concatenate([dlog, self._turns[shots], projection.dq_dk], axis=2)
        _put(jacobian, self._lens_columns, lens)
        exposure = state.x[self.layout.exposure : self.layout.sheet].reshape(-1, EXPOSURE)
        identity = np.broadcast_to(np.eye(2), (self._count, 2, 2))
        focus = dlog / (1 + exposure[shots, 0])[:, None, None]
        _put(jacobian, self._exposure_columns, np.concatenate([focus, identity], axis=2))


def _put(jacobian: FloatArray, columns: IntArray, values: FloatArray) -> None:
    """Add ``values`` (n, 2, k) at ``columns`` (n, k).

    A column that stands twice in a row carries a zero derivative there, so that the last of its
    writes changes nothing.
    """
    rows = np.arange(len(columns))[:, None, None]
    jacobian[rows, np.arange(2)[None, :, None], columns[:, None, :]] += values


def _cross_matrices(vectors: FloatArray) -> FloatArray:
    matrices = np.zeros((len(vectors), 3, 3))
    x, y, z = vectors.T
    matrices[:, 0, 1], matrices[:, 0, 2], matrices[:, 1, 2] = -z, y, -x
    matrices[:, 1, 0], matrices[:, 2, 0], matrices[:, 2, 1] = z, -y, x
    return matrices
