"""Other ways of ending a panel, each worked by hand on one plain wall.

A back wall of 30 + 28 in, plumb, deck 60 below the line, hold-down 3/4, shipped allowances.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from service.panels.model import Panel, Plan
from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.walls import (
    Alcove,
    Fixture,
    Given,
    Outer,
    Pattern,
    Region,
    Station,
    StockSheet,
    Top,
    TubFront,
    WallShape,
)
from tests.panels.worked_alcove import inch, shipped_practice

if TYPE_CHECKING:
    from service.panels.walls import Finish

INCH = 25.4


def size(text: str) -> Given:
    """A plain reading."""
    return Given(text, inch(text) * INCH, 1.0, "plain")


def plumb(text: str) -> tuple[Station, ...]:
    """The same offset at three heights."""
    return tuple(Station(down * INCH, size(text)) for down in (0, 30, 60))


def level(text: str) -> tuple[Station, ...]:
    """The same height at three places."""
    return tuple(Station(at * INCH, size(text)) for at in (-10, 0, 10))


BACK = WallShape("back", level("60"), plumb("30"), plumb("28"))
END = WallShape(
    "far end", level("60"), plumb("10"), (), corner="left", outer=Outer(20 * INCH, "return")
)


def planned(*walls: WallShape, **changes: object) -> Plan:
    """A plan of plain walls."""
    alcove = Alcove("plain", "over tile", walls, Top(0.75 * INCH))
    return plan_panels(replace(alcove, **changes), shipped_practice())  # type: ignore[arg-type]


def box(panel: Panel) -> tuple[str, str]:
    """Box as printed."""
    return panel.box.width.text, panel.box.height.text


def test_plain_back_panel() -> None:
    """58 - 2 x 1/8 wide; 60 + 3/4 - 1/8 high."""
    assert box(planned(BACK).panels[0]) == ("57 3/4", "60 5/8")


def test_to_the_ceiling() -> None:
    """With the ceiling 24 above the line: 60 + 24 - 1/8 at the deck - 1/8 at the ceiling."""
    panel = planned(BACK, top=Top(24 * INCH, to_ceiling=True)).panels[0]
    assert box(panel) == ("57 3/4", "83 3/4")
    assert panel.returns == ()


def test_to_the_ceiling_needs_no_finished_top() -> None:
    """A sheet whose top goes under the ceiling joint may be plain."""
    stock = (StockSheet("plain", 60 * INCH, 96 * INCH),)
    sheets = [
        planned(BACK, top=top, stock=stock).panels[0].sheet
        for top in (Top(24 * INCH, to_ceiling=True), Top(0.75 * INCH))
    ]
    assert sheets[0] is not None
    assert sheets[1] is None


@pytest.mark.parametrize(
    ("finish", "width", "first"),
    [
        ("return", "29 5/8", 0.0),  # 20 + 10 - 3/8
        ("trim over", "29 5/8", 0.0),
        ("trim under", "29 1/2", 3.175),  # held back 1/8
    ],
)
def test_three_ways_to_end_an_end_wall(finish: Finish, width: str, first: float) -> None:
    """A trim under the sheet holds it back; a return or a trim over it does not."""
    panel = planned(replace(END, outer=Outer(20 * INCH, finish))).panels[0]
    assert panel.box.width.text == width
    assert panel.outline_mm[0].x == pytest.approx(first)


@pytest.mark.parametrize("finish", ["trim under", "trim over"])
def test_trim_runs_from_joint_to_top(finish: Finish) -> None:
    """A trim is 60 + 3/4 - 1/8 long, and no factory edge is needed under it."""
    plan = planned(replace(END, outer=Outer(20 * INCH, finish)))
    assert [(t.kind, t.length.text) for t in plan.trims] == [(finish, "60 5/8")]
    assert [r.edge for r in plan.panels[0].returns] == ["top"]
    assert any(line.item == "edge trim" for line in plan.takeoff)


def test_bare_wall_has_a_quarter_inch_return() -> None:
    """Over a bare wall a return is sheet and bed: 1/4 (common practice)."""
    found = {r.edge: r.depth.text for r in planned(END).panels[0].returns}
    assert found == {"top": "1/4", "outer": "1/4"}


def test_a_step_deeper_than_the_factory_return_is_warned_of() -> None:
    """Over 1 1/4 in mud-set tile the factory's 1 1/4 in return does not reach the wall."""
    thick = (Region(-0.75 * INCH, None, 1.25 * INCH, "keep"),)
    plan = planned(replace(END, surfaces=thick))
    assert [w.code for w in plan.warnings].count("return-short") == 2
    assert {r.depth.text for r in plan.panels[0].returns} == {"1 1/4"}


def test_no_leg_inside_the_tub_front() -> None:
    """A panel that ends behind the tub's front has no leg."""
    front = TubFront(size("21"), None, size("75"))
    panel = planned(replace(END, tub_front=front)).panels[0]
    assert [mark for mark in panel.marks if mark.edge == "leg"] == []


