"""Where about an X-corner is: the best place for an X of the right colours and slant."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.saddle import FREE_MM

if TYPE_CHECKING:
    from vision.units import BoolArray, FloatArray, FloatImage

LEAST_SCORE: Final = 0.6
"""Correlation below which there is no X."""
_RADIUS_PX: Final = 8.0
"""Largest template half width; a coarser picture is used when the free strip is wider."""


@dataclass(frozen=True)
class Sighting:
    """A place for an X and how well it fits, -1 to 1."""

    pixel: FloatArray
    score: float


def pyramid_level(scale_px_per_mm: float) -> int:
    """Whole factor by which to shrink the picture so that the free strip fits the template."""
    level = 1
    while FREE_MM * scale_px_per_mm / level > _RADIUS_PX and level < 16:
        level *= 2
    return level


def sight(
    picture: FloatImage,
    level: int,
    start: FloatArray,
    jacobian: FloatArray,
    sign: int,
    reach_mm: float,
) -> Sighting | None:
    """The best X within ``reach_mm`` of ``start`` along both card axes.

    Parameters
    ----------
    picture
        (h, w) float32, the photo shrunk by ``level``.
    sign
        +1 if the quarter towards +x and +y of the card is white, -1 if it is black.
    """
    centre = (np.asarray(start) + 0.5) / level - 0.5
    small = jacobian / level
    inverse = np.asarray(np.linalg.inv(small), dtype=np.float64)
    template, mask = _template(small, inverse, sign)
    reach = np.ceil(np.abs(small) @ np.full(2, reach_mm)).astype(int)
    margin = reach + np.array(template.shape[::-1]) // 2
    low, high = np.rint(centre).astype(int) - margin, np.rint(centre).astype(int) + margin + 1
    if np.any(low < 0) or high[0] > picture.shape[1] or high[1] > picture.shape[0]:
        low, high = np.maximum(low, 0), np.minimum(high, picture.shape[::-1])
        if np.any(high - low < template.shape[::-1]):
            return None
    score = _correlate(picture[low[1] : high[1], low[0] : high[0]], template, mask)
    near = _within_reach(score.shape, centre - low, inverse, reach_mm)
    if not near.any():
        return None
    best = int(np.argmax(np.where(near, score, -2.0)))
    row, column = divmod(best, score.shape[1])
    place = (np.array([column, row]) + low + 0.5) * level - 0.5
    return Sighting(place, float(score[row, column]))


def _template(
    jacobian: FloatArray, inverse: FloatArray, sign: int
) -> tuple[FloatImage, FloatImage]:
    """An X of unit norm and zero mean inside the free strip, and where it counts."""
    reach = np.maximum(np.abs(jacobian) @ np.full(2, FREE_MM), 2.0)
    half = np.minimum(np.floor(reach), _RADIUS_PX).astype(int)
    x, y = np.arange(-half[0], half[0] + 1), np.arange(-half[1], half[1] + 1)[:, None]
    u = inverse[0, 0] * x + inverse[0, 1] * y
    v = inverse[1, 0] * x + inverse[1, 1] * y
    slope_u, slope_v = (1 / math.hypot(*row) for row in inverse.tolist())
    mask = (np.abs(u) <= max(FREE_MM, 1.5 / slope_u)) & (np.abs(v) <= max(FREE_MM, 1.5 / slope_v))
    template = sign * np.clip(u * slope_u, -1, 1) * np.clip(v * slope_v, -1, 1)
    template = np.where(mask, template - template[mask].mean(), 0.0)
    norm = float(np.linalg.norm(template))
    return (template / max(norm, 1e-9)).astype(np.float32), mask.astype(np.float32)


def _correlate(patch: FloatImage, template: FloatImage, mask: FloatImage) -> FloatArray:
    values = (patch - patch.mean()).astype(np.float32)
    border = cv2.BORDER_REFLECT_101
    match = cv2.filter2D(values, -1, template, borderType=border)
    total = cv2.filter2D(values, -1, mask, borderType=border)
    squares = cv2.filter2D(values * values, -1, mask, borderType=border)
    spread = np.sqrt(np.maximum(squares - total * total / mask.sum(), 1e-3))
    return np.asarray(match / np.maximum(spread, 1.0))


def _within_reach(
    shape: tuple[int, ...], centre: FloatArray, inverse: FloatArray, reach_mm: float
) -> BoolArray:
    x, y = np.arange(shape[1]) - centre[0], np.arange(shape[0])[:, None] - centre[1]
    u = inverse[0, 0] * x + inverse[0, 1] * y
    v = inverse[1, 0] * x + inverse[1, 1] * y
    slack_u, slack_v = (1.5 * math.hypot(*row) for row in inverse.tolist())
    return np.asarray((np.abs(u) <= reach_mm + slack_u) & (np.abs(v) <= reach_mm + slack_v))
