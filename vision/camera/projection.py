"""Central projection with radial distortion, and its derivatives.

Model (the first two radial terms of Brown 1971, as OpenCV writes them): with the point in the
camera frame (x right, y down, z forward) and ``x = X/Z``, ``y = Y/Z``, ``r2 = x*x + y*y``,

    u = f * (1 + k1*r2 + k2*r2**2) * x + cx        (v likewise)

in pixels whose origin is the centre of the top left pixel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.units import FloatArray


@dataclass(frozen=True)
class Intrinsics:
    """Per-point camera constants; every field is (n,) or a scalar array, pixels or unitless."""

    f_px: FloatArray
    cx_px: FloatArray
    cy_px: FloatArray
    k1: FloatArray
    k2: FloatArray


@dataclass(frozen=True)
class Projection:
    """Projected points and their derivatives.

    Attributes
    ----------
    pixels
        (n, 2).
    dq_dpoint
        (n, 2, 3) derivative with respect to the point in the camera frame.
    dq_dlogf
        (n, 2) derivative with respect to the logarithm of the focal length.
    dq_dk
        (n, 2, 2) derivatives with respect to k1 and k2.
    """

    pixels: FloatArray
    dq_dpoint: FloatArray
    dq_dlogf: FloatArray
    dq_dk: FloatArray


def project(points: FloatArray, camera: Intrinsics) -> Projection:
    """Project ``points`` (n, 3), camera frame, mm; z must be positive (not checked)."""
    depth = points[:, 2]
    xy = points[:, :2] / depth[:, None]
    r2 = np.einsum("ij,ij->i", xy, xy)
    stretch = 1 + r2 * (camera.k1 + r2 * camera.k2)
    focal = np.broadcast_to(camera.f_px, depth.shape)
    dq_dlogf = (focal * stretch)[:, None] * xy
    centre = np.stack(np.broadcast_arrays(camera.cx_px, camera.cy_px), axis=-1)
    return Projection(
        pixels=dq_dlogf + centre,
        dq_dpoint=_dq_dpoint(xy, depth, r2, stretch, focal, camera),
        dq_dlogf=dq_dlogf,
        dq_dk=(focal[:, None] * xy)[:, :, None] * np.stack([r2, r2 * r2], axis=-1)[:, None, :],
    )


def undistort(pixels: FloatArray, camera: Intrinsics, iterations: int = 20) -> FloatArray:
    """Normalised image coordinates (n, 2) of ``pixels`` (n, 2), by fixed-point iteration.

    Converges where the distortion is monotone, which holds for the coefficients of phone
    cameras inside their frame; it is used for starting values only.
    """
    centre = np.stack(np.broadcast_arrays(camera.cx_px, camera.cy_px), axis=-1)
    distorted = (pixels - centre) / np.atleast_1d(camera.f_px)[:, None]
    xy: FloatArray = distorted.copy()
    for _ in range(iterations):
        r2 = np.einsum("ij,ij->i", xy, xy)
        xy = distorted / (1 + r2 * (camera.k1 + r2 * camera.k2))[:, None]
    return xy


def _dq_dpoint(
    xy: FloatArray,
    depth: FloatArray,
    r2: FloatArray,
    stretch: FloatArray,
    focal: FloatArray,
    camera: Intrinsics,
) -> FloatArray:
    # dq/dxy = f (stretch I + 2 stretch'(r2) xy xy^T), dxy/dpoint = [I, -xy] / Z
    slope = camera.k1 + 2 * camera.k2 * r2
    dq_dxy = 2 * slope[:, None, None] * xy[:, :, None] * xy[:, None, :]
    dq_dxy[:, 0, 0] += stretch
    dq_dxy[:, 1, 1] += stretch
    dq_dxy *= (focal / depth)[:, None, None]
    along = -np.einsum("nij,nj->ni", dq_dxy, xy)
    derivative: FloatArray = np.concatenate([dq_dxy, along[:, :, None]], axis=2)
    return derivative
