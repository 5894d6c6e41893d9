"""Seams: on a pattern joint or behind a batten, and never where water or a hole is."""

from __future__ import annotations

from typing import Any

import pytest

from service.documents.drawing import Layer, Line, Text
from service.documents.panel_views import panel_view
from service.documents.pdf.sheet_facts import seam_words
from service.panels.model import Plan
from tests.panels.worked_alcove import inch
from tests.panels.written_plan import back_wall, codes, end_wall, panel, sheet, written_plan

PATTERN = {"tile": ["12", "12"], "joint": "1/8"}


def back(*stock: dict[str, Any], **more: Any) -> Plan:
    """A plumb back wall of 36 + 36, deck 60: box 71 3/4 x 60 5/8."""
    wall = back_wall("36", "36", **more.pop("wall", {}))
    return written_plan({"walls": [wall], "stock": list(stock)} | more)


def end(*stock: dict[str, Any], fixtures: list[dict[str, str]]) -> Plan:
    """A plumb plumbing wall 40 wide (box 39 5/8 x 60 5/8), its corner at the right."""
    wall = end_wall("plumbing", "20", "20", "20", fixtures=fixtures)
    return written_plan({"walls": [wall], "stock": list(stock)})


def test_a_seam_stands_on_a_pattern_joint() -> None:
    """A patterned seam is in the middle of an upright joint of the pattern."""
    plan = back(sheet("48 x 96", "top"), pattern=PATTERN)
    assert plan.cutting is not None
    seam = plan.cutting.seams[0]
    pattern = panel(plan, "back").pattern
    assert pattern is not None
    joints = [x.mm + pattern.joint_mm / 2 for x in pattern.column_joints]
    assert seam.behind == "pattern joint"
    assert min(abs(seam.at.mm - x) for x in joints) < 1e-6


def test_an_offset_pattern_has_no_upright_joint_to_hide_a_seam() -> None:
    """Joints that stop at every course hide no seam, so it is a level one."""
    stock = [sheet("72 x 48", "top"), sheet("48 x 96", "top")]
    stacked = back(*stock, pattern=PATTERN)
    assert stacked.cutting is not None
    assert stacked.cutting.seams[0].direction == "upright"
    plan = back(*stock, pattern=PATTERN | {"course": "half offset"})
    assert plan.cutting is not None
    assert plan.cutting.seams[0].direction == "level"


@pytest.mark.parametrize(("tile", "allowed"), [("56", False), ("50", True)])
def test_a_level_seam_keeps_off_the_deck(tile: str, allowed: bool) -> None:
    """The one level joint at 56 1/16 is within 6 of the deck at 60 5/8, that at 50 1/16 is not."""
    pattern = {"tile": ["12", tile], "joint": "1/8", "course": "half offset"}
    plan = back(sheet("72 x 58", "top"), pattern=pattern)
    assert ("seam" in codes(plan)) == allowed
    assert ("no-sheet" in codes(plan)) != allowed


@pytest.mark.parametrize("kind", ["hole", "spray"])
def test_an_upright_seam_keeps_off_holes_and_spray(kind: str) -> None:
    """With an arm at the middle a seam is 12 or more away; with a hole, 2 and its radius."""
    name = "arm" if kind == "spray" else "post"
    fixture = {"name": name, "from_plumb": "0", "down": "20", "hole": "1"}
    plan = end(sheet("32 x 96", "top", "left"), sheet("24 x 96", "top"), fixtures=[fixture])
    assert plan.cutting is not None
    seam = plan.cutting.seams[0]
    assert seam.direction == "upright"
    away = abs(seam.at.mm / 25.4 - 20)
    assert away >= (12 if kind == "spray" else 2.5)
    assert away < (13.1 if kind == "spray" else 3.6)


def test_no_level_seam_under_the_arm() -> None:
    """Below the arm everything is wet: with sheets too low for one piece there is no seam."""
    fixture = {"name": "arm", "from_plumb": "0", "down": "4", "hole": "1"}
    stock = [sheet("40 x 48", "top", "left"), sheet("40 x 48 side", "left")]
    assert "no-sheet" in codes(end(*stock, fixtures=[fixture]))
    assert "seam" in codes(end(*stock, fixtures=[]))


def test_a_seam_keeps_off_a_window() -> None:
    """A window from -6 to 6 keeps the seam 8 or more from plumb."""
    window = {
        "name": "window",
        "left": {"value": "-6"},
        "right": {"value": "6"},
        "head": {"value": "10"},
        "sill": {"value": "30"},
        "depth": "4",
    }
    plan = back(sheet("48 x 96", "top"), wall={"windows": [window]})
    assert plan.cutting is not None
    assert abs(plan.cutting.seams[0].at.mm) / 25.4 >= 8


def test_both_parts_have_sheets() -> None:
    """The parts of a seamed panel are what is bought, and the panel has no sheet of its own."""
    plan = back(sheet("48 x 96", "top"))
    assert plan.cutting is not None
    names = [piece.name for cut in plan.cutting.sheets for piece in cut.pieces]
    assert sorted(names) == ["back wall, left part", "back wall, right part"]
    assert [line.quantity for line in plan.order] == [2]
    assert panel(plan, "back").sheet is None


