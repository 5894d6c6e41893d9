"""Marker codes are read as OpenCV draws them and as its own detector reads them."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
import pytest

from tests.support.board_render import Camera, Finish, Scene, photograph, place, tiled_wall
from vision.card.codes import read_codes
from vision.card.design import MARKERS_PER_CARD, SERIALS
from vision.card.markers import detect_markers

if TYPE_CHECKING:
    from numpy.typing import NDArray

COUNT: Final = SERIALS * MARKERS_PER_CARD
SIDE, PITCH, ACROSS = 30, 40, 40


@cache
def sheet() -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """Every marker drawn by OpenCV in rows of forty, and the corners of each, clockwise."""
    marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_1000)
    picture = np.full((PITCH * (COUNT // ACROSS + 1), PITCH * ACROSS), 255, dtype=np.uint8)
    origins = [(PITCH * (i % ACROSS) + 5, PITCH * (i // ACROSS) + 5) for i in range(COUNT)]
    for marker_id, (left, top) in enumerate(origins):
        drawn = cv2.aruco.generateImageMarker(marks, marker_id, SIDE)
        picture[top : top + SIDE, left : left + SIDE] = drawn
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * (SIDE - 1)
    return picture, np.array(origins)[:, None] + unit


@pytest.mark.parametrize("first", range(4))
def test_every_marker_of_every_card_reads_as_itself(first: int) -> None:
    """Whichever corner the shape's outline starts from, its code's top left is named."""
    picture, quads = sheet()
    ids, starts = read_codes(picture, np.roll(quads, -first, axis=1))
    assert np.array_equal(ids, np.arange(COUNT))
    assert set(starts) == {-first % 4}


def test_a_faint_marker_is_read() -> None:
    """Thirty grey levels between ink and paper."""
    picture, quads = sheet()
    faint = (90 + picture.astype(np.float64) * 30 / 255).astype(np.uint8)
    assert np.array_equal(read_codes(faint, quads)[0], np.arange(COUNT))


def test_a_swapped_marker_carries_no_code() -> None:
    """White border, black code: no card is printed so."""
    picture, quads = sheet()
    assert set(read_codes(255 - picture, quads)[0]) == {-1}


def test_a_blank_shape_carries_no_code() -> None:
    """Even, or with no more than a camera's noise."""
    _, quads = sheet()
    shape = sheet()[0].shape
    noise = np.random.default_rng(1).normal(128, 3, shape).astype(np.uint8)
    for picture in (np.full(shape, 128, dtype=np.uint8), noise):
        assert set(read_codes(picture, quads)[0]) == {-1}


def test_no_shape_no_code() -> None:
    """An empty list is no error."""
    ids, starts = read_codes(sheet()[0], np.empty((0, 4, 2)))
    assert ids.shape == starts.shape == (0,)


def test_a_one_pixel_outline_is_no_error() -> None:
    """A degenerate shape has no inside."""
    assert list(read_codes(sheet()[0], np.full((1, 4, 2), 7.0))[0]) == [-1]


@pytest.mark.parametrize("metres", [1.0, 1.6, 2.2])
@pytest.mark.parametrize("blur_px", [0.8, 1.6])
def test_whatever_marker_opencvs_detector_reads_is_read(metres: float, blur_px: float) -> None:
    """Of the card's own ids, with the same thresholds, and at the same place."""
    card = place(8, distance_mm=metres * 1000, tilt_deg=30, turn_deg=10, spin_deg=8)
    finish = Finish(blur_px=blur_px, noise_dn=5)
    picture = photograph(Scene((card,), Camera((1100, 900)), finish, wall=tiled_wall(), samples=4))
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = 0.01
    parameters.adaptiveThreshWinSizeMin, parameters.adaptiveThreshWinSizeMax = 7, 23
    parameters.adaptiveThreshWinSizeStep = 16
    marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_1000)
    corners, ids, _ = cv2.aruco.ArucoDetector(marks, parameters).detectMarkers(picture)
    read = {marker.marker_id: marker.corners for marker in detect_markers(picture, 1)}
    own = [i for i, marker_id in enumerate(ids.ravel()) if 7 * 17 <= marker_id < 8 * 17]
    assert own
    for i in own:
        assert np.abs(read[int(ids.ravel()[i])] - corners[i].reshape(4, 2)).max() < 3
