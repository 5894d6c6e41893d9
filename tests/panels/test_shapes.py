"""Soffits, seats, curbs, pony walls, sloped ceilings and bare floors, each worked by hand.

Inches. Shipped allowances: joints 1/8, build-up 1/4, hold-down 3/4. A plumb back wall of 30 + 30
with its deck at 60: the plain panel is 59 3/4 x 60 5/8, from -29 7/8 to 29 7/8.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from service.documents.panel_files import panel_dxf
from service.panels.model import Plan
from service.panels.places import Tub
from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.walls import (
    Alcove,
    Given,
    LowTop,
    Obstacle,
    Outer,
    Pattern,
    Station,
    StockSheet,
    Top,
    WallShape,
    Window,
)
from tests.panels.worked_alcove import inch, shipped_practice
from tests.support.dxf_reader import entities

INCH = 25.4
STOCK = (
    StockSheet("60 x 96", 60 * INCH, 96 * INCH, ("top",)),
    StockSheet("36 x 96 left", 36 * INCH, 96 * INCH, ("top", "left")),
    StockSheet("36 x 96 right", 36 * INCH, 96 * INCH, ("top", "right")),
)


def size(value: str | float, name: str = "size") -> Given:
    """A plain size, inches."""
    inches = value if isinstance(value, float) else inch(value.lstrip("-"))
    sign = -1.0 if isinstance(value, str) and value.startswith("-") else 1.0
    return Given(name, sign * inches * INCH, 1.5, "plain")


def side(value: str) -> tuple[Station, ...]:
    """A plumb side at three heights."""
    return tuple(Station(down * INCH, size(value)) for down in (0.0, 30.0, 60.0))


def deck(value: str, *places: float) -> tuple[Station, ...]:
    """A level deck."""
    return tuple(Station(at * INCH, size(value)) for at in places)


def back(*obstacles: Obstacle, **more: Any) -> WallShape:
    """The back wall of 30 + 30."""
    return WallShape(
        "back", deck("60", -30, 0, 30), side("30"), side("30"), obstacles=obstacles, **more
    )


def end(*obstacles: Obstacle, **more: Any) -> WallShape:
    """A far end wall, corner at the left 10 from plumb, outer edge 20 from it: 29 5/8 wide."""
    return WallShape(
        "far end", deck("60", -10, 0, 18), side("10"), (), corner="left",
        outer=Outer(20 * INCH), obstacles=obstacles, **more,
    )  # fmt: skip


def planned(*walls: WallShape, top: Top | None = None, **more: Any) -> Plan:
    """The plan of these walls."""
    alcove = Alcove(
        "shapes", "down to studs", walls, top or Top(0.75 * INCH), stock=STOCK, **more
    )  # fmt: skip
    return plan_panels(alcove, shipped_practice())


def corners(plan: Plan, number: int = 0) -> list[tuple[float, float]]:
    """One panel's outline in inches."""
    return [(x / INCH, y / INCH) for x, y in plan.panels[number].outline_mm]


def same(found: list[tuple[float, float]], *expected: tuple[str, str]) -> bool:
    """Whether an outline has just these corners, in this order."""

    def number(text: str) -> float:
        return -inch(text[1:]) if text.startswith("-") else inch(text)

    wanted = [(number(x), number(y)) for x, y in expected]
    real = [
        p for k, p in enumerate(found) if not _straight(found[k - 1], p, found[k + 1 - len(found)])
    ]
    return len(real) == len(wanted) and all(
        p == pytest.approx(w, abs=1e-3) for p, w in zip(real, wanted, strict=True)
    )


def _straight(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    """Whether b lies on the line from a to c."""
    return abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) < 1e-6


SOFFIT = Obstacle("soffit", "soffit", right=size("-18"), foot=size("8"))
SEAT = Obstacle("seat", "seat", left=size("14"), head=size("42"))


