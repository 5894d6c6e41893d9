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
    x, y = points[:, 0] / depth, points[:, 1] / depth
    r2 = x * x + y * y
    stretch = 1 + r2 * (camera.k1 + r2 * camera.k2)
    count = len(depth)
    pixels, dq_dlogf, dq_dk = np.empty((count, 2)), np.empty((count, 2)), np.empty((count, 2, 2))
    for axis, (at, centre) in enumerate(((x, camera.cx_px), (y, camera.cy_px))):
        scaled = camera.f_px * at
        dq_dlogf[:, axis] = scaled * stretch
        pixels[:, axis] = dq_dlogf[:, axis] + centre
        dq_dk[:, axis, 0] = scaled * r2
        dq_dk[:, axis, 1] = dq_dk[:, axis, 0] * r2
    return Projection(pixels, _dq_dpoint(x, y, depth, r2, stretch, camera), dq_dlogf, dq_dk)


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
        before, xy = xy, distorted / (1 + r2 * (camera.k1 + r2 * camera.k2))[:, None]
        if np.array_equal(before, xy):
            break
    return xy


def _dq_dpoint(
    x: FloatArray,
    y: FloatArray,
    depth: FloatArray,
    r2: FloatArray,
    stretch: FloatArray,
    camera: Intrinsics,
) -> FloatArray:
    # dq/dxy = f (stretch I + 2 stretch'(r2) xy xy^T), dxy/dpoint = [I, -xy] / Z
    scale = camera.f_px / depth
    slope = 2 * scale * (camera.k1 + 2 * camera.k2 * r2)
    along = scale * stretch
    derivative = np.empty((len(depth), 2, 3))
    derivative[:, 0, 0] = along + slope * x * x
    derivative[:, 1, 1] = along + slope * y * y
    derivative[:, 0, 1] = derivative[:, 1, 0] = slope * x * y
    derivative[:, :, 2] = -(derivative[:, :, 0] * x[:, None] + derivative[:, :, 1] * y[:, None])
    return derivative
