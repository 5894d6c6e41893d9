"""Four taps rescue a card that the search does not see."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
import pytest

from tests.support.board_render import (
    Camera,
    Finish,
    Placed,
    Scene,
    photograph,
    place,
    project,
    tiled_wall,
    true_corners,
)
from vision.card.search import find_cards
from vision.card.seeded import refine_from_seed
from vision.errors import Refusal

if TYPE_CHECKING:
    from numpy.typing import NDArray

CAMERA: Final = Camera((1400, 1100))
CARD: Final = place(6, tilt_deg=20, spin_deg=5)
OUTER_MM: Final = np.array([[15, 266, 0], [195, 266, 0], [195, 14, 0], [15, 14, 0]], dtype=float)


def taps(card: Placed = CARD, off_px: float = 8.0) -> NDArray[np.float64]:
    """A finger is off by some pixels."""
    finger = np.random.default_rng(4).uniform(-off_px, off_px, (4, 2))
    return project(OUTER_MM, card, CAMERA) + finger


def largest_miss(picture: NDArray[np.uint8], card: Placed, at: NDArray[np.float64]) -> float:
    found = refine_from_seed(picture, card.serial, at)
    assert len(found.corner_ids) == 24
    return float(np.abs(found.pixels - true_corners(card, CAMERA)).max())


@pytest.mark.parametrize(
    ("card", "finish"),
    [
        (CARD, Finish(blur_px=5.0)),
        (CARD, Finish(motion_px=19.0)),
        (place(6, turn_deg=81, spin_deg=4), Finish()),
    ],
    ids=["blurred", "shaken", "steep"],
)
def test_taps_find_what_the_search_cannot(card: Placed, finish: Finish) -> None:
    """Markers die first; the square corners are still true to a fifth of a pixel."""
    picture = photograph(Scene((card,), CAMERA, finish))
    assert find_cards(picture).cards == ()
    assert largest_miss(picture, card, taps(card, 3.0)) < 0.2


@pytest.mark.parametrize("first", [0, 1, 2, 3])
@pytest.mark.parametrize("backwards", [False, True])
def test_the_markers_put_the_order_of_taps_right(first: int, backwards: bool) -> None:
    """Whichever corner is tapped first, and whichever way round."""
    picture = photograph(Scene((CARD,), CAMERA, samples=4))
    at = np.roll(taps(), -first, axis=0)
    assert largest_miss(picture, CARD, at[::-1] if backwards else at) < 0.2


def test_taps_give_what_the_search_gives() -> None:
    """On a good photo both ways lead to the same corners."""
    picture = photograph(Scene((CARD,), CAMERA, samples=4))
    (searched,) = find_cards(picture).cards
    seeded = refine_from_seed(picture, CARD.serial, taps())
    assert np.abs(seeded.pixels - searched.pixels).max() < 0.01


def test_the_wrong_serial_is_refused_by_name() -> None:
    """The markers say which card it is."""
    picture = photograph(Scene((CARD,), CAMERA, samples=4))
    with pytest.raises(Refusal, match="card 6, not of card 9") as caught:
        refine_from_seed(picture, 9, taps())
    assert caught.value.code == "other-serial"


def test_taps_on_bare_tiles_are_refused() -> None:
    """No card is made of a wall."""
    picture = photograph(Scene((), CAMERA, wall=tiled_wall()))
    with pytest.raises(Refusal) as caught:
        refine_from_seed(picture, 6, taps())
    assert caught.value.code == "corners-not-seen"


@pytest.mark.parametrize(
    "at",
    [
        [[0, 0], [10, 10], [10, 0], [0, 10]],
        [[5, 5], [5, 5], [5, 5], [5, 5]],
        [[0, 0], [10, 0], [10, 10]],
        [[0, 0], [10, 0], [np.nan, 10], [0, 10]],
    ],
    ids=["crossed", "one place", "three", "not a number"],
)
def test_taps_that_make_no_shape_are_refused(at: list[list[float]]) -> None:
    """The refusal says how to tap."""
    with pytest.raises(Refusal) as caught:
        refine_from_seed(np.full((50, 50), 90, dtype=np.uint8), 6, np.array(at, dtype=float))
    assert caught.value.code == "bad-taps"
