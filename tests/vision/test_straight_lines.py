"""Straight lines and rectangles' edges as evidence: what they add, and that it is true."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom, chi2

from tests.support.simulated_lines import TrueLine, TrueRectangle
from tests.support.simulated_wall import (
    Nuisances,
    Plan,
    SimulatedWall,
    exact_view,
    simulate,
)
from vision.adjust.reliability import line_tests
from vision.errors import Refusal
from vision.measure_wall import (
    Habits,
    Sight,
    SizeRequest,
    WallMeasurement,
    WallRequest,
    measure_wall,
    photo_advice,
)
from vision.units import FloatArray

EXACT = Nuisances(*(0.0,) * 11, corner_px=0.0, tap_px=0.0, edge_offset_px=0.0)
LINES = {
    "deck": TrueLine((-150, -260), (1400, -250)),
    "joint left": TrueLine((200, -200), (210, 800)),
    "joint right": TrueLine((1300, -200), (1310, 800)),
    "ceiling": TrueLine((-140, 880), (1390, 890)),
}
SIZES = ("width low", "height left", "diagonal", "valve down")
WALLS = 40


def _figures(wall: WallMeasurement, names: tuple[str, ...]) -> tuple[FloatArray, FloatArray]:
    found = wall.estimates()
    index = [found.names.index(name) for name in names]
    return found.mm[index], found.covariance_mm2[np.ix_(index, index)]


def _u(wall: SimulatedWall, name: str) -> float:
    _, covariance = _figures(measure_wall(wall.request, wall.sights), (name,))
    return float(np.sqrt(covariance[0, 0]))


def _without_lines(wall: SimulatedWall) -> SimulatedWall:
    return replace(wall, request=replace(wall.request, lines=()))


def test_exact_points_along_lines_and_edges_leave_sizes_exact() -> None:
    """Without noise every size is right to 0.01 mm and every misfit is nil."""
    plan = Plan(lines=LINES, rectangles={"plate": TrueRectangle((700, 500, 0.1), (120, 70), 0.0)})
    straight = {name: replace(line, bow_mm=1e-6) for name, line in LINES.items()}
    wall = simulate(np.random.default_rng(1), replace(plan, lines=straight), EXACT)
    measurement = measure_wall(wall.request, wall.sights)

    mm, _ = _figures(measurement, SIZES)

    assert mm == pytest.approx([wall.truth_mm[name] for name in SIZES], abs=0.01)
    assert measurement.solve().minimum.cost < 1.0


def test_lines_narrow_sizes_by_a_tenth_or_more() -> None:
    """Four lines round the wall say more of lens and turn than the marks alone."""
    wall = simulate(np.random.default_rng(2), Plan(lines=LINES), None, 0.25)

    assert _u(wall, "width low") < 0.9 * _u(_without_lines(wall), "width low")


def test_lines_are_evidence_of_distortion_in_a_single_photo() -> None:
    """With one photo of one card, lines along the frame's edges halve what is unknown of k1."""
    plan = Plan(
        cards={1: (500.0, 200.0, 0.0)},
        cameras=(((600.0, 300.0, 1700.0), (600.0, 330.0)),),
        lines={name: replace(line, bow_mm=0.2) for name, line in LINES.items()},
    )
    wall = simulate(np.random.default_rng(3), plan, None, 0.25)
    bare = _without_lines(wall)

    with_lines = measure_wall(wall.request, wall.sights).solve().posterior_over_prior(0)[3]
    without = measure_wall(bare.request, bare.sights).solve().posterior_over_prior(0)[3]

    assert with_lines < 0.5 * without


@pytest.fixture(scope="module")
def draw() -> tuple[FloatArray, FloatArray, FloatArray]:
    """Standardised errors, NEES and weighted sums over walls with lines, a direction, a plate."""
    z, nees, sums = [], [], []
    for seed in range(WALLS):
        rng = np.random.default_rng([4, seed])
        wall = simulate(rng, _plumb_plan(rng), replace(Nuisances(), edge_offset_px=0.6), 0.25)
        measurement = measure_wall(wall.request, wall.sights)
        mm, covariance = _figures(measurement, SIZES)
        error = mm - np.array([wall.truth_mm[name] for name in SIZES])
        z.append(error / np.sqrt(np.diag(covariance)))
        nees.append(float(error @ np.linalg.solve(covariance, error)))
        solution = measurement.solve()
        sums.append(solution.minimum.cost / solution.degrees_of_freedom)
    return np.array(z), np.array(nees), np.array(sums)


