"""Reads the codes of four-sided shapes, all of a picture at once.

OpenCV compares each shape with each of the dictionary's thousand codes in four directions, which
takes five times as long as finding the shapes. The codes of the card's dictionary are told apart
exactly or not at all, so one look into a table says the same.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np

from vision.card.artwork import marker_bits
from vision.card.design import MARKER_CELLS, MARKERS_PER_CARD, SERIALS

if TYPE_CHECKING:
    from vision.units import BoolArray, FloatArray, GreyImage, IntArray

_INNER: Final = MARKER_CELLS - 2
_PER_CELL: Final = 4
"""Samples along a cell's side."""
_SIDE: Final = MARKER_CELLS * _PER_CELL
_LEAST_SPREAD_DN: Final = 5.0
"""Standard deviation of the grey inside a shape below which it is blank."""
_MOST_WHITE_IN_BORDER: Final = 5
"""Cells of the black border that may read as white: 0.35 of the number of code cells."""
_NONE: Final = -1


def read_codes(grey: GreyImage, quads: FloatArray) -> tuple[IntArray, IntArray]:
    """Marker id of each shape, -1 if it carries none, and the corner at the code's top left.

    Parameters
    ----------
    quads
        (n, 4, 2) corners in pixels of ``grey``, clockwise.
    """
    if len(quads) == 0:
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    samples = _samples(grey, quads)
    cells = _white_cells(samples)
    edge = _PER_CELL // 2
    spread = samples[:, edge:-edge, edge:-edge].std(axis=(1, 2))
    inner = cells[:, 1:-1, 1:-1].reshape(len(quads), -1)
    in_border = cells.sum(axis=(1, 2)) - inner.sum(axis=1)
    found = _table()[inner @ _place_values()]
    found[(spread < _LEAST_SPREAD_DN) | (in_border > _MOST_WHITE_IN_BORDER)] = _NONE
    return np.where(found < 0, _NONE, found // 4), found % 4


def _samples(grey: GreyImage, quads: FloatArray) -> GreyImage:
    """(n, side, side) grey inside each shape, as if it were seen square-on."""
    steps = np.arange(_SIDE) / (_SIDE - 1)
    right, down = (axis.ravel() for axis in np.meshgrid(steps, steps))
    places = _square_to_quads(quads) @ np.stack([right, down, np.ones_like(right)])
    pixels = np.rint(places[:, :2] / places[:, 2:]).astype(np.int64)
    column = np.clip(pixels[:, 0], 0, grey.shape[1] - 1)
    row = np.clip(pixels[:, 1], 0, grey.shape[0] - 1)
    return np.asarray(grey[row, column].reshape(-1, _SIDE, _SIDE), dtype=np.uint8)


def _square_to_quads(quads: FloatArray) -> FloatArray:
    """(n, 3, 3) homographies from the unit square (Heckbert, 1989, section 2.2.3)."""
    first, second, third, fourth = np.moveaxis(quads, 1, 0)
    one, two, total = second - third, fourth - third, first - second + third - fourth
    area = _cross(one, two)
    area = np.where(np.abs(area) < 1e-9, np.nan, area)
    g, h = _cross(total, two) / area, _cross(one, total) / area
    g, h = np.nan_to_num(g), np.nan_to_num(h)
    top = np.stack(
        [second - first + g[:, None] * second, fourth - first + h[:, None] * fourth, first], axis=2
    )
    bottom = np.stack([g, h, np.ones_like(g)], axis=1)
    return np.concatenate([top, bottom[:, None]], axis=1)


def _cross(first: FloatArray, second: FloatArray) -> FloatArray:
    return np.asarray(first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0])


def _white_cells(samples: GreyImage) -> BoolArray:
    """(n, cells, cells) whether most of a cell is above the shape's own threshold."""
    white = samples > _thresholds(samples.reshape(len(samples), -1))[:, None, None]
    blocks = white.reshape(-1, MARKER_CELLS, _PER_CELL, MARKER_CELLS, _PER_CELL)
    return np.asarray(blocks.sum(axis=(2, 4)) > _PER_CELL**2 / 2)


def _thresholds(values: GreyImage) -> IntArray:
    """Per row, the grey that parts dark from light best (Otsu, IEEE Trans. SMC 9, 1979)."""
    rows, count = values.shape
    shifted = values + 256 * np.arange(rows, dtype=np.int64)[:, None]
    histogram = np.bincount(shifted.ravel(), minlength=256 * rows).reshape(rows, 256)
    below = np.cumsum(histogram, axis=1)
    moment = np.cumsum(histogram * np.arange(256), axis=1)
    gap = moment * count - below * moment[:, -1:]
    between = gap.astype(np.float64) ** 2 / np.maximum(below * (count - below), 1)
    return np.asarray(between.argmax(axis=1))


def _place_values() -> IntArray:
    return np.asarray(1 << np.arange(_INNER * _INNER), dtype=np.int64)


@cache
def _table() -> IntArray:
    """Marker id times four plus turns by code, -1 where there is none; only of cards' markers."""
    table = np.full(1 << _INNER * _INNER, _NONE, dtype=np.int64)
    for marker_id in range(SERIALS * MARKERS_PER_CARD):
        for turn in range(4):
            # The picture of a marker turned clockwise has its top left at the next corner.
            seen = np.rot90(marker_bits(marker_id), -turn)
            table[int(seen.ravel() @ _place_values())] = 4 * marker_id + turn
    table.setflags(write=False)
    return table
