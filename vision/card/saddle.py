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
from vision.units import BoolArray, FloatArray, FloatImage

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
class _Windows:
    """Samples round several corners, all on grids of one size.

    Attributes
    ----------
    design
        (n, 6, m) terms 1, x, y, x²/2, xy, y²/2 at each sample, x and y in pixels from the corner.
    weighted
        (n, 6, m) the same times the samples' weights.
    grey
        (n, m) smoothed picture.
    usable
        (n,) whether a window lies in the picture and holds samples enough.
    shape
        Rows and columns of a grid.
    """

    design: FloatArray
    weighted: FloatArray
    grey: FloatArray
    usable: BoolArray
    shape: tuple[int, int]


def smooth(grey: FloatImage) -> FloatImage:
    """The picture that ``refine`` expects, (h, w) float32."""
    return np.asarray(cv2.GaussianBlur(grey, (0, 0), SMOOTHING_PX), dtype=np.float32)


def refine(
    smoothed: FloatImage,
    starts: FloatArray,
    jacobians: FloatArray,
    blur_px: float,
    limit_px: float,
) -> list[Saddle | None]:
    """The saddle next to each start, None where there is none within ``limit_px``.

    Parameters
    ----------
    smoothed
        Picture from ``smooth``.
    starts
        (n, 2) predicted pixels.
    jacobians
        (n, 2, 2) pixels per millimetre at the corners, columns along the card's x and y.
    blur_px
        Gaussian edge spread of the photo, which widens the window.
    """
    found: list[Saddle | None] = [None] * len(starts)
    if not found:
        return found
    half = _half_widths(jacobians, blur_px)
    before, centres, still = _settle(smoothed, starts, jacobians, half, limit_px)
    if still.any():
        windows = _windows(smoothed, before[still], jacobians[still], half[still])
        reach = jacobians[still] * half[still][:, None, :]
        saddles = _saddles(smoothed, centres[still], windows, reach)
        for index, saddle in zip(np.flatnonzero(still), saddles, strict=True):
            found[index] = saddle
    return found


def corner_covariance(saddle: Saddle, noise_dn: float, blur_px: float) -> FloatArray:
    """(2, 2) covariance, px²: a floor that grows with blur, and the noise through the saddle.

    Uneven light moves a blunt saddle further than a sharp one, hence the growth; blurred boards
    still measure well, hence only as the square root.
    """
    floor = FLOOR_PX * max(1.0, blur_px) ** 0.5
    noise = (NOISE_FACTOR * noise_dn) ** 2 * saddle.noise_cov_px2
    return np.asarray(floor**2 * np.eye(2) + noise + saddle.shading_cov_px2)


def _half_widths(jacobians: FloatArray, blur_px: float) -> FloatArray:
    """(n, 2) half windows in millimetres along the card's x and y."""
    inverses = np.linalg.inv(jacobians)
    px_per_mm = 1 / np.hypot(inverses[:, :, 0], inverses[:, :, 1])
    wanted = max(_WINDOW_PX, _WINDOW_PER_BLUR * float(np.hypot(blur_px, SMOOTHING_PX)))
    half_px = np.minimum(wanted, _OVERLAP * FREE_MM * px_per_mm)
    return np.asarray(np.maximum(half_px, _LEAST_WINDOW_PX) / px_per_mm)