def _plumb_plan(rng: np.random.Generator, turn_u: float = 0.001) -> Plan:
    """A joint that is square to the level marks within ``turn_u``, other lines, and a letter."""
    a, b = (np.array(Plan().marks[name]) for name in ("line-a", "line-b"))
    turn = np.arctan2(*(b - a)[::-1]) + turn_u * rng.standard_normal()
    joint = TrueLine((205, -200), (205 - 1000 * np.tan(turn), 800), "plumb", bow_mm=1.0)
    letter = TrueRectangle((650, 450, 0.1), (215.9, 279.4))
    return Plan(lines={**LINES, "joint left": joint}, rectangles={"letter": letter})


def test_intervals_with_lines_and_edges_hold_the_truth(
    draw: tuple[FloatArray, FloatArray, FloatArray],
) -> None:
    """95 % of them, within what the binomial law allows at this many."""
    held = int(np.count_nonzero(np.abs(draw[0]) < 1.96))

    low, high = (float(binom.ppf(tail, draw[0].size, 0.95)) for tail in (0.0005, 0.9999))
    assert low <= held <= high


def test_errors_with_lines_and_edges_are_as_large_as_stated(
    draw: tuple[FloatArray, FloatArray, FloatArray],
) -> None:
    """The normalised estimation error squared is chi-square distributed; the misfit is one."""
    low, high = (float(chi2.ppf(tail, WALLS * len(SIZES))) for tail in (0.001, 0.999))

    assert low <= float(np.sum(draw[1])) <= high
    assert float(np.mean(draw[2])) == pytest.approx(1.0, abs=0.05)


def test_a_plumb_line_settles_where_level_is() -> None:
    """With level marks 100 mm apart, a plumb joint a metre long narrows a rise over 1.5 m."""
    marks = dict(Plan().marks) | {"line-a": (600.0, 600.0), "line-b": (700.0, 600.8)}
    rng = np.random.default_rng(5)
    joint = TrueLine((205, -200), (197, 800), "plumb")
    wall = simulate(rng, Plan(marks=marks, lines={"joint": joint}), None, 0.25)
    wanted = (SizeRequest("rise", "dy", "left-low", "right-low"),)
    wall = replace(wall, request=replace(wall.request, sizes=wanted))

    assert _u(wall, "rise") < 0.6 * _u(_without_lines(wall), "rise")


def _out_of_square(turn: float) -> SimulatedWall:
    """A level deck, and a joint called plumb that leans by ``turn``; no level marks."""
    lines = {
        "deck": TrueLine((-150, -250), (1400, -250), "level", bow_mm=0.01),
        "joint": TrueLine((200, -200), (200 + 1000 * turn, 800), "plumb", bow_mm=0.01),
    }
    quiet = replace(Nuisances(), tap_px=0.03, flatness_mm=0.03)
    wall = simulate(np.random.default_rng(6), Plan(lines=lines), quiet, 0.25)
    still = Habits(flatness_u_mm=0.03)
    return replace(
        wall,
        request=replace(wall.request, level=None, sizes=wall.request.sizes[:1], habits=still),
    )


def test_level_and_plumb_lines_are_held_against_one_another_without_level_marks() -> None:
    """Out of square by 0.004 rad with 0.001 stated for each, they misfit by the square of that."""
    wall = _out_of_square(0.004)
    loose = tuple(replace(line, direction=None) for line in wall.request.lines)
    free = replace(wall, request=replace(wall.request, lines=loose))

    held, alone = (measure_wall(w.request, w.sights).solve().minimum.cost for w in (wall, free))

    # (0.004 / 0.0014) squared is 8, and the photos know the angle to 0.0003
    assert 5 < held - alone < 9


