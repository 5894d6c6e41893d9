"""The middle of a joint from its two rims.

Light falls on one rim of a joint and leaves the other in the shade, so that the middle of its
dark is not its middle. The grey across it is fitted by a band between two rims of equal width,
each with its own grey: face, rim, joint, rim, face. Where the rims look alike this is the middle
of the dark; a pencil line stays where it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtr

from vision.plane.snap.window import Window
from vision.units import FloatArray

FLOOR_PX: Final = 0.25
"""What the model leaves out: joints are not filled evenly."""
UNBALANCED: Final = 0.35
"""Share of a rim's width by which the middle may be off for rims lit as no single lamp would:
what one gains in grey the other should lose."""
_REACH_PX: Final = 8.0
_STEP_PX: Final = 0.5
_PLACES: Final = np.arange(-_REACH_PX, _REACH_PX + _STEP_PX / 2, _STEP_PX)
_AT_ENDS: Final = 5
_AMID: Final = slice(8, -8)
_LEAST_DEPTH_DN: Final = 6.0
_CORRELATED: Final = 3.0
_LEAST_NOISE_DN: Final = 1.0
_USUAL_BLUR_PX: Final = 1.1
_MOST_SHIFT_PX: Final = 3.0
_MOST_MISFIT: Final = 0.06
"""Of the joint's depth: beyond, the model does not hold, and the middle of the dark stands."""
_LOW: Final = np.array([-4.0, 0.2, 0.2, -80.0, -80.0, -80.0, 0.0, 0.0, 0.5])
_HIGH: Final = np.array([4.0, 6.0, 5.0, 335.0, 335.0, 335.0, 335.0, 335.0, 3.0])


@dataclass(frozen=True)
class Rims:
    """How far the middle between the rims lies from the crest, along the normal, and its spread.

    ``u_px`` is a standard deviation.
    """

    shift_px: float
    u_px: float


def find_rims(
    window: Window, point: FloatArray, direction: FloatArray, along: FloatArray, sign: int
) -> Rims | None:
    """Rims of a drawn line or joint, None where it has none that the model describes.

    Parameters
    ----------
    point, direction
        (2,) offset and unit direction of its crest.
    along
        (n,) where it is seen.
    sign
        +1 for dark, -1 for light.
    """
    profile, noise = _profile(window, point, direction, along)
    profile = profile if sign > 0 else 255.0 - profile
    start, depth = _start(profile)
    if depth < _LEAST_DEPTH_DN:
        return None
    found = least_squares(
        _residuals,
        np.clip(start, _LOW + 1e-6, _HIGH - 1e-6),
        bounds=(_LOW, _HIGH),
        args=(profile, noise, start, depth),
        max_nfev=60,
    )
    shift, _, width, _, before, after, left, right, _ = (float(v) for v in found.x)
    misfit = float(np.sqrt(np.mean((_grey(found.x) - profile) ** 2)))
    if abs(shift) > _MOST_SHIFT_PX or misfit > _MOST_MISFIT * depth + _LEAST_NOISE_DN:
        return None
    slopes = np.asarray(found.jac, dtype=np.float64)
    spread = float(np.linalg.pinv(slopes.T @ slopes)[0, 0])
    unbalanced = UNBALANCED * width * abs(before - left + after - right) / depth
    return Rims(shift, float(np.sqrt(spread + FLOOR_PX**2 + unbalanced**2)))


def _profile(
    window: Window, point: FloatArray, direction: FloatArray, along: FloatArray
) -> tuple[FloatArray, float]:
    """Median grey across the line, and its noise."""
    normal = np.array([-direction[1], direction[0]])
    offsets = point + along[:, None, None] * direction + _PLACES[None, :, None] * normal
    grey = cv2.remap(window.grey, *window.places(offsets), cv2.INTER_LINEAR)
    scatter = float(np.median(np.std(grey, axis=0)))
    noise = max(scatter / np.sqrt(len(along) / _CORRELATED), _LEAST_NOISE_DN)
    return np.asarray(np.median(grey, axis=0), dtype=np.float64), noise


def _start(profile: FloatArray) -> tuple[FloatArray, float]:
    """Middle, half width of joint, width of rims, grey of joint, rims and faces, blur; depth."""
    left = float(np.median(profile[:_AT_ENDS]))
    right = float(np.median(profile[-_AT_ENDS:]))
    darkest = float(profile[_AMID].min())
    depth = min(left, right) - darkest
    wide = max(_STEP_PX * np.count_nonzero(profile[_AMID] < darkest + depth / 2), 1.0)
    rim = 0.5 * wide
    start = [0.0, wide / 2, rim, darkest - 0.25 * depth, left, right, left, right, _USUAL_BLUR_PX]
    return np.array(start), depth


def _grey(state: FloatArray) -> FloatArray:
    middle, half, width, joint, before, after, left, right, blur = state
    edges = middle + np.array([-half - width, -half, half, half + width])
    rise = np.array([before - left, joint - before, after - joint, right - after])
    return np.asarray(left + rise @ ndtr((_PLACES - edges[:, None]) / blur))


def _residuals(
    state: FloatArray, profile: FloatArray, noise: float, start: FloatArray, depth: float
) -> FloatArray:
    """Misfit, and what is usual of joints, in standard deviations."""
    _, half, width, joint, before, after, left, right, blur = state
    usual = [
        (before - left) / (0.35 * depth),
        (after - right) / (0.35 * depth),
        (width - start[2]) / (0.8 * start[2] + 0.3),
        (half - start[1]) / (0.7 * start[1]),
        (joint - start[3]) / (0.5 * depth),
        np.log(blur / _USUAL_BLUR_PX) / 0.2,
    ]
    return np.concatenate([(_grey(state) - profile) / noise, usual])
