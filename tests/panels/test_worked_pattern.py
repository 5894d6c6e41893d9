"""Pattern, top height and sheets of the alcove worked by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from service.panels.pattern import centre_limits
from service.panels.placement import best_placement, cut_mm
from service.panels.plan import plan_panels
from service.panels.walls import Pattern, StockSheet
from tests.panels.worked_alcove import (
    inch,
    worked_alcove,
    worked_panel,
    worked_plan,
    worked_practice,
)

if TYPE_CHECKING:
    from service.panels.model import PanelPattern


def pattern(wall: str) -> PanelPattern:
    """The pattern of one panel."""
    found = worked_panel(wall).pattern
    assert found is not None
    return found


def cuts(wall: str, side: str) -> list[float]:
    """Cut widths down one side, inches."""
    return [cut.width.mm / 25.4 for cut in pattern(wall).cuts if cut.side == side]


def bottoms(wall: str) -> dict[str, str]:
    """Heights of the lowest course."""
    return {cut.side: cut.width.text for cut in pattern(wall).bottom_courses}


@pytest.mark.parametrize(
    ("top", "course"), [("81", "5 1/4"), ("81 3/4", "6"), ("82", "6 1/4"), ("83", "7 1/4")]
)
def test_lowest_course_over_the_band(top: str, course: str) -> None:
    """The lowest course on the highest rim is T - 15 - 1/8 - 5 x 12 1/8."""
    found = worked_plan().top
    assert found is not None
    courses = {h.above_floor.text: h.lowest_course.text for h in found.heights if h.lowest_course}
    assert courses[top] == course


def test_four_tiles_would_leave_slivers() -> None:
    """Four full tiles leave (58.4 - 48 3/8) / 2 - 1/8 = 4.9, so three are laid and 10.9 left."""
    tile = Pattern((12.0 * 25.4, 12.0 * 25.4), 25.4 / 8)
    half = 58.4 / 2 * 25.4
    found = best_placement([half], [half], tile, 6.0 * 25.4, None)
    assert found.anchor == "tile"
    assert found.least_cut_mm / 25.4 == pytest.approx(10.9, abs=0.06)
    assert cut_mm(half, 12.0 * 25.4, 25.4 / 8, "joint", 0.0) / 25.4 == pytest.approx(4.9, abs=0.06)


def test_pattern_centre_is_balanced_over_the_lean() -> None:
    """Left minus right runs from +.695 to -.094, so -(.695 - .094) / 4 = -.150 is least bad.

    Marked to 1/16 that is 1/8 left, and the greatest difference there is .695 - 2/8 = .445.
    """
    left, right = [29.5703, 29.5625, 29.0479], [28.875, 28.875, 29.1421]
    tile = Pattern((12.0 * 25.4, 12.0 * 25.4), 25.4 / 8, centre="tile")
    found = best_placement(
        [x * 25.4 for x in left], [x * 25.4 for x in right], tile, 6.0 * 25.4, None
    )
    assert found.centre_mm / 25.4 == pytest.approx(-0.125)
    assert found.imbalance_mm / 25.4 == pytest.approx(0.445, abs=0.001)


def test_pattern_centre_is_marked_an_eighth_left() -> None:
    """The centre is marked 1/8 left of the plumb line."""
    assert pattern("back").offset.text == "-1/8"


@pytest.mark.parametrize(
    ("side", "top", "low"), [("left", 11.195, 10.673), ("right", 10.75, 11.017)]
)
def test_back_cuts(side: str, top: float, low: float) -> None:
    """Left cut is L' - 18 3/8, right cut R' - 18 1/8."""
    found = cuts("back", side)
    assert found[0] == pytest.approx(top, abs=0.001)
    assert found[-1] == pytest.approx(low, abs=0.003)


def test_how_far_the_sheet_lets_the_pattern_move() -> None:
    """On the 60 sheet the centre may lie from 29.142 - 30 = -.858 to 30 - 29.570 = +.430."""
    assert centre_limits(29.570, 29.142, 60.0) == pytest.approx((-0.858, 0.430))


def test_end_sheets_cover_an_eighth_of_the_cuts() -> None:
    """Once the end sheets stand, each cut shows 1/8 less: build-up 1/4 less joint 1/8."""
    assert "once the end sheets stand, each cut shows 1/8 in less" in pattern("back").notes


def test_the_taper_is_told() -> None:
    """The left cut's taper of .52 is a thing to tell the customer."""
    told = [w for w in worked_plan().warnings if w.code == "taper" and w.wall == "back"]
    assert any("left" in caution.text for caution in told)


