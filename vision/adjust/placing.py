"""Closed-form placing used for starting values: one photo against a flat object."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from vision.units import FloatArray


@dataclass(frozen=True)
class Pose:
    """``x_camera = rotation @ x_object + shift``; ``error`` is the mean reprojection error."""

    rotation: FloatArray
    shift: FloatArray
    error: float


@dataclass(frozen=True)
class Rigid:
    """Plane motion: ``x_wall = turn(angle) @ x_object + shift``."""

    angle: float
    shift: FloatArray

    @property
    def turn(self) -> FloatArray:
        """(2, 2) rotation."""
        cos, sin = np.cos(self.angle), np.sin(self.angle)
        return np.array([[cos, -sin], [sin, cos]])

    def apply(self, points: FloatArray) -> FloatArray:
        """Moved points (n, 2)."""
        return np.asarray(points @ self.turn.T + self.shift)


def plane_poses(object_mm: FloatArray, normalised: FloatArray) -> list[Pose]:
    """Poses, best first, of a camera that sees flat points (n, 2) at ``normalised`` (n, 2).

    A small flat object seen from afar has two poses that fit nearly alike; both are returned
    (Collins and Bartoli, Infinitesimal Plane-Based Pose Estimation, IJCV 109, 2014).
    """
    if len(object_mm) < 4 or not spans_a_plane(object_mm):
        return []
    flat = np.column_stack([object_mm, np.zeros(len(object_mm))])
    count, turns, shifts, errors = cv2.solvePnPGeneric(
        flat, normalised.reshape(-1, 1, 2), np.eye(3), None, flags=cv2.SOLVEPNP_IPPE
    )
    poses = [
        Pose(
            np.asarray(cv2.Rodrigues(turns[i])[0], dtype=np.float64),
            np.asarray(shifts[i], dtype=np.float64).reshape(3),
            float(np.ravel(errors[i])[0]),
        )
        for i in range(count)
    ]
    front = [pose for pose in poses if _faces_camera(pose)]
    return sorted(front, key=lambda pose: pose.error)


def spans_a_plane(points: FloatArray) -> bool:
    """Whether points (n, 2) are not all (nearly) on one line."""
    if len(points) < 3:
        return False
    centred = points - points.mean(axis=0)
    widths = np.linalg.svd(centred, compute_uv=False)
    return bool(widths[1] > 0.02 * widths[0])


def onto_plane(pose: Pose, normalised: FloatArray, height_mm: FloatArray) -> FloatArray:
    """Where rays (n, 2) meet the planes z = height (n,), object frame; NaN where they do not."""
    rays = np.column_stack([normalised, np.ones(len(normalised))]) @ pose.rotation
    centre = -pose.rotation.T @ pose.shift
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (height_mm - centre[2]) / rays[:, 2]
    points = centre[:2] + along[:, None] * rays[:, :2]
    points[~(along > 0)] = np.nan
    return np.asarray(points)


def fit_rigid(from_points: FloatArray, to_points: FloatArray) -> Rigid:
    """Least-squares plane motion without scale (Umeyama, PAMI 13, 1991); needs two points."""
    centre_from, centre_to = from_points.mean(axis=0), to_points.mean(axis=0)
    a, b = from_points - centre_from, to_points - centre_to
    angle = float(np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b)))
    motion = Rigid(angle, np.zeros(2))
    return Rigid(angle, centre_to - motion.turn @ centre_from)


def on_wall(pose: Pose, placed: Rigid) -> Pose:
    """The camera's pose against the wall, given that of an object placed on it."""
    turn = np.eye(3)
    turn[:2, :2] = placed.turn
    rotation = pose.rotation @ turn.T
    shift = pose.shift - rotation @ np.append(placed.shift, 0.0)
    return Pose(rotation, shift, pose.error)


def _faces_camera(pose: Pose) -> bool:
    centre = -pose.rotation.T @ pose.shift
    return bool(pose.shift[2] > 0 and centre[2] > 0)
