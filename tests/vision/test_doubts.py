"""What was stated as known and is not so: found, named, and no longer believed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_lines import TrueRectangle
from tests.support.simulated_wall import (
    ADVISED,
    F_NOMINAL,
    Nuisances,
    Plan,
    SimulatedWall,
    TrueLens,
    simulate,
)
from tests.support.stated_wrong import exchanged, renamed, with_photo
from vision.camera.prior import lens_key
from vision.camera.profile import LensProfile
from vision.errors import Refusal
from vision.measure_wall import WallMeasurement, measure_wall, photo_advice
from vision.measure_wall.doubts import doubts

CAMERAS = Plan().cameras
THREE = replace(Plan(), cameras=(*CAMERAS, ((650.0, 500.0, 1600.0), (620.0, 330.0))))
LENS = TrueLens(F_NOMINAL, np.zeros(2), 0.01, -0.005)


def drawn(
    plan: Plan | None = None,
    lens: TrueLens | None = LENS,
    seed: int = 11,
    nuisances: Nuisances | None = None,
) -> SimulatedWall:
    """The same draw but for what is given."""
    rng = np.random.default_rng(seed)
    return simulate(rng, plan, nuisances, print_check_half_width_mm=0.25, lens=lens)


def card_moved(plan: Plan, photo: int) -> SimulatedWall:
    """Card 2 hangs 40 mm further left in one photo."""
    cards = dict(plan.cards)
    x, y, turn = cards[2]
    wall, moved = drawn(plan), drawn(replace(plan, cards={**cards, 2: (x - 40.0, y, turn)}))
    return with_photo(wall, moved, photo)


def ledge() -> SimulatedWall:
    """Card 2 is stated to hang on the wall and hangs 40 mm in front of it."""
    wall = drawn()
    cards = tuple(
        replace(card, standoff_mm=-40.0, standoff_u_mm=1.0) if card.serial == 2 else card
        for card in wall.request.cards
    )
    return replace(wall, request=replace(wall.request, cards=cards))


def misread_ruler() -> SimulatedWall:
    """5 mm wrong along one bar of card 1."""
    wall = drawn()
    first, second = wall.request.cards
    x, y = first.checks
    wrong = replace(first, checks=(replace(x, measured_mm=x.measured_mm - 5.0), y))
    return replace(wall, request=replace(wall.request, cards=(wrong, second)))


def zoomed() -> SimulatedWall:
    """The file states half the focal length that the photos were taken with."""
    far = tuple((tuple(np.array(place) * (1, 1, 2)), target) for place, target in CAMERAS)
    return drawn(replace(Plan(), cameras=far), replace(LENS, f_px=2 * F_NOMINAL))


def one_zoomed() -> SimulatedWall:
    """One photo of three was zoomed by a third, and its file does not say so."""
    return with_photo(drawn(THREE), drawn(THREE, replace(LENS, f_px=1.3 * F_NOMINAL)), 1)


def other_rectangle() -> SimulatedWall:
    """A rectangle of 300 mm is stated to have 210 mm."""
    plan = replace(Plan(), rectangles={"sheet": TrueRectangle((620.0, 560.0, 0.1), (300.0, 200.0))})
    wall = drawn(plan)
    stated = tuple(replace(r, size_mm=(210.0, 200.0)) for r in wall.request.rectangles)
    return replace(wall, request=replace(wall.request, rectangles=stated))


def tilted() -> SimulatedWall:
    """A card leans off the wall by more than 3 degrees."""
    return drawn(nuisances=Nuisances(card_tilt_rad=0.06), seed=3)


def other_print(*, both_checked: bool = False) -> SimulatedWall:
    """Two cards of two printers are said to be of one print; one is checked, or both are."""
    wall = drawn(seed=8)
    first, second = (replace(card, print_job="A") for card in wall.request.cards)
    cards = (first, second if both_checked else replace(second, checks=()))
    return replace(wall, request=replace(wall.request, cards=cards))


SLIPS: dict[str, tuple[Callable[[], SimulatedWall], str, str]] = {
    "moved, two photos": (lambda: card_moved(Plan(), 1), "moved", "card-moved"),
    "moved, three photos": (lambda: card_moved(THREE, 1), "moved", "card-moved"),
    "ledge": (ledge, "off-wall", "card-off-wall"),
    "ruler": (misread_ruler, "print", "print-check-doubted"),
    "other print": (other_print, "other-print", "card-other-print"),
    "zoom": (zoomed, "lens", "lens-doubted"),
    "one zoomed": (one_zoomed, "exposure", "lens-doubted"),
    "rectangle": (other_rectangle, "print", "size-doubted"),
    "tilted": (tilted, "tilted", "card-tilted"),
}


def codes(wall: SimulatedWall, measured: WallMeasurement) -> set[str]:
    count = len(wall.sights)
    said = (photo_advice(wall.request, wall.sights, i, measured) for i in range(count))
    return {item.code for items in said for item in items}


def worst_z(wall: SimulatedWall, measured: WallMeasurement) -> float:
    """The largest error over its standard uncertainty."""
    found = measured.estimates()
    truth = np.array([wall.truth_mm[name] for name in found.names])
    return float(np.max(np.abs(found.mm - truth) / np.sqrt(np.diag(found.covariance_mm2))))


@pytest.mark.parametrize("slip", SLIPS)
def test_what_is_stated_wrongly_is_named_and_not_believed(slip: str) -> None:
    """The finding is that one and no mark is blamed; the advice names it; all sizes hold."""
    make, kind, code = SLIPS[slip]
    wall = make()
    measured = measure_wall(wall.request, wall.sights)
    kinds = [finding.kind for finding in measured.set_aside]
    assert kind in kinds
    assert not {"mark", "disagree", "exchanged", "corner"} & set(kinds)
    assert code in codes(wall, measured)
    assert worst_z(wall, measured) < 3.5


def test_a_misread_ruler_would_have_been_believed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without that test the same wall gives a size far beyond what it states."""
    wall = misread_ruler()
    monkeypatch.setattr("vision.measure_wall.vetting.doubts", lambda _: [])
    assert worst_z(wall, measure_wall(wall.request, wall.sights)) > 3.5


