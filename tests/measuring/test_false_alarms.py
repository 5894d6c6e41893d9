"""Sampled against predicted: how often w alarms for nothing, and how often it finds a slip.

Truth, photos and readings are drawn from the very uncertainties that are stated; each count is
held between two-sided binomial bounds at one in a thousand, from a seed of its own.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, norm

from service.measuring.adjustment import CONFLICT_W, DETECTION_SHIFT
from service.measuring.agreement import judge
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import Status
from service.measuring.network import build_network
from service.measuring.reading import Reading
from tests.measuring.wall import Wall, random_wall

pytestmark = pytest.mark.statistical

SIZES = 6


def _taped(wall: Wall, rng: np.random.Generator, slip_mm: float = 0.0) -> list[Reading]:
    """Every size read once with u = 0.7 mm; the first slipped."""
    errors = 0.7 * rng.normal(size=len(wall.names))
    errors[0] += slip_mm
    return [
        Reading(name, name, float(mm), u_mm=0.7)
        for name, mm in zip(wall.names, wall.truth_mm + errors, strict=True)
    ]


def _assert_share(count: int, draws: int, share: float) -> None:
    low, high = (float(binom.ppf(tail, draws, share)) for tail in (0.0005, 0.9995))
    assert low <= count <= high, f"{count} of {draws}, expected between {low} and {high}"


def test_false_alarms_come_at_the_stated_rate() -> None:
    """One reading a wall, no slip: |w| passes 3.29 once in a thousand, 2 in 4.6 %."""
    rng = np.random.default_rng(329)
    draws = 10_000
    w = np.zeros(draws)
    for draw in range(draws):
        wall = random_wall(rng, SIZES)
        w[draw] = build_network(wall.names, wall.photo, _taped(wall, rng), ()).solved.w[0]
    for limit, share in ((CONFLICT_W, 0.001), (2.0, 2 * norm.sf(2.0))):
        _assert_share(int((np.abs(w) > limit).sum()), draws, share)


@pytest.mark.parametrize("of_detectable", [0.5, 1.0, 1.3])
def test_power_is_that_of_the_theory(of_detectable: float) -> None:
    """A slip of the least detectable size is found in 80 %, others as the normal law has it."""
    rng = np.random.default_rng(80)
    draws = 1_500
    found = 0
    for _ in range(draws):
        wall = random_wall(rng, SIZES)
        clean = _taped(wall, rng)
        slip_mm = (
            of_detectable * build_network(wall.names, wall.photo, clean, ()).solved.detectable[0]
        )
        readings = [Reading("d0", "d0", clean[0].mm + float(slip_mm), u_mm=0.7), *clean[1:]]
        found += abs(build_network(wall.names, wall.photo, readings, ()).solved.w[0]) > CONFLICT_W
    shift = of_detectable * DETECTION_SHIFT
    _assert_share(found, draws, norm.sf(CONFLICT_W - shift) + norm.cdf(-CONFLICT_W - shift))


def test_an_inch_is_set_aside_and_only_the_inch() -> None:
    """One inch in one of six sizes: always in conflict, and few others with it."""
    rng = np.random.default_rng(254)
    draws = 400
    others = 0
    for _ in range(draws):
        wall = random_wall(rng, SIZES)
        judged = judge(wall.names, wall.photo, _taped(wall, rng, 25.4))
        assert judged.reading("d0").status is Status.CONFLICTS
        others += any(r.status is Status.CONFLICTS for r in judged.readings[1:])
    _assert_share(others, draws, 1 - 0.999 ** (SIZES - 1))


def test_intervals_hold_the_truth() -> None:
    """Expected and best 95 % intervals hold the truth in 95 % of walls without a slip."""
    rng = np.random.default_rng(95)
    draws = 1_000
    held_expected = held_best = 0
    for _ in range(draws):
        wall = random_wall(rng, SIZES)
        of = judge(wall.names, wall.photo, _taped(wall, rng)).dimension("d0")
        assert of.expected is not None
        assert of.best is not None
        low, high = of.expected.interval95_mm
        held_expected += low <= wall.truth_mm[0] <= high
        low, high = of.best.interval95_mm
        held_best += low <= wall.truth_mm[0] <= high
    _assert_share(held_expected, draws, 0.95)
    _assert_share(held_best, draws, 0.95)


def test_an_unlucky_print_scale_does_not_alarm() -> None:
    """Photos with their scale known to 1.5 %, and drawn so: no print scale is blamed."""
    rng = np.random.default_rng(15)
    blamed = 0
    for _ in range(300):
        truth = rng.uniform(300, 1600, SIZES)
        names = tuple(f"d{place}" for place in range(SIZES))
        spread = np.outer(truth, truth) * 0.015**2 + np.eye(SIZES)
        mm = truth * (1 + 0.015 * rng.normal()) + rng.normal(size=SIZES)
        wall = Wall(names, truth, PhotoEstimates(names, mm, spread))
        blamed += judge(names, wall.photo, _taped(wall, rng)).print_scale is not None
    assert blamed <= 3