def test_soffit_in_the_upper_left_corner() -> None:
    """It ends 18 left of plumb and 8 below the line: the panel starts at -17 7/8 and 8 7/8 down.

    8 + 3/4 + 1/8 = 8 7/8 from the top; -18 + 1/8 = -17 7/8.
    """
    found = corners(planned(back(SOFFIT)))
    assert same(
        found, ("-29 7/8", "8 7/8"), ("-17 7/8", "8 7/8"), ("-17 7/8", "0"), ("29 7/8", "0"),
        ("29 7/8", "60 5/8"), ("-29 7/8", "60 5/8"),
    )  # fmt: skip


def test_soffit_area() -> None:
    """59 3/4 x 60 5/8 less 12 x 8 7/8: 3622 11/32 - 106 1/2 = 3515 27/32 square inches."""
    area = (59.75 * 60.625 - 12 * 8.875) * INCH**2
    assert planned(back(SOFFIT)).panels[0].area_mm2 == pytest.approx(area, rel=1e-6)


def test_what_is_no_larger_than_its_joint_is_not_covered() -> None:
    """A soffit 1/16 in high on the panel: a face less the joint of 1/8 below it is no sheet."""
    sliver = Obstacle("soffit", "soffit", right=size("-18"), head=size("7 15/16"), foot=size("8"))
    assert planned(back(sliver)).panels
    with pytest.raises(PlanError, match="more than its joint of 1/8 in each way to cover"):
        planned(back(replace(sliver, depth_mm=300.0)))


def test_seat_in_the_lower_right_corner() -> None:
    """A seat from 14 right, 42 below the line: 13 7/8 across, 42 3/4 - 1/8 = 42 5/8 down."""
    found = corners(planned(back(SEAT)))
    assert same(
        found, ("-29 7/8", "0"), ("29 7/8", "0"), ("29 7/8", "42 5/8"), ("13 7/8", "42 5/8"),
        ("13 7/8", "60 5/8"), ("-29 7/8", "60 5/8"),
    )  # fmt: skip


def test_a_seat_that_is_covered_takes_its_cover_too() -> None:
    """With 15 in of depth it is covered first, 1/4 thick: 13 5/8 across and 42 3/8 down."""
    covered = Obstacle("seat", "seat", left=size("14"), head=size("42"), depth_mm=15 * INCH)
    plan = planned(back(covered))
    assert same(
        corners(plan), ("-29 7/8", "0"), ("29 7/8", "0"), ("29 7/8", "42 3/8"),
        ("13 5/8", "42 3/8"), ("13 5/8", "60 5/8"), ("-29 7/8", "60 5/8"),
    )  # fmt: skip


def test_pieces_that_cover_a_seat() -> None:
    """On the panel it is 29 7/8 - 14 = 15 7/8 wide and 60 5/8 - 42 3/4 = 17 7/8 high.

    Front 15 7/8 x 17 3/4, left side 15 x 17 3/4 (its right side is in the corner), top 15 7/8 x
    15 1/4 for it laps the front.
    """
    covered = Obstacle("seat", "seat", left=size("14"), head=size("42"), depth_mm=15 * INCH)
    pieces = planned(back(covered)).panels[0].notches[0].liners
    assert [(p.name, p.length.text, p.depth.text) for p in pieces] == [
        ("front", "15 7/8", "17 3/4"),
        ("left side", "15", "17 3/4"),
        ("top", "15 7/8", "15 1/4"),
    ]


def test_a_seat_all_along_ends_the_panel_on_it() -> None:
    """A bench from corner to corner at 40 below the line: 40 3/4 - 1/8 = 40 5/8 high."""
    bench = Obstacle("bench", "seat", head=size("40"))
    panel = planned(back(bench)).panels[0]
    assert (panel.box.width.text, panel.box.height.text) == ("59 3/4", "40 5/8")


def test_pony_wall_at_the_outer_end() -> None:
    """A pony wall 4 1/2 thick at the outer end, 24 below the line, on a wall whose corner is left.

    Outer edge 20 from plumb, as seen to the right: it stands from 15 1/2 to 20 right of plumb, so
    from 0 to 4 1/2 in the panel's frame; the panel is cut at 4 5/8 across and 24 5/8 down.
    """
    pony = Obstacle("pony wall", "pony wall", left=size("15 1/2"), head=size("24"))
    found = corners(planned(end(pony)))
    assert same(
        found, ("0", "0"), ("29 5/8", "0"), ("29 5/8", "60 5/8"), ("4 5/8", "60 5/8"),
        ("4 5/8", "24 5/8"), ("0", "24 5/8"),
    )  # fmt: skip


