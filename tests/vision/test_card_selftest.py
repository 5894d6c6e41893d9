"""The check at start passes here and fails where OpenCV measures differently."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

import vision.card.selftest as selftest
from vision.card.selftest import MOST_ERROR_PX, SelfTestError, check_installation


def test_the_installed_opencv_passes() -> None:
    """A drawn board comes back to two hundredths of a pixel."""
    assert check_installation() < MOST_ERROR_PX


def test_a_half_pixel_shift_in_opencvs_boards_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Releases of the fourth series counted pixels from their edge."""
    real = cv2.aruco.CharucoDetector

    class Shifted:
        def __init__(self, board: cv2.aruco.CharucoBoard) -> None:
            self.inner = real(board)

        def detectBoard(self, picture: np.ndarray) -> tuple[object, ...]:
            corners, ids, marker_corners, marker_ids = self.inner.detectBoard(picture)
            return np.asarray(corners) + 0.5, ids, marker_corners, marker_ids

    monkeypatch.setattr(cv2.aruco, "CharucoDetector", Shifted)
    with pytest.raises(SelfTestError, match="middle of the first"):
        check_installation()


def test_a_smoothing_that_moves_the_picture_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever shifts corners by more than the limit shows."""
    real = cv2.GaussianBlur

    def shifted(picture: np.ndarray, size: tuple[int, int], sigma: float) -> np.ndarray:
        moved = 0.95 * picture + 0.05 * np.roll(picture, 1, axis=1)
        return np.asarray(real(moved.astype(picture.dtype), size, sigma))

    drawn = selftest._drawn_board()
    monkeypatch.setattr(selftest, "_drawn_board", lambda: drawn)
    monkeypatch.setattr(cv2, "GaussianBlur", shifted)
    with pytest.raises(SelfTestError, match="away from where they are drawn"):
        check_installation()


def test_an_opencv_that_finds_nothing_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The message names the version and what to install."""
    monkeypatch.setattr(selftest, "_drawn_board", lambda: np.full((300, 300), 200, dtype=np.uint8))
    with pytest.raises(SelfTestError, match=cv2.__version__):
        check_installation()
