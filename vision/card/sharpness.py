"""How sharp and how noisy the card's own square edges are.

The spread of an edge tells blur apart from lack of texture, and blur along one direction only
shows on edges across it, so both edge families are read and the worse counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.special import erf

from vision.card.design import COLUMNS, ROWS
from vision.card.saddle import FREE_MM

if TYPE_CHECKING:
    from vision.card.plane_map import PlaneMap
    from vision.units import FloatArray, FloatImage

_ALONG_PX: Final = 10.0
_ACROSS_PX: Final = 12.0
_ALONG_MM: Final = 9.0
_STEPS: Final = 25
_LEAST_STEP_DN: Final = 8.0


@dataclass(frozen=True)
class EdgeReading:
    """Median over the edges of each family.

    Attributes
    ----------
    blur_px
        Gaussian edge spread of the worse family, the pixel's own width included.
    noise_dn
        Scatter about the fitted edges, grey levels.
    """

    blur_px: float
    noise_dn: float


@dataclass(frozen=True)
class _Edge:
    spread_px: float
    residual_dn: float


def read_edges(
    picture: FloatImage, offset: FloatArray, plane_map: PlaneMap, corners: dict[int, FloatArray]
) -> EdgeReading | None:
    """Reads the edges between neighbouring confirmed corners, None if none can be read.

    Parameters
    ----------
    picture
        (h, w) part of the photo, not smoothed.
    offset
        (2,) pixel of its top left in the photo.
    corners
        Confirmed (2,) pixels by corner id.
    """
    families = [
        [
            edge
            for first, second in pairs
            if first in corners
            and second in corners
            and (edge := _read(picture, corners[first] - offset, corners[second] - offset, scale))
        ]
        for pairs, scale in _families(plane_map)
    ]
    spreads = [float(np.median([e.spread_px for e in family])) for family in families if family]
    if not spreads:
        return None
    noise = float(np.median([edge.residual_dn for family in families for edge in family]))
    return EdgeReading(max(spreads), noise)


def _families(plane_map: PlaneMap) -> list[tuple[list[tuple[int, int]], float]]:
    """Corner id pairs along the rows and along the columns, and pixels per mm across each."""
    columns, rows = COLUMNS - 1, ROWS - 1
    along_rows = [
        (r * columns + c, r * columns + c + 1) for r in range(rows) for c in range(columns - 1)
    ]
    along_columns = [
        (r * columns + c, (r + 1) * columns + c) for r in range(rows - 1) for c in range(columns)
    ]
    inverse = np.linalg.inv(plane_map.jacobians(np.array([[105.0, 140.0]]))[0])
    across_x, across_y = 1 / np.hypot(inverse[:, 0], inverse[:, 1])
    return [(along_rows, float(across_y)), (along_columns, float(across_x))]


def _read(
    picture: FloatImage, first: FloatArray, second: FloatArray, px_per_mm: float
) -> _Edge | None:
    """Fits a blurred step to the strip round the middle of one edge."""
    length = float(np.hypot(*(second - first)))
    along = (second - first) / length
    reach = min(_ACROSS_PX, 0.9 * FREE_MM * px_per_mm)
    half = min(_ALONG_PX, length * _ALONG_MM / 36.0)
    middle = (first + second) / 2
    corner = np.rint(middle).astype(int)
    size = int(np.ceil(np.hypot(reach, half)))
    low, high = corner - size, corner + size + 1
    if np.any(low < 0) or high[0] > picture.shape[1] or high[1] > picture.shape[0]:
        return None
    x, y = np.meshgrid(
        np.arange(low[0], high[0]) - middle[0], np.arange(low[1], high[1]) - middle[1]
    )
    place = x * along[0] + y * along[1]
    across = y * along[0] - x * along[1]
    inside = (np.abs(place) <= half) & (np.abs(across) <= reach)
    values = picture[low[1] : high[1], low[0] : high[0]][inside].astype(np.float64)
    return _fit_step(across[inside], values)


def _fit_step(distance: FloatArray, values: FloatArray) -> _Edge | None:
    """Gauss-Newton on level, step, place and spread, the spread in logarithm."""
    if len(values) < 20:
        return None
    low, high = values[distance < 0].mean(), values[distance >= 0].mean()
    state = np.array([(low + high) / 2, (high - low) / 2, 0.0, 0.0])
    residual = values
    for _ in range(_STEPS):
        spread = float(np.exp(state[3]))
        z = (distance - state[2]) / spread
        shape = erf(z / np.sqrt(2))
        bell = np.sqrt(2 / np.pi) * np.exp(-(z**2) / 2)
        residual = values - state[0] - state[1] * shape
        slope = -state[1] * bell / spread
        design = np.stack([np.ones_like(z), shape, slope, slope * z * spread], axis=1)
        step, *_ = np.linalg.lstsq(design, residual, rcond=None)
        step[2:] = np.clip(step[2:], -0.5, 0.5)
        state = state + step
        state[3] = np.clip(state[3], np.log(0.15), np.log(20.0))
        if np.abs(step[2:]).max() < 1e-3:
            break
    if abs(state[1]) * 2 < _LEAST_STEP_DN:
        return None
    return _Edge(float(np.exp(state[3])), float(np.sqrt(np.mean(residual**2))))
