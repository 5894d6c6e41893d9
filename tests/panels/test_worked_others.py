"""Five more alcoves worked by hand, each with its steps; inches, exact fractions on paper.

Shipped allowances: sheet 1/8, bed 1/8, joints 1/8, hold-down 3/4, kerf 1/8, saws as shipped.
"""

from __future__ import annotations

from functools import cache

import pytest

from service.panels.model import Plan
from tests.panels.worked_alcove import inch
from tests.panels.written_plan import (
    INCH,
    back_wall,
    box,
    codes,
    end_wall,
    heights,
    panel,
    points,
    sheet,
    side,
    square_inches,
    written_plan,
)

# 1. Mid-height: old tile from 20 above the line down to the tub, kept; the finished top stands on
# the tile. L 30, R 29 plumb; deck 50 at -30, 50 1/8 at 0, 50 1/4 at 29; line 66 above the floor.


@cache
def mid_height() -> Plan:
    """The mid-height alcove's back wall."""
    deck = [("-30", "50"), ("0", "50 1/8"), ("29", "50 1/4")]
    wall = {
        "wall": "back",
        "line_to_deck": [{"at": at, "value": value} for at, value in deck],
        "left": side("30", "0", "24", "48", surface="tile"),
        "right": side("29", "0", "24", "48", surface="tile"),
        "surfaces": [{"from_down": "-20", "to_down": None, "proud": "3/8", "do": "keep"}],
    }
    top = {"above_line": "3/4", "line_above_floor": "66"}
    return written_plan({"walls": [wall], "top": top, "stock": [sheet("60 x 96", "top")]})


def test_mid_height_box() -> None:
    """30 + 29 - 2/8 = 58 3/4 wide; right corner 50 1/4 + 3/4 - 1/8 = 50 7/8 high."""
    assert box(panel(mid_height(), "back")) == ("58 3/4", "50 7/8")


def test_mid_height_bottom() -> None:
    """Left corner 50 + 5/8 = 50 5/8, plumb line 50 3/4, right corner 50 7/8."""
    found = [m.value.text for m in panel(mid_height(), "back").marks if m.edge == "bottom"]
    assert found == ["50 5/8", "50 3/4", "50 7/8"]


def test_mid_height_return_stands_on_the_tile() -> None:
    """The tile runs on above the top, so there is no step: return 0 + 1/8 + 1/8 = 1/4."""
    assert [(r.edge, r.depth.text) for r in panel(mid_height(), "back").returns] == [("top", "1/4")]


def test_mid_height_is_under_the_codes_floor() -> None:
    """66 + 3/4 = 66 3/4 above the floor is under 72."""
    low = [w.text for w in mid_height().warnings if w.code == "top-low"]
    assert len(low) == 1
    assert "66 3/4 in above the floor, under 72 in" in low[0]


def test_mid_height_drop() -> None:
    """From 60 x 96: 60 - 58 3/4 = 1 1/4 spare; drop 96 - 50 7/8 - 1/8 = 45."""
    found = panel(mid_height(), "back").sheet
    assert found is not None
    assert (found.spare_width.text, found.drop.text) == ("1 1/4", "45")


# 2. Base to ceiling with pattern: 48 in back wall, base level 66 below the line, ceiling 24 above
# it; down to the studs, so no old surface. Tile 12 x 24, joint 1/8, stacked, nothing printed yet.
# End walls: corner 12 from plumb, outer edge 20 from it.


@cache
def base_to_ceiling() -> Plan:
    """The three walls of the shower."""
    deck = {"line_to_deck": heights("66", "-12", "0", "12")}
    ends = [end_wall(wall, "12", "12", "20", **deck) for wall in ("plumbing", "far end")]
    return written_plan(
        {
            "job": {"name": "shower", "scope": "down to studs", "tub": "base"},
            "walls": [back_wall("24", "24", "66"), *ends],
            "top": {"above_line": "24", "to_ceiling": True},
            "pattern": {"tile": ["12", "24"], "joint": "1/8"},
            "stock": [
                sheet("48 x 96"),
                sheet("36 x 96 left", "left"),
                sheet("36 x 96 right", "right"),
            ],
        }
    )


@pytest.mark.parametrize(
    ("wall", "size"),
    [("back", ("47 3/4", "89 3/4")), ("plumbing", ("31 5/8", "89 3/4")),
     ("far end", ("31 5/8", "89 3/4"))],
)  # fmt: skip
def test_ceiling_boxes(wall: str, size: tuple[str, str]) -> None:
    """66 + 24 - 1/8 - 1/8 = 89 3/4 high; 48 - 2/8 = 47 3/4; 20 + 12 - 1/4 - 1/8 = 31 5/8."""
    assert box(panel(base_to_ceiling(), wall)) == size


def test_ceiling_back_columns() -> None:
    """Three tiles would leave (47 3/4 - 36 1/4)/2 - 1/8 = 5 5/8, a sliver; two leave 11 11/16.

    A joint stands on the centre: joints at -12 3/16, -1/16 and 12 1/16, the edge at smaller x.
    """
    pattern = panel(base_to_ceiling(), "back").pattern
    assert pattern is not None
    assert [x.text for x in pattern.column_joints] == ["-12 3/16", "-1/16", "12 1/16"]
    assert {cut.width.text for cut in pattern.cuts} == {"11 11/16"}