@pytest.mark.parametrize("wall", ["back", "plumbing", "far end"])
def test_level_joints_are_the_same_on_all_walls(wall: str) -> None:
    """Level joints lie at 12, 24 1/8, 36 1/4, 48 3/8 and 60 1/2 on every wall."""
    found = [size.text for size in pattern(wall).course_joints]
    assert found == ["12", "24 1/8", "36 1/4", "48 3/8", "60 1/2"]


@pytest.mark.parametrize(
    ("wall", "side", "height"),
    [
        ("back", "left", "6 1/4"),  # 66 7/8 - 60 5/8
        ("plumbing", "inner", "6 1/4"),
        ("back", "right", "6 9/16"),  # 67 3/16 - 60 5/8
        ("far end", "inner", "6 9/16"),
    ],
)
def test_lowest_course_meets_in_the_corner(wall: str, side: str, height: str) -> None:
    """The lowest course is as high on both walls of a corner."""
    assert bottoms(wall)[side] == height


@pytest.mark.parametrize(("wall", "low"), [("plumbing", 6.890), ("far end", 6.830)])
def test_end_cuts_fall_in_the_corner(wall: str, low: float) -> None:
    """The corner cut is X - 24 1/4, from 6 9/16 at the top."""
    found = cuts(wall, "inner")
    assert found[0] == pytest.approx(inch("6 9/16"))
    assert max(found) == pytest.approx(low, abs=0.001)


def test_no_sliver_is_warned_of() -> None:
    """Every cut is half a tile or more, so nothing is called a sliver."""
    assert not [w for w in worked_plan().warnings if w.code.startswith("sliver")]


@pytest.mark.parametrize(
    ("wall", "sheet", "hand"),
    [
        ("back", "60 x 96", "none"),
        ("plumbing", "36 x 96 left", "left"),
        ("far end", "36 x 96 right", "right"),
    ],
)
def test_sheets(wall: str, sheet: str, hand: str) -> None:
    """Each panel is cut from the sheet with its finished edges and hand."""
    chosen = worked_panel(wall).sheet
    assert chosen is not None
    assert (chosen.name, chosen.hand) == (sheet, hand)


def test_spare_and_drop_of_the_back_sheet() -> None:
    """The 60 x 96 leaves 1.29 in width and a drop 96 - 67 3/16 - 1/8 = 28 11/16 high."""
    sheet = worked_panel("back").sheet
    assert sheet is not None
    assert sheet.spare_width.mm / 25.4 == pytest.approx(1.29, abs=0.005)
    assert sheet.drop.text == "28 11/16"


@pytest.mark.parametrize(("wide", "together"), [("60", False), ("62 3/8", True)])
def test_two_ends_out_of_one_sheet(wide: str, together: bool) -> None:
    """31.140 + 31.080 + 1/8 is more than 60, and less than 62 3/8 (plain, both sides finished)."""
    both = StockSheet(
        "both", inch(wide) * 25.4, 96 * 25.4, ("top", "left", "right"), Decimal("500.00")
    )
    alcove = replace(worked_alcove(), pattern=None, stock=(*worked_alcove().stock, both))
    cutting = plan_panels(alcove, worked_practice()).cutting
    assert cutting is not None
    ends = [len(cut.pieces) for cut in cutting.sheets if cut.sheet == "both"]
    assert ends == ([2] if together else [])


def test_bought_and_used() -> None:
    """88 sq ft are bought, of which 64 % become panels."""
    plan = worked_plan()
    bought = sum(
        line.quantity * line.width.mm * line.height.mm for line in plan.order
    ) / 304.8**2  # fmt: skip
    used = sum(panel.area_mm2 for panel in plan.panels) / 304.8**2
    assert bought == pytest.approx(88.0)
    assert used / bought == pytest.approx(0.64, abs=0.005)
