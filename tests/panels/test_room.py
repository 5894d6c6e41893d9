"""What stands beside the outline: ends, flatness, zones, blocking, halls, tops, as hung."""

from __future__ import annotations

from typing import Any

import pytest

from service.panels.growth import free_growth_mm, joint_for_mm
from service.panels.model import Plan
from service.panels.problem import PlanError
from service.panels.way_in import passes
from tests.panels.worked_alcove import inch
from tests.panels.written_plan import (
    back_wall,
    box,
    codes,
    end_wall,
    heights,
    panel,
    sheet,
    side,
    written_plan,
)

INCH = 25.4


def end(**more: Any) -> dict[str, Any]:
    """A plumb end wall: corner 10 at the left, tile edge 20, outer edge 21, deck 60."""
    return end_wall("far end", "10", "18", "21", right=side("20", "0", "30", "60")) | more


def back(**more: Any) -> dict[str, Any]:
    """A plumb back wall of 30 + 28, deck 60."""
    return back_wall("30", "28") | more


def plan(*walls: dict[str, Any], practice: str | None = None, **more: Any) -> Plan:
    """A plan of these walls."""
    return written_plan({"walls": list(walls)} | more, practice)


def text(found: Plan, code: str) -> str:
    """The one caution of a code."""
    (only,) = (w.text for w in found.warnings if w.code == code)
    return only


@pytest.mark.parametrize(
    ("outer", "code", "move"),
    [
        ({"from_plumb": "20 1/16"}, "end-cover", "tile edge: move it out by 1/16 in"),
        ({"from_plumb": "20 1/8"}, "", ""),
        ({"paint_scar": "21 1/4"}, "end-cover", "paint scar: move it out by 3/8 in"),
        ({"casing": "21"}, "end-clear", "door casing: move it in by 1/8 in"),
        ({"outside_corner": "20 3/4"}, "end-clear", "outside corner: move it in by 1/4 in"),
    ],
)
def test_an_outer_edge_that_fails_says_how_far(outer: dict[str, str], code: str, move: str) -> None:
    """Covers by 1/8 or more, clears a casing by 1/8, and never stands past an outside corner."""
    wall = end(outer={"from_plumb": "21", "finish": "return"} | outer)
    found = plan(wall)
    assert {code for code in codes(found) if code.startswith("end-")} == ({code} if code else set())
    assert not code or move in text(found, code)


def test_the_tile_edge_is_covered_where_it_stands_out_most() -> None:
    """An edge at 20 5/8 covers 20 by 5/8 and 20 9/16 by 1/16 only: out by another 1/16."""
    edge = [{"down": d, "value": v} for d, v in (("0", "20"), ("30", "20 9/16"), ("60", "20"))]
    found = plan(end(right=edge, outer={"from_plumb": "20 5/8", "finish": "return"}))
    assert "tile edge: move it out by 1/16 in" in text(found, "end-cover")


def test_as_hung_readings_lose_only_the_joint() -> None:
    """To the wall 21 + 10 - 1/4 - 1/8 = 30 5/8; to the hung face 21 + 9 3/4 - 1/8, the same."""
    taped = plan(end()).panels[0]
    hung = plan(end(left=side("9 3/4", "0", "30", "60", surface="hung"))).panels[0]
    assert box(taped) == box(hung) == ("30 5/8", "60 5/8")
    assert not any("re-tape" in note for note in hung.notes)


def test_a_bed_thicker_than_planned_shows_in_as_hung_readings() -> None:
    """A back sheet that stands 1/8 further out makes the end sheet 1/8 narrower."""
    hung = plan(end(left=side("9 5/8", "0", "30", "60", surface="hung"))).panels[0]
    assert box(hung)[0] == "30 1/2"


def test_only_end_walls_meet_a_hung_sheet() -> None:
    """The back wall has no hung sheet to be read to."""
    with pytest.raises(PlanError, match=r"back\.left: .* hung"):
        plan(back(left=side("30", "0", "30", surface="hung")))