def test_lines_that_cannot_both_be_level_and_plumb_are_named() -> None:
    """0.01 rad out of square, seven times what is stated: a direction goes, both lines stay."""
    wall = _out_of_square(0.010)

    measurement = measure_wall(wall.request, wall.sights)

    (finding,) = measurement.set_aside
    assert finding.kind == "direction"
    assert measurement.name_of(finding) in ("deck", "joint")
    codes = [a.code for a in photo_advice(wall.request, wall.sights, 0, measurement)]
    assert "line-off-direction" in codes
    assert len(measurement.built.network.lines) == 2


def test_plumb_marks_that_are_not_square_to_the_level_marks_are_named() -> None:
    """The wall's left corner leans by 1 in 60: what gives way is its being plumb, not its marks."""
    wall = simulate(np.random.default_rng(3), None, None, 0.25, plumb=True)

    measurement = measure_wall(wall.request, wall.sights)

    assert [finding.kind for finding in measurement.set_aside] == ["plumb"]
    assert measurement.name_of(measurement.set_aside[0]) == "left-top"


def test_leans_and_bows_of_lines_are_as_drawn() -> None:
    """A deck that falls 5 mm in a metre and sags by 6 mm, a joint that leans left by 3 mm."""
    x = np.linspace(-150, 1400, 13)
    falling, sagging = -250 - 0.005 * x, 6.0 * (((x - 625) / 775) ** 2 - 1)
    lines = {
        "deck": TrueLine((-150, -249.25), (1400, -257), bow_mm=6.0),
        "joint": TrueLine((300, 800), (303, -200), bow_mm=0.01),
    }
    marks = dict(Plan().marks) | {"line-b": (1350.0, 600.0)}
    wall = simulate(np.random.default_rng(12), Plan(marks=marks, lines=lines), EXACT)
    deck = np.column_stack([x, falling + sagging, np.zeros(len(x))])
    points = {}
    for photo, (place, target) in zip(wall.request.photos, Plan().cameras, strict=True):
        view = exact_view(place, target)
        points[photo.name] = tuple((float(u), float(v)) for u, v in view(deck))
    wall = _with_line(wall, "deck", points_px=points, sd_px=0.05)
    measurement = measure_wall(wall.request, wall.sights)

    found = {line.name: line for line in measurement.lines(measurement.solve())}

    assert (found["deck"].nearest, found["joint"].nearest) == ("level", "plumb")
    assert found["deck"].lean_rad == pytest.approx(-0.005, abs=2e-4)
    assert found["deck"].bow_mm == pytest.approx(-6.0, abs=0.3)
    assert found["joint"].lean_rad == pytest.approx(0.003, abs=2e-4)


def _with_line(wall: SimulatedWall, name: str, **change: object) -> SimulatedWall:
    lines = tuple(
        replace(line, **change) if line.name == name else line  # type: ignore[arg-type]
        for line in wall.request.lines
    )
    return replace(wall, request=replace(wall.request, lines=lines))


def test_a_point_beside_its_line_is_left_out_and_the_line_is_named() -> None:
    """30 px off in one photo: that point goes, and the size is as without it."""
    wall = simulate(np.random.default_rng(9), Plan(lines=LINES), None, 0.25)
    points = dict(wall.request.lines[0].points_px)
    (x, y), *rest = points["0.jpg"][1:]
    points["0.jpg"] = (points["0.jpg"][0], (x, y + 30.0), *rest)
    spoilt = _with_line(wall, "deck", points_px=points)

    measurement = measure_wall(spoilt.request, spoilt.sights)

    (finding,) = measurement.set_aside
    assert (finding.kind, measurement.photos_of(finding)) == ("line-point", (0,))
    assert measurement.name_of(finding) == "deck"
    found, before = (
        _figures(measure_wall(w.request, w.sights), ("width low",)) for w in (spoilt, wall)
    )
    assert abs(found[0] - before[0])[0] < 0.3 * np.sqrt(before[1][0, 0])


def test_lines_more_bent_than_stated_are_named_and_count_for_less() -> None:
    """Decks on flat walls that bow by some 8 mm where 0.5 mm is stated: most are found."""
    bent = LINES | {"deck": replace(LINES["deck"], bow_mm=8.0)}
    named = []
    for seed in range(4):
        flat = replace(Nuisances(), flatness_mm=0.5)
        wall = simulate(np.random.default_rng([10, seed]), Plan(lines=bent), flat, 0.25)
        wall = _with_line(wall, "deck", bow_u_mm=0.5)
        request = replace(wall.request, habits=Habits(flatness_u_mm=0.5))
        measurement = measure_wall(request, wall.sights)
        named += [measurement.name_of(f) for f in measurement.set_aside if f.kind == "bent"]

    assert len(named) >= 2
    assert set(named) == {"deck"}


