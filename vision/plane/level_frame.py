"""From the datum sheet's frame to the frame of the level line.

The level frame has its origin at the line's first mark and x towards the second, both as seen
along the wall's normal; heights z stay over the wall's mean plane. Since the frame is itself
measured, the covariance is carried over with the frame's derivatives (an S-transformation:
Baarda 1973), so that the origin is exact and the second mark is exact in y.
"""

from __future__ import annotations

import numpy as np

from vision.units import FloatArray


def to_level_frame(
    points: FloatArray, covariance: FloatArray, level: tuple[int, int]
) -> tuple[FloatArray, FloatArray]:
    """Points (m, 3), mm, and joint covariance (3m, 3m), mm², in the frame of marks ``level``."""
    first, second = level
    along = points[second, :2] - points[first, :2]
    length = float(np.linalg.norm(along))
    cos, sin = along / length
    turn = np.array([[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]])
    origin = np.array([*points[first, :2], 0.0])
    moved = (points - origin) @ turn.T
    jacobian = _jacobian(moved, turn, length, level)
    return moved, jacobian @ covariance @ jacobian.T


def _jacobian(
    moved: FloatArray, turn: FloatArray, length: float, level: tuple[int, int]
) -> FloatArray:
    count = len(moved)
    jacobian = np.zeros((count, 3, count, 3))
    index = np.arange(count)
    jacobian[index, :, index, :] = turn
    in_plane = turn.copy()
    in_plane[2] = 0.0
    jacobian[:, :, level[0], :] -= in_plane
    # d angle = (left . d along) / length turns every point by -d angle
    sideways = np.column_stack([moved[:, 1], -moved[:, 0], np.zeros(count)])
    d_angle = turn[1] / length
    jacobian[:, :, level[1], :] += sideways[:, :, None] * d_angle
    jacobian[:, :, level[0], :] -= sideways[:, :, None] * d_angle
    return jacobian.reshape(3 * count, 3 * count)
