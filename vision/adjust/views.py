"""The photos of a network as cameras: points of the wall to pixels, with all derivatives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from vision.adjust.network import Network
from vision.adjust.state import EXPOSURE, LENS, POSE, Layout, State
from vision.camera.projection import Intrinsics, project
from vision.units import FloatArray, IntArray

VIEW_COLUMNS: Final = POSE + LENS + EXPOSURE
"""Unknowns of its photo on which a pixel depends."""
BEHIND: Final = 1.0
"""Points nearer to the camera plane than this, in mm, make a state impossible."""


@dataclass(frozen=True)
class Looked:
    """Where points fall in their photos.

    Attributes
    ----------
    pixels
        (n, 2); NaN for points behind their camera.
    by_point
        (n, 2, 3) derivative with respect to the point on the wall.
    by_view
        (n, 2, 14) with respect to the photo's rotation, shift, lens and exposure.
    """

    pixels: FloatArray
    by_point: FloatArray
    by_view: FloatArray


class Views:
    """Every photo of a network, for any state."""

    def __init__(self, network: Network, layout: Layout) -> None:
        self._layout = layout
        self._lens_of_shot = np.array([shot.lens for shot in network.shots], dtype=np.int64)
        self._turns = np.array([shot.sensor_turn for shot in network.shots]).reshape(-1, 2, 2)
        sizes = np.array([(s.width_px, s.height_px) for s in network.shots], dtype=np.float64)
        self._middles = (sizes.reshape(-1, 2) - 1) / 2

    def columns(self, shots: IntArray) -> IntArray:
        """(n, 14) columns of ``Looked.by_view`` in the vector of unknowns."""
        layout, shots = self._layout, shots[:, None]
        return np.concatenate(
            [
                POSE * shots + np.arange(POSE),
                layout.lens + LENS * self._lens_of_shot[shots] + np.arange(LENS),
                layout.exposure + EXPOSURE * shots + np.arange(EXPOSURE),
            ],
            axis=1,
        )

    def constants(self, state: State) -> FloatArray:
        """(s, 5): f, cx, cy in the upright picture, k1, k2 of each photo."""
        layout = self._layout
        lenses = state.x[layout.lens : layout.exposure].reshape(-1, LENS)[self._lens_of_shot]
        exposure = state.x[layout.exposure : layout.sheet].reshape(-1, EXPOSURE)
        offset = (self._turns @ lenses[:, 1:3, None])[:, :, 0] + exposure[:, 1:3]
        f = np.exp(lenses[:, 0]) * (1 + exposure[:, 0])
        return np.column_stack([f, self._middles + offset, lenses[:, 3:5]])

    def pixels(self, state: State, shots: IntArray, points: FloatArray) -> FloatArray:
        """Pixels (n, 2) of points (n, 3) in their photos; NaN behind the camera."""
        in_camera = self._turned(state, shots, points) + self._shifts(state)[shots]
        found = project(in_camera, self._cameras(state, shots)).pixels
        found[in_camera[:, 2] < BEHIND] = np.nan
        return found

    def look(self, state: State, shots: IntArray, points: FloatArray) -> Looked:
        """Pixels and derivatives of points (n, 3) in their photos."""
        turned = self._turned(state, shots, points)
        in_camera = turned + self._shifts(state)[shots]
        projection = project(in_camera, self._cameras(state, shots))
        projection.pixels[in_camera[:, 2] < BEHIND] = np.nan
        by_view = np.empty((len(shots), 2, VIEW_COLUMNS))
        slope = projection.dq_dpoint
        # d(w x t)/dw along a row s is t x s
        tx, ty, tz = turned[:, None, 0], turned[:, None, 1], turned[:, None, 2]
        by_view[:, :, 0] = ty * slope[:, :, 2] - tz * slope[:, :, 1]
        by_view[:, :, 1] = tz * slope[:, :, 0] - tx * slope[:, :, 2]
        by_view[:, :, 2] = tx * slope[:, :, 1] - ty * slope[:, :, 0]
        by_view[:, :, 3:6] = slope
        by_view[:, :, 6] = projection.dq_dlogf
        by_view[:, :, 7:9] = self._turns[shots]
        by_view[:, :, 9:11] = projection.dq_dk
        focus = state.x[self._layout.exposure : self._layout.sheet : EXPOSURE]
        by_view[:, :, 11] = projection.dq_dlogf / (1 + focus[shots])[:, None]
        by_view[:, :, 12:14] = np.eye(2)
        return Looked(projection.pixels, slope @ state.rotations[shots], by_view)

    def _turned(self, state: State, shots: IntArray, points: FloatArray) -> FloatArray:
        return np.asarray((state.rotations[shots] @ points[:, :, None])[:, :, 0])

    def _shifts(self, state: State) -> FloatArray:
        return state.x[: self._layout.lens].reshape(-1, POSE)[:, 3:]

    def _cameras(self, state: State, shots: IntArray) -> Intrinsics:
        return Intrinsics(*self.constants(state)[shots].T)
