"""Tile layouts, sealant yields, holes and heights against published figures.

Each check names its source; figures marked "from memory" were not looked up in the document.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from service.panels.holes import hole_diameter_mm, largest_hole_mm, next_saw_mm
from service.panels.lengths_needed import (
    least_lengths,
    lengths_needed,
    linear_bound,
    ways_to_cut,
)
from service.panels.placement import Placement, best_placement
from service.panels.plan import plan_panels
from service.panels.stock import longest_past_corner_mm
from service.panels.takeoff import (
    fillet_area_mm2,
    rectangle_area_mm2,
    round_area_mm2,
    tube_yield_mm,
)
from service.panels.walls import Fixture, Given, Pattern, Top
from tests.panels.worked_alcove import shipped_practice, worked_alcove, worked_practice

pytestmark = pytest.mark.published

FOOT = 304.8
INCH = 25.4


# ANSI A108.02 4.3.1: centre and balance areas of tile, if possible; 4.3.2: usually, no cuts
# smaller than half size. The arithmetic below is as published in tile-setting instruction.


def balanced(width: float, tile: float, joint: float) -> tuple[Placement, float]:
    """The placement on an upright wall, inches, and its cut."""
    laid = Pattern((tile * INCH, tile * INCH), joint * INCH)
    half = width / 2 * INCH
    found = best_placement([half], [half], laid, tile / 2 * INCH, None)
    return found, found.least_cut_mm / INCH


def test_a_sliver_and_a_tile_make_two_cuts() -> None:
    """24 and 1 1/2 left over become two cuts of 12 3/4 (ANSI A108.02 4.3.1)."""
    found, cut = balanced(4 * 24.0 + 1.5, 24.0, 0.0)
    assert found.imbalance_mm == pytest.approx(0.0, abs=1e-6)
    assert cut == pytest.approx(12.75)


def test_two_slivers_and_a_tile_make_two_cuts() -> None:
    """1 3/4, 1 1/4 and a tile of 11 3/4 become two cuts of 7 3/8 (ANSI A108.02 4.3.1)."""
    found, cut = balanced(1.75 + 5 * 11.75 + 1.25, 11.75, 0.0)
    assert found.imbalance_mm == pytest.approx(0.0, abs=1e-6)
    assert cut == pytest.approx(7.375)


@pytest.mark.parametrize("sixteenths", range(40 * 16, 100 * 16, 23))
def test_cuts_are_never_under_half_a_tile(sixteenths: int) -> None:
    """Any width has a layout without cuts under half a tile (ANSI A108.02 4.3.2)."""
    _, cut = balanced(sixteenths / 16, 12.0, 0.125)
    assert 6.0 - 0.125 <= cut <= 12.0


@pytest.mark.parametrize("sixteenths", range(40 * 16, 100 * 16, 23))
def test_a_layout_fills_its_width(sixteenths: int) -> None:
    """Two equal cuts leave a whole number of modules between them."""
    width, tile, joint = sixteenths / 16, 12.0, 0.125
    _, cut = balanced(width, tile, joint)
    modules = (width - 2 * cut - joint) / (tile + joint)
    if cut < tile:
        assert modules == pytest.approx(round(modules), abs=1e-6)


# Sealant cartridge of 10.1 fl oz = 18.23 cubic inches (231/128 cubic inches a fluid ounce, exact).


@pytest.mark.parametrize(
    ("width", "depth", "feet"),
    [
        (1 / 8, 1 / 8, 97.2),
        (3 / 16, 3 / 16, 43.2),
        (1 / 4, 1 / 8, 48.6),
        (1 / 4, 1 / 4, 24.3),
        (3 / 8, 1 / 4, 16.2),
        (1 / 2, 1 / 4, 12.2),
        (1 / 2, 1 / 2, 6.1),
    ],
)
def test_yield_of_a_filled_joint(width: float, depth: float, feet: float) -> None:
    """Feet of joint a cartridge fills, as sealant makers' yield tables print them."""
    found = tube_yield_mm(rectangle_area_mm2(width * INCH, depth * INCH), shipped_practice())
    assert found / FOOT == pytest.approx(feet, abs=0.06)


@pytest.mark.parametrize(("diameter", "feet"), [(1 / 4, 30.9), (3 / 8, 13.7)])
def test_yield_of_a_round_bead(diameter: float, feet: float) -> None:
    """Feet of round bead: volume over pi d^2 / 4."""
    found = tube_yield_mm(round_area_mm2(diameter * INCH), shipped_practice())
    assert found / FOOT == pytest.approx(feet, abs=0.06)


