"""Marks that one photo shows and no other say nothing of the photos, and must not mislead them.

Most people tap the left of a wall in the photo from the left and the right in the other.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import ADVISED, Plan, SimulatedWall, simulate
from vision.measure_wall import measure_wall

LEFT = ("left-low", "left-top", "line-a", "valve")


def each_in_one_photo(wall: SimulatedWall) -> SimulatedWall:
    """The wall with what lies left marked in the first photo only, the rest in the second."""
    first, second = wall.request.photos
    photos = (
        replace(first, taps=tuple(tap for tap in first.taps if tap.name in LEFT)),
        replace(second, taps=tuple(tap for tap in second.taps if tap.name not in LEFT)),
    )
    return replace(wall, request=replace(wall.request, photos=photos))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("plan", [ADVISED, Plan()], ids=["advised", "cards low"])
def test_marks_in_one_photo_each_leave_the_photos_where_they_are(plan: Plan, seed: int) -> None:
    """The search ends, where the cards alone would end; nobody is accused, and intervals hold."""
    wall = each_in_one_photo(simulate(np.random.default_rng([31, seed]), plan, None, 0.25))
    bare = tuple(replace(photo, taps=()) for photo in wall.request.photos)
    measured = measure_wall(wall.request, wall.sights)
    cards = measure_wall(replace(wall.request, photos=bare, level=None), wall.sights).solve()
    found = measured.estimates()

    assert not measured.set_aside
    assert measured.solve().minimum.converged
    assert measured.solve().minimum.cost == pytest.approx(cards.minimum.cost, abs=0.01)
    error = found.mm - np.array([wall.truth_mm[name] for name in found.names])
    assert np.max(np.abs(error) / np.sqrt(np.diag(found.covariance_mm2))) < 4
