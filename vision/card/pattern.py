"""Reads every marker where the board says it is: proof of the serial and of which way is up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from vision.card.artwork import marker_bits
from vision.card.design import MARKER_CELLS, MARKER_MM, MARKERS_PER_CARD, SQUARE_MM, card_design

if TYPE_CHECKING:
    from collections.abc import Collection

    from vision.card.plane_map import PlaneMap
    from vision.units import BoolArray, FloatArray, GreyImage, IntArray

_INNER: Final = MARKER_CELLS - 2
_AGREES: Final = 0.6
"""Correlation of a marker's sixteen cells with its code; by chance one in a hundred."""
_LEAST_AGREEING: Final = 3


@dataclass(frozen=True)
class PatternReading:
    """Correlation of each marker's cells with its code, NaN where it is not in the photo."""

    correlations: FloatArray

    @property
    def agreeing(self) -> int:
        """Markers that read as their code."""
        return int(np.sum(np.nan_to_num(self.correlations, nan=-1.0) >= _AGREES))

    @property
    def mean(self) -> float:
        """Mean over the markers in the photo, 0 if there are none."""
        seen = self.correlations[np.isfinite(self.correlations)]
        return float(seen.mean()) if len(seen) else 0.0

    def proves_serial(self, corner_ids: Collection[int] = ()) -> bool:
        """Whether enough markers read as their codes to leave no doubt.

        Half of those must, round which all square corners were found: a few codes are their own
        mirror image, so that a mirrored card has some of its codes where a turned one has them.
        """
        shown = _between(np.array(list(corner_ids), dtype=np.int64))
        read = np.nan_to_num(self.correlations[shown], nan=-1.0) >= _AGREES
        return self.agreeing >= _LEAST_AGREEING and 2 * int(read.sum()) >= len(read)


def read_pattern(grey: GreyImage, serial: int, plane_map: PlaneMap) -> PatternReading:
    """Sample the code cells of all markers of ``serial``."""
    design = card_design(serial)
    places = plane_map.pixels(_cells_mm(design.marker_corners_mm))
    inside = np.all((places >= 0) & (places < np.array(plane_map.size) - 1), axis=1)
    values = _bilinear(grey, np.where(inside[:, None], places, 0.0))
    by_marker = values.reshape(MARKERS_PER_CARD, -1)
    whole = inside.reshape(MARKERS_PER_CARD, -1).all(axis=1)
    codes = np.array([marker_bits(marker_id).ravel() for marker_id in design.marker_ids])
    return PatternReading(np.where(whole, _correlate(by_marker, codes.astype(np.float64)), np.nan))


def _between(corner_ids: IntArray) -> BoolArray:
    """(17,) markers of whose white square all inner corners are among these."""
    design = card_design(1)
    middles = design.marker_corners_mm.mean(axis=1)
    gaps = np.abs(design.corners_mm[None] - middles[:, None]).max(axis=2)
    near = gaps < SQUARE_MM
    found = np.zeros(len(design.corners_mm), dtype=bool)
    found[corner_ids] = True
    return np.asarray(np.all(found | ~near, axis=1))


def _cells_mm(marker_corners: FloatArray) -> FloatArray:
    """(17 * 16, 2) middles of the code cells, row by row from the top left."""
    cell = MARKER_MM / MARKER_CELLS
    steps = (np.arange(_INNER) + 1.5) * cell
    right, down = np.meshgrid(steps, steps)
    offsets = np.column_stack([right.ravel(), -down.ravel()])
    return np.asarray((marker_corners[:, :1] + offsets[None]).reshape(-1, 2))


def _bilinear(grey: GreyImage, places: FloatArray) -> FloatArray:
    whole = np.floor(places).astype(int)
    right, down = (places - whole).T
    column, row = whole.T
    upper = grey[row, column] * (1 - right) + grey[row, column + 1] * right
    lower = grey[row + 1, column] * (1 - right) + grey[row + 1, column + 1] * right
    return np.asarray(upper * (1 - down) + lower * down)


def _correlate(values: FloatArray, codes: FloatArray) -> FloatArray:
    values = values - values.mean(axis=1, keepdims=True)
    codes = codes - codes.mean(axis=1, keepdims=True)
    norm = np.linalg.norm(values, axis=1) * np.linalg.norm(codes, axis=1)
    return np.asarray((values * codes).sum(axis=1) / np.maximum(norm, 1e-9))