def test_an_id1_card_by_its_edges_alone_measures_what_is_near_it() -> None:
    """No corner of it is used, and an edge seen 1 px too far out all round goes into no size."""
    plan = Plan(
        cards={},
        marks=dict(Plan().marks) | {"a": (560.0, 250.0), "b": (760.0, 330.0)},
        cameras=(
            ((500.0, 300.0, 500.0), (650.0, 290.0)),
            ((800.0, 250.0, 480.0), (650.0, 290.0)),
        ),
        rectangles={"ID-1 card": TrueRectangle((620, 270, 0.05), (85.60, 53.98), 0.8)},
    )
    spread = replace(Nuisances(), edge_offset_px=1.0, flatness_mm=0.3, card_tilt_rad=0.0)
    wall = simulate(np.random.default_rng(7), plan, spread)
    sights = [Sight(sight.header) for sight in wall.sights]
    sizes = (SizeRequest("near", "distance", "a", "b"),)

    found = measure_wall(replace(wall.request, level=None, sizes=sizes), sights).estimates()

    truth = float(np.linalg.norm(wall.points_mm["a"] - wall.points_mm["b"]))
    u = float(np.sqrt(found.covariance_mm2[0, 0]))
    assert u < 4.0
    assert abs(found.mm[0] - truth) < 3.0 * u


def _by_its_name(wall: SimulatedWall, share: float) -> WallRequest:
    """The request with a tile's name as its size, as many times its own size."""
    (tile,) = wall.request.rectangles
    width, height = tile.size_mm
    named = replace(tile, is_nominal=True, size_mm=(share * width, share * height))
    return replace(wall.request, rectangles=(named,))


def _with_tile() -> SimulatedWall:
    plan = Plan(rectangles={"tile": TrueRectangle((700, 500, 0.0), (304.8, 304.8))})
    return simulate(np.random.default_rng(8), plan)


def test_a_nominal_size_goes_into_no_size_of_a_wall_with_cards() -> None:
    """Sizes are those of the cards alone to the last digit, whatever the tile's name says."""
    wall = _with_tile()
    alone = measure_wall(replace(wall.request, rectangles=()), wall.sights).estimates()

    for share in (1.0, 1.03):
        found = measure_wall(_by_its_name(wall, share), wall.sights).estimates()
        np.testing.assert_array_equal(found.mm, alone.mm)
        np.testing.assert_array_equal(found.covariance_mm2, alone.covariance_mm2)


def test_a_nominal_size_is_refused_as_the_only_scale() -> None:
    """Without a card the refusal names the tile and says to tape it."""
    wall = _with_tile()
    bare = [replace(sight, cards=()) for sight in wall.sights]

    with pytest.raises(Refusal, match="tile") as refused:
        measure_wall(_by_its_name(wall, 1.0), bare)

    assert refused.value.code == "nominal-size"
    assert "Tape it" in refused.value.do


def test_drops_of_honest_points_bows_and_directions_are_chi_square() -> None:
    """Their mean is 1 and the share past the 5 % point is 5 %, within sampling."""
    points, others = [], []
    for seed in range(25):
        rng = np.random.default_rng([11, seed])
        wall = simulate(rng, _plumb_plan(rng), None, 0.25)
        tests = line_tests(measure_wall(wall.request, wall.sights).solve())
        points.append(tests.points)
        others.append(np.concatenate([tests.directions, tests.bows]))
    drops, few = np.concatenate(points), np.concatenate(others)

    assert np.mean(drops) == pytest.approx(1.0, abs=0.06)
    assert np.mean(drops > chi2.ppf(0.95, 1)) == pytest.approx(0.05, abs=0.012)
    low, high = (float(chi2.ppf(tail, few.size)) for tail in (0.001, 0.999))
    assert low <= np.sum(few) <= high
