"""Corners lie where they are, and their covariance says how well."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
import pytest

from tests.support.board_render import (
    Camera,
    Finish,
    Scene,
    opencv_board,
    photograph,
    place,
    true_corners,
)
from vision.card.saddle import FLOOR_PX
from vision.card.search import find_cards

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vision.card.found import FoundCard

CAMERA: Final = Camera((1100, 900))
VIEWS: Final = {
    "square-on": place(5, distance_mm=1500),
    "oblique": place(5, distance_mm=1500, tilt_deg=25, turn_deg=15, spin_deg=7),
    "far": place(5, distance_mm=3000, tilt_deg=20, spin_deg=12),
    "steep": place(5, distance_mm=1500, turn_deg=60, spin_deg=20),
}


@cache
def shot(view: str, finish: Finish) -> tuple[NDArray[np.uint8], FoundCard, NDArray[np.float64]]:
    """Picture, the card found in it, and the true pixels of its corners."""
    card = VIEWS[view]
    picture = photograph(Scene((card,), CAMERA, finish))
    (found,) = find_cards(picture).cards
    return picture, found, true_corners(card, CAMERA)[found.corner_ids]


def rms(errors: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(errors**2)))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("blur_px", [0.8, 1.3])
def test_corners_are_true_to_three_hundredths_of_a_pixel(view: str, blur_px: float) -> None:
    """At moderate blur, 3 grey levels of noise, tone curve and JPEG; and truth is not copied:
    noise leaves some error."""
    _, found, truth = shot(view, Finish(blur_px=blur_px))
    assert len(found.corner_ids) == 24
    assert 0.003 < rms(found.pixels - truth) < 0.03


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(
    "finish", [Finish(), Finish(blur_px=1.5), Finish(noise_dn=8), Finish(blur_px=1.8, jpeg=75)]
)
def test_corners_are_never_worse_than_opencvs_refinement(view: str, finish: Finish) -> None:
    """Against cornerSubPix from the true places, at the best of four windows."""
    picture, found, truth = shot(view, finish)
    criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 50, 1e-3)
    best = np.inf
    for half in (3, 4, 5, 7):
        start = truth.astype(np.float32).reshape(-1, 1, 2)
        refined = cv2.cornerSubPix(picture, start, (half, half), (-1, -1), criteria)
        best = min(best, rms(np.reshape(refined, (-1, 2)) - truth))
    assert rms(found.pixels - truth) <= best


def test_corners_have_no_common_shift() -> None:
    """Pixel centres are integers: over many corners the mean error is next to nothing."""
    errors = np.concatenate(
        [shot(view, Finish())[1].pixels - shot(view, Finish())[2] for view in VIEWS]
    )
    assert np.abs(errors.mean(axis=0)).max() < 0.008


def test_the_tone_curve_does_not_move_corners() -> None:
    """Linear or gamma 2.2: the edges move, the saddles stay."""
    linear, toned = (shot("oblique", Finish(gamma=gamma, noise_dn=1.0)) for gamma in (1.0, 2.2))
    assert rms(linear[1].pixels - toned[1].pixels) < 0.02


def stack_of_photos(finish: Finish, count: int) -> list[FoundCard]:
    """The same view again and again with fresh noise."""
    cards = []
    for seed in range(count):
        settings = {**finish.__dict__, "seed": seed + 100}
        picture = photograph(Scene((VIEWS["oblique"],), CAMERA, Finish(**settings), samples=4))
        cards += [c for c in find_cards(picture).cards if len(c.corner_ids) == 24]
    return cards


@pytest.mark.statistical
@pytest.mark.parametrize(
    "finish",
    [
        Finish(noise_dn=10, jpeg=None),
        Finish(noise_dn=10, jpeg=92),
        Finish(exposure=0.05, noise_dn=4),
    ],
    ids=["raw", "jpeg", "dim"],
)
def test_the_noise_part_of_the_covariance_is_what_repeated_photos_scatter(finish: Finish) -> None:
    """Stated variance less its floor is 1.5 to 3.5 times the scatter of eight photos: noise sigma
    is counted 1.5-fold for what compression hides of it, and uneven light is added."""
    cards = stack_of_photos(finish, 8)
    assert len(cards) == 8
    pixels = np.array([card.pixels for card in cards])
    scatter = float(np.mean(np.var(pixels, axis=0, ddof=1)))
    stated = np.mean([card.covariance_px2 for card in cards], axis=(0, 1))
    floor = FLOOR_PX**2 * max(1.0, float(np.mean([card.blur_px for card in cards])))
    assert 1.5 < (float(np.trace(stated)) / 2 - floor) / scatter < 3.5


def test_no_corner_claims_to_be_better_than_the_floor() -> None:
    """Simulated noise is not all there is in a real photo."""
    for view in VIEWS:
        covariance = shot(view, Finish())[1].covariance_px2
        assert np.linalg.eigvalsh(covariance).min() >= FLOOR_PX**2 - 1e-12


def test_a_clean_photo_is_hardly_worse_than_the_floor() -> None:
    """The covariance is no blanket."""
    sigma = np.sqrt(shot("oblique", Finish())[1].covariance_px2[:, [0, 1], [0, 1]])
    assert np.median(sigma) < 1.3 * FLOOR_PX


def test_dim_and_noisy_corners_claim_less() -> None:
    """Noise, lack of light and blur each widen the covariance."""
    usual = np.trace(shot("oblique", Finish())[1].covariance_px2.mean(axis=0))
    for finish in (Finish(noise_dn=12), Finish(exposure=0.03), Finish(blur_px=2.5)):
        worse = np.trace(shot("oblique", finish)[1].covariance_px2.mean(axis=0))
        assert worse > 1.15 * usual


@pytest.mark.parametrize("blur_px", [0.6, 1.2, 2.0])
def test_blur_is_read_off_the_cards_edges(blur_px: float) -> None:
    """The edge spread is the optics' blur and the pixel's own width (variance 1/12)."""
    found = shot("oblique", Finish(blur_px=blur_px))[1]
    assert found.blur_px == pytest.approx(np.hypot(blur_px, np.sqrt(1 / 12)), rel=0.15)


def test_motion_along_one_direction_counts_as_blur() -> None:
    """Edges along the motion stay sharp; the worse family counts. A 9 px smear has a standard
    deviation of 9 / sqrt(12) = 2.6 px."""
    found = shot("square-on", Finish(motion_px=9.0))[1]
    assert found.blur_px == pytest.approx(np.hypot(9 / np.sqrt(12), 0.85), rel=0.25)


@pytest.mark.parametrize(
    ("view", "tilt_deg", "cell_px"),
    [("square-on", 0.0, 7.27), ("steep", 60.0, 3.63), ("far", 20.0, 3.41)],
)
def test_size_and_tilt_are_those_of_the_pose(view: str, tilt_deg: float, cell_px: float) -> None:
    """f / distance x 3.6 mm x cos(tilt) pixels a cell; 3028 px and 1.5 or 3 m."""
    found = shot(view, Finish())[1]
    assert found.tilt_deg == pytest.approx(tilt_deg, abs=2.0)
    assert found.pixels_per_cell == pytest.approx(cell_px, rel=0.03)


def test_saturation_is_the_share_of_clipped_pixels() -> None:
    """A good exposure clips nothing; too much light clips the white part of the board."""
    white = np.asarray(opencv_board(5).generateImage((50, 70), None, 0, 1)) > 127
    assert shot("oblique", Finish())[1].saturated < 0.01
    clipped = shot("oblique", Finish(exposure=2.0))[1].saturated
    assert clipped == pytest.approx(float(white.mean()), abs=0.03)