def test_the_seam_is_drawn_and_said() -> None:
    """The back panel's front view has the seam from top to bottom where the plan puts it."""
    found = panel(back(sheet("48 x 96", "top")), "back")
    assert found.seam is not None
    lines = [
        item
        for item in panel_view(found, "front", 25.0)
        if isinstance(item, Line) and item.layer == Layer.CUTOUT
    ]
    (line,) = lines
    assert line.start.x == line.end.x == pytest.approx(found.seam.at.mm)
    assert abs(line.start.y - line.end.y) == pytest.approx(inch("60 5/8") * 25.4, abs=1e-6)
    assert "of the plumb line, behind a batten" in seam_words(found)


@pytest.mark.parametrize(
    ("lots", "said"), [(("A", "B"), True), (("A", "A"), False), (("A", ""), False)]
)
def test_sheets_of_two_lots_are_said(lots: tuple[str, str], said: bool) -> None:
    """Side by side they may differ in colour; of one lot, or where one is not stated, no word."""
    walls = [back_wall("29", "29"), end_wall("plumbing", "10", "20", "20")]
    stock = [sheet("60 x 96", "top", lot=lots[0]), sheet("36 x 96", "top", "left", lot=lots[1])]
    assert ("lots" in codes(written_plan({"walls": walls, "stock": stock}))) == said


def test_no_seam_where_the_finished_edge_is_missing() -> None:
    """Without a finished top no seam helps."""
    plan = back(sheet("48 x 96"))
    text = next(w.text for w in plan.warnings if w.code == "no-sheet")
    assert "no sheet has top finished" in text


def test_two_seams_where_one_does_not_do() -> None:
    """Sheets of 26 for 71 3/4: three parts, seams nearest to a third and two thirds.

    Places are an inch apart from 6 in off the left edge, -29 7/8 and so on; the edges are at
    -35 7/8 and 35 7/8, the thirds at -11 23/24 and 11 23/24, so -11 7/8 and 12 1/8. With a batten
    gap of 1/8 the parts are 24 less 1/16, 24 less 1/8, and 23 3/4 less 1/16.
    """
    plan = back(sheet("26 x 96", "top"))
    found = panel(plan, "back")
    assert [seam.at.text for seam in found.seams] == ["-11 7/8", "12 1/8"]
    assert plan.cutting is not None
    widths = {p.name: p.width.mm / 25.4 for cut in plan.cutting.sheets for p in cut.pieces}
    assert widths == pytest.approx(
        {
            "back wall, part 1 of 3 from the left": 23.9375,
            "back wall, part 2 of 3 from the left": 23.875,
            "back wall, part 3 of 3 from the left": 23.6875,
        }
    )
    assert "3 parts, upright seams" in seam_words(found)
    assert "2 upright seams 11 7/8 in left of the plumb line and 12 1/8 in right" in next(
        w.text for w in plan.warnings if w.code == "seam"
    )


@pytest.mark.parametrize(
    ("width", "seams"), [("74", 0), ("40", 1), ("26", 2), ("19", 3), ("15", -1)]
)
def test_as_few_seams_as_do(width: str, seams: int) -> None:
    """71 3/4 needs none at 74, one at 40, two at 26, three at 19; the shop makes no four."""
    plan = back(sheet(f"{width} x 96", "top"))
    assert len(panel(plan, "back").seams) == max(seams, 0)
    assert ("no-sheet" in codes(plan)) == (seams < 0)


def test_no_choice_of_two_seams_is_nearer_to_even() -> None:
    """Every pair of pattern joints whose parts fit is no nearer to the thirds than the one taken.

    Module 6 1/8: joints at multiples of it; sheets of 28 hold parts of up to 28.
    """
    plan = back(sheet("28 x 96", "top"), pattern={"tile": ["6", "6"], "joint": "1/8"})
    found = panel(plan, "back")
    assert found.pattern is not None
    joints = [(x.mm + found.pattern.joint_mm / 2) / 25.4 for x in found.pattern.column_joints]
    edges, thirds = (-35.875, 35.875), (-35.875 / 3, 35.875 / 3)
    costs = {
        (a, b): abs(a - thirds[0]) + abs(b - thirds[1])
        for a in joints
        for b in joints
        if a < b and a - edges[0] <= 28 and b - a <= 28 and edges[1] - b <= 28
    }
    taken = tuple(seam.at.mm / 25.4 for seam in found.seams)
    assert min(costs.values()) == pytest.approx(
        abs(taken[0] - thirds[0]) + abs(taken[1] - thirds[1]), abs=1e-6
    )


def test_seams_of_the_leg_side_keep_the_finished_edge() -> None:
    """Of an end wall's three parts only the outer one needs the finished side edge."""
    stock = [sheet("16 x 96 left", "top", "left"), sheet("16 x 96", "top")]
    plan = end(*stock, fixtures=[])
    assert plan.cutting is not None
    sheets = {p.name: cut.sheet for cut in plan.cutting.sheets for p in cut.pieces}
    assert len(sheets) == 3
    assert [name for name, taken in sheets.items() if taken == "16 x 96 left"] == [
        "plumbing wall, left hand, part 1 of 3 from the outer edge"
    ]


def test_a_seam_left_of_plumb_says_so_without_a_sign() -> None:
    """On customer's and shop's paper and on the drawing: a side in words, and never a minus."""
    plan = back(sheet("26 x 96", "top"))
    found = panel(plan, "back")
    texts = [i.text for i in panel_view(found, "front", 25.0) if isinstance(i, Text)]
    words = [seam_words(found), *(w.text for w in plan.warnings if w.code == "seam"), *texts]
    told = [one for one in words if "11 7/8 in" in one]
    assert len(told) == 3
    assert all("11 7/8 in left of the plumb line" in one and "-" not in one for one in told)
