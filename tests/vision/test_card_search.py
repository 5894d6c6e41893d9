"""Cards are found where a person would see them, and nowhere else."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
import pytest

from tests.support.board_render import (
    Camera,
    Finish,
    Placed,
    Scene,
    checkered_wall,
    opencv_board,
    photograph,
    place,
    tiled_wall,
    true_corners,
)
from vision.card.search import CardSearch, find_cards

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vision.card.found import FoundCard

WIDE: Final = Camera()
"""12 megapixels, 26 mm equivalent by the diagonal rule: f = 3028 px."""
MIDDLE: Final = Camera((1400, 1100))
"""The middle of the same camera's picture: the same geometry, sooner rendered."""


def look(scene: Scene, expected: int = 1) -> CardSearch:
    return find_cards(photograph(scene), expected)


def only_card(scene: Scene) -> FoundCard:
    found = look(scene).cards
    assert [card.serial for card in found] == [scene.cards[0].serial]
    return found[0]


def misses(found: FoundCard, card: Placed, camera: Camera) -> NDArray[np.float64]:
    """(n, 2) found minus true pixels."""
    return np.asarray(found.pixels - true_corners(card, camera)[found.corner_ids])


@pytest.mark.parametrize("tilt_deg", [0.0, 30.0])
def test_a_card_three_metres_away_is_found_whole(tilt_deg: float) -> None:
    """At 12 MP, square-on and 30 degrees oblique."""
    card = place(7, distance_mm=3000, turn_deg=tilt_deg, spin_deg=3, aside_mm=(400, -300))
    found = only_card(Scene((card,), WIDE))
    assert len(found.corner_ids) == 24
    assert np.abs(misses(found, card, WIDE)).max() < 0.15


def test_a_card_seen_at_sixty_degrees_is_found_whole() -> None:
    """At 1.5 m."""
    card = place(7, turn_deg=60, spin_deg=8)
    found = only_card(Scene((card,), MIDDLE))
    assert len(found.corner_ids) == 24
    assert found.tilt_deg == pytest.approx(60, abs=1.5)


@pytest.mark.parametrize("spin_deg", [0.0, 90.0, 180.0, 270.0, 45.0])
def test_a_turned_card_keeps_its_corner_numbers(spin_deg: float) -> None:
    """Portrait, landscape, upside down or askew, corner i stays corner i."""
    card = place(9, tilt_deg=15, spin_deg=spin_deg)
    found = only_card(Scene((card,), MIDDLE))
    assert len(found.corner_ids) == 24
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2


def test_a_half_hidden_card_gives_the_corners_that_show() -> None:
    """The upper half is behind something; no hidden corner is invented."""
    card = place(3, tilt_deg=20)
    found = only_card(Scene((card,), MIDDLE, cover=(-50, 140, 300, 400)))
    assert 11 <= len(found.corner_ids) <= 12
    assert found.corner_ids.min() >= 12
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2


def test_a_card_that_runs_out_of_the_frame_gives_the_corners_in_it() -> None:
    """Cut by the picture's edge."""
    card = place(3, aside_mm=(330, 0), spin_deg=4)
    found = only_card(Scene((card,), MIDDLE))
    assert 8 <= len(found.corner_ids) < 24
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2


def test_a_card_with_one_column_of_corners_in_the_frame_is_named_as_cut_off() -> None:
    """Six corners on a line fix no plane; the note says which card and what to do."""
    search = look(Scene((place(3, aside_mm=(385, 0)),), MIDDLE))
    assert search.cards == ()
    assert [(note.code, note.serial) for note in search.notes] == [("cut-off", 3)]


def test_glare_over_a_fifth_of_the_card_costs_only_the_corners_in_it() -> None:
    """A lamp's image washes out a patch of 20 % with a soft rim."""
    card = place(3, tilt_deg=20, spin_deg=5)
    found = only_card(Scene((card,), MIDDLE, glare=(80, 110, 36)))
    assert 12 <= len(found.corner_ids) < 24
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2
    assert found.saturated > 0.05


