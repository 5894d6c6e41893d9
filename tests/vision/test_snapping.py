"""Snapping against pictures whose truth is known by construction, and the example's pencil marks.

Truth comes from shapes integrated over each pixel (`tests/support/snap_scenes.py`) and from the
fixture's own exact pixels; the package's camera code takes no part in it.
"""

from __future__ import annotations

import json
from typing import Any

import cv2
import numpy as np
import pytest

from tests.fixtures.example_files import EXAMPLE
from tests.support.snap_scenes import (
    Shape,
    bands,
    disc,
    lit_joints,
    picture,
    plain,
    quadrant,
)
from vision.plane.snap import SnapOffer, find_plates, offer_snaps
from vision.plane.snap.rectified import mapped
from vision.units import FloatArray, GreyImage

TAP_SD = 1.0
RNG_SEED = 20240611


def offers(shape_of: Any, kind: str, count: int = 16) -> tuple[FloatArray, FloatArray, list[str]]:
    """Errors of accepted snaps, their squared standardised length, and what was said at first."""
    rng = np.random.default_rng(RNG_SEED)
    errors, fits, said = [], [], []
    for seed in range(count):
        at = 60.0 + rng.uniform(-0.5, 0.5, 2)
        grey = picture(shape_of(at, rng.uniform(0, 180)), 121, seed=seed)
        offer = offer_snaps(grey, at + rng.normal(0, TAP_SD, 2), TAP_SD)
        said.append(offer.best.kind if offer.best else str(offer.doubt and offer.doubt.code))
        if offer.best is not None and offer.best.kind == kind:
            error = offer.best.pixel - at
            errors.append(error)
            fits.append(error @ np.linalg.solve(offer.best.covariance_px2, error))
    return np.array(errors), np.array(fits), said


@pytest.mark.parametrize(
    ("kind", "shape_of"),
    [
        ("crossing", lambda at, turn: bands(at, (turn, turn + 90.0), 2.0)),
        ("crossing", lambda at, turn: bands(at, (turn, turn + 60.0), 3.4)),
        ("crossing", lambda at, turn: lit_joints(at, turn, 3.0, 1.8)),
        ("corner", lambda at, turn: quadrant(at, 2 * turn, 90.0)),
        ("corner", lambda at, turn: quadrant(at, 2 * turn, 250.0)),
    ],
    ids=["pencil cross", "joint cross", "joint lit from one side", "right corner", "inner corner"],
)
def test_points_are_found_to_less_than_half_of_what_a_tap_misses(kind: str, shape_of: Any) -> None:
    """Most taps are offered the true point; rms per axis at most half of the tap's 1 px."""
    errors, fits, said = offers(shape_of, kind)
    assert len(errors) >= 13, said
    assert np.sqrt(np.mean(errors**2)) <= 0.5 * TAP_SD
    assert np.hypot(*errors.T).max() < 3.0
    assert np.mean(fits) / 2 < 2.0


def test_an_edge_is_held_across_and_left_free_along() -> None:
    """The covariance is the tap's along the edge, small across it."""
    grey = picture(quadrant(np.array([80.3, -2000.0]), 0.0, 90.0))
    best = offer_snaps(grey, np.array([81.0, 75.0]), 2.0).best
    assert best is not None
    assert best.kind == "edge"
    assert best.pixel[0] == pytest.approx(80.3, abs=0.35)
    assert best.covariance_px2[1, 1] == pytest.approx(4.0, rel=0.05)
    assert best.covariance_px2[0, 0] < 0.3**2 + 0.05


def test_a_plain_wall_offers_nothing() -> None:
    """Noise and mottling are not taken for edges: eight walls, no candidate, and it says why."""
    for seed in range(8):
        offer = offer_snaps(picture(plain(), noise_dn=3.0, seed=seed), np.array([80.0, 80.0]), 3.0)
        assert offer.snaps == ()
        assert offer.best is None
        assert offer.doubt is not None
        assert offer.doubt.code == "nothing-near"


def both(first: Shape, second: Shape) -> Shape:
    """The darker of two shapes."""
    return lambda x, y: np.minimum(first(x, y), second(x, y))


