"""Refusals of photos and walls, and what is noted of cards that are not used."""

from __future__ import annotations

from io import BytesIO

import cv2
import numpy as np
from PIL import Image

from tests.support.board_render import Camera, Scene, opencv_board, photograph, place, true_corners
from vision.card.search import CardSearch, find_cards
from vision.measure_wall import look
from vision.units import GreyImage

CAMERA = Camera((1100, 900))


def test_a_mirrored_photo_is_refused_as_that() -> None:
    """A front camera's: each code is mirrored, so that no card is found until it is flipped."""
    picture = photograph(Scene((place(3, tilt_deg=15),), CAMERA, samples=4))
    for photo, code in ((picture, None), (picture[:, ::-1], "mirrored")):
        stream = BytesIO()
        Image.fromarray(np.ascontiguousarray(photo)).save(stream, "PNG")
        refusal = look(stream.getvalue()).refusal
        assert (refusal and refusal.code) == code


def noted(picture: GreyImage) -> tuple[CardSearch, set[str]]:
    search = find_cards(picture)
    return search, {note.code for note in search.notes}


def test_markers_without_square_corners_are_not_confirmed() -> None:
    """Someone printed the markers alone."""
    board = np.asarray(opencv_board(3).generateImage((500, 700), None, 0, 1)).copy()
    rows, columns = np.indices(board.shape) // 100
    board[(rows + columns) % 2 == 0] = 255
    picture = cv2.copyMakeBorder(board, 60, 60, 60, 60, cv2.BORDER_CONSTANT, value=(255,))
    search, codes = noted(np.asarray(cv2.GaussianBlur(picture, (0, 0), 0.8), dtype=np.uint8))
    assert search.cards == ()
    assert codes == {"not-confirmed"}


def test_a_card_of_which_a_corner_shows_is_mostly_hidden() -> None:
    """A towel over all but the upper left: too few square corners to fix its plane."""
    card = place(3, tilt_deg=10)
    picture = photograph(Scene((card,), CAMERA, samples=4))
    x, y = true_corners(card, CAMERA)[9]
    shown = np.s_[: round(y) + 20, : round(x) + 20]
    towel = np.full_like(picture, 90)
    towel[shown] = picture[shown]
    search, codes = noted(towel)
    assert search.cards == ()
    assert codes == {"mostly-hidden"}
