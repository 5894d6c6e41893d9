"""Profiles of simulated lenses: what makes one, what refuses one, and what one is worth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import F_NOMINAL, Plan, SimulatedWall, TrueLens, simulate
from vision.errors import Refusal
from vision.measure_wall import make_profile, measure_wall

ROUND_THE_CARD = Plan(
    cards={1: (0.0, 0.0, 0.0)},
    cameras=tuple(
        ((x, y, z), (100.0, 140.0))
        for x, y, z in (
            (-300.0, 140.0, 450.0),
            (500.0, 140.0, 450.0),
            (100.0, 540.0, 450.0),
            (100.0, -260.0, 450.0),
            (-200.0, 450.0, 500.0),
            (400.0, -150.0, 500.0),
            (100.0, 140.0, 600.0),
        )
    ),
)
STRAIGHT_ON = Plan(
    cards={1: (0.0, 0.0, 0.0)},
    cameras=tuple(((90.0 + i, 130.0, 500.0 + 60 * i), (90.0 + i, 130.0)) for i in range(7)),
)


def _names(wall: SimulatedWall) -> list[str]:
    return [photo.name for photo in wall.request.photos]


def test_seven_tilted_photos_give_the_focal_length_within_its_interval() -> None:
    """Over 8 lenses the standardised error stays small and is not nothing."""
    errors = []
    for seed in range(8):
        wall = simulate(np.random.default_rng([1, seed]), ROUND_THE_CARD)
        made = make_profile(_names(wall), wall.sights)
        assert wall.lens is not None
        errors.append((made.f_px - wall.lens.f_px) / made.f_u_px)
        assert made.posterior_over_prior[0] < 0.2

    assert max(map(abs, errors)) < 3.5
    assert np.std(errors) > 0.3


def test_straight_on_photos_are_refused_with_the_reason() -> None:
    """Seven photos all square to the card say nothing of the focal length."""
    wall = simulate(np.random.default_rng(2), STRAIGHT_ON)
    square = [
        replace(sight, cards=tuple(replace(card, tilt_deg=1.0) for card in sight.cards))
        for sight in wall.sights
    ]

    with pytest.raises(Refusal, match="7 of 7 views of the card are straight on") as refused:
        make_profile(_names(wall), square)

    assert refused.value.code == "lens-not-determined"


def test_five_photos_are_too_few() -> None:
    """The refusal says how many are needed."""
    wall = simulate(np.random.default_rng(3), ROUND_THE_CARD)

    with pytest.raises(Refusal, match="6") as refused:
        make_profile(_names(wall)[:5], wall.sights[:5])

    assert refused.value.code == "too-few-photos"


def test_photos_by_two_phones_are_refused() -> None:
    """A profile is of one lens."""
    wall = simulate(np.random.default_rng(4), ROUND_THE_CARD)
    header = wall.sights[0].header
    assert header is not None
    other = replace(wall.sights[0], header=replace(header, model="Two"))

    with pytest.raises(Refusal) as refused:
        make_profile(_names(wall), [other, *wall.sights[1:]])

    assert refused.value.code == "mixed-lenses"


def test_a_zoomed_photo_among_the_others_is_refused_by_name() -> None:
    """Its file states the same focal length, and it was taken at twice that."""
    lens = TrueLens(F_NOMINAL, np.zeros(2), 0.01, -0.005)
    wall = simulate(np.random.default_rng(7), ROUND_THE_CARD, lens=lens)
    zoomed = simulate(
        np.random.default_rng(7), ROUND_THE_CARD, lens=replace(lens, f_px=2 * F_NOMINAL)
    )
    with pytest.raises(Refusal, match=r"2\.jpg is not by the same lens") as refused:
        make_profile(
            _names(wall), [zoomed.sights[i] if i == 2 else s for i, s in enumerate(wall.sights)]
        )
    assert refused.value.code == "mixed-lenses"


def test_a_phone_that_states_half_its_focal_length_gets_the_right_profile() -> None:
    """What the files say is set aside where all photos contradict it alike."""
    far = tuple(((2 * x - 100, 2 * y - 140, 2 * z), at) for (x, y, z), at in ROUND_THE_CARD.cameras)
    lens = TrueLens(2 * F_NOMINAL, np.zeros(2), 0.01, -0.005)
    wall = simulate(np.random.default_rng(8), replace(ROUND_THE_CARD, cameras=far), lens=lens)
    made = make_profile(_names(wall), wall.sights)
    assert abs(made.f_px - lens.f_px) < 3.5 * made.f_u_px
    assert made.f_u_px < 0.01 * lens.f_px


def test_the_same_photo_twice_is_one_photo() -> None:
    """Five photos and one of them again are five; beside six it is named as not used."""
    wall = simulate(np.random.default_rng(9), ROUND_THE_CARD)
    names = _names(wall)
    with pytest.raises(Refusal, match=r"the same photo as 0\.jpg") as refused:
        make_profile([*names[:5], "again.jpg"], [*wall.sights[:5], wall.sights[0]])
    assert refused.value.code == "too-few-photos"
    once = make_profile(names, wall.sights)
    twice = make_profile([*names, "again.jpg"], [*wall.sights, wall.sights[0]])
    assert twice.f_u_px == once.f_u_px
    assert [(photo.name, photo.why) for photo in twice.unused] == [
        ("again.jpg", "the same photo as 0.jpg.")
    ]


def test_photos_from_one_side_are_refused_as_alike() -> None:
    """Without a header to go by, six tilted alike do not tell the focal length."""
    side = tuple(((-300.0 + 3 * i, 140.0 + 3 * i, 1450.0), (100.0, 140.0)) for i in range(6))
    wall = simulate(np.random.default_rng(10), replace(ROUND_THE_CARD, cameras=side))
    blind = [
        replace(s, header=replace(s.header, focal_35mm_mm=None)) for s in wall.sights if s.header
    ]
    with pytest.raises(Refusal, match="too much alike") as refused:
        make_profile(_names(wall), blind)
    assert refused.value.code == "lens-not-determined"


def test_a_profile_narrows_a_wall_and_its_interval_still_holds() -> None:
    """One photo and one card with the profile of the lens, against the same without."""
    inside, narrower = 0, []
    for seed in range(10):
        rng = np.random.default_rng([5, seed])
        calibration = simulate(rng, ROUND_THE_CARD)
        wall = simulate(rng, print_check_half_width_mm=0.25, lens=calibration.lens)
        profile = make_profile(_names(calibration), calibration.sights).profile
        request = replace(wall.request, photos=wall.request.photos[:1])
        sight = [replace(wall.sights[0], cards=wall.sights[0].cards[:1])]
        plain = measure_wall(request, sight).estimates()
        known = measure_wall(replace(request, profiles=(profile,)), sight).estimates()
        index = known.names.index("width low")
        u = np.sqrt(known.covariance_mm2[index, index])
        inside += abs(known.mm[index] - wall.truth_mm["width low"]) < 2 * u
        narrower.append(u / np.sqrt(plain.covariance_mm2[index, index]))

    assert inside >= 8
    assert np.median(narrower) < 0.9


def test_a_wall_that_contradicts_its_profile_is_said_to() -> None:
    """A focal length 20 % off, as of another lens or a hidden zoom, shows."""
    rng = np.random.default_rng(6)
    calibration = simulate(rng, ROUND_THE_CARD)
    wall = simulate(rng, lens=calibration.lens)
    profile = make_profile(_names(calibration), calibration.sights).profile
    wrong = replace(profile, mean=profile.mean + np.array([0.2, 0, 0, 0, 0]))

    honest = measure_wall(replace(wall.request, profiles=(profile,)), wall.sights)
    contradicted = measure_wall(replace(wall.request, profiles=(wrong,)), wall.sights)

    assert not honest.profile_disagrees(0)
    assert contradicted.profile_disagrees(0)
