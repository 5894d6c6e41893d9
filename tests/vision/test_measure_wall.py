"""Walls measured from simulated sights: exact, in any order, and as wide as what is unknown."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from tests.support.simulated_wall import (
    HEIGHT,
    WIDTH,
    Nuisances,
    SimulatedWall,
    simulate,
)
from tests.vision.measured_wall import EXACT, measured, sizes_of, u_of
from vision.card.design import card_design
from vision.card.found import FoundCard
from vision.measure_wall import (
    CardRequest,
    RectangleRequest,
    Sight,
    TapedSize,
    WallRequest,
    measure_wall,
)
from vision.photo.photograph import Header
from vision.units import FloatArray


def test_exact_pixels_give_exact_sizes() -> None:
    """Without noise and nuisances every size is right to 0.01 mm."""
    wall = simulate(np.random.default_rng(1), nuisances=EXACT)

    for name, value in sizes_of(measured(wall)).items():
        assert value == pytest.approx(wall.truth_mm[name], abs=0.01)


def test_photos_are_adjusted_before_anything_is_marked() -> None:
    """Without a mark or a size the cards alone give every photo its place."""
    wall = simulate(np.random.default_rng(2))
    photos = tuple(replace(photo, taps=()) for photo in wall.request.photos)

    found = measure_wall(replace(wall.request, photos=photos, sizes=()), wall.sights)

    assert found.estimates().names == ()
    assert found.points(found.solve()) == []
    assert all(found.photo_fit(found.solve(), i) is not None for i in range(len(photos)))


def test_the_order_of_photos_and_cards_changes_nothing() -> None:
    """Sizes agree to 1e-6 mm when photos and found cards are turned round."""
    wall = simulate(np.random.default_rng(2), print_check_half_width_mm=0.25)
    turned = replace(wall.request, photos=wall.request.photos[::-1])
    sights = [replace(sight, cards=sight.cards[::-1]) for sight in wall.sights[::-1]]

    found = sizes_of(measure_wall(turned, sights))

    for name, value in sizes_of(measured(wall)).items():
        assert found[name] == pytest.approx(value, abs=1e-6)


def test_another_datum_card_gives_the_same_sizes() -> None:
    """Lengths and their uncertainty do not depend on which sheet holds the frame."""
    wall = simulate(np.random.default_rng(3), print_check_half_width_mm=0.25)
    other = replace(wall.request, datum_card=2)
    found = measure_wall(other, wall.sights)

    for name, value in sizes_of(measured(wall)).items():
        assert sizes_of(found)[name] == pytest.approx(value, abs=1e-4)
        assert u_of(found)[name] == pytest.approx(u_of(measured(wall))[name], rel=1e-3)


def test_one_card_is_allowed_and_its_interval_is_wide() -> None:
    """With the far card gone the low width still comes, at more than twice the uncertainty."""
    wall = simulate(np.random.default_rng(4), print_check_half_width_mm=0.25)
    alone = [replace(sight, cards=sight.cards[:1]) for sight in wall.sights]
    found = measure_wall(wall.request, alone)

    error = sizes_of(found)["width low"] - wall.truth_mm["width low"]
    assert u_of(found)["width low"] > 2 * u_of(measured(wall))["width low"]
    assert abs(error) < 3.5 * u_of(found)["width low"]


def test_a_tape_narrows_the_sizes_beside_it_and_photo_estimates_never_use_it() -> None:
    """``solve`` takes tapes in, ``estimates`` only moves its linearisation by them."""
    wall = simulate(np.random.default_rng(5))
    measurement = measured(wall)
    tape = [TapedSize("width top", wall.truth_mm["width top"], 0.7)]

    before, after = measurement.estimates(), measurement.estimates(tape)

    difference = np.abs(after.mm - before.mm) / np.sqrt(np.diag(before.covariance_mm2))
    assert np.max(difference) < 0.05
    taped = measurement.solve(tape)
    assert np.trace(taped.mark_points()[1]) < 0.7 * np.trace(measurement.solve().mark_points()[1])


def test_a_photo_without_camera_data_still_gives_true_intervals() -> None:
    """No header at all: the focal length is found within a prior of 15 %."""
    inside = 0
    for seed in range(20):
        wall = simulate(np.random.default_rng([16, seed]), print_check_half_width_mm=0.25)
        sights = [replace(s, header=Header(WIDTH, HEIGHT)) for s in wall.sights]
        measurement = measure_wall(wall.request, sights)
        error = sizes_of(measurement)["width low"] - wall.truth_mm["width low"]
        inside += abs(error) < 2 * u_of(measurement)["width low"]

    assert inside >= 16


def test_a_plain_rectangle_alone_gives_sizes() -> None:
    """An ID-1 card (85.60 x 53.98 mm, ISO/IEC 7810) in two photos, and no printed card.

    Its tolerance alone, 0.07 mm of 85.60, leaves 0.084 % of any size.
    """
    wall = simulate(np.random.default_rng(17), nuisances=EXACT)
    corners = {
        photo.name: _corners_of_id1(sight.cards[0])
        for photo, sight in zip(wall.request.photos, wall.sights, strict=True)
    }
    rectangle = RectangleRequest("ID-1", (85.60, 53.98), (0.07, 0.03), 0.5, 0.1, corners)
    request = replace(wall.request, rectangles=(rectangle,))

    measurement = measure_wall(request, [replace(s, cards=()) for s in wall.sights])

    error = sizes_of(measurement)["height left"] - wall.truth_mm["height left"]
    assert abs(error) < 0.02 * wall.truth_mm["height left"]
    assert u_of(measurement)["height left"] > 0.00084 * wall.truth_mm["height left"]


def test_a_portrait_photo_shares_the_lens_of_a_landscape_one() -> None:
    """Turning the second photo with its orientation tag changes no size by more than 0.05 mm."""
    wall = simulate(np.random.default_rng(18), print_check_half_width_mm=0.25)
    request, sights = _second_turned(wall)

    measurement = measure_wall(request, sights)

    assert len(measurement.built.network.lenses) == 1
    for name, value in sizes_of(measured(wall)).items():
        assert sizes_of(measurement)[name] == pytest.approx(value, abs=0.05)


def test_cards_of_one_print_job_share_their_scale() -> None:
    """With a common job, the check made on card 1 serves card 2."""
    alike = Nuisances(print_scale=0.0)
    wall = simulate(np.random.default_rng(19), None, alike, print_check_half_width_mm=0.25)
    checked = replace(wall.request.cards[0], print_job="A")
    request = replace(wall.request, cards=(checked, CardRequest(2, print_job="A")))
    alone = replace(wall.request, cards=(checked, CardRequest(2)))

    assert len(measure_wall(request, wall.sights).built.network.scale_groups) == 1
    assert len(measure_wall(alone, wall.sights).built.network.scale_groups) == 2


def _corners_of_id1(card: FoundCard) -> tuple[tuple[float, float], ...]:
    """Where a rectangle of ID-1 size lying on the card would be, by OpenCV's homography."""
    nominal = card_design(card.serial).corners_mm[card.corner_ids]
    matrix, _ = cv2.findHomography(nominal, card.pixels)
    corners = np.array([[40.0, 40], [125.60, 40], [125.60, 93.98], [40, 93.98]])
    pixels = cv2.perspectiveTransform(corners.reshape(-1, 1, 2), matrix)
    return tuple((float(x), float(y)) for x, y in np.asarray(pixels).reshape(-1, 2))


