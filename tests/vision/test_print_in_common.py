"""What a wall's sizes owe to what was known of its prints, against walls measured anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import ADVISED, SimulatedWall, simulate
from vision.measure_wall import measure_wall


def with_ruler_off(wall: SimulatedWall, serial: int, axis: str, share: float) -> SimulatedWall:
    """The wall with the ruler checks of one card and axis out by a share of their length."""
    cards = tuple(
        replace(
            card,
            checks=tuple(
                replace(check, measured_mm=check.measured_mm + share * check.nominal_mm)
                if (card.serial, check.axis) == (serial, axis)
                else check
                for check in card.checks
            ),
        )
        for card in wall.request.cards
    )
    return replace(wall, request=replace(wall.request, cards=cards))


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("serial", [1, 2])
def test_sizes_follow_what_was_known_of_a_print_as_stated(serial: int, axis: str) -> None:
    """The ruler read 0.02 % longer or shorter: sizes move by that of the derivative stated.

    It is Gauss-Newton's, which leaves out by how much residuals bend, a hundredth here.
    """
    wall = simulate(np.random.default_rng(8), ADVISED, None, 0.25)
    stated = measure_wall(wall.request, wall.sights)
    at = stated.built.network.sheets[stated.built.sheets.card_index[serial]].scale_group
    place = "xy".index(axis)
    more, less = (
        measure_wall((changed := with_ruler_off(wall, serial, axis, off)).request, changed.sights)
        for off in (2e-4, -2e-4)
    )
    known = [m.built.network.scale_groups for m in (more, less)]
    step = known[0][at].mean[place] - known[1][at].mean[place]
    moved = (more.estimates().mm - less.estimates().mm) / step

    most = float(np.max(np.abs(moved)))
    assert most > 100
    assert stated.estimates().by_scale[:, 2 * at + place] == pytest.approx(moved, abs=0.02 * most)
