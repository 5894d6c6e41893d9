"""A level line that runs against all cards is told: nothing else shows a wall set mirrored."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import ADVISED, Plan, SimulatedWall, simulate
from tests.support.stated_wrong import OPPOSITE, renamed
from vision.measure_wall import level_runs_backwards, measure_wall


def backwards(wall: SimulatedWall) -> bool:
    measured = measure_wall(wall.request, wall.sights)
    assert not measured.set_aside
    return level_runs_backwards(measured, measured.solve())


def hung(first_rad: float, second_rad: float) -> Plan:
    """The advised cards, turned where they hang."""
    (x, y, _), (x2, y2, _) = ADVISED.cards[1], ADVISED.cards[2]
    return replace(ADVISED, cards={1: (x + 200, y + 200, first_rad), 2: (x2 - 200, y2, second_rad)})


def test_marks_left_and_right_exchanged_in_all_photos_are_told() -> None:
    """They fit every photo, and turn the wall half round."""
    wall = simulate(np.random.default_rng(5), ADVISED, None, 0.25)
    names = {**OPPOSITE, **{b: a for a, b in OPPOSITE.items()}}
    swapped = renamed(renamed(wall, 0, names), 1, names)

    assert not backwards(wall)
    assert backwards(swapped)


@pytest.mark.parametrize(
    ("turns", "told"),
    [((np.pi, 0.0), False), ((np.pi / 2, 0.0), False), ((np.pi, np.pi - 0.1), True)],
    ids=["one upside down", "one on its side", "all upside down"],
)
def test_a_card_may_hang_as_it_likes_if_another_does_not(
    turns: tuple[float, float], *, told: bool
) -> None:
    """Only where no card hangs upright is there reason to ask."""
    assert backwards(simulate(np.random.default_rng(6), hung(*turns), None, 0.25)) == told


def test_without_a_level_line_nothing_is_said() -> None:
    """The cards are the frame then."""
    wall = simulate(np.random.default_rng(7), hung(np.pi, np.pi), None, 0.25)
    assert not backwards(replace(wall, request=replace(wall.request, level=None)))
