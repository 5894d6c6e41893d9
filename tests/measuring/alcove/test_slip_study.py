"""A reduced draw of the slip study; the bench command runs it whole."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from scipy.stats import binom, norm

from service.lengths import round_length
from tests.support.simulated_alcove import drawn_alcove, other_plan
from tests.support.simulated_slips import (
    BOX,
    GOAL_KINDS,
    NONE,
    OFF_LISTED,
    ON_LISTED,
    RATES,
    Taped,
    behind,
    boxes,
    can_happen,
    drawn,
    on_or_off_listed,
    written,
)
from tests.support.slip_naming import Case, Naming, honest, naming_study
from tests.support.slip_study import Alarms, Power, gaussian_study, rectangular_alarms

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


@pytest.fixture(scope="module")
def naming() -> dict[Case, Naming]:
    """Every kind, in two cases: usual tubs by photos and tape, and with the rates 3x out."""
    cases = (Case(photos=True), Case(photos=False, rates_off=3.0))
    return naming_study(2031, cases, enough=16, most=24)


@pytest.fixture(scope="module")
def elsewhere() -> Naming:
    """The kinds of the goal in rooms that nothing was chosen on: showers and other tubs."""
    case = Case(photos=False)
    return naming_study(2032, (case,), GOAL_KINDS, enough=24, plan=other_plan)[case]


@pytest.fixture(scope="module")
def wrong_boxes() -> Naming:
    """Enough of each thing that comes of a wrong box."""
    case = Case(photos=False)
    return naming_study(2033, (case,), (BOX,), enough=60, reference=False)[case]


def test_few_names_are_wrong(naming: dict[Case, Naming]) -> None:
    """Of all slips at the trade's rates, one in ten unlisted, at most 2 % are named wrongly; the
    bound adds three standard errors of this reduced draw."""
    for found in naming.values():
        assert found.overall(lambda tally: tally.wrong) <= 0.02 + 3 * 0.009


@pytest.mark.parametrize("kind", GOAL_KINDS)
def test_the_kinds_of_the_goal_are_named(naming: dict[Case, Naming], kind: str) -> None:
    """Inch, foot, digits, box and unit in nine of ten detected: binomial bounds at one in a
    thousand."""
    for found in naming.values():
        tally = found.tallies[kind]
        assert tally.right >= binom.ppf(0.001, tally.detected, 0.9)
        assert tally.wrong <= binom.ppf(0.999, tally.detected, 0.02)


@pytest.mark.parametrize("kind", GOAL_KINDS)
def test_they_are_named_in_other_rooms(elsewhere: Naming, kind: str) -> None:
    """Showers, and tubs with other stations, sizes and plumb lines."""
    tally = elsewhere.tallies[kind]
    assert tally.right >= binom.ppf(0.001, tally.detected, 0.9)


@pytest.mark.parametrize(
    ("outcome", "goal"),
    [("exchanged", 0.9), ("own box left empty", 0.9), ("both boxes filled", 0.75)],
)
def test_a_wrong_box_is_told_by_what_came_of_it(
    wrong_boxes: Naming, outcome: str, goal: float
) -> None:
    """Where both boxes are filled, no judge names more than four of five."""
    part = wrong_boxes.tallies[BOX].parts[outcome]
    assert part.detected >= 12
    assert part.right >= binom.ppf(0.001, part.detected, goal)
    assert part.wrong <= binom.ppf(0.999, part.detected, 0.02)


def test_a_slip_of_no_listed_kind_is_taken_again(naming: dict[Case, Naming]) -> None:
    """But for those that land on the very value of a listed kind, which the judge who knows the
    draws names as well."""
    tally = naming[Case(photos=True)].tallies[NONE]
    by_chance = max(tally.known_wrong, 1) / tally.detected
    assert tally.wrong <= binom.ppf(0.999, tally.detected, by_chance)
    elsewhere = tally.parts[OFF_LISTED]
    assert elsewhere.detected >= 8
    assert elsewhere.wrong <= binom.ppf(0.999, elsewhere.detected, 0.02)


def test_little_more_could_be_named(naming: dict[Case, Naming]) -> None:
    """Against a judge that knows the law of the draws, the true room and that one slip was made."""
    found = naming[Case(photos=True)]
    known = found.overall(lambda tally: tally.known)
    said = found.overall(lambda tally: tally.right + tally.either)
    assert said >= known - 0.1


def test_what_lands_on_a_listed_value_is_known() -> None:
    """An inch or a swap of digits by hand lands on one; four inches and a bit on none of these."""
    true = _taped(np.random.default_rng(3))
    inches = true.inches
    place = next(p for p, size in enumerate(true.sizes) if size.name == "back width 40")
    at = inches[place]
    assert on_or_off_listed(true, place, written(at + 1)) == ON_LISTED
    assert on_or_off_listed(true, place, written(at - 10 + Fraction(1, 16))) == ON_LISTED
    assert on_or_off_listed(true, place, written(inches[0])) == ON_LISTED
    lonely = at + 200  # no other size of the alcove is near it
    assert on_or_off_listed(true, place, written(lonely)) == OFF_LISTED


def test_the_kinds_are_made_as_told() -> None:
    """What is drawn is also what the judge who knows the draws finds behind the text."""
    rng = np.random.default_rng(1)
    true = _taped(rng)
    inches = true.inches
    for place in range(true.count):
        assert sum(boxes(true, place).values()) <= 1 + 1e-9
        for kind in (*(kind for kind in RATES if kind != BOX), NONE):
            possible = can_happen(kind, true, place)
            text = drawn(kind, true, place, rng) if possible else None
            if text is not None:
                step = int(inches[place] * 16)
                assert behind(kind, true, place, text, range(step, step + 1))[step] > 0


def _taped(rng: np.random.Generator) -> Taped:
    """An alcove as honestly taped."""
    alcove = drawn_alcove(rng)
    inches = tuple(round_length(reading.mm, 16) for reading in honest(alcove, rng))
    return Taped(tuple(alcove.all_sizes()), inches)
