"""The card as ink: rectangles to draw black, then rectangles to draw white on top of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.design import (
    COLUMNS,
    DICTIONARY,
    MARKER_CELLS,
    MARKER_MM,
    ROWS,
    SQUARE_MM,
    CardDesign,
    is_black,
    square_origin_mm,
)
from vision.units import FloatArray, GreyImage, read_only

if TYPE_CHECKING:
    from collections.abc import Iterator

_INNER: Final = MARKER_CELLS - 2
"""Cells along a marker's side that carry its code."""


@dataclass(frozen=True)
class CardArtwork:
    """Ink of one card in the card frame.

    Attributes
    ----------
    black_mm
        (n, 4) rectangles x, y, width, height; x and y are the lower left corner.
    white_mm
        (m, 4) rectangles to paint white after all black ones. They may overlap one another, so
        that no seam between two of them lets black through.
    """

    black_mm: FloatArray
    white_mm: FloatArray


def dictionary() -> cv2.aruco.Dictionary:
    """OpenCV's marker dictionary of the card."""
    return cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))


def card_rectangles(design: CardDesign) -> CardArtwork:
    """The black squares and markers of ``design``, and the white cells inside the markers."""
    squares = [
        (*square_origin_mm(column, row), SQUARE_MM, SQUARE_MM)
        for row in range(ROWS)
        for column in range(COLUMNS)
        if is_black(column, row)
    ]
    black: list[tuple[float, ...]] = list(squares)
    white: list[tuple[float, ...]] = []
    cell = MARKER_MM / MARKER_CELLS
    for marker_id, corners in zip(design.marker_ids, design.marker_corners_mm, strict=True):
        left, top = (float(value) for value in corners[0])
        black.append((left, top - MARKER_MM, MARKER_MM, MARKER_MM))
        for column, row, columns, rows in _white_blocks(marker_bits(marker_id)):
            x = left + (column + 1) * cell
            y = top - (row + rows + 1) * cell
            white.append((x, y, columns * cell, rows * cell))
    return CardArtwork(read_only(np.array(black)), read_only(np.array(white)))


@cache
def marker_bits(marker_id: int) -> GreyImage:
    """(4, 4) code of a marker, 1 for white, first row at the top."""
    picture = cv2.aruco.generateImageMarker(dictionary(), marker_id, MARKER_CELLS)
    bits = (picture[1:-1, 1:-1] > 0).astype(np.uint8)
    bits.setflags(write=False)
    return bits


def _white_blocks(bits: GreyImage) -> list[tuple[int, int, int, int]]:
    """Every largest all-white block as column, row, columns, rows."""
    blocks = [block for block in _all_blocks() if bits[_slices(block)].all()]
    return [block for block in blocks if not any(_inside(block, other) for other in blocks)]


def _all_blocks() -> Iterator[tuple[int, int, int, int]]:
    for row in range(_INNER):
        for column in range(_INNER):
            for rows in range(1, _INNER - row + 1):
                for columns in range(1, _INNER - column + 1):
                    yield column, row, columns, rows


def _slices(block: tuple[int, int, int, int]) -> tuple[slice, slice]:
    column, row, columns, rows = block
    return slice(row, row + rows), slice(column, column + columns)


def _inside(block: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    return (
        block != other
        and other[0] <= block[0]
        and other[1] <= block[1]
        and block[0] + block[2] <= other[0] + other[2]
        and block[1] + block[3] <= other[1] + other[3]
    )