def test_marks_tell_each_corner_of_a_notch() -> None:
    """Three corners of the soffit, each from plumb and from the top."""
    marks = [m for m in planned(back(SOFFIT)).panels[0].marks if m.edge == "notch"]
    found = {(m.station.text, m.value.text) for m in marks}
    assert found == {("-29 7/8", "8 7/8"), ("-17 7/8", "8 7/8"), ("-17 7/8", "0")}


def test_a_curb_runs_on_down() -> None:
    """A curb 4 high and 4 1/2 thick beside the outer end: the lower outer corner is cut."""
    curb = Obstacle("curb", "curb", left=size("15 1/2"), head=size("56"))
    panel = planned(end(curb)).panels[0]
    assert same(
        corners(planned(end(curb))), ("0", "0"), ("29 5/8", "0"), ("29 5/8", "60 5/8"),
        ("4 5/8", "60 5/8"), ("4 5/8", "56 5/8"), ("0", "56 5/8"),
    )  # fmt: skip
    assert panel.scribe is not None
    # 29 5/8 x 56 5/8 = 1677.5 is more than (29 5/8 - 4 5/8) x 60 5/8 = 1515.6
    assert (panel.scribe.width.text, panel.scribe.height.text) == ("29 5/8", "56 5/8")


SLOPE = (Station(-30 * INCH, size("40")), Station(30 * INCH, size("25")))


def test_sloped_ceiling() -> None:
    """40 above the line at the left corner, 25 at the right: 15 over 60, a slope of one in four.

    Its own top is 40 - 1/8 = 39 7/8 above the line. The joint is square to the slope: it takes
    sqrt(17)/4 x 1/8 = .12885 upright. At x the ceiling is (x + 30)/4 below 40, so that the panel's
    edge is at (x + 30)/4 + .12885 - .125: .0351 at -29 7/8 and 14.9726 at 29 7/8. The bottom is at
    60 + 39 7/8 - 1/8 = 99 3/4.
    """
    plan = planned(back(ceiling=SLOPE), top=Top(40 * INCH, to_ceiling=True))
    found = corners(plan)
    expected = [(-29.875, 0.03510), (29.875, 14.97260), (29.875, 99.75), (-29.875, 99.75)]
    real = [
        p for k, p in enumerate(found) if not _straight(found[k - 1], p, found[k + 1 - len(found)])
    ]
    assert len(real) == 4
    for p, w in zip(real, expected, strict=True):
        assert p == pytest.approx(w, abs=1e-4)


def test_a_low_ceiling_beside_a_high_one_has_its_own_top() -> None:
    """The far end at the low side: 25 - 1/8 above the line, 60 + 24 7/8 - 1/8 = 84 3/4 high."""
    low = (Station(-10 * INCH, size("25")), Station(20 * INCH, size("25")))
    plan = planned(
        back(ceiling=SLOPE), end(ceiling=low), top=Top(40 * INCH, to_ceiling=True),
        pattern=Pattern((12 * INCH, 12 * INCH), INCH / 8),
    )  # fmt: skip
    assert plan.panels[1].box.height.text == "84 3/4"
    # 15 below the back's top: the first level joint, 24 1/8 down there, is 9 1/8 down here.
    pattern = plan.panels[1].pattern
    assert pattern is not None
    assert pattern.course_joints[0].text == "9 1/8"
    assert pattern.course_joints[1].text == "21 1/4"