def _settle(
    smoothed: FloatImage,
    starts: FloatArray,
    jacobians: FloatArray,
    half: FloatArray,
    limit_px: float,
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Newton steps to the saddles: (n, 2) before and after the last, and (n,) whether it was
    short enough.
    """
    before = np.array(starts, dtype=np.float64)
    centres = before.copy()
    still = np.zeros(len(centres), dtype=bool)
    moving = np.arange(len(centres))
    for _ in range(_STEPS):
        windows = _windows(smoothed, centres[moving], jacobians[moving], half[moving])
        slope, curvature = _quadratics(windows)
        good = windows.usable & (np.linalg.det(curvature) < 0)
        moving, slope, curvature = moving[good], slope[good], curvature[good]
        step = -np.linalg.solve(curvature, slope[:, :, None])[:, :, 0]
        length = np.hypot(step[:, 0], step[:, 1])
        before[moving] = centres[moving]
        centres[moving] += step * np.minimum(1.0, 1.5 / np.maximum(length, 1e-9))[:, None]
        gone = centres[moving] - starts[moving]
        near = np.hypot(gone[:, 0], gone[:, 1]) <= limit_px
        still[moving[near & (length < _STILL_PX)]] = True
        moving = moving[near & (length >= _STILL_PX)]
        if len(moving) == 0:
            break
    return before, centres, still


def _windows(
    smoothed: FloatImage, centres: FloatArray, jacobians: FloatArray, half: FloatArray
) -> _Windows:
    reach = (np.abs(jacobians) @ half[:, :, None])[:, :, 0]
    inside = np.all(
        (np.ceil(centres - reach) >= 0)
        & (np.floor(centres + reach) < np.array(smoothed.shape[::-1])),
        axis=1,
    )
    whole = np.rint(centres)
    across, along = (int(value) for value in np.floor(reach.max(axis=0) + 0.5))
    grid = np.meshgrid(np.arange(-across, across + 1), np.arange(-along, along + 1))
    columns, rows = (axis.ravel() + whole[:, i, None] for i, axis in enumerate(grid))
    x, y = columns - centres[:, :1], rows - centres[:, 1:]
    weight = _weights(x, y, np.asarray(np.linalg.inv(jacobians), dtype=np.float64), half)
    grey = smoothed[
        np.clip(rows, 0, smoothed.shape[0] - 1).astype(np.int64),
        np.clip(columns, 0, smoothed.shape[1] - 1).astype(np.int64),
    ]
    design = np.stack([np.ones_like(x), x, y, x * x / 2, x * y, y * y / 2], axis=1)
    usable = inside & (np.count_nonzero(weight, axis=1) >= 9)
    return _Windows(
        design, design * weight[:, None], grey.astype(np.float64), usable, grid[0].shape
    )


def _weights(x: FloatArray, y: FloatArray, inverses: FloatArray, half: FloatArray) -> FloatArray:
    """(n, m): falls to nothing at the window's rim."""
    u, v = (
        (inverses[:, axis, :1] * x + inverses[:, axis, 1:] * y) / half[:, axis, None]
        for axis in range(2)
    )
    return np.asarray(np.clip(1 - u**2, 0, None) * np.clip(1 - v**2, 0, None))


def _normal(windows: _Windows) -> FloatArray:
    """(n, 6, 6) normal equations, harmless where there is no window."""
    normal = windows.weighted @ windows.design.transpose(0, 2, 1)
    return np.where(windows.usable[:, None, None], normal, np.eye(6))


def _quadratics(windows: _Windows) -> tuple[FloatArray, FloatArray]:
    """(n, 2) slopes and (n, 2, 2) curvatures at the windows' middles."""
    right = windows.weighted @ windows.grey[:, :, None]
    terms = np.asarray(np.linalg.solve(_normal(windows), right)[:, :, 0], dtype=np.float64)
    return terms[:, 1:3], np.asarray(terms[:, [[3, 4], [4, 5]]])


def _saddles(
    smoothed: FloatImage, centres: FloatArray, windows: _Windows, reach: FloatArray
) -> list[Saddle]:
    inverses = np.linalg.inv(_quadratics(windows)[1])
    turned = inverses.transpose(0, 2, 1)
    quarters = _quarters(smoothed, centres, reach)
    noise = inverses @ _slope_noise(windows) @ turned
    shading = inverses @ turned * _shading_slopes(quarters)[:, None, None] ** 2
    contrasts = [_contrast(quarter[:, 2]) for quarter in quarters]
    return [Saddle(*parts) for parts in zip(centres, contrasts, noise, shading, strict=True)]


def _slope_noise(windows: _Windows) -> FloatArray:
    """(n, 2, 2) covariance of the slopes for a noise of one grey level before smoothing."""
    kernels = np.linalg.solve(_normal(windows), windows.weighted)[:, 1:3]
    count, (rows, columns) = len(kernels), windows.shape
    margin = int(np.ceil(4 * SMOOTHING_PX))
    # One tall picture: the margins keep a kernel's smoothing out of its neighbours.
    padded = np.zeros((count, 2, rows + 2 * margin, columns + 2 * margin))
    padded[:, :, margin:-margin, margin:-margin] = kernels.reshape(count, 2, rows, columns)
    tall = cv2.GaussianBlur(padded.reshape(-1, padded.shape[3]), (0, 0), SMOOTHING_PX)
    slopes = tall.reshape(count, 2, -1)
    return np.asarray(slopes @ slopes.transpose(0, 2, 1))


def _quarters(smoothed: FloatImage, centres: FloatArray, reach: FloatArray) -> FloatArray:
    """(n, 4, 3) mean offset and grey of the quarters ++, -+, --, +-, at mirrored places.

    ``reach`` is (n, 2, 2), the windows' half widths as pixel vectors.
    """
    offsets = _QUARTER_PLACES @ reach.transpose(0, 2, 1)[:, None]
    places = centres[:, None, None] + offsets
    whole = np.clip(np.floor(places), 0, np.array(smoothed.shape[::-1]) - 2).astype(int)
    right, down = np.moveaxis(places - whole, -1, 0)
    column, row = np.moveaxis(whole, -1, 0)
    upper = smoothed[row, column] * (1 - right) + smoothed[row, column + 1] * right
    lower = smoothed[row + 1, column] * (1 - right) + smoothed[row + 1, column + 1] * right
    grey = upper * (1 - down) + lower * down
    return np.concatenate([offsets.mean(axis=2), grey.mean(axis=2)[:, :, None]], axis=2)


def _contrast(means: FloatArray) -> float:
    """By the darker of the white quarters and the lighter of the black ones, signed."""
    even, odd = means[::2], means[1::2]
    if even.min() > odd.max():
        return float(even.min() - odd.max())
    return -float(odd.min() - even.max()) if odd.min() > even.max() else 0.0


def _shading_slopes(quarters: FloatArray) -> FloatArray:
    """(n,) grey levels per pixel by which opposite quarters, of the same ink, differ: the worse
    pair.

    A lamp's image or a shadow's rim across the corner moves the saddle.
    """
    gaps = np.abs(quarters[:, :2] - quarters[:, 2:])
    return np.asarray(np.max(gaps[:, :, 2] / np.hypot(gaps[:, :, 0], gaps[:, :, 1]), axis=1))