def _second_turned(wall: SimulatedWall) -> tuple[WallRequest, list[Sight]]:
    """The second photo as a phone held upright stores it: orientation 6, upright pixels given."""

    def turn(pixels: FloatArray) -> FloatArray:
        return np.column_stack([HEIGHT - 1 - pixels[:, 1], pixels[:, 0]])

    second = wall.request.photos[1]
    turned = turn(np.array([tap.at_px for tap in second.taps])).tolist()
    taps = tuple(
        replace(tap, at_px=(x, y)) for tap, (x, y) in zip(second.taps, turned, strict=True)
    )
    header = Header(HEIGHT, WIDTH, "Example", "One", focal_35mm_mm=26.0, orientation=6)
    cards = tuple(replace(card, pixels=turn(card.pixels)) for card in wall.sights[1].cards)
    photos = (wall.request.photos[0], replace(second, taps=taps))
    return replace(wall.request, photos=photos), [wall.sights[0], Sight(header, cards)]


def test_cards_of_which_nothing_is_known_err_together() -> None:
    """Two unchecked cards of no known print tell the scale hardly better than one: u of a page's
    scale is 1.5 %, three quarters of its variance common to both, and over the root of two, for
    the photos see that both axes of a page are alike; apart they would tell it to 0.75 %."""
    wall = simulate(np.random.default_rng(31))
    measured = measure_wall(replace(wall.request, cards=()), wall.sights)
    found = measured.estimates()
    at = found.names.index("width low")
    assert 0.0096 < np.sqrt(found.covariance_mm2[at, at]) / found.mm[at] < 0.0106


def test_cards_of_which_nothing_is_known_may_be_printed_apart() -> None:
    """One page 0.5 % large across and the other 2.6 % small, as no one said: nothing is called
    wrong for that, and the sizes are within what is stated."""
    wall = simulate(np.random.default_rng(21), print_check_half_width_mm=0.25)

    measured = measure_wall(replace(wall.request, cards=()), wall.sights)

    assert measured.set_aside == ()
    for name, value in sizes_of(measured).items():
        assert abs(value - wall.truth_mm[name]) < 1.96 * u_of(measured)[name]