def test_a_low_wall_ends_under_its_cap() -> None:
    """A pony wall for an end, its top 24 below the line: 60 - 24 - 1/8 = 35 7/8 high.

    Its level joints are those of the back wall, 24 3/4 higher: 36 1/4 - 24 3/4 = 11 1/2.
    Cap 29 5/8 + 1/4 long, 4 1/2 + 1/2 wide; end 5 x 35 7/8.
    """
    wall = end(low_top=LowTop(size("24"), 4.5 * INCH))
    plan = planned(back(), wall, pattern=Pattern((12 * INCH, 12 * INCH), INCH / 8))
    panel = plan.panels[1]
    assert (panel.box.width.text, panel.box.height.text, panel.top) == ("29 5/8", "35 7/8", "cap")
    assert panel.pattern is not None
    assert panel.pattern.course_joints[0].text == "11 1/2"
    pieces = [(p.name, p.length.text, p.depth.text) for p in panel.notches[0].liners]
    assert pieces == [("end", "5", "35 7/8"), ("cap", "29 7/8", "5")]
    assert [r.edge for r in panel.returns] == ["outer"]


def test_a_bare_floor_has_the_floors_joint_and_its_own_word() -> None:
    """With a floor joint of 1/4 the panel is 60 + 3/4 - 1/4 = 60 1/2 high."""
    from service.panels.practice import read_practice
    from tests.panels.worked_alcove import SHIPPED

    shop = read_practice(SHIPPED.read_text(), '[joint]\nfloor = "1/4"\n')
    alcove = Alcove("floor", "down to studs", (back(),), Top(0.75 * INCH), tub="floor")
    plan = plan_panels(alcove, shop)
    assert plan.panels[0].box.height.text == "60 1/2"
    assert "bare-floor" in {w.code for w in plan.warnings}


@pytest.mark.parametrize(
    ("tub", "place"),
    [("stays", "the tub"), ("new", "the tub"), ("base", "the base"), ("floor", "the drain")],
)
def test_what_sheds_water_falls_to_what_is_there(tub: Tub, place: str) -> None:
    """Sill, seat, curb cap and low wall's cap fall towards the tub, and where there is none
    towards the base or the drain; nothing speaks of a tub that is not there."""
    window = Window("w", size("-6"), size("6"), size("10"), size("34"), depth_mm=4 * INCH)
    seat = Obstacle("seat", "seat", left=size("14"), head=size("42"), depth_mm=15 * INCH)
    curb = Obstacle("curb", "curb", right=size("-20"), head=size("56"), depth_mm=4 * INCH)
    shape = back(seat, curb, windows=(window,))
    low = end(low_top=LowTop(size("24"), 4.5 * INCH))

    plan = planned(shape, low, tub=tub)

    pieces = [piece for panel in plan.panels for cut in panel.windows for piece in cut.liners]
    pieces += [piece for panel in plan.panels for cut in panel.notches for piece in cut.liners]
    falls = [piece for piece in pieces if "falls" in piece.how]
    notes = [note for cut in plan.panels[0].windows for note in cut.notes if "falls" in note]
    assert [piece.name for piece in falls] == ["sill", "top", "cap", "cap"]
    assert len(notes) == 1
    assert all(f"falls towards {place}" in words for words in (*(p.how for p in falls), *notes))


def test_the_joint_round_a_soffit_is_sealed() -> None:
    """12 1/8 and 8 7/8 of joint more: 21 in of the 1/8 x 1/4 joint, a tube each 48.6 ft."""

    def sealant(*obstacles: Obstacle) -> float:
        return next(t.net for t in planned(back(*obstacles)).takeoff if t.item == "sealant")

    more = sealant(SOFFIT) - sealant()
    # The joint, less 8 7/8 in at the left corner and 12 in of finished top that are not there.
    joint = (12 + 8.875) / 12 / 48.6
    gone = 8.875 / 12 / 48.6 + 12 / 12 / 194.4
    assert more == pytest.approx(joint - gone, abs=0.004)


def test_a_course_cut_by_a_seat_is_told() -> None:
    """Module 10 1/8: on the deck a whole tile. A seat at 45 1/2 leaves 5 of one, at 43 1/2 only 3.

    44 7/8 + 3/4 - 1/8 = 45 1/2, less 4 x 10 1/8 = 40 1/2; 42 7/8 likewise.
    """
    pattern = Pattern((12 * INCH, 10 * INCH), INCH / 8)
    for head, told in (("44 7/8", False), ("42 7/8", True)):
        seat = Obstacle("seat", "seat", left=size("14"), head=size(head))
        found = {w.code for w in planned(back(seat), pattern=pattern).warnings}
        assert ("sliver-course" in found) == told


