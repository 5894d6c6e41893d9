"""One X-corner to a hundredth of a pixel: a quadratic saddle fitted to the smoothed photo.

Round an X-corner the picture does not change when turned by half a turn, whatever the tone curve
and the blur. So a quadratic fitted in a window that is symmetric about the corner has no slope
there, and its saddle point is the corner. The window stays inside the strip that is free of the
markers' edges and follows the foreshortening.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from vision.card.design import MARKER_MM, SQUARE_MM
from vision.units import FloatArray, FloatImage

FREE_MM: Final = (SQUARE_MM - MARKER_MM) / 2
"""Distance from a square's edge to the marker inside it."""
SMOOTHING_PX: Final = 1.0
"""Gaussian applied before the fit: makes the saddle quadratic without moving it."""
FLOOR_PX: Final = 0.10
"""Standard uncertainty of a corner before any noise.

Simulated corners scatter by 0.02 px; real boards leave residuals of 0.1 to 0.25 px after the best
lens models (paper, demosaicing, unmodelled lens), so noise alone would claim too much.
"""
NOISE_FACTOR: Final = 1.5
"""A compressed photo's noise is smooth: pixel differences show less of it than the fit suffers."""
_WINDOW_PX: Final = 5.0
_WINDOW_PER_BLUR: Final = 2.5
_LEAST_WINDOW_PX: Final = 2.0
_OVERLAP: Final = 1.25
"""The window fades to nothing at its rim, so it may reach a little over the free strip."""
_STEPS: Final = 12
_QUARTER_PLACES: Final = np.array(
    [
        [[u * across, v * along] for u, v in ((0.8, 0.8), (0.9, 0.6), (0.6, 0.9))]
        for across, along in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]
)
"""(4, 3, 2) where the colour beside a corner is read, in half windows."""
_STILL_PX: Final = 1e-3


@dataclass(frozen=True)
class Saddle:
    """A refined X-corner.

    Attributes
    ----------
    pixel
        (2,) position.
    contrast
        White minus black beside the corner, grey levels, negative if the colours are swapped.
    noise_cov_px2
        (2, 2) covariance for a pixel noise of one grey level.
    shading_cov_px2
        (2, 2) covariance from uneven light across the window.
    """

    pixel: FloatArray
    contrast: float
    noise_cov_px2: FloatArray
    shading_cov_px2: FloatArray


@dataclass(frozen=True)
class _Window:
    """Sample positions round a corner: offsets in pixels and weights, flattened."""

    x: FloatArray
    y: FloatArray
    weight: FloatArray
    shape: tuple[int, int]
    left: int
    top: int


def smooth(grey: FloatImage) -> FloatImage:
    """The picture that ``refine`` expects, (h, w) float32."""
    return np.asarray(cv2.GaussianBlur(grey, (0, 0), SMOOTHING_PX), dtype=np.float32)


def refine(
    smoothed: FloatImage, start: FloatArray, jacobian: FloatArray, blur_px: float, limit_px: float
) -> Saddle | None:
    """The saddle next to ``start``, None if there is none within ``limit_px``.

    Parameters
    ----------
    smoothed
        Picture from ``smooth``.
    start
        (2,) predicted pixel.
    jacobian
        (2, 2) pixels per millimetre at the corner, columns along the card's x and y.
    blur_px
        Gaussian edge spread of the photo, which widens the window.
    """
    inverse = np.asarray(np.linalg.inv(jacobian), dtype=np.float64)
    half = _half_widths(inverse, blur_px)
    centre = np.array(start, dtype=np.float64)
    for _ in range(_STEPS):
        window = _window(smoothed.shape, centre, inverse, half)
        if window is None:
            return None
        slope, curvature = _quadratic(smoothed, window)
        if np.linalg.det(curvature) >= 0:
            return None
        step = -np.linalg.solve(curvature, slope)
        length = float(np.hypot(*step))
        centre = centre + step * min(1.0, 1.5 / max(length, 1e-9))
        if np.hypot(*(centre - start)) > limit_px:
            return None
        if length < _STILL_PX:
            return _result(smoothed, centre, window, curvature, jacobian * half)
    return None


def corner_covariance(saddle: Saddle, noise_dn: float, blur_px: float) -> FloatArray:
    """(2, 2) covariance: a floor that grows with blur, and the noise through the saddle.

    Uneven light moves a blunt saddle further than a sharp one, hence the growth; blurred boards
    still measure well, hence only as the square root.
    """
    floor = FLOOR_PX * max(1.0, blur_px) ** 0.5
    noise = (NOISE_FACTOR * noise_dn) ** 2 * saddle.noise_cov_px2
    return np.asarray(floor**2 * np.eye(2) + noise + saddle.shading_cov_px2)


