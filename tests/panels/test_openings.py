"""Windows, niches and doors: what is cut, what lines it, what carries it, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from pydantic import ValidationError
from shapely.geometry import Polygon, box

from service.documents.drawing import Layer, Line
from service.documents.panel_files import panel_dxf
from service.documents.panel_views import panel_view
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.wording import DocumentMeta
from service.files.plan import PlanFile
from service.files.plan_values import alcove_values
from service.panels.model import Plan
from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.walls import Station
from tests.panels.worked_alcove import shipped_practice
from tests.panels.written_plan import back_wall, codes, end_wall, sheet, written_plan
from tests.support.dxf_reader import entities
from tests.support.pdf_reader import words_of

INCH = 25.4


def opening(kind: str = "window", **more: str) -> dict[str, Any]:
    """An opening from 12 left to 6 right of plumb, 10 to 34 below the line, 4 deep."""
    sizes = {"left": "-12", "right": "6", "head": "10", "sill": "34"} | {
        key: value for key, value in more.items() if key in ("left", "right", "head", "sill")
    }
    rest = {key: value for key, value in more.items() if key not in sizes}
    return {
        "name": "opening",
        "kind": kind,
        "depth": "4",
        **{key: {"value": value} for key, value in sizes.items()},
        **rest,
    }


def plan(*windows: dict[str, Any], **more: Any) -> Plan:
    """A plumb back wall of 30 + 30, deck 60, with these openings."""
    wall = back_wall(windows=list(windows))
    return written_plan({"walls": [wall], "stock": [sheet("60 x 96", "top")]} | more)


def end(**fixture: str) -> Plan:
    """An end wall whose outer edge is 21 from plumb, with one fixture."""
    jamb = {"name": "jamb", "kind": "door jamb", "down": "30", **fixture}
    return written_plan({"walls": [end_wall("far end", "10", "18", "21", fixtures=[jamb])]})


def test_niche_liners() -> None:
    """18 x 24, 4 deep: back 17 3/4 x 23 3/4; sill and head 17 3/4 x 4 1/4 - 1/4 = 4; jambs 23 1/4.

    The face moves out by 1/4 and the niche's back by as much, so the pieces are 4 deep; the jambs
    lose 1/4 at sill and head and 1/8 at either end: 24 - 1/2 - 1/4 = 23 1/4.
    """
    found = [
        (p.name, p.length.text, p.depth.text)
        for p in plan(opening("niche")).panels[0].windows[0].liners
    ]
    assert found == [
        ("back", "17 3/4", "23 3/4"),
        ("sill", "17 3/4", "4"),
        ("head", "17 3/4", "4"),
        ("left jamb", "23 1/4", "4"),
        ("right jamb", "23 1/4", "4"),
    ]


def test_a_niche_needs_no_safety_glass() -> None:
    """Only a window has a pane."""
    assert "safety-glazing" in codes(plan(opening()))
    assert "safety-glazing" not in codes(plan(opening("niche")))


def test_liners_that_no_drop_holds_are_said() -> None:
    """A back of 47 3/4 x 47 3/4 does not come out of a drop 35 1/4 high."""
    large = opening("niche", left="-24", right="24", head="6", sill="54")
    found = plan(large)
    text = next(w.text for w in found.warnings if w.code == "liner-sheet")
    assert "opening, back" in text


def test_liners_lie_in_their_drops_and_nowhere_else() -> None:
    """No piece on the sheet lies over another or past its edge."""
    cutting = plan(opening(), opening("niche", name="niche", left="12", right="24")).cutting
    assert cutting is not None
    cut = cutting.sheets[0]
    rectangles = [
        box(p.x.mm, p.y.mm, p.x.mm + p.width.mm, p.y.mm + p.height.mm) for p in cut.pieces
    ]
    whole = box(0, 0, cut.width.mm, cut.height.mm).buffer(1e-6)
    assert len(rectangles) == 1 + 4 + 5
    for k, one in enumerate(rectangles):
        assert whole.contains(one)
        assert all(one.intersection(other).area < 1e-6 for other in rectangles[k + 1 :])


def test_openings_are_drawn_where_they_are_cut() -> None:
    """The DXF has the opening as a closed rectangle: -12 to 6 across, 10 3/4 to 34 3/4 down."""
    panel = plan(opening()).panels[0]
    found = [
        item
        for item in entities(panel_dxf(panel))
        if (item.kind, item.layer) == ("LWPOLYLINE", "CUT-OUT")
    ]
    assert [item.closed for item in found] == [True]
    bounds = Polygon(found[0].points).bounds
    expected = (-12 * INCH, -34.75 * INCH, 6 * INCH, -10.75 * INCH)
    assert bounds == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"left": "6", "right": "-6"}, "expected its left side to the left"),
        ({"head": "34", "sill": "10"}, "expected its head above its sill"),
        ({"right": "29 1/2"}, "expected an opening inside the panel with 1 in or more"),
        ({"sill": "59 1/2"}, "expected an opening inside the panel with 1 in or more"),
        ({"left": "-1/4", "right": "0"}, "expected an opening larger than its own liners"),
        ({"depth": "300"}, "expected more than 0 and at most 144 in"),
        ({"fall": "5"}, "expected 0 or more, and less than the depth"),
    ],
)
def test_absurd_openings_are_refused_by_name(change: dict[str, str], message: str) -> None:
    """Each names the opening and the limit."""
    with pytest.raises(PlanError, match="opening") as error:
        plan(opening(**change))
    assert message in str(error.value)


def test_absurd_passages_are_refused_by_name() -> None:
    """A passage of 2 in is none."""
    turns = [{"name": "stairs", "from_width": "2", "into_width": "36"}]
    with pytest.raises(
        PlanError, match=r"stairs\.from_width: expected clear widths of 12 to 360 in"
    ):
        plan(way_in=turns)


@pytest.mark.parametrize(("place", "past"), [("20", ""), ("20 1/4", "1/8 in past the flat")])
def test_a_jamb_lands_on_flat_sheet(place: str, past: str) -> None:
    """Flat ends 21 - 3/8 = 20 5/8; a jamb 1 wide at 20 reaches 20 1/2, at 20 1/4 20 3/4."""
    found = end(from_plumb=place, length="56", plate="1")
    texts = [w.text for w in found.warnings if w.code == "jamb-on-return"]
    assert len(texts) == bool(past)
    assert all(past in text for text in texts)


def test_a_jamb_is_blocked_upright() -> None:
    """56 + 2 x 6 = 68 in high, 7 1/4 wide."""
    piece = end(from_plumb="19", length="56", plate="1").blocking[0]
    assert (piece.width.text, piece.height.text) == ("7 1/4", "68")


def test_offset_courses_are_drawn_by_turns() -> None:
    """Upright joints of the first course stop at its level joint; the next course has its own.

    60 wide less joints: each upright joint is drawn in every second course only.
    """
    pattern = {"tile": ["12", "12"], "joint": "1/8", "course": "half offset"}
    panel = plan(pattern=pattern).panels[0]
    assert panel.pattern is not None
    drawn = [
        item
        for item in panel_view(panel, "front", 25.0)
        if isinstance(item, Line) and item.layer == Layer.PATTERN and item.start.x == item.end.x
    ]
    for item in drawn:
        middle = -(item.start.y + item.end.y) / 2 / INCH
        course = int(middle // 12.125)
        joints = panel.pattern.column_joints if course % 2 == 0 else panel.pattern.other_columns
        assert any(abs(item.start.x - joint.mm) < 1e-6 for joint in joints)
        assert abs(item.end.y - item.start.y) <= 12.125 * INCH
    apart = {round(a.mm - b.mm, 3) for a in panel.pattern.column_joints[:1]
             for b in panel.pattern.other_columns[:2]}  # fmt: skip
    assert round(12.125 / 2 * INCH, 3) in {abs(x) for x in apart}


def test_the_cutting_sheet_says_where_the_opening_is() -> None:
    """Front, back and steps give the corner, the size and the liners."""
    meta = DocumentMeta("A", "2026-01-02")
    words = words_of(cutting_sheets_pdf(plan(opening()), meta))
    assert words.count("OPENING for opening: drill the corners 3/8 in, then jigsaw") == 2
    for text in (
        "left side from plumb 12 in L",
        "head from TOP 10 3/4 in",
        "width 18 in",
        "height 24 in",
    ):
        assert text in words
    assert "LINERS of A opening: in this order" in words


def test_a_windows_sides_say_which_side_of_plumb() -> None:
    """A report's size has no side, so both sides are written."""
    window = opening() | {"left": {"dimension": "window left"}}
    with pytest.raises(ValidationError, match="left negative"):
        plan(window)


@pytest.mark.parametrize("why", ["", "back opening left: not taped"])
def test_an_openings_size_keeps_its_panel_back(why: str) -> None:
    """A panel whose outline is proved is not released before its opening is."""
    file = PlanFile.model_validate(
        {
            "job": {"name": "by hand", "scope": "over tile"},
            "walls": [back_wall(windows=[opening()])],
        }
    )
    alcove = alcove_values(file, {}, shipped_practice())
    wall = alcove.walls[0]

    def proved(stations: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(replace(s, value=replace(s.value, why_not="")) for s in stations)

    window = wall.windows[0]
    sizes = {
        key: replace(getattr(window, key), why_not=why if key == "left" else "")
        for key in ("left", "right", "head", "sill")
    }
    wall = replace(
        wall,
        left=proved(wall.left),
        right=proved(wall.right),
        line_to_deck=proved(wall.line_to_deck),
        windows=(replace(window, **sizes),),
    )
    panel = plan_panels(replace(alcove, walls=(wall,)), shipped_practice()).panels[0]
    assert panel.released == (not why)
    assert panel.why_not == ((why,) if why else ())
