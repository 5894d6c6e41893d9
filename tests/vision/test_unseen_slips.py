"""How far a slip in a mark moves a size before it is found, against slips that are made."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin

import numpy as np
from scipy.stats import ncx2

from tests.support.simulated_wall import Nuisances, Plan, SimulatedWall, simulate
from vision.adjust.reliability import sighting_tests
from vision.adjust.solution import WallAdjustment
from vision.adjust.unseen_slips import NON_CENTRALITY, slip_effects
from vision.measure_wall import measure_wall
from vision.measure_wall.build import build_network

EXACT = Nuisances(*(0.0,) * 11, corner_px=0.0, tap_px=0.0)
SIZE = "width low"


def test_the_non_centrality_is_that_of_the_vetting() -> None:
    """Chi-square of two degrees of freedom, limit 18.42, power 80 %."""
    assert abs(ncx2.sf(18.42, 2, NON_CENTRALITY) - 0.8) < 1e-3


def stated_at(sd_px: float, wall: SimulatedWall) -> SimulatedWall:
    """The wall with all taps stated to be that uncertain, wherever they are."""
    photos = tuple(
        replace(photo, taps=tuple(replace(tap, sd_px=sd_px) for tap in photo.taps))
        for photo in wall.request.photos
    )
    return replace(wall, request=replace(wall.request, photos=photos))


def slipped(wall: SimulatedWall, mark: str, by: tuple[float, float]) -> WallAdjustment:
    """The wall with one mark of the first photo off, adjusted and not vetted."""
    photos = list(wall.request.photos)
    taps = tuple(
        replace(tap, at_px=(tap.at_px[0] + by[0], tap.at_px[1] + by[1]))
        if tap.name == mark
        else tap
        for tap in photos[0].taps
    )
    photos[0] = replace(photos[0], taps=taps)
    request = replace(wall.request, photos=tuple(photos))
    built = build_network(request, wall.sights, range(len(photos)))
    return WallAdjustment(built.network, None, built.starts_log_f())


def test_the_effect_is_what_the_worst_hidden_slip_does() -> None:
    """Of slips in sixteen directions, each as large as is found four times in five, the worst
    moves the size by what is predicted, to 4 %."""
    wall = stated_at(1.0, simulate(np.random.default_rng(1), Plan(), EXACT, 0.25))
    measured = measure_wall(wall.request, wall.sights)
    wanted = next(size for size in measured.sizes if size.name == SIZE)
    before = slipped(wall, "left-low", (0.0, 0.0))
    rows, effects = slip_effects(before.photo, [wanted])
    network = before.network
    mark = [each.name for each in network.marks].index("left-low")
    seen = network.sightings
    row = int(np.flatnonzero((seen.sheet < 0) & (seen.point == mark) & (seen.shot == 0))[0])
    predicted = float(effects[list(rows).index(row), 0])
    done = []
    for step in range(16):
        way = np.array([cos(step * pi / 16), sin(step * pi / 16)])
        after = slipped(wall, "left-low", tuple(way))
        drop = float(sighting_tests(after.photo).drop[row])
        moved = after.estimates([wanted]).mm[0] - before.estimates([wanted]).mm[0]
        done.append(abs(moved) * np.sqrt(NON_CENTRALITY / drop))
    assert abs(max(done) / predicted - 1) < 0.04


def test_a_mark_in_one_photo_is_controlled_by_nothing() -> None:
    """Its slip is never found, however large: the effect has no bound, and the mark is named."""
    wall = simulate(np.random.default_rng(2), print_check_half_width_mm=0.25)
    photos = list(wall.request.photos)
    kept = tuple(tap for tap in photos[1].taps if tap.name != "left-low")
    photos[1] = replace(photos[1], taps=kept)
    request = replace(wall.request, photos=tuple(photos))
    worst = {each.size: each for each in measure_wall(request, wall.sights).unseen_slips()}
    assert (worst[SIZE].mark, worst[SIZE].photo) == ("left-low", "0.jpg")
    assert worst[SIZE].effect_mm == np.inf
    assert worst["width top"].effect_mm < 100.0


def test_a_third_photo_leaves_less_unseen() -> None:
    """Three photos of each mark find a slip that two do not."""
    three = replace(Plan(), cameras=(*Plan().cameras, ((650.0, 500.0, 1600.0), (620.0, 330.0))))
    by_two, by_three = (
        measure_wall(wall.request, wall.sights).unseen_slips()[0].effect_mm
        for wall in (simulate(np.random.default_rng(3), plan, None, 0.25) for plan in (None, three))
    )
    assert by_three < 0.7 * by_two
