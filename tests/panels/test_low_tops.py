"""Sloped ceilings, low walls, bare floors and what sheds water on them, each worked by hand.

Inches. Shipped allowances: joints 1/8, build-up 1/4, hold-down 3/4. A plumb back wall of 30 + 30
with its deck at 60: the plain panel is 59 3/4 x 60 5/8, from -29 7/8 to 29 7/8.
"""

from __future__ import annotations

import pytest

from service.panels.places import Tub
from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.walls import (
    Alcove,
    LowTop,
    Obstacle,
    Pattern,
    Station,
    Top,
    Window,
)
from tests.panels.shaped_alcove import (
    INCH,
    back,
    corners,
    end,
    planned,
    size,
    straight,
)

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
        p for k, p in enumerate(found) if not straight(found[k - 1], p, found[k + 1 - len(found)])
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


@pytest.mark.parametrize("down", ["-2", "70"])
def test_a_low_wall_lies_between_top_and_deck(down: str) -> None:
    """The limits are named: 3/4 above the line to 59 7/8 below it."""
    with pytest.raises(PlanError, match=r"low_top.down: .* -0.75 to 59.875 in below the line"):
        planned(back(), end(low_top=LowTop(size(down), 100.0)))