def test_a_leg_follows_a_leaning_apron() -> None:
    """The leg is 20 - 18 - 1/8 at the deck and 20 - 17 1/2 - 1/8 at the floor."""
    front = TubFront(size("18"), size("17 1/2"), size("75"))
    panel = planned(replace(END, tub_front=front)).panels[0]
    below = [(x / INCH, y / INCH) for x, y in panel.outline_mm if x < 3 * INCH and y > 0]
    assert below == [
        pytest.approx((1.875, 60.625)),
        pytest.approx((2.375, 75.625)),
        pytest.approx((0.0, 75.625)),
    ]


def test_a_hole_larger_than_every_saw() -> None:
    """A hole that no saw cuts is said to be cut by jigsaw."""
    drain = Fixture("niche", size("2"), size("30"), hole_mm=6 * INCH)
    plan = planned(replace(END, fixtures=(drain,)))
    assert plan.panels[0].cutouts[0].saw == "jigsaw"
    assert "no-saw" in {w.code for w in plan.warnings}


def test_a_plate_that_does_not_cover_its_hole() -> None:
    """A 3 in hole under a 3 1/2 in flange leaves less than 3/8 of cover."""
    pipe = Fixture("arm", size("2"), size("30"), hole_mm=3 * INCH, plate_mm=3.5 * INCH)
    assert "plate-too-small" in {w.code for w in planned(replace(END, fixtures=(pipe,))).warnings}


def test_a_thin_web() -> None:
    """A hole 1/2 in off the outer edge leaves a web under 1 in."""
    pipe = Fixture("arm", size("19"), size("30"), hole_mm=1 * INCH)
    assert "thin-web" in {w.code for w in planned(replace(END, fixtures=(pipe,))).warnings}


def test_a_sliver_in_the_corner_is_warned_of() -> None:
    """29 5/8 over a 12 1/8 module leaves 5 3/8 in the corner: under half a tile."""
    plan = planned(END, pattern=Pattern((12 * INCH, 12 * INCH), INCH / 8))
    slivers = [w.text for w in plan.warnings if w.code == "sliver"]
    assert slivers == ["cut tile at the inner edge is 5 3/8 in, under half a tile"]


def test_a_sliver_course_names_a_better_top() -> None:
    """A top 1/4 in lower is 60 3/8 - 4 x 12 1/8 = 11 7/8 instead of a sliver under 60 5/8."""
    top = Top(0.75 * INCH, line_above_floor_mm=75 * INCH, band_mm=(75 * INCH, 84 * INCH))
    plan = planned(BACK, top=top, pattern=Pattern((12 * INCH, 12 * INCH), INCH / 8))
    found = {w.code: w.text for w in plan.warnings}
    assert "sliver-course" in found
    assert (
        "75 1/2 in above the floor would leave a lowest course of 11 7/8 in" in found["better-top"]
    )


def test_finished_edge_left_over_is_cut_away() -> None:
    """A sheet with more finished edges than are needed will do; the cheaper one is taken."""
    many = StockSheet("both", 36 * INCH, 96 * INCH, ("top", "left", "right"))
    panel = planned(END, stock=(many,)).panels[0]
    assert panel.sheet is not None
    assert panel.sheet.name == "both"


def test_box_decides_over_width() -> None:
    """A leaning panel whose widths fit but whose box does not needs the larger sheet."""
    lean = [Station(d * INCH, size(t)) for d, t in ((0, "30"), (30, "29"), (60, "28"))]
    back = [Station(d * INCH, size(t)) for d, t in ((0, "28"), (30, "29"), (60, "30"))]
    leaning = replace(BACK, left=tuple(lean), right=tuple(back))
    stock = (
        StockSheet("58", 58 * INCH, 96 * INCH, ("top",)),
        StockSheet("60", 60 * INCH, 96 * INCH, ("top",)),
    )
    panel = planned(leaning, stock=stock).panels[0]
    assert max(w.value.mm for w in panel.widths) < 58 * INCH
    assert panel.sheet is not None
    assert panel.sheet.name == "60"


def test_half_offset_is_told_for_every_second_course() -> None:
    """A cut of 29 5/8 - 24 1/4 = 5 3/8 is 5 3/8 + 6 1/16 = 11 7/16 in every second course."""
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8, "half offset")
    found = planned(END, pattern=pattern).panels[0].pattern
    assert found is not None
    assert found.notes == (
        "every second course is shifted by 6 1/16 in: "
        "cuts at the inner edge 11 7/16 to 11 7/16 in there",
    )


def test_half_offset_slivers_are_warned_of() -> None:
    """A cut of 11 in is 11 - 6 1/16 = 4 15/16 in every second course: a sliver."""
    wide = replace(END, outer=Outer(inch("25 5/8") * INCH, "return"))
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8)
    stacked = planned(wide, pattern=pattern)
    offset = planned(wide, pattern=replace(pattern, course="half offset"))
    assert "sliver" not in {w.code for w in stacked.warnings}
    texts = [w.text for w in offset.warnings if w.code == "sliver"]
    assert texts == [
        "cut tile at the inner edge is 4 15/16 in in every second course, under half a tile"
    ]


def test_two_end_walls_at_one_corner() -> None:
    """Two end walls cannot both have the back corner at their left."""
    other = replace(END, wall="plumbing")
    with pytest.raises(PlanError, match=r"plumbing\.corner: .* far end"):
        planned(END, other)
