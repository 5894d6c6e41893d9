"""Wrong marks and wrong corners: found, named, and kept out of the sizes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom, chi2

from tests.support.simulated_wall import Plan, SimulatedWall, simulate
from vision.adjust.reliability import sighting_tests
from vision.measure_wall import WallMeasurement, measure_wall, photo_advice
from vision.measure_wall.vetting import _uneven_limit

THREE = replace(
    Plan(),
    cameras=(*Plan().cameras, ((650.0, 500.0, 1600.0), (620.0, 330.0))),
)


def _moved(wall: SimulatedWall, photo: int, mark: str, by_px: float) -> SimulatedWall:
    """The wall with one mark of one photo set ``by_px`` to the right of where it is."""
    photos = list(wall.request.photos)
    taps = tuple(
        replace(tap, at_px=(tap.at_px[0] + by_px, tap.at_px[1])) if tap.name == mark else tap
        for tap in photos[photo].taps
    )
    photos[photo] = replace(photos[photo], taps=taps)
    return replace(wall, request=replace(wall.request, photos=tuple(photos)))


def _measure(wall: SimulatedWall) -> WallMeasurement:
    return measure_wall(wall.request, wall.sights)


def _codes(wall: SimulatedWall, photo: int) -> list[str]:
    measurement = _measure(wall)
    advice = photo_advice(wall.request, wall.sights, photo, measurement)
    return [item.code for item in advice]


def test_a_wrong_mark_among_three_photos_is_named_and_left_out() -> None:
    """60 px off in the second photo: that photo's mark goes, and the size is as without it."""
    wall = simulate(np.random.default_rng(1), THREE, print_check_half_width_mm=0.25)
    measurement = _measure(_moved(wall, 1, "right-low", 60.0))

    (finding,) = measurement.set_aside
    assert finding.kind == "mark"
    assert measurement.photos_of(finding) == (1,)
    assert measurement.name_of(finding) == "right-low"
    found = measurement.estimates()
    index = found.names.index("width low")
    error = found.mm[index] - wall.truth_mm["width low"]
    assert abs(error) < 3.5 * np.sqrt(found.covariance_mm2[index, index])


def test_between_two_photos_it_is_said_that_nothing_tells_which() -> None:
    """Both marks are named, and the interval widens instead of hiding the contradiction."""
    wall = simulate(np.random.default_rng(2), print_check_half_width_mm=0.25)
    spoilt = _moved(wall, 1, "valve", 60.0)
    measurement = _measure(spoilt)

    (finding,) = measurement.set_aside
    assert finding.kind == "disagree"
    assert measurement.photos_of(finding) == (0, 1)
    assert "marks-disagree" in _codes(spoilt, 0)
    assert "marks-disagree" in _codes(spoilt, 1)
    before, after = _measure(wall).solve().mark_points()[1], measurement.solve().mark_points()[1]
    at = 3 * measurement.built.marks["valve"]
    assert after[at, at] > 9 * before[at, at]


def test_a_wrong_card_corner_is_left_out() -> None:
    """A corner refined 3 px off goes, the card stays."""
    wall = simulate(np.random.default_rng(3), print_check_half_width_mm=0.25)
    card = wall.sights[0].cards[0]
    pixels = card.pixels.copy()
    pixels[5] += 3.0
    sights = (
        replace(wall.sights[0], cards=(replace(card, pixels=pixels), *wall.sights[0].cards[1:])),
        wall.sights[1],
    )

    measurement = measure_wall(wall.request, sights)

    (finding,) = measurement.set_aside
    assert finding.kind == "corner"
    assert measurement.name_of(finding) == "card 1"


def test_a_bubbled_card_counts_for_less_and_is_named_once() -> None:
    """Corners scattered by 0.4 px, four times what they state, are believed four times less."""
    rng = np.random.default_rng(7)
    wall = simulate(rng, print_check_half_width_mm=0.25)
    card = wall.sights[0].cards[1]
    bubbled = replace(card, pixels=card.pixels + 0.4 * rng.standard_normal(card.pixels.shape))
    sights = (replace(wall.sights[0], cards=(wall.sights[0].cards[0], bubbled)), wall.sights[1])

    measurement = measure_wall(wall.request, sights)

    assert [finding.kind for finding in measurement.set_aside] == ["uneven"]
    assert measurement.name_of(measurement.set_aside[0]) == "card 2"
    seen = measurement.built.network.sightings
    rows = (seen.shot == 0) & (seen.sheet == 1)
    stated = np.sqrt(np.mean(seen.covariance_px2[rows][:, 0, 0]))
    assert 0.25 < stated < 0.65


def test_honest_walls_are_hardly_ever_accused() -> None:
    """Over 60 walls of some 110 sightings at one in 10,000, findings stay within the binomial."""
    accused, sightings = 0, 0
    for seed in range(60):
        wall = simulate(np.random.default_rng([4, seed]), print_check_half_width_mm=0.25)
        measurement = _measure(wall)
        accused += len(measurement.set_aside)
        sightings += len(measurement.built.network.sightings.shot)

    assert accused <= binom.ppf(0.9999, sightings, 1e-4)


def test_drops_of_honest_sightings_are_chi_square() -> None:
    """Their mean is 2 and the share past the 5 % point is 5 %, within sampling."""
    drops = []
    for seed in range(30):
        wall = simulate(np.random.default_rng([5, seed]), print_check_half_width_mm=0.25)
        tests = sighting_tests(_measure(wall).solve())
        drops.append(tests.drop[tests.redundancy > 1.1])
    joined = np.concatenate(drops)

    assert np.mean(joined) == pytest.approx(2.0, abs=0.12)
    assert np.mean(joined > chi2.ppf(0.95, 2)) == pytest.approx(0.05, abs=0.012)


def test_redundancies_add_up_to_no_more_than_the_degrees_of_freedom() -> None:
    """Priors hold the rest (Baarda: the sum over all observations is the redundancy)."""
    wall = simulate(np.random.default_rng(6), print_check_half_width_mm=0.25)
    solution = _measure(wall).solve()

    total = float(np.sum(sighting_tests(solution).redundancy))

    assert 0.5 * solution.degrees_of_freedom < total <= solution.degrees_of_freedom + 1e-6


@pytest.mark.parametrize("corners", [8, 12, 24])
def test_honest_corners_are_called_uneven_once_in_a_thousand(corners: int) -> None:
    """By 200,000 draws of chi-square misfits: the mean of two middle ones is a little steadier than
    one, so that few corners are called so less often, but not half as often."""
    draws = np.random.default_rng(8).chisquare(2, (200_000, corners))
    past = np.mean(np.median(draws, axis=1) / 1.386 > _uneven_limit(corners))
    assert 0.0005 < past < 0.0012