def _half_widths(inverse: FloatArray, blur_px: float) -> FloatArray:
    """Half window in millimetres along the card's x and y."""
    px_per_mm = 1 / np.hypot(inverse[:, 0], inverse[:, 1])
    wanted = max(_WINDOW_PX, _WINDOW_PER_BLUR * float(np.hypot(blur_px, SMOOTHING_PX)))
    half_px = np.minimum(wanted, _OVERLAP * FREE_MM * px_per_mm)
    return np.asarray(np.maximum(half_px, _LEAST_WINDOW_PX) / px_per_mm)


def _window(
    shape: tuple[int, ...], centre: FloatArray, inverse: FloatArray, half: FloatArray
) -> _Window | None:
    jacobian = np.linalg.inv(inverse)
    reach = np.abs(jacobian) @ half
    low = np.ceil(centre - reach).astype(int)
    high = np.floor(centre + reach).astype(int) + 1
    if np.any(low < 0) or high[0] > shape[1] or high[1] > shape[0]:
        return None
    x, y = np.meshgrid(
        np.arange(low[0], high[0]) - centre[0], np.arange(low[1], high[1]) - centre[1]
    )
    u = (inverse[0, 0] * x + inverse[0, 1] * y) / half[0]
    v = (inverse[1, 0] * x + inverse[1, 1] * y) / half[1]
    weight = np.clip(1 - u**2, 0, None) * np.clip(1 - v**2, 0, None)
    if np.count_nonzero(weight) < 9:
        return None
    return _Window(x.ravel(), y.ravel(), weight.ravel(), x.shape, int(low[0]), int(low[1]))


def _solver(window: _Window) -> FloatArray:
    """(6, n) matrix from samples to the coefficients 1, x, y, x²/2, xy, y²/2."""
    x, y = window.x, window.y
    design = np.stack([np.ones_like(x), x, y, x * x / 2, x * y, y * y / 2])
    weighted = design * window.weight
    return np.asarray(np.linalg.solve(weighted @ design.T, weighted))


def _quadratic(smoothed: FloatImage, window: _Window) -> tuple[FloatArray, FloatArray]:
    """Slope and curvature at the window's middle."""
    rows, columns = window.shape
    patch = smoothed[window.top : window.top + rows, window.left : window.left + columns]
    _, gx, gy, xx, xy, yy = _solver(window) @ patch.ravel()
    return np.array([gx, gy]), np.array([[xx, xy], [xy, yy]])


def _result(
    smoothed: FloatImage,
    centre: FloatArray,
    window: _Window,
    curvature: FloatArray,
    reach: FloatArray,
) -> Saddle:
    solver = _solver(window)
    margin = int(np.ceil(4 * SMOOTHING_PX))
    kernels = []
    for row in solver[1:3]:
        padded = np.pad(row.reshape(window.shape), margin)
        kernels.append(cv2.GaussianBlur(padded, (0, 0), SMOOTHING_PX).ravel())
    slopes = np.stack(kernels)
    inverse = np.linalg.inv(curvature)
    quarters = _quarters(smoothed, centre, reach)
    return Saddle(
        pixel=centre,
        contrast=_contrast(quarters[:, 2]),
        noise_cov_px2=np.asarray(inverse @ (slopes @ slopes.T) @ inverse.T),
        shading_cov_px2=np.asarray(inverse @ inverse.T) * _shading_slope(quarters) ** 2,
    )


def _quarters(smoothed: FloatImage, centre: FloatArray, reach: FloatArray) -> FloatArray:
    """(4, 3) mean offset and grey of the quarters ++, -+, --, +-, at mirrored places.

    ``reach`` is (2, 2), the window's half widths as pixel vectors.
    """
    offsets = _QUARTER_PLACES @ reach.T
    places = centre + offsets
    whole = np.clip(np.floor(places), 0, np.array(smoothed.shape[::-1]) - 2).astype(int)
    right, down = np.moveaxis(places - whole, -1, 0)
    column, row = np.moveaxis(whole, -1, 0)
    upper = smoothed[row, column] * (1 - right) + smoothed[row, column + 1] * right
    lower = smoothed[row + 1, column] * (1 - right) + smoothed[row + 1, column + 1] * right
    grey = upper * (1 - down) + lower * down
    return np.column_stack([offsets.mean(axis=1), grey.mean(axis=1)])


def _contrast(means: FloatArray) -> float:
    """By the darker of the white quarters and the lighter of the black ones, signed."""
    even, odd = means[::2], means[1::2]
    if even.min() > odd.max():
        return float(even.min() - odd.max())
    return -float(odd.min() - even.max()) if odd.min() > even.max() else 0.0


def _shading_slope(quarters: FloatArray) -> float:
    """Grey levels per pixel by which opposite quarters, of the same ink, differ: the worse pair.

    A lamp's image or a shadow's rim across the corner moves the saddle.
    """
    gaps = np.abs(quarters[:2] - quarters[2:])
    return float(np.max(gaps[:, 2] / np.hypot(gaps[:, 0], gaps[:, 1])))