def test_two_marks_under_one_anothers_names_are_told_apart_from_the_rest() -> None:
    """Of three photos the one that differs is named, and the sizes are as without its marks."""
    wall = renamed(drawn(THREE), 1, {"left-low": "valve", "valve": "left-low"})
    measured = measure_wall(wall.request, wall.sights)
    (finding,) = measured.set_aside
    assert finding.kind == "exchanged"
    assert measured.photos_of(finding) == (1,)
    assert "marks-exchanged" in codes(wall, measured)
    assert worst_z(wall, measured) < 3.5


def test_between_two_photos_an_exchange_is_owned_by_the_intervals() -> None:
    """Nothing tells in which photo the names are right: both are named, and the sizes are wide."""
    wall = renamed(drawn(), 1, {"left-low": "valve", "valve": "left-low"})
    measured = measure_wall(wall.request, wall.sights)
    (finding,) = measured.set_aside
    assert (finding.kind, measured.photos_of(finding)) == ("exchanged", (0, 1))
    found = measured.estimates()
    u = dict(zip(found.names, np.sqrt(np.diag(found.covariance_mm2)), strict=True))
    assert u["width low"] > 100.0
    assert u["width top"] < 10.0
    assert worst_z(wall, measured) < 2.5


@pytest.mark.parametrize("seed", [4, 13, 86])
def test_an_exchange_that_drives_the_search_astray_is_told_all_the_same(seed: int) -> None:
    """Followed to its end, the search has no wall left; where it is stopped the marks tell why."""
    wall = exchanged(5000 + seed, np.random.default_rng([77, seed]), ADVISED)
    measured = measure_wall(wall.request, wall.sights)
    assert "exchanged" in {finding.kind for finding in measured.set_aside}
    assert worst_z(wall, measured) < 3.5


