"""A reduced draw of the slip study; the bench command runs it whole."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, norm

from tests.support.simulated_slips import BOX, NONE, drawn_kind
from tests.support.slip_study import (
    Alarms,
    Power,
    gaussian_study,
    naming_study,
    rectangular_alarms,
    shares,
)

pytestmark = pytest.mark.statistical

SLIPS_MM = (3.175, 6.35, 12.7, 25.4)
DRAWS = 600


@pytest.fixture(scope="module")
def gaussian() -> tuple[Alarms, dict[float, Power]]:
    return gaussian_study(DRAWS, 329, SLIPS_MM)


def test_false_alarms_are_those_stated(gaussian: tuple[Alarms, dict[float, Power]]) -> None:
    """One reading of each alcove: |w| past 3.29 and past 2 at the normal law's rate, two-sided."""
    alarms, _ = gaussian
    for count, share in ((alarms.past_conflict, 0.001), (alarms.past_two, 2 * norm.sf(2.0))):
        low, high = (float(binom.ppf(q, DRAWS, share)) for q in (0.0005, 0.9995))
        assert low <= count <= high
    # All 74 readings together: they share closures, so the bounds are those of the draws only.
    assert 0.0004 <= alarms.all_past_conflict / alarms.readings <= 0.0018


@pytest.mark.parametrize("slip_mm", SLIPS_MM)
def test_power_is_that_of_the_theory(
    gaussian: tuple[Alarms, dict[float, Power]], slip_mm: float
) -> None:
    """Slips of 1/8, 1/4, 1/2 and 1 in are found as often as the normal law has it, within 3 %."""
    _, powers = gaussian
    power = powers[slip_mm]
    assert power.found / power.drawn == pytest.approx(power.expected / power.drawn, abs=0.03)


def test_a_real_tape_alarms_no_more_often() -> None:
    """Bowed edges, rectangular errors and sixteenths: at most the stated rate."""
    alarms = rectangular_alarms(500, 330)
    assert alarms.past_conflict <= float(binom.ppf(0.9995, 500, 0.001))
    assert alarms.all_past_conflict / alarms.readings <= 0.001


@pytest.mark.parametrize("rates_off", [1.0, 3.0])
def test_what_is_named_is_mostly_right(rates_off: float) -> None:
    """With slips at the trade's rates and one in ten unlisted, few names are wrong."""
    naming = naming_study(300, 11, with_photos=True, rates_off=rates_off)
    wrong, unlisted, _ = shares(naming)
    assert wrong <= 0.04
    assert unlisted <= 0.2
    assert sum(naming.detected.values()) >= 0.9 * 300


def test_an_inch_is_named() -> None:
    """Of the burnt inches that are detected, at least 85 in 100 are named."""
    naming = naming_study(200, 12, with_photos=True, kinds=lambda _: "inch")
    assert naming.right["inch"] >= 0.85 * naming.detected["inch"]
    assert naming.wrong["inch"] <= 0.03 * naming.detected["inch"]


def test_the_kinds_are_drawn_as_stated() -> None:
    """One slip in ten is of no listed kind, and boxes are among the rest."""
    rng = np.random.default_rng(1)
    drawn = [drawn_kind(rng) for _ in range(2_000)]
    assert 150 <= drawn.count(NONE) <= 250
    assert drawn.count(BOX) > 100
