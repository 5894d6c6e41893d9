"""Out of plumb, level and square, from sizes that were taped."""

from __future__ import annotations

import math

import numpy as np
import pytest

from service.measuring.alcove.derived import Derived, derived_sizes
from service.measuring.alcove.judging import judge_alcove
from tests.measuring.alcove.worked import worked_alcove
from tests.support.simulated_alcove import drawn_alcove, rectangular_error_mm, taped


def _worked(slip: str = "29 1/16") -> dict[str, Derived]:
    walls, readings = worked_alcove(slip)
    judged = judge_alcove(walls, None, readings)
    return {f"{d.wall} {d.what}": d for d in derived_sizes(walls, judged, None, readings)}


@pytest.mark.parametrize(
    ("what", "inches"),
    [
        ("back out of plumb left", 29 + 3 / 16 - (30 + 1 / 16 - 3 / 8)),
        ("back out of plumb right", 29 + 1 / 4 - (29 + 3 / 8 - 3 / 8)),
        ("back out of level", 5 / 16),
        ("plumbing out of plumb inner", 10 + 1 / 4 - (10 + 5 / 16 - 3 / 8)),
        ("back out of square left", -24 * -0.01086),
        ("back out of square right", -24 * 0.00756),
    ],
)
def test_the_worked_alcove_leans_as_computed_by_hand(what: str, inches: float) -> None:
    """Plumb and level by the sheet's own readings, square by its cosines, within 1/16 in."""
    found = _worked()[what].value
    assert found.mm / 25.4 == pytest.approx(inches, abs=1 / 16)
    assert 0.1 < found.u_mm < 2.5


def test_a_slip_does_not_lean_a_wall() -> None:
    """The planted inch is set aside before anything is derived."""
    clean, slipped = _worked(), _worked("28 1/16")
    for what, found in slipped.items():
        assert found.value.mm == pytest.approx(clean[what].value.mm, abs=0.5)


@pytest.mark.statistical
def test_derived_figures_are_as_uncertain_as_they_say() -> None:
    """Over drawn alcoves out of plumb and out of level stray by about their own u."""
    rng = np.random.default_rng(12)
    scaled = []
    for _ in range(40):
        alcove = drawn_alcove(rng, bow=0.5)
        readings = [
            taped(s, alcove.truth_mm[s.name] + rectangular_error_mm(s, rng))
            for s in alcove.all_sizes()
        ]
        judged = judge_alcove(alcove.walls(), None, readings)
        found = {
            f"{d.wall} {d.what}": d for d in derived_sizes(alcove.walls(), judged, None, readings)
        }
        truth = alcove.truth_mm
        level = truth["back deck right"] - truth["back deck left"]
        lean = truth["far end outer 64"] - truth["far end outer 16"]
        for what, true in (("back out of level", level), ("far end out of plumb outer", lean)):
            value = found[what].value
            scaled.append((value.mm - true) / value.u_mm)
    spread = math.sqrt(float(np.mean(np.square(scaled))))
    assert 0.5 <= spread <= 1.3