def test_two_cards_in_one_photo_are_told_apart() -> None:
    """Each with its own serial and its own corners."""
    cards = (place(3, aside_mm=(-250, 0), tilt_deg=20), place(4, aside_mm=(250, 40), tilt_deg=20))
    camera = Camera((2200, 1300))
    search = look(Scene(cards, camera, wall=tiled_wall()), 2)
    assert [found.serial for found in search.cards] == [3, 4]
    for found, card in zip(search.cards, cards, strict=True):
        assert np.abs(misses(found, card, camera)).max() < 0.2
    assert search.notes == ()


def test_the_same_serial_hung_twice_is_reported_as_two_cards() -> None:
    """The caller can refuse by name because both are there, unmixed."""
    cards = (place(3, aside_mm=(-250, 0), tilt_deg=20), place(3, aside_mm=(250, 40), tilt_deg=20))
    camera = Camera((2200, 1300))
    search = look(Scene(cards, camera), 2)
    assert [found.serial for found in search.cards] == [3, 3]
    left, right = sorted(search.cards, key=lambda found: found.pixels[0, 0])
    assert np.abs(misses(left, cards[0], camera)).max() < 0.2
    assert np.abs(misses(right, cards[1], camera)).max() < 0.2
    assert [note.code for note in search.notes] == ["same-serial-twice"]


def test_two_sheets_of_one_serial_touching_are_not_taken_for_one() -> None:
    """Side by side, page to page."""
    cards = (place(3, aside_mm=(-109, 0)), place(3, aside_mm=(109, 0)))
    search = look(Scene(cards, MIDDLE), 2)
    assert [len(found.corner_ids) for found in search.cards] == [24, 24]


@pytest.mark.parametrize("wall", [tiled_wall(), tiled_wall(6.0, 60.0), checkered_wall(100.0)])
def test_tiles_are_not_taken_for_cards(wall: object) -> None:
    """Joints, glaze and black and white tiles carry no card."""
    assert look(Scene((), MIDDLE, wall=wall)).cards == ()  # type: ignore[arg-type]


def test_a_card_on_black_and_white_tiles_is_found() -> None:
    """The tiles' own X-corners do not pull the card's."""
    card = place(3, tilt_deg=20, spin_deg=6)
    found = only_card(Scene((card,), MIDDLE, wall=checkered_wall(60.0)))
    assert len(found.corner_ids) == 24
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2


def test_another_card_system_is_not_taken_for_a_card() -> None:
    """A board of the same squares with other markers has no serial here."""
    other = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_100)
    board = cv2.aruco.CharucoBoard((5, 7), 36.0, 21.6, other)
    picture = np.asarray(board.generateImage((700, 900), None, 80, 1), dtype=np.uint8)
    assert find_cards(picture).cards == ()


def test_a_board_with_its_markers_shuffled_is_not_confirmed() -> None:
    """Markers of one serial in wrong places do not make its card."""
    ids = np.random.default_rng(2).permutation(np.arange(34, 51))
    marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_1000)
    board = cv2.aruco.CharucoBoard((5, 7), 36.0, 21.6, marks, ids)
    picture = np.asarray(board.generateImage((700, 900), None, 80, 1), dtype=np.uint8)
    assert find_cards(picture).cards == ()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_noise_holds_no_card(seed: int) -> None:
    """White noise, raw and smoothed."""
    noise = np.random.default_rng(seed).integers(0, 256, (700, 900), dtype=np.uint8)
    assert find_cards(noise).cards == ()
    assert find_cards(np.asarray(cv2.GaussianBlur(noise, (0, 0), 3), dtype=np.uint8)).cards == ()


@pytest.mark.parametrize("shape", [(1, 1), (1, 500), (15, 15), (16, 16), (40, 30), (200, 17)])
def test_a_tiny_picture_holds_no_card(shape: tuple[int, int]) -> None:
    """And is no error."""
    picture = np.random.default_rng(1).integers(0, 256, shape, dtype=np.uint8)
    assert find_cards(picture) == CardSearch((), ())


@pytest.mark.parametrize("value", [0, 128, 255])
def test_an_even_picture_holds_no_card(value: int) -> None:
    """Lens cap, fog, over-exposure."""
    assert find_cards(np.full((600, 800), value, dtype=np.uint8)).cards == ()


