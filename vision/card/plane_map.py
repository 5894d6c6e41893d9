"""Board millimetres to pixels: a homography and one radial term.

Good enough to predict a corner within a pixel and to tell a wrong corner from a bent lens; the
lens that sizes rest on is estimated elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from vision.units import FloatArray, read_only

_RADIAL_LIMIT: Final = 0.30
"""Largest radial term tried, at the frame's corner: beyond any lens sold as not fisheye."""
_STRAIGHT_PX: Final = 0.06
"""Misfit of a plain homography below which there is no bend worth fitting."""
_GOLDEN: Final = (np.sqrt(5.0) - 1) / 2


@dataclass(frozen=True)
class PlaneMap:
    """Map of the card's plane into the photo.

    Attributes
    ----------
    homography
        (3, 3) millimetres to ideal pixels.
    radial
        Division-model term: ideal = distorted / (1 + radial * r**2), r from the centre in half
        diagonals (Fitzgibbon, CVPR 2001).
    size
        Width and height of the photo, pixels.
    """

    homography: FloatArray
    size: tuple[int, int]
    radial: float = 0.0

    def pixels(self, points_mm: FloatArray) -> FloatArray:
        """(n, 2) pixels of (n, 2) millimetres; NaN behind the camera."""
        homogeneous = np.column_stack([points_mm, np.ones(len(points_mm))]) @ self.homography.T
        depth = np.where(homogeneous[:, 2] > 0, homogeneous[:, 2], np.nan)
        ideal = homogeneous[:, :2] / depth[:, None]
        return _distort(ideal, self.radial, self.size)

    def jacobians(self, points_mm: FloatArray, step_mm: float = 0.5) -> FloatArray:
        """(n, 2, 2) derivative of the pixels by the millimetres."""
        columns = []
        for axis in np.eye(2) * step_mm:
            ahead, behind = self.pixels(points_mm + axis), self.pixels(points_mm - axis)
            columns.append((ahead - behind) / (2 * step_mm))
        return np.stack(columns, axis=2)


def fit_plane_map(
    points_mm: FloatArray, pixels: FloatArray, size: tuple[int, int], *, bent: bool
) -> PlaneMap | None:
    """Least squares map through (n, 2) pairs, None if they determine none.

    ``bent`` also fits the radial term, which needs points spread over an area.
    """
    radial = _best_radial(points_mm, pixels, size) if bent else 0.0
    homography = _fit_homography(points_mm, _ideal(pixels, radial, size))
    return None if homography is None else PlaneMap(read_only(homography), size, radial)


def _best_radial(points_mm: FloatArray, pixels: FloatArray, size: tuple[int, int]) -> float:
    """Golden section on the misfit, which has one valley in the radial term."""

    def misfit(radial: float) -> float:
        ideal = _ideal(pixels, radial, size)
        homography = _fit_homography(points_mm, ideal)
        if homography is None:
            return np.inf
        misses = PlaneMap(homography, size, radial).pixels(points_mm) - pixels
        return float(np.sum(misses**2)) if np.isfinite(misses).all() else np.inf

    straight = misfit(0.0)
    if straight < _STRAIGHT_PX**2 * pixels.size:
        return 0.0
    low, high = -_RADIAL_LIMIT, _RADIAL_LIMIT
    for _ in range(18):
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        if misfit(left) < misfit(right):
            high = right
        else:
            low = left
    best = float((low + high) / 2)
    return best if misfit(best) < straight else 0.0


def _fit_homography(points_mm: FloatArray, pixels: FloatArray) -> FloatArray | None:
    """Least squares on the pixels; all points before the camera, or None."""
    if len(points_mm) < 4 or not np.isfinite(pixels).all():
        return None
    found, _ = cv2.findHomography(points_mm, pixels, method=0)
    if found is None or not np.isfinite(found).all():
        return None
    homography = np.asarray(found, dtype=np.float64)
    depth = np.column_stack([points_mm, np.ones(len(points_mm))]) @ homography[2]
    if np.all(depth < 0):
        homography, depth = -homography, -depth
    return homography if np.all(depth > 0) else None


def _centre_and_unit(size: tuple[int, int]) -> tuple[FloatArray, float]:
    centre = (np.array(size, dtype=np.float64) - 1) / 2
    return centre, float(np.hypot(*size)) / 2


def _ideal(pixels: FloatArray, radial: float, size: tuple[int, int]) -> FloatArray:
    centre, unit = _centre_and_unit(size)
    offset = (pixels - centre) / unit
    stretch = 1 + radial * np.sum(offset**2, axis=1, keepdims=True)
    return np.asarray(centre + unit * offset / stretch)


def _distort(ideal: FloatArray, radial: float, size: tuple[int, int]) -> FloatArray:
    """Inverse of ``_ideal``: the smaller root of r_u (1 + radial r**2) = r."""
    if radial == 0.0:
        return ideal
    centre, unit = _centre_and_unit(size)
    offset = (ideal - centre) / unit
    squared = np.sum(offset**2, axis=1, keepdims=True)
    inside = 1 - 4 * radial * squared
    stretch = 2 / (1 + np.sqrt(np.where(inside > 0, inside, np.nan)))
    return np.asarray(centre + unit * offset * stretch)


def smallest_scale(jacobians: FloatArray) -> FloatArray:
    """(n,) pixels per millimetre in the most foreshortened direction."""
    return np.asarray(np.linalg.svd(jacobians, compute_uv=False)[..., -1])


def bounding_box(
    pixels: FloatArray, size: tuple[int, int], margin_px: float
) -> tuple[int, int, int, int]:
    """Left, top, right, bottom (exclusive) of ``pixels`` with a margin, inside the photo."""
    low = np.floor(np.nanmin(pixels, axis=0) - margin_px)
    high = np.ceil(np.nanmax(pixels, axis=0) + margin_px) + 1
    left, top = (int(np.clip(value, 0, limit)) for value, limit in zip(low, size, strict=True))
    right, bottom = (int(np.clip(v, 0, limit)) for v, limit in zip(high, size, strict=True))
    return left, top, right, bottom
