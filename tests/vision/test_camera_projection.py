"""Projection values against OpenCV's own functions."""

from __future__ import annotations

import cv2
import numpy as np

from vision.camera.projection import Intrinsics, project, undistort


def _camera(count: int) -> Intrinsics:
    constants = np.tile([3028.7, 2021.3, 1498.2, 0.04, -0.03], (count, 1))
    return Intrinsics(*constants.T)


def test_projected_pixels_equal_opencv() -> None:
    """``cv2.projectPoints`` with (k1, k2, 0, 0) gives the same pixels."""
    points = np.random.default_rng(3).uniform([-900, -700, 1200], [900, 700, 2500], (50, 3))
    matrix = np.array([[3028.7, 0, 2021.3], [0, 3028.7, 1498.2], [0, 0, 1.0]])
    distortion = np.array([0.04, -0.03, 0.0, 0.0])

    found = project(points, _camera(50)).pixels

    expected, _ = cv2.projectPoints(points, np.zeros(3), np.zeros(3), matrix, distortion)
    np.testing.assert_allclose(found, np.asarray(expected).reshape(-1, 2), atol=1e-8)


def test_undistorting_a_projection_gives_the_ray_back() -> None:
    """Over the whole 12 MP frame the ray returns to 1e-9."""
    points = np.random.default_rng(5).uniform([-900, -700, 1300], [900, 700, 1300], (50, 3))
    camera = _camera(50)

    rays = undistort(project(points, camera).pixels, camera)

    np.testing.assert_allclose(rays, points[:, :2] / points[:, 2:], atol=1e-9)
