"""Properties of whole plans as they are printed: units, sums of parts, joints in the room."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from service.documents.drawing import Layer, Polyline
from service.documents.panel_views import panel_view
from service.panels.model import Plan
from service.panels.walls import LowTop, Pattern, Station, Top
from tests.panels.shaped_alcove import back as plain_back
from tests.panels.shaped_alcove import end as plain_end
from tests.panels.shaped_alcove import planned as shaped
from tests.panels.shaped_alcove import size
from tests.panels.test_properties import back as drawn_back
from tests.panels.test_properties import end as drawn_end
from tests.panels.test_properties import heights, offsets, planned
from tests.panels.worked_alcove import inch
from tests.panels.written_plan import written_plan

INCH = 25.4
sixteenths = st.integers(-16, 16)


def text_in(whole: int, parts: int) -> str:
    """Inches and sixteenths as a shop writes them."""
    total = whole * 16 + parts
    number, over = divmod(total, 16)
    return f"{number} {Fraction(over, 16)}" if over else str(number)


def text_mm(whole: int, parts: int) -> str:
    """The same length in millimetres, exact: a sixteenth is 1.5875 mm."""
    return f"{(whole * 16 + parts) * 1.5875:.4f} mm"


def file_plan(write: Any, moves: list[int], hole: int) -> Plan:
    """Back and far end with a valve, every length written in one unit."""
    zero = write(0, 0)
    back = {
        "wall": "back",
        "line_to_deck": [
            {"at": f"-{write(29, 0)}", "value": write(66, moves[0])},
            {"at": zero, "value": write(66, moves[1])},
            {"at": write(29, 0), "value": write(66, moves[2])},
        ],
        "left": [{"down": write(d, 0), "value": write(30, m)}
                 for d, m in zip((0, 30, 60), moves[3:6], strict=True)],
        "right": [{"down": write(d, 0), "value": write(29, m)}
                  for d, m in zip((0, 30, 60), moves[6:9], strict=True)],
    }  # fmt: skip
    end = {
        "wall": "far end",
        "corner": "left",
        "line_to_deck": [
            {"at": f"-{write(9, 0)}", "value": write(66, moves[0])},
            {"at": write(18, 0), "value": write(66, moves[2])},
        ],
        "left": [{"down": write(d, 0), "value": write(10, m)}
                 for d, m in zip((0, 30, 60), moves[9:12], strict=True)],
        "outer": {"from_plumb": write(21, 4), "finish": "return"},
        "fixtures": [
            {"name": "valve", "from_plumb": write(4, 1), "down": write(48, hole),
             "guard": write(3, 8), "plate": write(6, 8)},
        ],
    }  # fmt: skip
    return written_plan(
        {
            "walls": [back, end],
            "top": {"above_line": write(0, 12)},
            "pattern": {"tile": [write(12, 0), write(12, 0)], "joint": write(0, 2)},
            "stock": [
                {"name": "wide", "size": [write(62, 0), write(96, 0)], "finished": ["top"]},
                {"name": "right", "size": [write(36, 0), write(96, 0)],
                 "finished": ["top", "right"]},
            ],
        }
    )  # fmt: skip


@given(moves=st.lists(sixteenths, min_size=12, max_size=12), hole=sixteenths)
@settings(max_examples=15, deadline=None)
def test_inches_and_millimetres_are_the_same_plan(moves: list[int], hole: int) -> None:
    """Every mark, hole, box, cut and sheet is printed alike whichever unit it was written in."""
    one, other = (file_plan(write, moves, hole) for write in (text_in, text_mm))
    for a, b in zip(one.panels, other.panels, strict=True):
        assert [m.how for m in a.marks] == [m.how for m in b.marks]
        assert [(c.from_side.text, c.from_top.text, c.saw) for c in a.cutouts] == [
            (c.from_side.text, c.from_top.text, c.saw) for c in b.cutouts
        ]
        assert (a.box.width.text, a.box.height.text) == (b.box.width.text, b.box.height.text)
        assert a.sheet is not None
        assert b.sheet is not None
        assert a.sheet.name == b.sheet.name
        assert a.pattern is not None
        assert b.pattern is not None
        assert [c.width.text for c in a.pattern.cuts] == [c.width.text for c in b.pattern.cuts]
    assert [t.packages for t in one.takeoff] == [t.packages for t in other.takeoff]


@given(left=offsets, right=offsets, low=heights)
@example(left=[0.0, 0.0, 0.0, 1.0], right=[0.0, 0.0, 1.0, 1.0], low=[1.0, 0.0, 1.0])
@settings(max_examples=25, deadline=None)
def test_printed_cuts_tiles_and_joints_add_up_to_the_width(
    left: list[float], right: list[float], low: list[float]
) -> None:
    """At every height the printed parts of a course differ from its width by 1/32 in each at most.

    A tile of 12 and a joint of 1/8 are printed exactly, so that only the two cuts are rounded.
    """
    panel = planned(drawn_back(left, right, low)).panels[0]
    pattern = panel.pattern
    assert pattern is not None
    between = len(pattern.column_joints) - 1
    exact = {round(w.down.mm, 3): w.value.mm / INCH for w in panel.widths}
    for down, width in exact.items():
        cuts = [inch(c.width.text) for c in pattern.cuts if round(c.down.mm, 3) == down]
        assert len(cuts) == 2
        parts = sum(cuts) + between * 12 + (between + 1) / 8
        assert abs(parts - width) <= 2 / 32 + 1e-6


@given(left=offsets, right=offsets, low=heights, inner=offsets)
@settings(max_examples=20, deadline=None)
def test_the_drawn_back_view_is_the_mirrored_front_view(
    left: list[float], right: list[float], low: list[float], inner: list[float]
) -> None:
    """As drawn, the outline of the back view is that of the front with every x turned round."""
    for panel in planned(drawn_back(left, right, low), drawn_end("right", inner, low)).panels:
        front, back = (
            next(
                item.points
                for item in panel_view(panel, face, 25.0)
                if isinstance(item, Polyline) and item.layer == Layer.OUTLINE
            )
            for face in ("front", "back")
        )
        assert [(-p.x, p.y) for p in front] == [(p.x, p.y) for p in back]
        assert Polygon(front).area == pytest.approx(Polygon(back).area)


@given(down=st.floats(5, 40), high=st.floats(20, 40), fall=st.floats(0, 12))
@settings(max_examples=25, deadline=None)
def test_joints_meet_in_the_room_whatever_the_tops_are(
    down: float, high: float, fall: float
) -> None:
    """Under a sloped ceiling, beside a low wall: joints are level through the corner all the same.

    Heights are counted from the level line, which all walls share; each of the end's joints is one
    of the back's, or above the back's own top.
    """
    slope = (Station(-30 * INCH, size(high + fall)), Station(30 * INCH, size(high)))
    level = (Station(-10 * INCH, size(high)), Station(20 * INCH, size(high)))
    pattern = Pattern((12 * INCH, 12 * INCH), INCH / 8)
    top = Top((high + fall) * INCH, to_ceiling=True)
    for wall in (plain_end(ceiling=level), plain_end(low_top=LowTop(size(down), 100.0))):
        plan = shaped(plain_back(ceiling=slope), wall, top=top, pattern=pattern)
        back, end = plan.panels
        assert back.pattern is not None
        assert end.pattern is not None
        ours = [back.level_y_mm - y.mm for y in back.pattern.course_joints]
        theirs = [end.level_y_mm - y.mm for y in end.pattern.course_joints]
        assert theirs
        for joint in theirs:
            assert min(abs(joint - own) for own in ours) < 1e-6
