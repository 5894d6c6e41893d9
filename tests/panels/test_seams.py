"""Seams: on a pattern joint or behind a batten, and never where water or a hole is."""

from __future__ import annotations

from typing import Any

import pytest

from service.documents.drawing import Layer, Line
from service.documents.panel_views import panel_view
from service.documents.pdf.sheet_facts import seam_words
from service.panels.model import Plan
from tests.panels.worked_alcove import inch
from tests.panels.written_plan import codes, heights, panel, sheet, side, written_plan

PATTERN = {"tile": ["12", "12"], "joint": "1/8"}


def back(*stock: dict[str, Any], **more: Any) -> Plan:
    """A plumb back wall of 36 + 36, deck 60: box 71 3/4 x 60 5/8."""
    wall = {
        "wall": "back",
        "line_to_deck": heights("60", "-36", "0", "36"),
        "left": side("36", "0", "30", "60"),
        "right": side("36", "0", "30", "60"),
    }
    return written_plan({"walls": [wall | more.pop("wall", {})], "stock": list(stock)} | more)


def end(*stock: dict[str, Any], fixtures: list[dict[str, str]]) -> Plan:
    """A plumb plumbing wall 40 wide (box 39 5/8 x 60 5/8), its corner at the right."""
    wall = {
        "wall": "plumbing",
        "corner": "right",
        "right": side("20", "0", "30", "60"),
        "line_to_deck": heights("60", "20", "0", "-20"),
        "outer": {"from_plumb": "20", "finish": "return"},
        "fixtures": fixtures,
    }
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
    walls = [
        {
            "wall": "back",
            "line_to_deck": heights("60", "-29", "0", "29"),
            "left": side("29", "0", "30", "60"),
            "right": side("29", "0", "30", "60"),
        },
        {
            "wall": "plumbing",
            "corner": "right",
            "right": side("10", "0", "30", "60"),
            "line_to_deck": heights("60", "10", "0", "-20"),
            "outer": {"from_plumb": "20", "finish": "return"},
        },
    ]
    stock = [sheet("60 x 96", "top", lot=lots[0]), sheet("36 x 96", "top", "left", lot=lots[1])]
    assert ("lots" in codes(written_plan({"walls": walls, "stock": stock}))) == said


def test_no_seam_where_the_finished_edge_is_missing() -> None:
    """Without a finished top no seam helps."""
    plan = back(sheet("48 x 96"))
    text = next(w.text for w in plan.warnings if w.code == "no-sheet")
    assert "no sheet has top finished" in text
