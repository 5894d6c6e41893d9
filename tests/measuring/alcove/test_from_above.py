"""The alcove in plan lies as the hand-worked one does."""

from __future__ import annotations

import math

import pytest

from service.measuring.alcove.from_above import FromAbove, from_above, out_of_square
from service.measuring.alcove.judging import as_read
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes
from service.measuring.estimates import Estimate
from tests.measuring.alcove.worked import worked_alcove

INCH = 25.4


def _worked(*left_out: str) -> FromAbove:
    walls, readings = worked_alcove("29 1/16")
    values = as_read(None, readings)
    taped = {name: mm for name, mm in values.items() if name.removeprefix("back ") not in left_out}
    found = from_above(walls, taped)
    assert found is not None
    return found


def _degrees(
    corner: tuple[float, float], one: tuple[float, float], other: tuple[float, float]
) -> float:
    way = [math.atan2(end[1] - corner[1], end[0] - corner[0]) for end in (one, other)]
    return abs(math.degrees(way[1] - way[0]))


def test_the_corners_stand_at_the_angles_that_their_diagonals_say() -> None:
    """Worked by hand: 34 1/8 in across the left corner is 90.62 degrees, 33 13/16 across the right
    one 89.57, and 29 in out the fronts are then 58.533 in apart."""
    left_front, left_back, right_back, right_front = _worked().outline

    assert _degrees(left_back, left_front, right_back) == pytest.approx(90.62, abs=0.005)
    assert _degrees(right_back, left_back, right_front) == pytest.approx(89.57, abs=0.005)
    assert math.dist(left_back, right_back) / INCH == pytest.approx(58.4375)
    assert math.dist(left_front, right_front) / INCH == pytest.approx(58.533, abs=0.001)
    assert _worked().usual == ()


def test_a_size_in_plan_is_as_long_as_it_was_taped() -> None:
    """The diagonals of the corners, the opening and the depth, each between its two ends; what the
    room leaves open of the opening is 1/32 in."""
    taped = {"square left": 34.125, "square right": 33.8125, "depth": 29.0, "opening": 58.5}
    for name, inches in taped.items():
        apart = math.dist(*_worked().ends[f"back {name}"]) / INCH
        assert apart == pytest.approx(inches, abs=0.034 if name == "opening" else 1e-9), name


def test_a_plan_diagonal_runs_from_a_back_corner_to_the_other_front() -> None:
    """16 ft by 12 ft and square, as the trade checks a room: 20 ft corner to corner (the 3-4-5
    rule)."""
    sizes = (
        Size("width", "back", Role.WIDTH, down_mm=0.0),
        Size("depth", "back", Role.DEPTH),
        Size("diagonal", "back", Role.PLAN_DIAGONAL, Side.RIGHT),
    )
    found = from_above([WallSizes("back", sizes)], {"width": 192 * INCH, "depth": 144 * INCH})

    assert found is not None
    start, end = found.ends["diagonal"]
    assert start == (192 * INCH, 0.0)
    assert end[0] == pytest.approx(0.0)
    assert math.dist(start, end) / INCH == pytest.approx(240.0)
    assert found.usual == ("left corner", "right corner")


def test_nothing_is_drawn_by_a_size_that_is_not_taped() -> None:
    """Without its diagonal a corner is drawn square, without its depth the alcove 30 in deep, and
    it says so; what is not taped still has its place."""
    found = _worked("square left", "depth")
    left_front, left_back, right_back, _ = found.outline

    assert found.usual == ("depth", "left corner")
    assert _degrees(left_back, left_front, right_back) == pytest.approx(90.0)
    assert left_front[1] == pytest.approx(30 * INCH)
    assert {"back square left", "back depth"} <= set(found.ends)


def test_the_width_is_the_lowest_that_the_tape_gives() -> None:
    """The lowest two offsets, 29 3/16 and 29 1/4, where no width was taken there; the opening and
    the corners where nothing on the back wall was; else 60 in."""
    walls, readings = worked_alcove("29 1/16")
    read = as_read(None, readings)
    widths = [f"back width {down}" for down in (0, 16, 40, 64)]
    offsets = [f"back {side} {down}" for side in ("left", "right") for down in (0, 16, 40, 64)]
    steps: tuple[list[str], ...] = (
        [],
        widths,
        widths + offsets,
        [*widths, *offsets, "back opening"],
    )
    found = [from_above(walls, {n: mm for n, mm in read.items() if n not in out}) for out in steps]

    wide = [one.outline[2][0] / INCH for one in found if one is not None]
    assert wide == pytest.approx([58.4375, 58.4375, 58.5 + 29 * (-0.01086 + 0.00756), 60], abs=1e-3)
    assert [one.usual for one in found if one is not None] == [(), (), (), ("width",)]


def test_an_alcove_without_sizes_in_plan_has_none() -> None:
    """Walls that only have widths and heights are no plan."""
    sizes = (Size("width", "back", Role.WIDTH, down_mm=0.0),)
    assert from_above([WallSizes("back", sizes)], {"width": 1500.0}) is None


def test_a_corner_is_out_by_what_its_diagonal_says_over_24_in() -> None:
    """34 1/8 in: c² / 48 - 24 = 0.2604 in open; 33 13/16: 0.1818 closed; 24 times the root of two:
    square. The diagonal's uncertainty counts the more the longer it is: times c / 24."""
    out = [out_of_square(Estimate(c * INCH, 1.0)) for c in (34.125, 33.8125, 24 * math.sqrt(2))]

    assert [one.mm / INCH for one in out] == pytest.approx([0.2604, -0.1818, 0.0], abs=5e-4)
    assert out[0].u_mm == pytest.approx(34.125 / 24)


def test_a_slip_in_a_corner_does_not_fold_the_drawing_up() -> None:
    """44 1/8 in for 34 1/8 is drawn 10 degrees open, not more."""
    walls, readings = worked_alcove("29 1/16")
    taped = {**as_read(None, readings), "back square left": 44.125 * INCH}
    found = from_above(walls, taped)

    assert found is not None
    left_front, left_back, right_back, _ = found.outline
    assert _degrees(left_back, left_front, right_back) == pytest.approx(100.0)