@pytest.mark.parametrize(
    ("gap", "kind", "advice"),
    [
        ("1/8", "hollow", "within the limit"),
        ("3/8", "hollow", "shim 1/4 in"),
        ("3/16", "hollow", "shim 1/16 in"),
        ("5/16", "hump", "plane or grind off 3/16 in"),
    ],
)
def test_flatness_advice(gap: str, kind: str, advice: str) -> None:
    """Past 1/8 a hollow is shimmed by what the 1/8 bed does not fill, a hump planed to 1/8."""
    spot = {"at": "4", "down": "30", "gap": gap, "kind": kind}
    found = plan(back(flatness=[spot]))
    assert advice in found.flatness[0].advice
    assert ("not-flat" in codes(found)) == (gap != "1/8")


def test_a_gap_that_no_straightedge_finds() -> None:
    """Three inches under a straightedge is refused, with the limit."""
    spot = {"at": "4", "down": "30", "gap": "3", "kind": "hump"}
    with pytest.raises(PlanError, match=r"back\.flatness\[0\]\.gap: expected 0 to 2 in"):
        plan(back(flatness=[spot]))


def test_a_bar_is_blocked_and_not_drilled_for() -> None:
    """A 24 in bar gets 24 + 2 x 6 = 36 in of blocking and no hole."""
    bar = {"name": "bar", "kind": "grab bar", "from_plumb": "0", "down": "30", "length": "24"}
    found = plan(back(fixtures=[bar]))
    assert [(b.what, b.width.text, b.height.text) for b in found.blocking] == [
        ("bar", "36", "7 1/4")
    ]
    assert found.panels[0].cutouts == ()


@pytest.mark.parametrize(
    ("down", "wall", "warned"),
    [
        ("40", "back", False),  # 76 - 40 = 36 above the floor
        ("39", "back", True),  # 37, and 21 above the rim
        ("43", "back", False),  # 33
        ("44", "back", True),  # 32
        ("51", "back", False),  # 25 above the floor, 9 above the rim
        ("51", "far end", True),  # the second bar is the back wall's
    ],
)
def test_bars_stand_where_the_ada_standards_want_them(down: str, wall: str, warned: bool) -> None:
    """609.4: 33 to 36 above the floor; 607.4.2.1: a second one 8 to 10 above the rim."""
    bar = {"name": "bar", "kind": "grab bar", "from_plumb": "0", "down": down, "length": "24"}
    shape = back(fixtures=[bar]) if wall == "back" else end(fixtures=[bar])
    job = {"name": "a", "scope": "over tile", "accessible": True}
    found = plan(shape, job=job, top={"above_line": "3/4", "line_above_floor": "76"})
    assert ("ada-bar" in codes(found)) == warned


@pytest.mark.parametrize(
    ("out", "down", "found"),
    [
        ("4", "40", []),  # tub from 10 within to 18 without: its middle is 4 out
        ("3 3/4", "40", ["1/4 in on the wall's side"]),
        ("6", "27", ["49 in above the floor, over 48"]),
    ],
)
def test_controls_stand_where_the_ada_standards_want_them(
    out: str, down: str, found: list[str]
) -> None:
    """607.5: between the open side and the tub's middle; 608.5.2: 48 at most (76 - 27 = 49)."""
    valve = {"name": "valve", "from_plumb": out, "down": down, "guard": "3 1/2"}
    front = {"at_deck": {"value": "18"}, "line_to_floor": {"value": "75"}}
    made = plan(
        end(fixtures=[valve], tub_front=front),
        job={"name": "a", "scope": "over tile", "accessible": True},
        top={"above_line": "3/4", "line_above_floor": "76"},
    )
    texts = [w.text for w in made.warnings if w.code == "ada-controls"]
    assert len(texts) == len(found)
    assert all(words in said for words, said in zip(found, texts, strict=True))


def test_controls_do_not_stand_on_the_back_wall() -> None:
    """607.5: on an end wall."""
    valve = {"name": "valve", "from_plumb": "0", "down": "40", "guard": "3 1/2"}
    made = plan(
        back(fixtures=[valve]),
        job={"name": "a", "scope": "over tile", "accessible": True},
        top={"above_line": "3/4", "line_above_floor": "76"},
    )
    assert "expected on an end wall" in text(made, "ada-controls")