def test_a_fillet_yields_twice_the_square() -> None:
    """1/4 x 1/4 gives 24.3 ft filled and 48.6 ft as a fillet.

    A chart in circulation prints 50 to 55 ft for the filled joint, which is the fillet's yield.
    """
    shop = shipped_practice()
    square = tube_yield_mm(rectangle_area_mm2(INCH / 4, INCH / 4), shop) / FOOT
    fillet = tube_yield_mm(fillet_area_mm2(INCH / 4), shop) / FOOT
    assert square == pytest.approx(24.3, abs=0.06)
    assert fillet == pytest.approx(48.6, abs=0.06)


# Pipes: 1/2 NPS is .840 in outside (ASME B36.10, from memory), 1/2 copper tube .625 in (ASTM B88,
# from memory).


@pytest.mark.parametrize(("outside", "plate"), [(0.840, 2.5), (0.625, 2.0)])
def test_hole_clears_the_pipe_and_hides_under_the_plate(outside: float, plate: float) -> None:
    """A hole is at least the pipe and its clearance, and at most the plate less its cover."""
    shop = shipped_practice()
    place = Given("pipe", 100.0, 1.0, "")
    pipe = Fixture("pipe", place, place, pipe_mm=outside * INCH, plate_mm=plate * INCH)
    saw = next_saw_mm(hole_diameter_mm("plumbing", pipe, shop), shop)
    largest = largest_hole_mm(pipe, shop)
    assert saw is not None
    assert largest is not None
    assert largest == pytest.approx((plate - 2 * 0.375) * INCH)
    assert (outside + 2 * 0.125) * INCH <= saw <= largest


# IRC R307.2: walls of a tub with a shower are waterproof to 6 ft above the floor.


@pytest.mark.parametrize(
    ("rim", "low"), [(14.0, False), (15.0, False), (11.5, True)], ids=["14", "15", "11 1/2"]
)
def test_sixty_inch_panel_on_a_rim(rim: float, low: bool) -> None:
    """A 60 in panel on a 14 or 15 in rim tops out at 74 or 75, which passes 72 (IRC R307.2)."""
    alcove = worked_alcove()
    top = Top(25.4, line_above_floor_mm=(rim + 60.0 - 1.0) * INCH)
    plan = plan_panels(replace(alcove, top=top), worked_practice())
    assert any(w.code == "top-low" for w in plan.warnings) == low


# The longest thin rod round a corner from a passage a wide into one b wide: (a^2/3 + b^2/3)^3/2,
# the envelope of the rod being the astroid; any calculus text.


@pytest.mark.parametrize(
    ("hall", "door", "longest"),
    [(27.0, 64.0, 125.0), (36.0, 36.0, 36.0 * 2**1.5), (8.0, 27.0, 13.0**1.5)],
)
def test_longest_sheet_past_a_corner(hall: float, door: float, longest: float) -> None:
    """(9 + 16)^(3/2) = 125 for passages of 27 and 64."""
    assert longest_past_corner_mm(hall, door) == pytest.approx(longest)


@pytest.mark.parametrize(("hall", "door"), [(27.0, 64.0), (40.0, 31.0)])
def test_longest_sheet_is_the_least_line_through_the_corner(hall: float, door: float) -> None:
    """No line through the inner corner, wall to wall, is shorter than the formula says."""
    from math import cos, pi, sin

    angles = [pi / 2 * k / 20000 for k in range(1, 20000)]
    least = min(hall / sin(angle) + door / cos(angle) for angle in angles)
    assert longest_past_corner_mm(hall, door) == pytest.approx(least, rel=1e-6)


# One-dimensional cutting stock: roll 110; 20 x 48, 45 x 35, 50 x 24, 55 x 10, 75 x 8. LP bound
# 46.25, integer optimum 47 (Fourer, Gay and Kernighan, AMPL, cut.dat; figures from memory).
CUTS = (*[20.0] * 48, *[45.0] * 35, *[50.0] * 24, *[55.0] * 10, *[75.0] * 8)


def test_stock_lengths_are_the_proved_least() -> None:
    """47 lengths are found, and the bound of 46 1/4 proves that none fewer will do."""
    sizes, demand = (75.0, 55.0, 50.0, 45.0, 20.0), (8, 10, 24, 35, 48)
    assert linear_bound(ways_to_cut(sizes, demand, 110.0), demand) == Fraction(185, 4)
    found = least_lengths(CUTS, 110.0, 0.0)
    assert (found.count, found.bound) == (47, 47)


def test_kerf_is_length_on_stock_and_pieces() -> None:
    """With a kerf k the answer is that of stock L + k and pieces l + k without one."""
    kerf = 0.5
    longer = [piece + kerf for piece in CUTS]
    assert lengths_needed(CUTS, 110.0, kerf) == lengths_needed(longer, 110.0 + kerf, 0.0)
