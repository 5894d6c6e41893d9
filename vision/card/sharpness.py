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
    from vision.units import BoolArray, FloatArray, FloatImage, IntArray

_ALONG_PX: Final = 10.0
_ACROSS_PX: Final = 12.0
_ALONG_MM: Final = 9.0
_STEPS: Final = 25
_LEAST_STEP_DN: Final = 8.0
_LEAST_SAMPLES: Final = 20
_SETTLED: Final = 1e-3
_RIDGE: Final = 1e-12
"""Of the normal equations' trace: keeps an edge without a step from having no solution."""


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
class _Strips:
    """Samples beside several edges, filled up with samples of no weight.

    Attributes
    ----------
    distance
        (n, m) pixels from the line through the edge.
    grey
        (n, m) picture.
    counts
        (n, m) 1 for a sample, 0 for filling.
    """

    distance: FloatArray
    grey: FloatArray
    counts: FloatArray

    def only(self, which: IntArray | BoolArray) -> _Strips:
        """Some of the edges."""
        return _Strips(self.distance[which], self.grey[which], self.counts[which])


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
    spreads, noise = [], []
    for pairs, px_per_mm in _families(plane_map):
        ends = [(corners[a], corners[b]) for a, b in pairs if a in corners and b in corners]
        if not ends:
            continue
        strips = _strips(picture, np.array(ends) - offset, px_per_mm)
        widths, residuals = _fit_steps(strips)
        if len(widths):
            spreads.append(float(np.median(widths)))
            noise.append(residuals)
    if not spreads:
        return None
    return EdgeReading(max(spreads), float(np.median(np.concatenate(noise))))


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


def _strips(picture: FloatImage, ends: FloatArray, px_per_mm: float) -> _Strips:
    """The strips round the middles of edges, (n, 2, 2) from corner to corner, that lie inside."""
    length = np.hypot(*np.moveaxis(ends[:, 1] - ends[:, 0], 1, 0))
    along = (ends[:, 1] - ends[:, 0]) / length[:, None]
    middle = ends.mean(axis=1)
    reach = min(_ACROSS_PX, 0.9 * FREE_MM * px_per_mm)
    half = np.minimum(_ALONG_PX, length * _ALONG_MM / 36.0)
    size = np.ceil(np.hypot(reach, half))
    whole = np.rint(middle)
    inside = np.all(
        (whole - size[:, None] >= 0) & (whole + size[:, None] < np.array(picture.shape[::-1])),
        axis=1,
    )
    if not inside.any():
        empty = np.empty((0, 0))
        return _Strips(empty, empty, empty)
    along, middle, half, whole = along[inside], middle[inside], half[inside], whole[inside]
    side = int(size[inside].max())
    grid = np.meshgrid(np.arange(-side, side + 1), np.arange(-side, side + 1))
    columns, rows = (axis.ravel() + whole[:, i, None] for i, axis in enumerate(grid))
    x, y = columns - middle[:, :1], rows - middle[:, 1:]
    place = x * along[:, :1] + y * along[:, 1:]
    across = y * along[:, :1] - x * along[:, 1:]
    edge, sample = np.nonzero((np.abs(place) <= half[:, None]) & (np.abs(across) <= reach))
    row, column = rows[edge, sample].astype(np.int64), columns[edge, sample].astype(np.int64)
    return _packed(edge, across[edge, sample], picture[row, column], len(along))


def _packed(edge: IntArray, distance: FloatArray, grey: FloatImage, edges: int) -> _Strips:
    """Samples, ordered by edge, side by side."""
    counts = np.bincount(edge, minlength=edges)
    place = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
    packed = np.zeros((3, edges, max(int(counts.max()), 1)))
    packed[:, edge, place] = distance, grey, np.ones_like(distance)
    return _Strips(*packed).only(counts >= _LEAST_SAMPLES)


def _fit_steps(strips: _Strips) -> tuple[FloatArray, FloatArray]:
    """Edge spreads and residuals of the edges that stand out.

    Gauss-Newton on level, step, place and spread, the spread in logarithm; an edge that has
    settled is left alone.
    """
    state = _first_guess(strips)
    residual = np.zeros(len(state))
    moving = np.arange(len(state))
    for _ in range(_STEPS):
        if len(moving) == 0:
            break
        step, residual[moving] = _step(strips.only(moving), state[moving])
        state[moving] += step
        state[moving, 3] = np.clip(state[moving, 3], np.log(0.15), np.log(20.0))
        moving = moving[np.abs(step[:, 2:]).max(axis=1) >= _SETTLED]
    clear = np.abs(state[:, 1]) * 2 >= _LEAST_STEP_DN
    return np.exp(state[clear, 3]), residual[clear]


def _first_guess(strips: _Strips) -> FloatArray:
    """(n, 4) from the means of both sides."""
    dark = strips.counts * (strips.distance < 0)
    light = strips.counts - dark
    low, high = (
        (strips.grey * side).sum(axis=1) / np.maximum(side.sum(axis=1), 1.0)
        for side in (dark, light)
    )
    nothing = np.zeros_like(low)
    return np.stack([(low + high) / 2, (high - low) / 2, nothing, nothing], axis=1)


def _step(strips: _Strips, state: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n, 4) change of the states, and (n,) root mean square residuals before it."""
    level, height, place, logarithm = state.T[:, :, None]
    spread = np.exp(logarithm)
    z = (strips.distance - place) / spread
    shape = erf(z / np.sqrt(2)) * strips.counts
    bell = -height * np.sqrt(2 / np.pi) * np.exp(-(z**2) / 2) * strips.counts
    residual = (strips.grey - level) * strips.counts - height * shape
    design = np.stack([strips.counts, shape, bell / spread, bell * z], axis=1)
    normal = design @ design.transpose(0, 2, 1)
    normal += _RIDGE * np.trace(normal, axis1=1, axis2=2)[:, None, None] * np.eye(4)
    step = np.linalg.solve(normal, design @ residual[:, :, None])[:, :, 0]
    step[:, 2:] = np.clip(step[:, 2:], -0.5, 0.5)
    mean_square = (residual**2).sum(axis=1) / strips.counts.sum(axis=1)
    return step, np.sqrt(mean_square)
