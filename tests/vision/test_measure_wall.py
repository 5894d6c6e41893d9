"""Walls measured from simulated sights: what is tied, what is refused, what stays the same."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from tests.support.simulated_wall import (
    HEIGHT,
    WIDTH,
    Nuisances,
    Plan,
    SimulatedWall,
    beside_card,
    simulate,
)
from vision.card.design import card_design
from vision.card.found import FoundCard
from vision.errors import Refusal
from vision.measure_wall import (
    CardRequest,
    PhotoRequest,
    RectangleRequest,
    Sight,
    SizeRequest,
    TapedSize,
    WallMeasurement,
    WallRequest,
    measure_wall,
    photo_advice,
)
from vision.photo.photograph import Header
from vision.units import FloatArray

EXACT = Nuisances(*(0.0,) * 11, corner_px=0.0, tap_px=0.0)
"""A wall without any error: flat, lens as its header says, every pixel exact."""


def _measure(wall: SimulatedWall) -> WallMeasurement:
    return measure_wall(wall.request, wall.sights)


def _sizes(wall: WallMeasurement) -> dict[str, float]:
    found = wall.estimates()
    return dict(zip(found.names, found.mm.tolist(), strict=True))


def _u(wall: WallMeasurement) -> dict[str, float]:
    found = wall.estimates()
    return dict(zip(found.names, np.sqrt(np.diag(found.covariance_mm2)).tolist(), strict=True))


def test_exact_pixels_give_exact_sizes() -> None:
    """Without noise and nuisances every size is right to 0.01 mm."""
    wall = simulate(np.random.default_rng(1), nuisances=EXACT)

    for name, value in _sizes(_measure(wall)).items():
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

    found = _sizes(measure_wall(turned, sights))

    for name, value in _sizes(_measure(wall)).items():
        assert found[name] == pytest.approx(value, abs=1e-6)


def test_another_datum_card_gives_the_same_sizes() -> None:
    """Lengths and their uncertainty do not depend on which sheet holds the frame."""
    wall = simulate(np.random.default_rng(3), print_check_half_width_mm=0.25)
    other = replace(wall.request, datum_card=2)
    found = measure_wall(other, wall.sights)

    for name, value in _sizes(_measure(wall)).items():
        assert _sizes(found)[name] == pytest.approx(value, abs=1e-4)
        assert _u(found)[name] == pytest.approx(_u(_measure(wall))[name], rel=1e-3)


def test_one_card_is_allowed_and_its_interval_is_wide() -> None:
    """With the far card gone the low width still comes, at more than twice the uncertainty."""
    wall = simulate(np.random.default_rng(4), print_check_half_width_mm=0.25)
    alone = [replace(sight, cards=sight.cards[:1]) for sight in wall.sights]
    found = measure_wall(wall.request, alone)

    error = _sizes(found)["width low"] - wall.truth_mm["width low"]
    assert _u(found)["width low"] > 2 * _u(_measure(wall))["width low"]
    assert abs(error) < 3.5 * _u(found)["width low"]


def test_a_tape_narrows_the_sizes_beside_it_and_photo_estimates_never_use_it() -> None:
    """``solve`` takes tapes in, ``estimates`` only moves its linearisation by them."""
    wall = simulate(np.random.default_rng(5))
    measurement = _measure(wall)
    tape = [TapedSize("width top", wall.truth_mm["width top"], 0.7)]

    before, after = measurement.estimates(), measurement.estimates(tape)

    difference = np.abs(after.mm - before.mm) / np.sqrt(np.diag(before.covariance_mm2))
    assert np.max(difference) < 0.05
    taped = measurement.solve(tape)
    assert np.trace(taped.mark_points()[1]) < 0.7 * np.trace(measurement.solve().mark_points()[1])


def test_photos_that_share_two_marks_but_no_card_are_tied() -> None:
    """One card each: the second card is placed through the shared marks."""
    wall = simulate(np.random.default_rng(6), print_check_half_width_mm=0.25)
    sights = [replace(s, cards=(s.cards[i],)) for i, s in enumerate(wall.sights)]

    measurement = measure_wall(wall.request, sights)

    assert measurement.not_tied == ()
    error = _sizes(measurement)["width low"] - wall.truth_mm["width low"]
    assert abs(error) < 3.5 * _u(measurement)["width low"]


def test_photos_without_anything_in_common_give_sizes_of_their_own_only() -> None:
    """A size across two photos that share nothing is not made up."""
    wall = simulate(np.random.default_rng(7))
    halves = (("left-low", "left-top", "line-a"), ("right-low", "right-top", "line-b"))
    photos = tuple(
        PhotoRequest(photo.name, tuple(tap for tap in photo.taps if tap.name in names))
        for photo, names in zip(wall.request.photos, halves, strict=True)
    )
    sights = [replace(s, cards=(s.cards[i],)) for i, s in enumerate(wall.sights)]
    wanted = (*wall.request.sizes, SizeRequest("right up", "distance", "right-low", "right-top"))
    request = replace(wall.request, photos=photos, sizes=wanted)

    found = _sizes(measure_wall(request, sights))

    assert set(found) == {"height left", "right up"}
    truth = np.linalg.norm(wall.points_mm["right-low"] - wall.points_mm["right-top"])
    assert found["right up"] == pytest.approx(float(truth), abs=40)


def test_a_photo_without_card_and_with_few_marks_is_left_out() -> None:
    """It is named as not tied; the others are measured without it."""
    wall = simulate(np.random.default_rng(8))
    bare = Sight(Header(WIDTH, HEIGHT, focal_35mm_mm=26.0))
    photo = PhotoRequest("bare.jpg", wall.request.photos[0].taps[:3])
    request = replace(wall.request, photos=(*wall.request.photos, photo))

    measurement = measure_wall(request, [*wall.sights, bare])

    assert measurement.not_tied == (2,)
    assert measurement.used_photos == (0, 1)


def test_a_photo_without_card_but_with_marks_of_others_takes_part() -> None:
    """Four marks that lie not on a line place a photo."""
    wall = simulate(np.random.default_rng(9))
    sights = [wall.sights[0], replace(wall.sights[1], cards=())]

    measurement = measure_wall(wall.request, sights)

    assert measurement.used_photos == (0, 1)


def test_marks_on_one_line_do_not_place_a_photo() -> None:
    """A photo that sees only marks along one line is left out, and said to be."""
    plan = Plan(
        marks={f"line-{k}": (200.0 * i, 300.0) for i, k in enumerate("abcdef")}
        | {"left-low": (-100.0, -200.0), "valve": (500.0, 0.0)}
    )
    wall = simulate(np.random.default_rng(10), plan=_with_all_marks(plan))
    taps = tuple(t for t in wall.request.photos[1].taps if t.name.startswith("line-"))
    request = replace(
        wall.request,
        photos=(wall.request.photos[0], replace(wall.request.photos[1], taps=taps)),
    )

    measurement = measure_wall(request, [wall.sights[0], replace(wall.sights[1], cards=())])

    assert measurement.not_tied == (1,)


def test_no_card_at_all_is_refused() -> None:
    """The refusal says to tape a card on the wall."""
    wall = simulate(np.random.default_rng(11))

    with pytest.raises(Refusal, match="card") as refused:
        measure_wall(wall.request, [replace(s, cards=()) for s in wall.sights])

    assert refused.value.code == "no-card"


def test_two_sheets_of_one_serial_in_a_photo_are_refused_by_name() -> None:
    """Serial 1 twice in one photo names serial 1."""
    wall = simulate(np.random.default_rng(12))
    twice = replace(wall.sights[0].cards[1], serial=1)
    sights = [replace(wall.sights[0], cards=(wall.sights[0].cards[0], twice)), wall.sights[1]]

    with pytest.raises(Refusal, match="serial 1") as refused:
        measure_wall(wall.request, sights)

    assert refused.value.code == "duplicate-serial"


def test_two_sheets_of_one_serial_in_two_photos_are_refused_by_name() -> None:
    """Each photo shows one sheet, both with serial 1: shared marks lie 1.1 m apart."""
    wall = simulate(np.random.default_rng(13))
    sights = [
        replace(wall.sights[0], cards=wall.sights[0].cards[:1]),
        replace(wall.sights[1], cards=(replace(wall.sights[1].cards[1], serial=1),)),
    ]

    with pytest.raises(Refusal, match="serial 1") as refused:
        measure_wall(wall.request, sights)

    assert refused.value.code == "duplicate-serial"


def test_a_datum_card_that_no_photo_shows_is_refused() -> None:
    """The refusal lists the cards found."""
    wall = simulate(np.random.default_rng(14))

    with pytest.raises(Refusal, match="1, 2") as refused:
        measure_wall(replace(wall.request, datum_card=9), wall.sights)

    assert refused.value.code == "datum-card-not-found"


def test_a_line_of_two_marks_on_one_spot_is_refused() -> None:
    """Two names for one point give no line."""
    wall = simulate(np.random.default_rng(15), nuisances=EXACT)
    photos = []
    for photo in wall.request.photos:
        at = {tap.name: tap.at_px for tap in photo.taps}
        taps = [replace(t, at_px=at["line-a"]) if t.name == "line-b" else t for t in photo.taps]
        photos.append(replace(photo, taps=tuple(taps)))

    with pytest.raises(Refusal, match="line-b") as refused:
        measure_wall(replace(wall.request, photos=tuple(photos)), wall.sights)

    assert refused.value.code == "line-too-short"


def test_a_photo_without_camera_data_still_gives_true_intervals() -> None:
    """No header at all: the focal length is found within a prior of 15 %."""
    inside = 0
    for seed in range(20):
        wall = simulate(np.random.default_rng([16, seed]), print_check_half_width_mm=0.25)
        sights = [replace(s, header=Header(WIDTH, HEIGHT)) for s in wall.sights]
        measurement = measure_wall(wall.request, sights)
        error = _sizes(measurement)["width low"] - wall.truth_mm["width low"]
        inside += abs(error) < 2 * _u(measurement)["width low"]

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

    error = _sizes(measurement)["height left"] - wall.truth_mm["height left"]
    assert abs(error) < 0.02 * wall.truth_mm["height left"]
    assert _u(measurement)["height left"] > 0.00084 * wall.truth_mm["height left"]


def test_a_portrait_photo_shares_the_lens_of_a_landscape_one() -> None:
    """Turning the second photo with its orientation tag changes no size by more than 0.05 mm."""
    wall = simulate(np.random.default_rng(18), print_check_half_width_mm=0.25)
    request, sights = _second_turned(wall)

    measurement = measure_wall(request, sights)

    assert len(measurement.built.network.lenses) == 1
    for name, value in _sizes(_measure(wall)).items():
        assert _sizes(measurement)[name] == pytest.approx(value, abs=0.05)


def test_cards_of_one_print_job_share_their_scale() -> None:
    """With a common job, the check made on card 1 serves card 2."""
    wall = simulate(np.random.default_rng(19), print_check_half_width_mm=0.25)
    checked = replace(wall.request.cards[0], print_job="A")
    request = replace(wall.request, cards=(checked, CardRequest(2, print_job="A")))
    alone = replace(wall.request, cards=(checked, CardRequest(2)))

    assert len(measure_wall(request, wall.sights).built.network.scale_groups) == 1
    assert len(measure_wall(alone, wall.sights).built.network.scale_groups) == 2


def test_a_card_on_the_wall_beside_is_not_used() -> None:
    """A card square to this wall, in its corner, changes no size and is said to be left out."""
    wall = simulate(np.random.default_rng(20), print_check_half_width_mm=0.25)
    beside = beside_card(wall, 7)
    sights = [
        replace(s, cards=(*s.cards, card)) for s, card in zip(wall.sights, beside, strict=True)
    ]

    measurement = measure_wall(wall.request, sights)

    assert measurement.other_walls == (frozenset({7}), frozenset({7}))
    for name, value in _sizes(_measure(wall)).items():
        assert _sizes(measurement)[name] == pytest.approx(value, abs=1e-6)


def _with_all_marks(plan: Plan) -> Plan:
    """The simulator's own sizes need their marks; put the missing ones well inside."""
    rest = {
        "right-low": (900.0, -150.0),
        "left-top": (-80.0, 700.0),
        "right-top": (900.0, 720.0),
    }
    return replace(plan, marks=dict(plan.marks) | rest)


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
    for name, value in _sizes(measured).items():
        assert abs(value - wall.truth_mm[name]) < 1.96 * _u(measured)[name]


