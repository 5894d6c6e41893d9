"""A check at start that the installed OpenCV sees pixels as this program does.

Releases have shifted chessboard corners by half a pixel, swapped board layouts and changed array
shapes; each would spoil every size without a sign.
"""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np

from vision.card.artwork import dictionary
from vision.card.design import COLUMNS, MARKER_MM, ROWS, SQUARE_MM, card_design
from vision.card.search import find_cards
from vision.units import FloatArray, GreyImage, IntArray

MOST_ERROR_PX: Final = 0.02
_SERIAL: Final = 2
_MARGIN_PX: Final = 60
_SQUARE_PX: Final = 60


class SelfTestError(RuntimeError):
    """The installed OpenCV or NumPy does not measure as this program needs."""


def check_installation() -> float:
    """The largest corner error on a drawn board, pixels.

    Raises
    ------
    SelfTestError
        If corners are off, missing, or come in an unexpected shape.
    """
    picture = _drawn_board()
    found = find_cards(picture).cards
    if [card.serial for card in found] != [_SERIAL] or found[0].pixels.shape != (24, 2):
        raise _failed("does not find a drawn board")
    worst = float(np.abs(found[0].pixels - _true_pixels()[found[0].corner_ids]).max())
    if worst > MOST_ERROR_PX:
        raise _failed(f"puts corners {worst:.3f} px away from where they are drawn")
    corners, ids = _opencv_corners(picture)
    if corners.shape != (24, 2) or ids.shape != (24,):
        raise _failed(f"gives board corners in the shape {corners.shape}, expected (24, 2)")
    if float(np.abs(corners - _true_pixels()[ids]).max()) > 0.25:
        raise _failed("does not count pixels from the middle of the first one")
    return worst


def _failed(what: str) -> SelfTestError:
    return SelfTestError(
        f"OpenCV {cv2.__version__} {what}; no size can be trusted."
        " Install opencv-python-headless 5.0.0 or a later 5.x that passes this check."
    )


def _board() -> cv2.aruco.CharucoBoard:
    ids = np.array(card_design(_SERIAL).marker_ids)
    return cv2.aruco.CharucoBoard((COLUMNS, ROWS), SQUARE_MM, MARKER_MM, dictionary(), ids)


def _drawn_board() -> GreyImage:
    """Every square is a whole number of pixels, so corners lie on pixel edges."""
    size = (COLUMNS * _SQUARE_PX + 2 * _MARGIN_PX, ROWS * _SQUARE_PX + 2 * _MARGIN_PX)
    board = _board().generateImage(size, None, _MARGIN_PX, 1)
    soft = cv2.GaussianBlur(np.asarray(board, dtype=np.float32), (0, 0), 1.0)
    return np.asarray(np.clip(np.rint(20 + soft * 0.8), 0, 255), dtype=np.uint8)


def _true_pixels() -> FloatArray:
    rows, columns = np.mgrid[1:ROWS, 1:COLUMNS]
    edges = np.column_stack([columns.ravel(), rows.ravel()]) * _SQUARE_PX + _MARGIN_PX
    return np.asarray(edges - 0.5, dtype=np.float64)


def _opencv_corners(picture: GreyImage) -> tuple[FloatArray, IntArray]:
    corners, ids, _, _ = cv2.aruco.CharucoDetector(_board()).detectBoard(picture)
    return np.asarray(corners, dtype=np.float64), np.asarray(ids, dtype=np.int64)
