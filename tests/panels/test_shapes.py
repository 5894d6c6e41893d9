"""Soffits, seats, curbs and pony walls that a panel is cut round, each worked by hand.

Inches. Shipped allowances: joints 1/8, build-up 1/4, hold-down 3/4. A plumb back wall of 30 + 30
with its deck at 60: the plain panel is 59 3/4 x 60 5/8, from -29 7/8 to 29 7/8.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from service.documents.panel_files import panel_dxf
from service.panels.problem import PlanError
from service.panels.walls import (
    Given,
    Obstacle,
    Pattern,
)
from tests.panels.shaped_alcove import (
    INCH,
    SEAT,
    SOFFIT,
    back,
    corners,
    end,
    planned,
    same,
    size,
)
from tests.support.dxf_reader import entities


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
