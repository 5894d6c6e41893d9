"""Which photos of a wall take part: tied by cards and marks, or left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import (
    HEIGHT,
    WIDTH,
    Plan,
    beside_card,
    simulate,
)
from tests.vision.measured_wall import measured, sizes_of, u_of
from vision.measure_wall import (
    PhotoRequest,
    Sight,
    SizeRequest,
    measure_wall,
    photo_advice,
)
from vision.photo.photograph import Header


def test_photos_that_share_two_marks_but_no_card_are_tied() -> None:
    """One card each: the second card is placed through the shared marks."""
    wall = simulate(np.random.default_rng(6), print_check_half_width_mm=0.25)
    sights = [replace(s, cards=(s.cards[i],)) for i, s in enumerate(wall.sights)]

    measurement = measure_wall(wall.request, sights)

    assert measurement.not_tied == ()
    error = sizes_of(measurement)["width low"] - wall.truth_mm["width low"]
    assert abs(error) < 3.5 * u_of(measurement)["width low"]


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

    found = sizes_of(measure_wall(request, sights))

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


def test_a_card_on_the_wall_beside_is_not_used() -> None:
    """A card square to this wall, in its corner, changes no size and is said to be left out."""
    wall = simulate(np.random.default_rng(20), print_check_half_width_mm=0.25)
    beside = beside_card(wall, 7)
    sights = [
        replace(s, cards=(*s.cards, card)) for s, card in zip(wall.sights, beside, strict=True)
    ]

    measurement = measure_wall(wall.request, sights)

    assert measurement.other_walls == (frozenset({7}), frozenset({7}))
    for name, value in sizes_of(measured(wall)).items():
        assert sizes_of(measurement)[name] == pytest.approx(value, abs=1e-6)


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


def _with_all_marks(plan: Plan) -> Plan:
    """The simulator's own sizes need their marks; put the missing ones well inside."""
    rest = {
        "right-low": (900.0, -150.0),
        "left-top": (-80.0, 700.0),
        "right-top": (900.0, 720.0),
    }
    return replace(plan, marks=dict(plan.marks) | rest)