def test_ceiling_courses() -> None:
    """Module 24 1/8: joints at 24, 48 1/8, 72 1/4; lowest course 89 3/4 - 72 3/8 = 17 3/8."""
    for wall in ("back", "plumbing", "far end"):
        pattern = panel(base_to_ceiling(), wall).pattern
        assert pattern is not None
        assert [y.text for y in pattern.course_joints] == ["24", "48 1/8", "72 1/4"]
        assert {cut.width.text for cut in pattern.bottom_courses} == {"17 3/8"}


def test_ceiling_end_cuts() -> None:
    """Two whole tiles from the outer edge, 24 1/4 with joints: 31 5/8 - 24 1/4 = 7 3/8."""
    pattern = panel(base_to_ceiling(), "plumbing").pattern
    assert pattern is not None
    assert {cut.width.text for cut in pattern.cuts} == {"7 3/8"}


def test_ceiling_has_no_top_return_and_nothing_to_look_at_but_growth() -> None:
    """Under the ceiling joint no edge is turned; outer edges over bare wall turn 1/4.

    89 3/4 grows 89 3/4 x 72e-6 x 11.1 = .0717; half of it over 25 % asks for .143, more than 1/8.
    """
    plan = base_to_ceiling()
    assert [(r.edge, r.depth.text) for r in panel(plan, "plumbing").returns] == [("outer", "1/4")]
    assert codes(plan) == {"stiff-joint"}


def test_ceiling_corners_meet() -> None:
    """Deck heights agree: level within 1.96 u, what one tape has in common in both left out.

    A reading has u = 1/16, of which .17 mm are the tape's hook and 66 x 115e-6 its scale: these
    cancel. The line closes within 1/16 as a limit.
    """
    own = (1 / 16) ** 2 - (0.17 / 25.4) ** 2 - (66 * 115e-6) ** 2
    u95 = 1.959964 * (2 * own + (1 / 16) ** 2 / 3) ** 0.5
    for corner in base_to_ceiling().corners:
        assert corner.mismatch.text == "0"
        assert corner.u95.mm / INCH == pytest.approx(u95, rel=1e-6)


# 3. Window wall: L 30, R 30 plumb, deck 60 everywhere; window from 12 left to 12 right of plumb,
# head 10 and sill 34 below the line, 4 deep, falling 1/8.


@cache
def window_wall() -> Plan:
    """The back wall with its window."""
    window = {
        "name": "window",
        "left": {"value": "-12"},
        "right": {"value": "12"},
        "head": {"value": "10"},
        "sill": {"value": "34"},
        "depth": "4",
        "fall": "1/8",
    }
    stock = [sheet("60 x 96", "top", price="400.00")]
    return written_plan({"walls": [back_wall(windows=[window])], "stock": stock})


def test_window_opening() -> None:
    """12 left of plumb, 10 + 3/4 = 10 3/4 from the top, 24 wide, 34 - 10 = 24 high."""
    cut = panel(window_wall(), "back").windows[0]
    assert (cut.from_side.text, cut.from_top.text) == ("-12", "10 3/4")
    assert (cut.width.text, cut.height.text) == ("24", "24")


def test_window_liners() -> None:
    """Head 24 - 2/8 = 23 3/4 by 4 + 1/4 - 1/8 = 4 1/8; sill along its fall 4.127, so 4 1/8.

    Jambs 24 - 2 x 1/4 - 2/8 = 23 1/4.
    """
    found = {
        p.name: (p.length.text, p.depth.text)
        for p in panel(window_wall(), "back").windows[0].liners
    }
    assert found == {
        "sill": ("23 3/4", "4 1/8"),
        "head": ("23 3/4", "4 1/8"),
        "left jamb": ("23 1/4", "4 1/8"),
        "right jamb": ("23 1/4", "4 1/8"),
    }


def test_window_liners_come_out_of_the_drop() -> None:
    """The drop is 96 - 60 5/8 - 1/8 = 35 1/4 high; four strips of 4 1/8 need 16 7/8 of it."""
    cutting = window_wall().cutting
    assert cutting is not None
    assert [len(cut.pieces) for cut in cutting.sheets] == [5]
    assert "liner-sheet" not in codes(window_wall())


def test_window_needs_safety_glass() -> None:
    """The sill is 60 - 34 = 26 above the rim, under 60 (IRC R308.4.5)."""
    text = next(w.text for w in window_wall().warnings if w.code == "safety-glazing")
    assert "26 in above the rim" in text


# 4. Leg beside the tub, trim under the sheet: corner 10 from plumb at the left, outer edge 21,
# tile edge 20 5/8, scar 20 7/8, casing 21 1/2; deck 65; tub front 18 1/2 at the deck, 18 1/4 at the
# floor; line to floor 80; top trim.


