"""Out of square by its own tape, and as all sizes together leave it: one law, told apart.

The alcove is drawn here by coordinates, which share no code with the figures that are judged.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from service.measuring.alcove.derived import derived_sizes
from service.measuring.alcove.from_above import from_above, out_of_square
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.square import Corner
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes
from service.measuring.estimates import Estimate
from service.measuring.judgement import DimensionJudgement, Status
from tests.support.simulated_alcove import taped

INCH = 25.4
LEG, WIDTH, DEPTH = 24 * INCH, 58.5 * INCH, 32 * INCH
BACK = WallSizes(
    "back",
    (
        Size("width", "back", Role.WIDTH, down_mm=40 * INCH),
        Size("left corner", "back", Role.CORNER_DIAGONAL, Side.LEFT),
        Size("right corner", "back", Role.CORNER_DIAGONAL, Side.RIGHT),
        Size("depth", "back", Role.DEPTH),
        Size("opening", "back", Role.OPENING),
        Size("from left", "back", Role.PLAN_DIAGONAL, Side.LEFT),
        Size("from right", "back", Role.PLAN_DIAGONAL, Side.RIGHT),
    ),
)
STRONG = [-2.0, -1.0, -0.25, 0.0, 0.25, 1.0, 2.0]
"""Inches that an end wall is open by at the front, 32 in out."""


def _truth(left_in: float, right_in: float) -> dict[str, float]:
    """All sizes of a plan whose end walls open by that much, from its corners' coordinates."""
    ways = [_way(-1, left_in), _way(1, right_in)]
    backs = [(0.0, 0.0), (WIDTH, 0.0)]
    fronts, legs = (
        [
            (x + away * way_x, y + away * way_y)
            for (x, y), (way_x, way_y) in zip(backs, ways, strict=True)
        ]
        for away in (DEPTH, LEG)
    )
    return {
        "width": WIDTH,
        "left corner": math.dist((LEG, 0), legs[0]),
        "right corner": math.dist((WIDTH - LEG, 0), legs[1]),
        "depth": DEPTH,
        "opening": math.dist(*fronts),
        "from left": math.dist(backs[0], fronts[1]),
        "from right": math.dist(backs[1], fronts[0]),
    }


def _way(outwards: int, open_in: float) -> tuple[float, float]:
    across = outwards * open_in / 32
    return across, math.sqrt(1 - across**2)


def _solved(mm: dict[str, float]) -> tuple[dict[str, DimensionJudgement], dict[str, Estimate]]:
    # Read to the figure: rounding to a sixteenth is no part of what is held together here.
    readings = [replace(taped(size, mm[size.name]), mm=mm[size.name]) for size in BACK.sizes]
    judged = judge_alcove([BACK], None, readings)
    found = derived_sizes([BACK], judged, None, readings)
    sizes = {size.name: size for size in judged.judgement.dimensions}
    return sizes, {one.what: one.value for one in found}


@pytest.mark.parametrize("left", STRONG)
@pytest.mark.parametrize("right", [-1.0, 2.0])
def test_both_figures_are_the_truth_however_far_out_of_square(left: float, right: float) -> None:
    """Up to 2 in over 32 in (3.6 degrees): the end of the 24 in leg is off by 24/32 of that, by its
    own tape, as adjusted, and in the drawing; within 0.02 mm."""
    sizes, found = _solved(_truth(left, right))
    drawn = from_above([BACK], _truth(left, right))

    for side, open_in in (("left", left), ("right", right)):
        true_mm = open_in / 32 * LEG
        tape = sizes[f"{side} corner"].tape
        assert tape is not None
        assert out_of_square(tape).mm == pytest.approx(true_mm, abs=0.02)
        assert found[f"out of square {side}"].mm == pytest.approx(true_mm, abs=0.02)
    assert drawn is not None
    assert drawn.outline[0][0] == pytest.approx(-left * INCH, abs=0.02)
    assert drawn.outline[3][0] == pytest.approx(WIDTH + right * INCH, abs=0.02)


@pytest.mark.parametrize("left", STRONG)
@pytest.mark.parametrize("error_in", [-1.0, -0.25, 0.125, 0.25, 1.0])
def test_the_adjusted_figure_is_that_of_the_adjusted_diagonal(left: float, error_in: float) -> None:
    """A corner's diagonal read wrong is moved by the others, or set aside for them. The figure is
    linear at the reading that stands, else at what the rest makes of it: it is the closed form of
    what the diagonal is adjusted to, within 1/800 in, and as uncertain. A reading that is set aside
    leaves nothing of itself in it."""
    read = _truth(left, 0.5)
    read["left corner"] += error_in * INCH
    sizes, found = _solved(read)
    corner, adjusted = sizes["left corner"], found["out of square left"]
    assert corner.best is not None

    closed = out_of_square(corner.best)
    assert adjusted.mm == pytest.approx(closed.mm, abs=INCH / 800)
    assert adjusted.u_mm == pytest.approx(closed.u_mm, rel=0.02)
    assert (corner.status is Status.CONFLICTS) is (abs(error_in) >= 0.25)
    if corner.status is Status.CONFLICTS:
        assert adjusted.mm == pytest.approx(left / 32 * LEG, abs=0.01)


def test_a_corner_is_linear_at_its_reading() -> None:
    """Value and slope, against finite differences."""
    corner, step = Corner(34.6 * INCH, LEG), 0.01
    beside = [Corner(corner.c_mm + d, LEG) for d in (-step, step)]
    slopes = [(beside[1].cosine - beside[0].cosine) / (2 * step)]
    slopes.append((beside[1].off_mm - beside[0].off_mm) / (2 * step))

    assert corner.cosine_slope == pytest.approx(slopes[0], rel=1e-6)
    assert corner.off_slope == pytest.approx(slopes[1], rel=1e-6)
    assert corner.off_of("c").at({"c": corner.c_mm}) == pytest.approx(corner.off_mm)
    assert corner.cosine_of("c").at({"c": corner.c_mm}) == pytest.approx(corner.cosine)
