"""Cards in the ray-traced example photos, against the maker's own record of where they hang."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest

from tests.support.board_render import opencv_board
from vision.card.search import find_cards
from vision.photo.decode import decode_photo

EXAMPLE: Final = Path(__file__).parents[2] / "fixtures" / "example"
TRUTH: Final[dict[str, Any]] = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
PHOTOS: Final[dict[str, Any]] = {
    photo["file"]: photo for photo in TRUTH["photos"] if (EXAMPLE / photo["file"]).exists()
}


def test_the_example_has_photos() -> None:
    """Nothing is proved by no photo."""
    assert PHOTOS


def corners_in_room(wall: dict[str, Any], card: dict[str, Any]) -> np.ndarray:
    """(24, 3) X-corners in the room, from the record's statement of print scale and pose."""
    board = np.asarray(opencv_board(card["serial"]).getChessboardCorners(), dtype=np.float64)
    scale = TRUTH["print_jobs"][card["print_job"]]
    x, y = (15.0 + board[:, 0]) * scale["sx"], (266.0 - board[:, 1]) * scale["sy"]
    on_wall = card["page_origin_mm"] + np.outer(x, card["right"]) + np.outer(y, card["up"])
    frame = wall["frame_in_room"]
    return np.asarray(frame["origin_mm"] + on_wall @ np.array([frame["x"], frame["y"], frame["z"]]))


def pixels_of(photo: dict[str, Any], room: np.ndarray) -> np.ndarray:
    """(n, 2) through the record's camera."""
    seen = (room - photo["position_mm"]) @ np.array(photo["rotation"]).T
    plane = seen[:, :2] / seen[:, 2:]
    squared = np.sum(plane**2, axis=1, keepdims=True)
    bent = plane * (1 + photo["k1"] * squared + photo["k2"] * squared**2)
    return np.asarray(photo["f_px"] * bent + [photo["cx_px"], photo["cy_px"]])


@pytest.mark.example
@pytest.mark.parametrize("file", PHOTOS)
def test_every_whole_card_is_found_where_the_maker_hung_it(file: str) -> None:
    """No corner is off by more than a fifth of a pixel, nor all together by a fifteenth."""
    photo = PHOTOS[file]
    wall = TRUTH["walls"][photo["wall"]]
    found = {
        card.serial: card
        for card in find_cards(decode_photo((EXAMPLE / file).read_bytes()).grey, 2).cards
    }
    width, height = photo["size_px"]
    for card in wall["cards"]:
        expected = pixels_of(photo, corners_in_room(wall, card))
        if not np.all((expected > 8) & (expected < np.array([width, height]) - 9)):
            continue
        corners = found[card["serial"]]
        assert len(corners.corner_ids) == 24
        miss = corners.pixels - expected[corners.corner_ids]
        assert np.abs(miss).max() < 0.2
        assert np.abs(miss.mean(axis=0)).max() < 0.067