def test_two_things_near_one_tap_are_left_to_the_person() -> None:
    """Between two crossings 5 px apart the raw tap stands, and both are offered."""
    at, aside = np.array([80.0, 80.0]), np.array([2.5, 0.0])
    shape = both(bands(at - aside, (0.0, 90.0), 1.8), bands(at + aside, (90.0,), 1.8))
    offer = offer_snaps(picture(shape), at, TAP_SD)
    assert offer.best is None
    assert offer.doubt is not None
    assert offer.doubt.code == "several-near"
    assert sum(snap.kind == "crossing" for snap in offer.snaps) == 2


def test_the_photo_rim_is_named() -> None:
    """A tap where the photo ends is left alone."""
    offer = offer_snaps(picture(plain()), np.array([2.0, 80.0]))
    assert offer.doubt is not None
    assert offer.doubt.code == "at-the-rim"


@pytest.mark.parametrize(
    ("tap", "sd"), [((200.0, 5.0), 1.0), ((5.0, np.nan), 1.0), ((80.0, 80.0), 0.0)]
)
def test_misuse_is_told(tap: tuple[float, float], sd: float) -> None:
    """A tap outside the photo or without spread is the caller's mistake."""
    with pytest.raises(ValueError, match="tap"):
        offer_snaps(picture(plain()), np.array(tap), sd)


def steep_plane() -> FloatArray:
    """(3, 3) plane mm to pixels, 50 degrees off square, 1.2 m away."""
    turn, _ = cv2.Rodrigues(np.array([0.0, np.deg2rad(50.0), 0.0]))
    camera = np.array([[900.0, 0, 250.0], [0, 900.0, 250.0], [0, 0, 1]])
    flip = np.diag([1.0, -1.0, -1.0])
    pose = np.column_stack([(turn @ flip)[:, :2], [0.0, 0.0, 600.0]])
    return np.asarray(camera @ pose)


def test_the_middle_of_a_plate_is_not_that_of_its_ellipse() -> None:
    """The circle's true middle to 0.4 px where the ellipse's lies over 1.5 px beside it."""
    homography = steep_plane()
    centre = np.array([6.0, -4.0])
    truth = mapped(homography, centre[None])[0]
    to_plane = np.asarray(np.linalg.inv(homography), dtype=np.float64)
    angle = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    rim = centre + 75.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    ellipse = np.array(cv2.fitEllipse(mapped(homography, rim).astype(np.float32))[0])
    grey = picture(disc(to_plane, centre, 75.0), 501)
    (plate, *others) = find_plates(grey, homography, truth + np.array([2.0, -1.5]), 4.0)
    assert np.hypot(*(ellipse - truth)) > 1.5
    assert np.hypot(*(plate.pixel - truth)) < 0.4
    assert plate.radius_mm == pytest.approx(75.0, abs=0.4)
    assert others == []


def test_a_wall_without_a_plate_has_none() -> None:
    """Two crossing joints are no circle."""
    grey = picture(bands(np.array([250.0, 250.0]), (10.0, 95.0), 4.0), 501)
    assert find_plates(grey, steep_plane(), np.array([250.0, 250.0]), 4.0) == []


@pytest.fixture(scope="module")
def back_photo() -> tuple[GreyImage, dict[str, list[float]]]:
    """A rendered photo and the exact pixels of the pencil marks in it."""
    truth = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
    photo = next(p for p in truth["photos"] if p["file"] == "photos/back-1.jpg")
    grey = cv2.imread(str(EXAMPLE / photo["file"]), cv2.IMREAD_GRAYSCALE)
    return np.asarray(grey, dtype=np.uint8), photo["marks_px"]


def test_pencil_marks_of_a_rendered_photo_are_met(
    back_photo: tuple[GreyImage, dict[str, list[float]]],
) -> None:
    """Marks of the example: rms at most half a 1 px tap's, none wrong, and spread as stated."""
    grey, marks = back_photo
    rng = np.random.default_rng(RNG_SEED)
    errors, fits = [], []
    for at in marks.values():
        offer: SnapOffer = offer_snaps(grey, np.array(at) + rng.normal(0, TAP_SD, 2), TAP_SD)
        if offer.best is not None and offer.best.kind in ("crossing", "corner", "line end"):
            error = offer.best.pixel - at
            errors.append(error)
            fits.append(error @ np.linalg.solve(offer.best.covariance_px2, error))
    assert len(errors) >= 0.7 * len(marks)
    assert np.sqrt(np.mean(np.square(errors))) <= 0.5 * TAP_SD
    assert np.hypot(*np.transpose(errors)).max() < 3.0
    assert 0.1 < np.mean(fits) / 2 < 2.0
