"""Reads the codes of four-sided shapes, all of a picture at once.

OpenCV compares each shape with each of the dictionary's thousand codes in four directions, which
takes five times as long as finding the shapes. The codes of the card's dictionary are told apart
exactly or not at all, so one look into a table says the same.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.artwork import marker_bits
from vision.card.design import MARKER_CELLS, MARKERS_PER_CARD, SERIALS

if TYPE_CHECKING:
    from vision.units import BoolArray, FloatArray, GreyImage, IntArray

_INNER: Final = MARKER_CELLS - 2
_PER_CELL: Final = 4
"""Samples along a cell's side."""
_LEAST_SPREAD_DN: Final = 5.0
"""Standard deviation of the cells' grey below which a shape is blank, as in OpenCV: mottled tiles
stay below, and each false code would have the whole photo searched."""
_MOST_WHITE_IN_BORDER: Final = 5
"""Cells of the black border that may read as white: 0.35 of the number of code cells."""
_GLANCE_MOST_WHITE: Final = 10
"""Twice as many of the border's twenty at a first glance, which has one sample a cell."""
_GLANCE_LEAST_STEP_DN: Final = 2.5
"""From a marker's border to the white round it, half of what its cells must spread."""
_NONE: Final = -1
_IS_CODE: Final = np.pad(np.ones((_INNER, _INNER), dtype=bool), 1).ravel()
"""Which of the cells, row by row, carry the code."""
_ACROSS: Final = (np.arange(MARKER_CELLS) + 0.5) / MARKER_CELLS
_CELL_MIDDLES: Final = np.stack(np.meshgrid(_ACROSS, _ACROSS), axis=-1).reshape(-1, 2)
_BORDER_PLACES: Final = _CELL_MIDDLES[~_IS_CODE]
_BESIDE: Final = 0.5 + (_ACROSS[::2] - _ACROSS[::2].mean())
_BEYOND: Final = 0.5 / MARKER_CELLS
_WHITE_PLACES: Final = np.array(
    [
        place
        for along in _BESIDE
        for out in (-_BEYOND, 1 + _BEYOND)
        for place in ((along, out), (out, along))
    ]
)
"""Half a cell outside each side: the square that holds a marker leaves two cells round it."""
_PLACE_VALUES: Final = 1 << np.arange(_INNER * _INNER, dtype=np.int64)


def read_codes(grey: GreyImage, quads: FloatArray) -> tuple[IntArray, IntArray]:
    """Marker id of each shape, -1 if it carries none, and the corner at the code's top left.

    Parameters
    ----------
    quads
        (n, 4, 2) corners in pixels of ``grey``, clockwise.
    """
    if len(quads) == 0:
        return np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int64)
    found = np.full(len(quads), _NONE)
    likely = np.flatnonzero(_may_be_code(grey, quads))
    if len(likely) > 0:
        found[likely] = _read(grey, quads[likely])
    return np.where(found < 0, _NONE, found // 4), found % 4


def _may_be_code(grey: GreyImage, quads: FloatArray) -> BoolArray:
    """Leaves out most of what is no marker, dark on white, at a tenth of the cost of reading it."""
    border = _sampled(grey, quads, _BORDER_PLACES)
    white = _sampled(grey, quads, _WHITE_PLACES).mean(axis=1)
    middle = (white + border.min(axis=1)) / 2
    darker = white - border.mean(axis=1) >= _GLANCE_LEAST_STEP_DN
    bright = (border > middle[:, None]).sum(axis=1)
    return np.asarray(darker & (bright <= _GLANCE_MOST_WHITE))


def _read(grey: GreyImage, quads: FloatArray) -> IntArray:
    """(n,) entry of the table, -1 for no code."""
    cells = _cell_means(grey, quads, _PER_CELL)
    white = cells > _thresholds(cells)[:, None]
    codes = white[:, _IS_CODE] @ _PLACE_VALUES
    found = _table()[codes]
    border_is_black = white[:, ~_IS_CODE].sum(axis=1) <= _MOST_WHITE_IN_BORDER
    found[~border_is_black | (cells.std(axis=1) < _LEAST_SPREAD_DN)] = _NONE
    return found


def _cell_means(grey: GreyImage, quads: FloatArray, per_cell: int) -> FloatArray:
    """(n, 36) mean grey of the cells of each shape, row by row."""
    side = MARKER_CELLS * per_cell
    steps = np.arange(side) / (side - 1)
    samples = _sampled(grey, quads, np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2))
    shape = (MARKER_CELLS, per_cell)
    blocks = samples.reshape(-1, *shape, *shape)
    means = blocks.mean(axis=(2, 4), dtype=np.float64)
    return np.asarray(means.reshape(len(quads), -1))


def _sampled(grey: GreyImage, quads: FloatArray, places: FloatArray) -> FloatArray:
    """(n, m) grey at (m, 2) places of the unit square laid onto each shape."""
    square = np.column_stack([places, np.ones(len(places))]).T
    lifted = (_square_to_quads(quads) @ square).astype(np.float32)
    column, row = lifted[:, 0] / lifted[:, 2], lifted[:, 1] / lifted[:, 2]
    samples = cv2.remap(grey, column, row, cv2.INTER_NEAREST, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(samples, dtype=np.float32)


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


def _thresholds(values: FloatArray) -> FloatArray:
    """Per row, the grey that parts dark from light best (Otsu, IEEE Trans. SMC 9, 1979)."""
    ordered = np.sort(values, axis=1)
    count = ordered.shape[1]
    below = np.arange(1, count)
    moment = np.cumsum(ordered, axis=1)
    gap = moment[:, :-1] * count - below * moment[:, -1:]
    best = (gap**2 / (below * (count - below))).argmax(axis=1)
    each = np.arange(len(ordered))
    return np.asarray((ordered[each, best] + ordered[each, best + 1]) / 2)


@cache
def _table() -> IntArray:
    """Marker id times four plus turns by code, -1 where there is none; only of cards' markers."""
    table = np.full(1 << _INNER * _INNER, _NONE, dtype=np.int64)
    for marker_id in range(SERIALS * MARKERS_PER_CARD):
        for turn in range(4):
            # The picture of a marker turned clockwise has its top left at the next corner.
            seen = np.rot90(marker_bits(marker_id), -turn)
            table[int(seen.ravel() @ _PLACE_VALUES)] = 4 * marker_id + turn
    table.setflags(write=False)
    return table