def test_a_colour_picture_is_a_programming_error() -> None:
    """The search wants the grey picture of a photograph."""
    with pytest.raises(ValueError, match="uint8 picture"):
        find_cards(np.zeros((10, 10, 3), dtype=np.uint8))


def test_a_dim_photo_still_gives_its_card() -> None:
    """A fiftieth of a good exposure leaves some thirty grey levels."""
    card = place(3, tilt_deg=20, spin_deg=5)
    found = only_card(Scene((card,), MIDDLE, Finish(exposure=0.02, noise_dn=2)))
    assert found.contrast < 40
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.5


@pytest.mark.parametrize("finish", [Finish(blur_px=3.0), Finish(motion_px=9.0)])
def test_a_blurred_card_is_found_from_what_markers_remain(finish: Finish) -> None:
    """Where most markers are lost, the square corners still hold."""
    card = place(3, tilt_deg=20, spin_deg=5)
    found = only_card(Scene((card,), MIDDLE, finish))
    assert len(found.corner_ids) == 24
    assert np.abs(misses(found, card, MIDDLE)).max() < 0.2


@pytest.mark.parametrize("k1", [-0.25, 0.1])
def test_a_bent_lens_costs_no_corner(k1: float) -> None:
    """A near card in the frame's corner, through an uncorrected wide lens."""
    camera = Camera((2016, 1512), 1514.0, k1=k1)
    card = place(3, distance_mm=700, aside_mm=(230, 130), tilt_deg=15, spin_deg=3)
    truth = true_corners(card, camera)
    inside = np.all((truth > 5) & (truth < np.array(camera.size) - 6), axis=1)
    found = only_card(Scene((card,), camera))
    assert set(np.flatnonzero(inside)) <= set(found.corner_ids)
    assert np.abs(misses(found, card, camera)).max() < 0.2


def random_scene(seed: int) -> Scene:
    """A hand-held photo of a card, from easy to hopeless."""
    random = np.random.default_rng(seed)
    distance = random.uniform(500, 2200)
    card = place(
        int(random.integers(1, 59)),
        distance_mm=distance,
        tilt_deg=random.uniform(-60, 60),
        turn_deg=random.uniform(-40, 40),
        spin_deg=random.uniform(-180, 180),
        aside_mm=(random.uniform(-0.2, 0.2) * distance, random.uniform(-0.15, 0.15) * distance),
    )
    finish = Finish(
        blur_px=random.uniform(0.6, 2.2),
        noise_dn=random.uniform(1, 8),
        exposure=float(np.exp(random.uniform(-3, 0.2))),
        jpeg=int(random.integers(70, 96)),
        sharpen=random.uniform(0, 0.5),
        seed=seed,
    )
    camera = Camera((1200, 900), 1400.0, k1=random.uniform(-0.05, 0.05))
    return Scene((card,), camera, finish, wall=tiled_wall() if seed % 2 else None, samples=4)


@pytest.mark.parametrize("seed", range(24))
def test_whatever_opencvs_detector_finds_is_found(seed: int) -> None:
    """Where the library's own board detector gives a usable board, so does the search, and its
    corners are true within four of their standard uncertainties."""
    scene = random_scene(seed)
    picture = photograph(scene)
    card = scene.cards[0]
    _, ids, _, _ = cv2.aruco.CharucoDetector(opencv_board(card.serial)).detectBoard(picture)
    found = [c for c in find_cards(picture).cards if c.serial == card.serial]
    assert len(found) == 1 or ids is None or len(ids) < 6
    for one in found:
        miss = misses(one, card, scene.camera)
        squared = [m @ np.linalg.solve(c, m) for m, c in zip(miss, one.covariance_px2, strict=True)]
        assert max(squared) < 16


def test_the_same_picture_gives_the_same_answer() -> None:
    """To the last bit, whatever the number of threads."""
    picture = photograph(random_scene(4))
    before = cv2.getNumThreads()
    try:
        cv2.setNumThreads(1)
        alone = find_cards(picture).cards
    finally:
        cv2.setNumThreads(before)
    for first, second in zip(alone, find_cards(picture).cards, strict=True):
        assert np.array_equal(first.pixels, second.pixels)
        assert np.array_equal(first.covariance_px2, second.covariance_px2)