@cache
def leg_beside_tub() -> Plan:
    """The far end wall."""
    wall = {
        "wall": "far end",
        "corner": "left",
        "left": side("10", "0", "32", "64"),
        "right": side("20 5/8", "0", "32", "64"),
        "line_to_deck": heights("65", "-10", "0", "18"),
        "outer": {
            "from_plumb": "21",
            "finish": "trim under",
            "paint_scar": "20 7/8",
            "casing": "21 1/2",
        },
        "tub_front": {
            "at_deck": {"value": "18 1/2"},
            "at_floor": {"value": "18 1/4"},
            "line_to_floor": {"value": "80"},
        },
    }
    return written_plan({"walls": [wall], "top": {"above_line": "3/4", "finish": "trim"}})


def test_leg_outline() -> None:
    """Held back 1/8; inner 21 + 10 - 3/8 = 30 5/8; deck 65 5/8; leg 2 3/8 to 2 5/8, to 80 5/8."""
    found = points(panel(leg_beside_tub(), "far end"))
    corners = [("1/8", "0"), ("30 5/8", "0"), ("30 5/8", "65 5/8"), ("2 3/8", "65 5/8"),
               ("2 5/8", "80 5/8"), ("1/8", "80 5/8")]  # fmt: skip
    for x, y in corners:
        assert any(p == pytest.approx((inch(x), inch(y)), abs=1 / 64) for p in found)


def test_leg_area() -> None:
    """30 1/2 x 65 5/8 = 2001 9/16 and the leg (2 1/4 + 2 1/2)/2 x 15 = 35 5/8 square inches."""
    area = square_inches(("30 1/2", "65 5/8"), ("2 3/8", "15"))
    assert panel(leg_beside_tub(), "far end").area_mm2 == pytest.approx(area, rel=1e-9)


def test_leg_trims_are_mitred() -> None:
    """Upright 80 + 3/4 - 1/8 = 80 5/8; the top one 30 5/8 from its outer face; both mitred."""
    found = {t.edge: (t.length.text, t.ends) for t in leg_beside_tub().trims}
    assert found == {
        "outer": ("80 5/8", ("square", "mitre 45")),
        "top": ("30 5/8", ("mitre 45", "square")),
    }


def test_leg_covers_and_clears() -> None:
    """21 - 20 5/8 = 3/8 over the tile edge, 1/8 over the scar, 1/2 clear of the casing."""
    found = {c.what: (c.rule, c.by.text, c.passes) for c in leg_beside_tub().ends[0].covers}
    assert found == {
        "tile edge": ("cover", "3/8", True),
        "paint scar": ("cover", "1/8", True),
        "door casing": ("clear", "1/2", True),
    }


# 5. Out of square, stock short by 1/4: L 29 1/2 at the top to 30 at the deck, R 30 1/2 to 30, so 60
# wide everywhere; deck 60. Stations at the finished top (3/4 above the line) and at the lower edge.


def out_of_square(*stock: dict[str, object]) -> Plan:
    """The leaning back wall."""
    ends = ("-3/4", "59 7/8")
    leaning = {
        "left": [{"down": d, "value": v} for d, v in zip(ends, ("29 1/2", "30"), strict=True)],
        "right": [{"down": d, "value": v} for d, v in zip(ends, ("30 1/2", "30"), strict=True)],
    }
    return written_plan({"walls": [back_wall() | leaning], "stock": list(stock)})


SIXTY = sheet("60 x 96", "top", price="480.00")


def test_every_width_fits_and_the_box_does_not() -> None:
    """Widths 60 - 2/8 = 59 3/4; box (30 - 1/8) + (30 1/2 - 1/8) = 60 1/4."""
    found = panel(out_of_square(SIXTY), "back")
    assert {w.value.text for w in found.widths} == {"59 3/4"}
    assert found.box.width.text == "60 1/4"


def test_short_stock_says_by_how_much_and_where_a_seam_may_be() -> None:
    """60 is 1/4 short; a batten seam at 1/8 right of plumb leaves 29 15/16 and 30 3/16.

    Places are an inch apart from 6 in off the left edge, -29 7/8 + 6 + 24 = 1/8; the middle of the
    box is at 1/4. Together with a kerf they are 60 1/4, so that two sheets are needed.
    """
    plan = out_of_square(SIXTY)
    text = next(w.text for w in plan.warnings if w.code == "seam")
    assert "60 x 96 is 1/4 in too narrow" in text
    assert plan.cutting is not None
    assert plan.cutting.seams[0].at.text == "1/8"
    widths = [piece.width.text for cut in plan.cutting.sheets for piece in cut.pieces]
    assert widths == ["29 15/16", "30 3/16"]


def test_a_larger_sheet_is_taken_where_there_is_one() -> None:
    """With 72 x 96 in stock there is no seam."""
    plan = out_of_square(SIXTY, sheet("72 x 96", "top", price="610.00"))
    found = panel(plan, "back").sheet
    assert found is not None
    assert (found.name, found.spare_width.text) == ("72 x 96", "11 3/4")
    assert not codes(plan) & {"seam", "no-sheet"}
