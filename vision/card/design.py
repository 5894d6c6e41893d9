"""The one definition of the printed reference card.

A card is a ChArUco board: black squares and, in the white ones, small square markers that
tell one serial from another. Lengths come from the X-corners between the squares only: at a
saddle the tone curve's edge shifts cancel, at a marker's corner they add.

Frame: origin at the page's lower left, x right, y up, millimetres, nominal (before print
scale). The board sits at the same offset on letter and A4, so the frame does not depend on the
paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from vision.units import FloatArray, read_only

if TYPE_CHECKING:
    from collections.abc import Mapping

PAGE_MM: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
)
"""Letter is 8.5 x 11 in (ANSI/ASME Y14.1), A4 is 210 x 297 mm (ISO 216)."""

DICTIONARY: Final = "DICT_4X4_1000"
COLUMNS: Final = 5
ROWS: Final = 7
"""Odd, so that the two historical board layouts of OpenCV are the same."""
SQUARE_MM: Final = 36.0
MARKER_MM: Final = 21.6
"""0.6 of a square: leaves a saddle window of (36 - 21.6) / 2 mm free of marker edges."""
MARKER_CELLS: Final = 6
"""Cells along a marker's side, its black border included."""
BOARD_LEFT_MM: Final = 15.0
BOARD_BOTTOM_MM: Final = 14.0
BOARD_OUTLINE_MM: Final = read_only(
    np.array(
        [
            [BOARD_LEFT_MM, BOARD_BOTTOM_MM + ROWS * SQUARE_MM],
            [BOARD_LEFT_MM + COLUMNS * SQUARE_MM, BOARD_BOTTOM_MM + ROWS * SQUARE_MM],
            [BOARD_LEFT_MM + COLUMNS * SQUARE_MM, BOARD_BOTTOM_MM],
            [BOARD_LEFT_MM, BOARD_BOTTOM_MM],
        ]
    )
)
"""(4, 2) top left, top right, bottom right, bottom left of the black and white pattern."""
CHECK_X_MM: Final = 170.0
CHECK_Y_MM: Final = 240.0
MARKERS_PER_CARD: Final = (COLUMNS * ROWS) // 2
DICTIONARY_SIZE: Final = 1000
SERIALS: Final = DICTIONARY_SIZE // MARKERS_PER_CARD
"""Cards that can be told apart on one wall."""


@dataclass(frozen=True)
class CheckBar:
    """A printed bar whose length a person measures with a ruler to find the print scale."""

    axis: str
    nominal_mm: float
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


@dataclass(frozen=True)
class CardDesign:
    """One serial's geometry.

    Attributes
    ----------
    corners_mm
        (24, 2) X-corners; corner ``i`` has column ``i % 4`` counted from the left and row
        ``i // 4`` counted from the **top**, the order of OpenCV's ChArUco corner ids.
    marker_ids
        (17,) dictionary ids, in the order of OpenCV's board: row by row from the top.
    marker_corners_mm
        (17, 4, 2) outer corners of each marker: top left, top right, bottom right, bottom left
        as the sheet hangs upright.
    """

    serial: int
    paper: str
    page_mm: tuple[float, float]
    corners_mm: FloatArray
    marker_ids: tuple[int, ...]
    marker_corners_mm: FloatArray
    check_bars: tuple[CheckBar, CheckBar]


@cache
def card_design(serial: int, paper: str = "letter") -> CardDesign:
    """Geometry of card ``serial`` printed on ``paper``.

    Raises
    ------
    ValueError
        If the serial or the paper does not exist.
    """
    if paper not in PAGE_MM:
        raise ValueError(f"paper must be one of {', '.join(PAGE_MM)}, not {paper!r}")
    if not 1 <= serial <= SERIALS:
        raise ValueError(f"serial must be from 1 to {SERIALS}, not {serial}")
    first = (serial - 1) * MARKERS_PER_CARD
    return CardDesign(
        serial=serial,
        paper=paper,
        page_mm=PAGE_MM[paper],
        corners_mm=_x_corners(),
        marker_ids=tuple(range(first, first + MARKERS_PER_CARD)),
        marker_corners_mm=_marker_corners(),
        check_bars=_check_bars(),
    )


def serial_of_marker(marker_id: int) -> int:
    """The serial to which a marker id belongs, 0 if to none."""
    serial = marker_id // MARKERS_PER_CARD + 1
    return serial if marker_id >= 0 and serial <= SERIALS else 0


def is_black(column: int, row_from_top: int) -> bool:
    """Whether a square is black; the top left one is."""
    return (column + row_from_top) % 2 == 0


def square_origin_mm(column: int, row_from_top: int) -> tuple[float, float]:
    """Lower left corner of a square."""
    x = BOARD_LEFT_MM + column * SQUARE_MM
    y = BOARD_BOTTOM_MM + (ROWS - 1 - row_from_top) * SQUARE_MM
    return x, y


def _x_corners() -> FloatArray:
    rows, columns = np.mgrid[1:ROWS, 1:COLUMNS]
    x = BOARD_LEFT_MM + columns.ravel() * SQUARE_MM
    y = BOARD_BOTTOM_MM + (ROWS - rows.ravel()) * SQUARE_MM
    return read_only(np.column_stack([x, y]))


def _marker_corners() -> FloatArray:
    inset = (SQUARE_MM - MARKER_MM) / 2
    unit = np.array([[0, 1], [1, 1], [1, 0], [0, 0]], dtype=np.float64) * MARKER_MM
    corners = [
        np.array(square_origin_mm(column, row)) + inset + unit
        for row in range(ROWS)
        for column in range(COLUMNS)
        if not is_black(column, row)
    ]
    return read_only(np.array(corners))


def _check_bars() -> tuple[CheckBar, CheckBar]:
    board_width, board_height = COLUMNS * SQUARE_MM, ROWS * SQUARE_MM
    x0 = BOARD_LEFT_MM + (board_width - CHECK_X_MM) / 2
    y0 = BOARD_BOTTOM_MM + (board_height - CHECK_Y_MM) / 2
    across_y, along_x = 8.0, 8.0
    return (
        CheckBar("x", CHECK_X_MM, (x0, across_y), (x0 + CHECK_X_MM, across_y)),
        CheckBar("y", CHECK_Y_MM, (along_x, y0), (along_x, y0 + CHECK_Y_MM)),
    )