@pytest.mark.parametrize(
    ("obstacle", "message"),
    [
        (Obstacle("x", "seat"), "expected one or more of left, right, head and foot"),
        (Obstacle("x", "seat", left=size("5"), right=size("4"), head=size("40")), "its left side"),
        (
            Obstacle("x", "ledge", head=size("20"), foot=size("22")),
            "stay in one piece; this leaves 2",
        ),
        (
            Obstacle("x", "ledge", size("-5"), size("5"), size("20"), size("22")),
            "expected it to reach an edge",
        ),
        (Obstacle("x", "seat", left=size("40"), head=size("40")), "expected a seat that meets"),
        (Obstacle("x", "seat", head=size(-5.0)), "takes all of it"),
        (
            Obstacle("x", "seat", head=size("40"), depth_mm=-1.0),
            "expected more than 0 and at most 144",
        ),
        (Obstacle("x", "seat", head=size(float("nan"))), "expected a size within 144 in"),
        (Obstacle("x", "soffit", foot=size("400")), "expected a size within 144 in"),
    ],
)
def test_absurd_obstacles_are_refused_by_name(obstacle: Obstacle, message: str) -> None:
    """Each names the obstacle and the limit."""
    with pytest.raises(PlanError, match=r"\bx\b|size") as error:
        planned(back(obstacle))
    assert message in str(error.value)


@pytest.mark.parametrize("down", ["-2", "70"])
def test_a_low_wall_lies_between_top_and_deck(down: str) -> None:
    """The limits are named: 3/4 above the line to 59 7/8 below it."""
    with pytest.raises(PlanError, match=r"low_top.down: .* -0.75 to 59.875 in below the line"):
        planned(back(), end(low_top=LowTop(size(down), 100.0)))


@given(left=st.floats(-25, 0), right=st.floats(3, 25), head=st.floats(5, 40), high=st.booleans())
@settings(max_examples=40, deadline=None)
def test_a_cut_panel_keeps_its_joint_from_what_it_is_cut_round(
    left: float, right: float, head: float, high: bool
) -> None:
    """No point of the panel is nearer than the joint, and none further along the cut."""
    sizes = (Given("l", left * INCH, 1.0, ""), Given("r", right * INCH, 1.0, ""))
    edge = Given("h", head * INCH, 1.0, "")
    thing = Obstacle("x", "soffit" if high else "seat", *sizes,
                     head=None if high else edge, foot=edge if high else None)  # fmt: skip
    panel = Polygon(planned(back(thing)).panels[0].outline_mm)
    top, low = (-1000.0, (head + 0.75) * INCH) if high else ((head + 0.75) * INCH, 5000.0)
    solid = box(left * INCH, top, right * INCH, low)
    assert panel.distance(solid) == pytest.approx(3.175, abs=1e-3)
    whole = Polygon(planned(back()).panels[0].outline_mm)
    lost = whole.difference(panel)
    # Mitred corners reach the joint's diagonal, no further.
    assert solid.buffer(3.175 * 2**0.5 + 1e-3).contains(lost)


def test_a_cut_panel_is_drawn_as_it_is_cut() -> None:
    """The DXF's outline, read back by group codes, is the panel's within 0.01 mm; y is up there."""
    panel = planned(back(SOFFIT, SEAT)).panels[0]
    outlines = [e for e in entities(panel_dxf(panel)) if e.layer == "OUTLINE" and e.closed]
    assert len(outlines) == 1
    for x, y in panel.outline_mm:
        assert any(
            abs(x - px) < 0.01 and abs(-y - py) < 0.01 for px, py in outlines[0].points
        )  # fmt: skip


def test_a_joint_that_lands_on_the_deck_is_told_as_that() -> None:
    """60 5/8 is five modules of 12 1/8: no course of nothing is spoken of."""
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8)
    told = [w.text for w in planned(back(), pattern=pattern).warnings if w.code == "sliver-course"]
    assert told == ["a level joint lands on the deck, and nothing is left below it"]
