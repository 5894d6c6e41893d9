"""Every typed refusal has a code that is documented, tested, and reached by what it is about."""

from __future__ import annotations

import ast
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from tests.support.board_render import Camera, Scene, opencv_board, photograph, place, true_corners
from tests.support.simulated_wall import simulate
from vision.card.search import CardSearch, find_cards
from vision.errors import Refusal
from vision.measure_wall import RectangleRequest, look, measure_wall
from vision.photo.decode import decode_photo
from vision.units import GreyImage

ROOT = Path(__file__).parents[2]
CAMERA = Camera((1100, 900))


def refusal_codes() -> set[str]:
    """First arguments of every ``Refusal(...)`` in the package."""
    calls = [
        node
        for path in (ROOT / "vision").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refusal"
    ]
    return {
        first.value
        for call in calls
        for first in call.args[:1]
        if isinstance(first, ast.Constant) and isinstance(first.value, str)
    }


def constants_of(folder: Path) -> set[str]:
    """Every string constant in the tests of a folder, docstrings among them."""
    return {
        node.value
        for path in folder.glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_every_refusal_is_asked_for_by_a_test() -> None:
    """A code that no test names may never be reached."""
    codes = refusal_codes()
    assert len(codes) > 15
    assert codes - constants_of(Path(__file__).parent) == set()


def jpeg() -> bytes:
    stream = BytesIO()
    picture = np.random.default_rng(4).integers(0, 255, (64, 96), dtype=np.uint8)
    Image.fromarray(picture).save(stream, "JPEG", quality=80)
    return stream.getvalue()


def refused(data: bytes) -> str:
    with pytest.raises(Refusal) as caught:
        decode_photo(data)
    return caught.value.code


def test_a_photo_whose_tables_are_gone_is_damaged() -> None:
    """The quantisation table (ITU-T T.81, B.2.4.1) says it is longer than it is."""
    data = bytearray(jpeg())
    at = data.index(b"\xff\xdb")
    data[at + 2 : at + 4] = (3).to_bytes(2)
    assert refused(bytes(data)) == "damaged"


def test_a_rectangle_tapped_on_two_things_determines_no_wall() -> None:
    """In one photo on the lower card, in the other on the upper: they cannot both be right."""
    wall = simulate(np.random.default_rng(21))
    corners = {
        photo.name: tuple(tuple(sight.cards[which].pixels[i]) for i in (20, 23, 3, 0))
        for which, (photo, sight) in enumerate(
            zip(wall.request.photos[:2], wall.sights[:2], strict=True)
        )
    }
    twice = RectangleRequest("sheet", (108.0, 180.0), (0.1, 0.1), 0.5, 0.1, corners)
    with pytest.raises(Refusal) as caught:
        measure_wall(replace(wall.request, rectangles=(twice,)), wall.sights)
    assert caught.value.code == "not-observable"


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
