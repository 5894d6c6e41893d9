"""The list is shortest: against every other choice, in networks of random equations."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from service.measuring.alcove.shortest import TapingPlan, shortest_list
from service.measuring.estimates import Closure
from service.measuring.figures import dimension_figures
from service.measuring.network import build_network
from service.measuring.reading import Reading
from service.measuring.snooping import Snooping

SLIP_MM = 6.35
NEEDED = tuple("abcde")
FREE = tuple("pqrstuv")
NAMES = (*NEEDED, *FREE)


def _plan(seed: int) -> TapingPlan:
    """Equations of two to four sizes, of which some cannot be used before a size is taped."""
    rng = np.random.default_rng(seed)
    closures, needs = [], []
    for place in range(9):
        sizes = rng.choice(NAMES, size=int(rng.integers(2, 5)), replace=False).tolist()
        coefficients = {name: float(rng.choice([-1.0, 0.6, 1.0])) for name in sizes}
        closures.append(Closure(f"c{place}", coefficients, 0.0, float(rng.uniform(0.3, 1.2))))
        free = [name for name in sizes if name in FREE]
        needs.append(frozenset(free[:2] if rng.random() < 0.5 else ()))
    doubts = {name: float(rng.uniform(0.4, 1.0)) for name in NAMES}
    return TapingPlan(NAMES, None, tuple(closures), tuple(needs), doubts)


def _unchecked(plan: TapingPlan, taped: tuple[str, ...]) -> int:
    """Needed sizes that the whole network, solved with these readings, does not check."""
    usable = [c for c, n in zip(plan.closures, plan.needs, strict=True) if n <= set(taped)]
    readings = [replace(Reading(n, n, 1000.0), u_mm=plan.doubts[n]) for n in taped]
    network = build_network(NAMES, None, readings, usable)
    figures = dimension_figures(network, Snooping((), network.solved, None))
    found = dict(zip(NAMES, figures, strict=True))
    return sum((found[name].mdb_mm or np.inf) > SLIP_MM for name in NEEDED)


def _fewest(plan: TapingPlan) -> int:
    """Further readings and repeats of the best of all 128 choices."""
    return min(
        count + _unchecked(plan, (*NEEDED, *chosen))
        for count in range(len(FREE) + 1)
        for chosen in itertools.combinations(FREE, count)
    )


@pytest.mark.parametrize("seed", range(12))
def test_no_choice_is_shorter(seed: int) -> None:
    """Readings and repeats together are as few as in the best of all choices, and what is to be
    taped again is just what those readings leave unchecked."""
    plan = _plan(seed)
    further, again = shortest_list(plan, NEEDED, NEEDED, FREE, SLIP_MM)
    assert len(further) + len(again) == _fewest(plan)
    assert _unchecked(plan, (*NEEDED, *further)) == len(again)


def test_of_two_lists_as_long_checks_are_preferred() -> None:
    """One reading that checks one size, or one repeat of it: the reading."""
    closing = Closure("a = p", {"a": 1.0, "p": -1.0}, 0.0, 0.3)
    doubts = dict.fromkeys(NAMES, 0.5)
    plan = TapingPlan(NAMES, None, (closing,), (frozenset(),), doubts)
    assert shortest_list(plan, ["a"], ["a"], FREE, SLIP_MM) == (("p",), ())


def test_what_nothing_can_check_is_taped_again() -> None:
    """Without an equation there is no check, whatever is taped."""
    plan = TapingPlan(NAMES, None, (), (), dict.fromkeys(NAMES, 0.5))
    assert shortest_list(plan, ["a"], ["a"], FREE, SLIP_MM) == ((), ("a",))