def test_a_card_in_two_places_is_refused_with_all_that_it_may_be() -> None:
    """Half a metre apart in two photos: two sheets, one moved, or another wall's photo."""
    wall, other = (
        simulate(np.random.default_rng(32), replace(Plan(), cards={1: (0.0, 0.0, 0.0), 2: at}))
        for at in ((1100.0, 150.0, 0.05), (500.0, 400.0, 0.05))
    )
    with pytest.raises(Refusal) as caught:
        measure_wall(wall.request, (wall.sights[0], other.sights[1]))
    assert caught.value.code == "duplicate-serial"
    assert all(word in str(caught.value) for word in ("moved", "another wall", "0.jpg", "1.jpg"))


def test_the_same_photo_twice_counts_once() -> None:
    """The size is as exact as by one photo; marks that only the second has are kept; it is said."""
    wall = simulate(np.random.default_rng(33))
    first = wall.request.photos[0]
    once = replace(wall.request, photos=(first,))
    some = tuple(tap for tap in first.taps if tap.name != "valve")
    again = PhotoRequest("again.jpg", first.taps)
    twice = replace(wall.request, photos=(replace(first, taps=some), again))
    sights = (wall.sights[0], wall.sights[0])
    measured = measure_wall(twice, sights)
    by_one = measure_wall(once, wall.sights[:1]).estimates()
    found = measured.estimates()
    assert set(found.names) == set(by_one.names)
    u, u_one = (dict(zip(e.names, np.diag(e.covariance_mm2), strict=True)) for e in (found, by_one))
    assert u["width low"] == pytest.approx(u_one["width low"], rel=1e-9)
    said = [item.code for item in photo_advice(twice, sights, 1, measured)]
    assert said == ["same-photo", "print-unchecked", "print-unchecked"]
