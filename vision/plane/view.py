"""One adjusted photo as a map between its pixels and the wall."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from vision.adjust.solution import WallSolution
from vision.adjust.state import POSE
from vision.camera.projection import Intrinsics, project, undistort
from vision.units import FloatArray, read_only

BEHIND_MM: Final = 1.0
_LOCAL_MM: Final = 100.0
_BEYOND: Final = 1.15
"""Radius, in the frame's corner's, beyond which the lens polynomial is not asked."""


@dataclass(frozen=True)
class WallView:
    """Camera of one photo in the frame of the adjustment (the datum sheet's).

    Attributes
    ----------
    size_px
        Width and height of the upright picture.
    camera
        (5,) f, cx, cy in pixels, k1, k2.
    rotation, shift
        ``R_camera_wall`` (3, 3), and the wall frame's origin in the camera frame, mm.
    """

    size_px: tuple[int, int]
    camera: FloatArray
    rotation: FloatArray
    shift: FloatArray

    def pixels(self, points_mm: FloatArray) -> FloatArray:
        """Pixels (n, 2) of wall points (n, 3); NaN behind the camera or far out of the frame."""
        inside = points_mm @ self.rotation.T + self.shift
        seen = inside[:, 2] > BEHIND_MM
        inside[~seen] = (0.0, 0.0, 1.0)
        pixels = project(inside, self._intrinsics).pixels
        radius = np.hypot(inside[:, 0], inside[:, 1]) / inside[:, 2]
        pixels[~seen | (radius > _BEYOND * self._corner_radius)] = np.nan
        return pixels

    def plane_jacobians(self, points_mm: FloatArray) -> FloatArray:
        """(n, 2, 2) pixels per millimetre along the wall's x and y."""
        inside = points_mm @ self.rotation.T + self.shift
        inside[:, 2] = np.maximum(inside[:, 2], BEHIND_MM)
        return np.asarray(project(inside, self._intrinsics).dq_dpoint @ self.rotation[:, :2])

    def homography(self, at_mm: FloatArray, height_mm: float = 0.0) -> FloatArray:
        """(3, 3) wall x, y, 1 to pixels round ``at_mm`` (2,), in the plane ``height_mm`` off.

        Exact at the corners of a square of twice 100 mm round it; the lens bends less between.
        """
        square = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * _LOCAL_MM + at_mm
        pixels = self.pixels(np.column_stack([square, np.full(4, height_mm)]))
        return np.asarray(
            cv2.getPerspectiveTransform(square.astype(np.float32), pixels.astype(np.float32)),
            dtype=np.float64,
        )

    def on_wall(self, pixel: FloatArray, height_mm: float = 0.0) -> FloatArray:
        """(2,) wall x, y where the ray of ``pixel`` meets the plane ``height_mm`` off the wall."""
        ray = np.append(undistort(pixel[None], self._intrinsics)[0], 1.0)
        towards, centre = self.rotation.T @ ray, -self.rotation.T @ self.shift
        return np.asarray((centre + towards * ((height_mm - centre[2]) / towards[2]))[:2])

    @property
    def _intrinsics(self) -> Intrinsics:
        return Intrinsics(*(np.array([value]) for value in self.camera))

    @property
    def _corner_radius(self) -> float:
        far = np.maximum(self.camera[1:3], np.array(self.size_px) - self.camera[1:3])
        return float(np.hypot(*far) / self.camera[0])


def wall_view(solution: WallSolution, shot: int) -> WallView:
    """The view of the network's photo ``shot``."""
    camera = solution.problem.views.constants(solution.state)[shot]
    pose = solution.state.x[POSE * shot : POSE * (shot + 1)]
    taken = solution.network.shots[shot]
    return WallView(
        (taken.width_px, taken.height_px),
        read_only(camera),
        read_only(solution.state.rotations[shot]),
        read_only(pose[3:]),
    )
