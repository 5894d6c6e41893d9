"""The card's geometry against OpenCV's own ChArUco board."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
import pytest

from tests.support.board_render import opencv_board
from vision.card.artwork import card_rectangles
from vision.card.design import MARKERS_PER_CARD, SERIALS, card_design, serial_of_marker

SERIALS_TRIED: Final = (1, 2, 29, SERIALS)


def to_page(board_mm: np.ndarray) -> np.ndarray:
    """OpenCV's board frame (origin top left, y down) to the page's."""
    return np.column_stack([15.0 + board_mm[:, 0], 14.0 + 252.0 - board_mm[:, 1]])


@pytest.mark.parametrize("serial", SERIALS_TRIED)
def test_corners_have_opencvs_places_and_order(serial: int) -> None:
    """Corner i is OpenCV's ChArUco corner i."""
    expected = to_page(np.asarray(opencv_board(serial).getChessboardCorners()))
    assert card_design(serial).corners_mm == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("serial", SERIALS_TRIED)
def test_markers_have_opencvs_ids_places_and_corner_order(serial: int) -> None:
    """Marker by marker, clockwise from the top left as the sheet hangs."""
    board, design = opencv_board(serial), card_design(serial)
    assert tuple(np.ravel(board.getIds())[:MARKERS_PER_CARD]) == design.marker_ids
    for ours, theirs in zip(design.marker_corners_mm, board.getObjPoints(), strict=True):
        assert ours == pytest.approx(to_page(np.asarray(theirs)), abs=1e-4)


@pytest.mark.parametrize("serial", SERIALS_TRIED)
def test_ink_is_the_pattern_that_opencv_draws(serial: int) -> None:
    """Painting the rectangles gives the generator's picture, cell for cell."""
    ink = card_rectangles(card_design(serial))
    picture = np.full((700, 500), 255, dtype=np.uint8)
    for rectangles, value in ((ink.black_mm, 0), (ink.white_mm, 255)):
        for x, y, width, height in (rectangles - [15.0, 14.0, 0, 0]) / 0.36:
            rows = slice(round(700 - y - height), round(700 - y))
            picture[rows, round(x) : round(x + width)] = value
    expected = opencv_board(serial).generateImage((500, 700), None, 0, 1)
    assert np.array_equal(picture, expected)


def test_old_and_new_opencv_layouts_agree() -> None:
    """With an odd number of rows OpenCV's two historical layouts are one."""
    board = opencv_board(5)
    new = board.generateImage((500, 700), None, 0, 1)
    board.setLegacyPattern(True)
    assert np.array_equal(board.generateImage((500, 700), None, 0, 1), new)


def test_no_marker_belongs_to_two_serials() -> None:
    """Every id of every card leads back to that card and to no other."""
    ids = [(i, serial) for serial in range(1, SERIALS + 1) for i in card_design(serial).marker_ids]
    assert len({i for i, _ in ids}) == SERIALS * MARKERS_PER_CARD
    assert all(serial_of_marker(i) == serial for i, serial in ids)


@pytest.mark.parametrize("marker_id", [-1, SERIALS * MARKERS_PER_CARD, 999])
def test_left_over_ids_belong_to_no_card(marker_id: int) -> None:
    """The dictionary has more ids than the cards use."""
    assert serial_of_marker(marker_id) == 0


@pytest.mark.parametrize("dictionary_name", ["DICT_4X4_1000"])
def test_every_marker_of_the_dictionary_is_used_as_it_stands(dictionary_name: str) -> None:
    """The design names the dictionary whose codes are printed."""
    marks = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, dictionary_name))
    assert len(marks.bytesList) == 1000
    assert SERIALS == 58


@pytest.mark.parametrize(("serial", "paper"), [(0, "letter"), (SERIALS + 1, "a4"), (1, "legal")])
def test_what_is_not_printed_is_refused(serial: int, paper: str) -> None:
    """An unknown serial or paper is an error that says what exists."""
    with pytest.raises(ValueError, match=r"from 1 to 58|letter, a4"):
        card_design(serial, paper)
