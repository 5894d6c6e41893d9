"""A size that nobody taped is expected from the others, where they say what it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from service.measuring.alcove.judging import judge_alcove
from service.measuring.judgement import Status
from service.measuring.slip_kinds import SlipKind
from tests.support.simulated_alcove import drawn_alcove, other_plan
from tests.support.slip_naming import honest

VAGUE_MM = 25.4


def test_each_size_of_an_alcove_is_expected_from_the_others() -> None:
    """Left out one by one, each but the depth of the opening is found within an inch and within
    3.3 of its u, the tub's fronts and the corner diagonals among them, which bend the closures
    that they are in. The truth is that of an alcove drawn without any closure."""
    rng = np.random.default_rng(41)
    off = []
    for size in drawn_alcove(rng).all_sizes():
        alcove = drawn_alcove(rng)
        readings = [r for r in honest(alcove, rng) if r.dimension != size.name]
        found = judge_alcove(alcove.walls(), None, readings).judgement.dimension(size.name)
        if size.name == "back depth":
            assert found.expected is None
            continue
        assert found.expected is not None, size.name
        assert found.expected.u_mm < VAGUE_MM
        off.append((found.expected.mm - alcove.truth_mm[size.name]) / found.expected.u_mm)
    assert np.abs(off).max() < 3.3
    assert 0.5 < float(np.sqrt(np.mean(np.square(off)))) < 1.15


@pytest.mark.parametrize("filled", ["own", "both", "neither"])
def test_a_pipe_is_expected_at_its_height_and_not_at_a_misread_one(filled: str) -> None:
    """The spout's height holds what its distance from the corner is, 14 in for 57: that distance
    is still expected from the wall's corner between the stations at 40 and 64."""
    rng = np.random.default_rng(3)
    alcove = drawn_alcove(rng)
    taped = {r.dimension: r for r in honest(alcove, rng)}
    down, corner = taped["plumbing spout down"], taped["plumbing spout from corner"]
    taped[down.dimension] = replace(down, mm=corner.mm, text=corner.text)
    if filled == "neither":
        taped[corner.dimension] = replace(corner, mm=down.mm, text=down.text)
    elif filled == "own":
        del taped[corner.dimension]
    used = judge_alcove(alcove.walls(), None, list(taped.values())).closures
    of = next(c for c in used if "plumbing spout from corner" in c.coefficients)
    stations = {name for name in of.coefficients if name.startswith("plumbing inner")}
    assert stations == {"plumbing inner 40", "plumbing inner 64"}


@pytest.mark.parametrize("seed", [0, 1, 2, 11])
def test_a_wild_height_is_the_one_conflict(seed: int) -> None:
    """The deck's height at the front holds what the tub's front is: no equation that is bent at
    it says of five other readings that they are off as well."""
    rng = np.random.default_rng(seed)
    alcove = drawn_alcove(rng, plan=other_plan(rng))
    taped = {r.dimension: r for r in honest(alcove, rng)}
    name, front = "far end deck front", taped["far end tub front"]
    taped[name] = replace(taped[name], mm=front.mm, text=front.text)
    judged = judge_alcove(alcove.walls(), None, list(taped.values())).judgement
    assert [r.dimension for r in judged.readings if r.status is Status.CONFLICTS] == [name]
    suspect = judged.dimension(name).suspect
    assert suspect is not None
    assert suspect.kind is SlipKind.WRONG_BOX