def test_photos_that_contradict_too_much_for_a_wall_are_told_to_look_for_it() -> None:
    """One card, and one photo's marks under any names: one more such photo would not help."""
    wall = drawn(replace(ADVISED, cards={1: ADVISED.cards[1]}), seed=0, lens=None)
    names = [tap.name for tap in wall.request.photos[0].taps]
    shuffled = np.random.default_rng([5, 0]).permutation(names).tolist()
    wall = renamed(wall, 0, dict(zip(names, shuffled, strict=True)))
    with pytest.raises(Refusal, match="contradict one another") as refused:
        measure_wall(wall.request, wall.sights)
    assert refused.value.code == "not-observable"
    assert "left and right" in refused.value.do


def test_left_and_right_exchanged_in_a_photo_are_paired() -> None:
    """Each mark is named once, with the one that lies in its place."""
    pairs = {"left-low": "right-low", "left-top": "right-top", "line-a": "line-b"}
    wall = renamed(drawn(THREE), 1, {**pairs, **{b: a for a, b in pairs.items()}})
    measured = measure_wall(wall.request, wall.sights)
    names = [mark.name for mark in measured.built.network.marks]
    named = {frozenset(names[i] for i in finding.marks) for finding in measured.set_aside}
    assert named == {frozenset(pair) for pair in pairs.items()}
    assert worst_z(wall, measured) < 3.5


def test_a_profile_that_the_photos_contradict_is_left_out() -> None:
    """Its header is believed instead, and the sizes hold."""
    wall = drawn()
    header = wall.sights[0].header
    assert header is not None
    constants = np.array([np.log(1.2 * F_NOMINAL), 0.0, 0.0, 0.01, -0.005])
    spread = np.diag(np.array([0.001, 4.0, 4.0, 0.002, 0.004]) ** 2)
    profile = LensProfile(lens_key(header), constants, spread, 8)
    wall = replace(wall, request=replace(wall.request, profiles=(profile,)))
    measured = measure_wall(wall.request, wall.sights)
    assert [finding.kind for finding in measured.set_aside] == ["lens"]
    fit = measured.photo_fit(measured.solve(), 0)
    assert fit is not None
    assert fit.source == "exif"
    assert "profile-disagrees" in codes(wall, measured)
    assert worst_z(wall, measured) < 3.5


def test_drops_of_what_is_stated_rightly_are_chi_square() -> None:
    """Over 40 walls drawn from the priors, their means are their degrees of freedom."""
    drops: dict[str, list[float]] = defaultdict(list)
    freedoms: dict[str, int] = {}
    for seed in range(40):
        wall = drawn(lens=None, seed=1000 + seed)
        for doubt in doubts(measure_wall(wall.request, wall.sights).solve()):
            drops[doubt.kind].append(doubt.drop)
            freedoms[doubt.kind] = doubt.freedoms
    for kind, found in drops.items():
        sampling = np.sqrt(2 * freedoms[kind] / len(found))
        assert abs(np.mean(found) - freedoms[kind]) < 4 * sampling, kind


def test_cards_whose_ruler_checks_contradict_are_taken_apart() -> None:
    """Said to be of one print or of two, they give the same sizes; it is said."""
    together, apart = other_print(both_checked=True), drawn(seed=8)
    measured = measure_wall(together.request, together.sights)
    found = measured.estimates()
    expected = measure_wall(apart.request, apart.sights).estimates()

    assert np.array_equal(found.mm, expected.mm)
    assert np.array_equal(found.covariance_mm2, expected.covariance_mm2)
    assert "card-other-print" in codes(together, measured)


@pytest.mark.parametrize("seed", [21, 22, 23])
def test_cards_of_one_print_are_believed_to_be(seed: int) -> None:
    """One ruler check is enough for both, and neither is doubted."""
    wall = drawn(seed=seed, nuisances=Nuisances(print_scale=0.0))
    cards = tuple(replace(card, print_job="A") for card in wall.request.cards)
    wall = replace(wall, request=replace(wall.request, cards=cards))
    measured = measure_wall(wall.request, wall.sights)

    assert not measured.set_aside
    assert "card-other-print" not in codes(wall, measured)
