"""The pattern's place on the back wall against a search that shares nothing with it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.panels.placement import best_placement
from service.panels.walls import Pattern

INCH = 25.4
reach = st.lists(st.floats(24, 36), min_size=3, max_size=3)


def cuts(half: float, centre: float, tile: float, joint: float, *, on_joint: bool) -> float:
    """The cut at a side, walked outwards, inches; a tile where the edge is in a joint."""
    edge = centre + (-joint / 2 if on_joint else tile / 2)
    while edge + joint + tile < half - 1e-9:
        edge += joint + tile
    left = half - edge - joint
    return tile if left <= 1e-9 else left


def worst(
    left: list[float], right: list[float], centre: float, *, on_joint: bool, course: str
) -> tuple[float, float]:
    """Narrowest cut and greatest difference of one place, 12 in tile and 1/8 in joint."""
    found, uneven = [], 0.0
    for joint_first in (on_joint,) if course == "stacked" else (on_joint, not on_joint):
        for a, b in zip(left, right, strict=True):
            x = cuts(a, -centre, 12.0, 0.125, on_joint=joint_first)
            y = cuts(b, centre, 12.0, 0.125, on_joint=joint_first)
            found += [x, y]
            uneven = max(uneven, abs(x - y))
    return min(found), uneven


@pytest.mark.parametrize("course", ["stacked", "half offset"])
@given(left=reach, right=reach)
@settings(max_examples=25, deadline=None)
def test_no_marked_place_is_better(course: str, left: list[float], right: list[float]) -> None:
    """No sixteenth within half a module of the middle avoids slivers better or is more even."""
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8, course)  # type: ignore[arg-type]
    found = best_placement(
        [x * INCH for x in left], [x * INCH for x in right], pattern, 6 * INCH, None
    )
    joint_first = found.anchor == "joint"
    own, uneven_here = worst(
        left, right, found.centre_mm / INCH, on_joint=joint_first, course=course
    )
    assert found.least_cut_mm / INCH == pytest.approx(own, abs=1e-6)
    assert found.imbalance_mm / INCH == pytest.approx(uneven_here, abs=1e-6)
    short = max(6.0 - own, 0.0)
    middle = (max(right) - max(left)) / 2
    for step in range(-97, 98):
        centre = round(middle * 16) / 16 + step / 16
        for on_joint in (False, True):
            least, uneven = worst(left, right, centre, on_joint=on_joint, course=course)
            other = max(6.0 - least, 0.0)
            assert short <= other + 1e-3
            if abs(short - other) < 1e-4:
                assert uneven_here <= uneven + 1e-3


@given(left=reach, right=reach)
@settings(max_examples=25, deadline=None)
def test_mirroring_mirrors_the_cuts(left: list[float], right: list[float]) -> None:
    """Left and right exchanged, the pattern is as good."""
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8)
    one, other = (
        best_placement([x * INCH for x in a], [x * INCH for x in b], pattern, 6 * INCH, None)
        for a, b in ((left, right), (right, left))
    )
    assert one.least_cut_mm == pytest.approx(other.least_cut_mm, abs=0.01)
    assert one.imbalance_mm == pytest.approx(other.imbalance_mm, abs=0.01)


def test_the_sheet_limits_the_place() -> None:
    """Printed on a sheet, the centre stays where the sheet still reaches both sides."""
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8, centre="tile")
    limits = (-0.858 * INCH, 0.43 * INCH)
    found = best_placement([31 * INCH], [27 * INCH], pattern, 6 * INCH, limits)
    assert limits[0] <= found.centre_mm <= limits[1]
    free = best_placement([31 * INCH], [27 * INCH], pattern, 6 * INCH, None)
    assert free.centre_mm == pytest.approx(-2 * INCH)