def test_bars_are_free_where_nobody_asked_for_access() -> None:
    """Without `accessible` no ADA height is checked."""
    bar = {"name": "bar", "kind": "grab bar", "from_plumb": "0", "down": "20", "length": "24"}
    top = {"above_line": "3/4", "line_above_floor": "76"}
    assert "ada-bar" not in codes(plan(back(fixtures=[bar]), top=top))


@pytest.mark.parametrize(("out", "warned"), [("21", True), ("53 7/8", True), ("55", False)])
def test_receptacles_keep_three_feet_from_the_rim(out: str, warned: bool) -> None:
    """NEC 406.9(C): within 36 across of the tub front (18) and 96 up, none."""
    plug = {"name": "plug", "kind": "receptacle", "from_plumb": out, "down": "20"}
    front = {"at_deck": {"value": "18"}, "line_to_floor": {"value": "75"}}
    found = plan(end(fixtures=[plug], tub_front=front))
    assert ("receptacle-zone" in codes(found)) == warned


@pytest.mark.parametrize(
    ("halls", "verdict"),
    [
        ([("48", "48")], "goes in"),
        ([("48", "48"), ("22", "22")], "cut outside"),
        ([("16", "16")], "does not go in"),
    ],
)
def test_the_way_in(halls: list[tuple[str, str]], verdict: str) -> None:
    """2^(3/2) x 22 - 1 = 61 1/4 turns the cut 57 3/4 x 60 5/8, and 60 x 96 only over 80 high.

    2^(3/2) x 48 - 1 = 134 3/4 turns the sheet, 2^(3/2) x 16 - 1 = 44 1/4 nothing.
    """
    turns = [
        {"name": f"turn {k}", "from_width": a, "into_width": b} for k, (a, b) in enumerate(halls)
    ]
    found = plan(back(), way_in=turns, stock=[sheet("60 x 96", "top")])
    assert [way.verdict for way in found.way_in] == [verdict]


def test_a_sheet_goes_on_either_edge() -> None:
    """96 level or 60 level: whichever turns while the other is under the headroom."""
    assert passes(60, 96, 96, 60)
    assert passes(60, 96, 60, 96)
    assert not passes(60, 96, 60, 90)


def test_top_above_the_drain() -> None:
    """IPC 417.4.1: 60 panel on a rim 10 above the drain stands 70 above it and passes; 9 3/4 warns.

    The top is 3/4 above the line, so the drain is 69 1/4, or 69, below the line.
    """
    for drain, warned in (("69 1/4", False), ("69", True)):
        top = {"above_line": "3/4", "line_above_floor": "80", "drain_below_line": drain}
        assert ("top-low" in codes(plan(back(), top=top))) == warned


def test_the_drain_rule_is_a_setting() -> None:
    """Under a code of 72 the same top of 70 warns."""
    top = {"above_line": "3/4", "line_above_floor": "80", "drain_below_line": "69 1/4"}
    own = '[limits]\nleast_top_above_drain = "72"\n'
    assert "top-low" in codes(plan(back(), top=top, practice=own))


@pytest.mark.parametrize(("down", "warned"), [("3 1/4", False), ("1/4", True), ("6", True)])
def test_usual_band_above_the_arm(down: str, warned: bool) -> None:
    """3 to 5 above the outlet: 4 passes, 1 and 6 3/4 are said."""
    arm = {"name": "arm", "from_plumb": "2", "down": down, "hole": "1"}
    top = {"above_line": "3/4", "line_above_floor": "80"}
    assert ("top-above-arm" in codes(plan(end(fixtures=[arm]), top=top))) == warned


def test_every_height_of_the_band_is_judged() -> None:
    """Band 76 to 77 in quarters: five tops, each with its course, its code and its stock."""
    top = {"above_line": "3/4", "line_above_floor": "75 1/4", "band": ["76", "77"]}
    pattern = {"tile": ["12", "12"], "joint": "1/8"}
    found = plan(back(), top=top, pattern=pattern, stock=[sheet("60 x 61", "top")])
    assert found.top is not None
    rows = {h.above_floor.text: h for h in found.top.heights}
    assert list(rows) == ["76", "76 1/4", "76 1/2", "76 3/4", "77"]
    # 60 5/8 to the deck is 5 x 12 1/8 exactly: no course left over but the joint itself.
    assert rows["76"].lowest_course is not None
    assert rows["76"].lowest_course.text == "0"
    # a quarter more leaves 1/4, and 61 5/8 is higher than the sheet.
    assert "higher than any sheet" in " ".join(rows["77"].why_not)
    assert found.top.best is None
    assert "least bad is 76 1/4 in" in text(found, "no-top")


def test_a_corner_read_differently_tilts_its_joints() -> None:
    """1/16 longer on the end wall: its line and its joints stand 1/16 higher there."""
    wall = end(line_to_deck=heights("60 1/16", "-10", "0", "18"))
    pattern = {"tile": ["12", "12"], "joint": "1/8"}
    found = plan(back(), wall, pattern=pattern)
    assert [(c.side, c.mismatch.text) for c in found.corners] == [("right", "-1/16")]


def test_door_opening_at_three_heights() -> None:
    """Each height loses 2 x 1/4 for the panels on both sides."""
    openings = [
        {"down": d, "value": v} for d, v in (("4", "59"), ("30", "58 3/4"), ("56", "58 1/2"))
    ]
    found = plan(back(), openings=openings)
    assert [o.width.text for o in found.openings] == ["58 1/2", "58 1/4", "58"]
    # 1/2 from top to bottom is more than the 1/4 that jambs take up; rails follow the narrowest.
    words = text(found, "opening-tapers")
    assert "from 58 in at 56 in below the line to 58 1/2 in at 4 in" in words
    assert "rails are cut to no more than 58 in" in words


def test_a_door_wants_three_heights() -> None:
    """Two heights are told; an opening within 1/4 is not."""
    two = [{"down": d, "value": v} for d, v in (("4", "59"), ("56", "58 3/4"))]
    found = codes(plan(back(), openings=two))
    assert "few-openings" in found
    assert "opening-tapers" not in found


def test_growth_of_a_sheet() -> None:
    """60 in of acrylic: 7e-5/K over 20 K is 2.13 mm; 4.0e-5/F over 40 F is .096 (ASTM D696)."""
    assert free_growth_mm(60 * INCH, 7e-5, 20) == pytest.approx(2.13, abs=0.005)
    assert free_growth_mm(60, 4.0e-5 * 1.8, 40 / 1.8) == pytest.approx(0.096)


@pytest.mark.parametrize(("share", "joint"), [(1.0, 0.384), (0.5, 0.192)])
def test_joint_for_a_growth(share: float, joint: float) -> None:
    """ASTM C1193: .096 over 25 % is .384 at one joint, .192 where two share it."""
    assert joint_for_mm(0.096 * share, 0.25) == pytest.approx(joint)


@pytest.mark.parametrize(
    ("scope", "tub", "operations"),
    [
        ("over tile", "stays", 7),
        ("strip tile", "stays", 8),
        ("down to studs", "base", 9),
    ],
)
def test_scope_and_tub_add_their_hours(scope: str, tub: str, operations: int) -> None:
    """Stripping, studs, a new tub or a base each add a line of hours to the usual seven."""
    from dataclasses import replace

    from service.panels.labour import operations as listed
    from tests.panels.worked_alcove import shipped_practice, worked_alcove

    alcove = replace(worked_alcove(), scope=scope, tub=tub)  # type: ignore[arg-type]
    assert len(listed(alcove, shipped_practice())) == operations


def test_millimetres_give_the_same_plan() -> None:
    """The worked walls written in mm give the same panels to a micrometre."""

    def metric(value: Any, key: str = "") -> Any:
        if isinstance(value, list):
            return [metric(item, key) for item in value]
        if isinstance(value, dict):
            return {k: metric(v, k) for k, v in value.items()}
        if isinstance(value, str) and key not in ("wall", "corner", "finish", "surface", "name"):
            return f"{inch(value) * INCH:.6f} mm"
        return value

    one, other = plan(back(), end()), plan(metric(back()), metric(end()))
    for a, b in zip(one.panels, other.panels, strict=True):
        for p, q in zip(a.outline_mm, b.outline_mm, strict=True):
            assert p == pytest.approx(q, abs=1e-3)
        assert [m.value.text for m in a.marks] == [m.value.text for m in b.marks]
    assert panel(one, "back").widths == panel(other, "back").widths
