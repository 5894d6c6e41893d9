"""Properties of every plan: inside the walls, joints kept, mirror images.

The walls are drawn by this file and the clearances worked out by its own straight lines, so that
nothing is judged by the profile it was made with.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import scale, translate
from shapely.geometry import Polygon

from service.panels.model import Hand, Panel, Plan
from service.panels.plan import plan_panels
from service.panels.sizes import marked_mm, width
from service.panels.walls import (
    Alcove,
    Fixture,
    Given,
    Outer,
    Pattern,
    Side,
    Station,
    StockSheet,
    Top,
    WallShape,
)
from tests.panels.worked_alcove import shipped_practice

INCH = 25.4
DOWNS = (0.0, 500.0, 1000.0, 1600.0)
offsets = st.lists(st.floats(-15, 15), min_size=4, max_size=4)
heights = st.lists(st.floats(-10, 10), min_size=3, max_size=3)


def plain(mm: float) -> Given:
    """A plain reading."""
    return Given("reading", mm, 1.0, "plain")


def stations(nominal: float, moves: list[float]) -> tuple[Station, ...]:
    """Offsets at four depths."""
    return tuple(
        Station(down, plain(nominal + move)) for down, move in zip(DOWNS, moves, strict=True)
    )


def deck(places: tuple[float, ...], moves: list[float]) -> tuple[Station, ...]:
    """Heights at three places."""
    return tuple(Station(at, plain(1680 + move)) for at, move in zip(places, moves, strict=True))


def back(left: list[float], right: list[float], low: list[float]) -> WallShape:
    """A back wall about 1480 wide."""
    return WallShape("back", deck((-720, 0, 720), low), stations(740, left), stations(740, right))


def end(corner: Side, inner: list[float], low: list[float]) -> WallShape:
    """An end wall about 800 deep with a valve, its corner at one side."""
    sign = 1 if corner == "right" else -1
    side = stations(260, inner)
    return WallShape(
        wall="plumbing",
        line_to_deck=deck((sign * -480.0, 0.0, sign * 250.0), low),
        left=side if corner == "left" else (),
        right=side if corner == "right" else (),
        corner=corner,
        outer=Outer(540.0),
        fixtures=(Fixture("valve", plain(100.0), plain(1290.0), hole_mm=95.0),),
    )


def planned(*walls: WallShape) -> Plan:
    """A plan with pattern and stock."""
    alcove = Alcove(
        name="drawn",
        scope="over tile",
        walls=walls,
        top=Top(25.4),
        pattern=Pattern((304.8, 304.8), 3.175),
        stock=(
            StockSheet("wide", 1600, 2438, ("top",)),
            StockSheet("left", 920, 2438, ("top", "left")),
            StockSheet("right", 920, 2438, ("top", "right")),
        ),
    )
    return plan_panels(alcove, shipped_practice())


def line(knots: list[tuple[float, float]], at: float) -> float:
    """Straight between knots, end segments extended."""
    pairs = list(itertools.pairwise(knots))
    (x0, y0), (x1, y1) = next((p for p in pairs if at <= p[1][0]), pairs[-1])
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0)


@given(left=offsets, right=offsets, low=heights)
@settings(max_examples=60, deadline=None)
def test_the_back_panel_keeps_its_joints(
    left: list[float], right: list[float], low: list[float]
) -> None:
    """Every point of the back panel's outline is a joint or more from both corners."""
    panel = planned(back(left, right, low)).panels[0]
    walls = [
        [(down + 25.4, 740 + move) for down, move in zip(DOWNS, moves, strict=True)]
        for moves in (left, right)
    ]
    for x, y in panel.outline_mm:
        assert -line(walls[0], y) + 3.175 - 1e-6 <= x <= line(walls[1], y) - 3.175 + 1e-6


@given(left=offsets, right=offsets, low=heights)
@settings(max_examples=60, deadline=None)
def test_the_back_panel_stands_off_the_deck(
    left: list[float], right: list[float], low: list[float]
) -> None:
    """No point of the outline is nearer to the deck than the joint, and the lowest are on it."""
    panel = planned(back(left, right, low)).panels[0]
    floor = [(at, 1680 + move + 25.4) for at, move in zip((-720.0, 0.0, 720.0), low, strict=True)]
    gaps = [line(floor, x) - y for x, y in panel.outline_mm]
    assert min(gaps) == pytest.approx(3.175, abs=1e-6)


@given(left=offsets, right=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_mirroring_the_wall_mirrors_the_back_panel(
    left: list[float], right: list[float], low: list[float]
) -> None:
    """Left and right exchanged, the panel is the mirror image."""
    one = Polygon(planned(back(left, right, low)).panels[0].outline_mm)
    other = Polygon(planned(back(right, left, low[::-1])).panels[0].outline_mm)
    assert scale(one, -1, 1, origin=(0, 0)).symmetric_difference(other).area < 1e-3


@given(inner=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_a_mirrored_end_wall_has_the_same_numbers(inner: list[float], low: list[float]) -> None:
    """The same wall at the other side has the same marks and the other hand."""
    at_left = planned(end("right", inner, low)).panels[0]
    at_right = planned(end("left", inner, low)).panels[0]
    assert at_left.outline_mm == at_right.outline_mm
    assert at_left.marks == at_right.marks
    assert at_left.cutouts == at_right.cutouts
    assert (at_left.hand, at_right.hand) == ("left", "right")


def front(panel: Panel) -> Polygon:
    """The outline in the front view, x to the right, y down."""
    return scale(Polygon(panel.outline_mm), panel.front_sign, 1, origin=(0, 0))


@given(inner=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_a_left_hand_sheet_from_the_back_is_a_right_hand_front(
    inner: list[float], low: list[float]
) -> None:
    """The front view mirrored, which is the back view, is the other hand's front view."""
    left = front(planned(end("right", inner, low)).panels[0])
    right = front(planned(end("left", inner, low)).panels[0])
    assert scale(left, -1, 1, origin=(0, 0)).symmetric_difference(right).area < 1e-3


@given(left=offsets, right=offsets, inner=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_adjacent_panels_do_not_overlap(
    left: list[float], right: list[float], inner: list[float], low: list[float]
) -> None:
    """An end panel ends a build-up and a joint short of the back wall's corner."""
    shop = shipped_practice()
    panel = planned(back(left, right, low), end("right", inner, low)).panels[1]
    wall = [(down + 25.4, 540 + 260 + m) for down, m in zip(DOWNS, inner, strict=True)]
    gaps = [line(wall, y) - x for x, y in panel.outline_mm]
    assert min(gaps) == pytest.approx(shop.build_up_mm + shop["joint.corner"], abs=1e-6)


@given(left=offsets, right=offsets, inner=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_level_joints_run_through_the_corners(
    left: list[float], right: list[float], inner: list[float], low: list[float]
) -> None:
    """All panels have their level joints at the same heights."""
    plan = planned(back(left, right, low), end("right", inner, low))
    joints = [p.pattern.course_joints for p in plan.panels if p.pattern]
    assert len(joints) == 2
    assert joints[0] == joints[1]


@given(left=offsets, right=offsets, low=heights)
@settings(max_examples=40, deadline=None)
def test_the_box_is_the_least_that_holds_the_panel(
    left: list[float], right: list[float], low: list[float]
) -> None:
    """The box equals the outline's own bounds, and its sheet holds it."""
    panel = planned(back(left, right, low)).panels[0]
    x0, y0, x1, y1 = Polygon(panel.outline_mm).bounds
    assert (panel.box.width.mm, panel.box.height.mm) == pytest.approx((x1 - x0, y1 - y0))
    assert panel.sheet is not None
    assert panel.sheet.spare_width.mm >= 0


@given(left=offsets, right=offsets, low=heights, move=st.floats(-200, 200))
@settings(max_examples=40, deadline=None)
def test_the_plumb_line_may_hang_anywhere(
    left: list[float], right: list[float], low: list[float], move: float
) -> None:
    """A plumb line moved sideways gives the same panel, moved."""
    here = back(left, right, low)
    there = replace(
        here,
        left=tuple(replace(s, value=plain(s.value.mm + move)) for s in here.left),
        right=tuple(replace(s, value=plain(s.value.mm - move)) for s in here.right),
        line_to_deck=tuple(replace(s, at_mm=s.at_mm - move) for s in here.line_to_deck),
    )
    one = Polygon(planned(here).panels[0].outline_mm)
    other = Polygon(planned(there).panels[0].outline_mm)
    assert translate(one, -move).symmetric_difference(other).area < 1e-2


@given(mm=st.lists(st.floats(10, 1500), min_size=1, max_size=8))
def test_marked_parts_add_up(mm: list[float]) -> None:
    """Parts marked to 1/16 in add up within 1/32 in each."""
    assert abs(sum(marked_mm(part) for part in mm) - sum(mm)) <= len(mm) * INCH / 32 + 1e-5


@given(mm=st.floats(10, 3000))
def test_an_overall_width_is_never_printed_wider(mm: float) -> None:
    """An overall width is printed at most as wide as it is, and less than 1/16 in narrower."""
    whole, _, part = width(mm).text.partition(" ")
    if "/" in whole:
        whole, part = "0", whole
    top, _, low = part.partition("/")
    printed = (int(whole) + (int(top) / int(low) if part else 0)) * INCH
    assert -1e-5 <= mm - printed < INCH / 16 + 1e-5


@pytest.mark.parametrize(("corner", "hand"), [("right", "left"), ("left", "right")])
def test_a_hand_needs_its_own_sheet(corner: Side, hand: Hand) -> None:
    """A left-hand end comes from the sheet with the finished left edge, and the other way."""
    panel = planned(end(corner, [0.0] * 4, [0.0] * 3)).panels[0]
    assert panel.sheet is not None
    assert (panel.hand, panel.sheet.name) == (hand, hand)


@given(left=offsets, right=offsets, one=offsets, other=offsets, low=heights)
@settings(max_examples=30, deadline=None)
def test_a_mirrored_room_is_the_mirrored_plan(
    left: list[float], right: list[float], one: list[float], other: list[float], low: list[float]
) -> None:
    """Left and right exchanged all through: the same sheets and boxes with the hands swapped."""

    def far(shape: WallShape) -> WallShape:
        return replace(shape, wall="far end")

    here = planned(back(left, right, low), end("right", one, low), far(end("left", other, low)))
    there = planned(
        back(right, left, low[::-1]), end("left", one, low), far(end("right", other, low))
    )
    swapped = {"none": "none", "left": "right", "right": "left"}
    for panel in here.panels:
        twin = next(p for p in there.panels if p.wall == panel.wall)
        assert twin.hand == swapped[panel.hand]
        assert twin.box.width.mm == pytest.approx(panel.box.width.mm)
        assert twin.area_mm2 == pytest.approx(panel.area_mm2)
        assert (panel.sheet is None) == (twin.sheet is None)
    assert here.cutting is not None
    assert there.cutting is not None
    assert here.cutting.used == pytest.approx(there.cutting.used)


@given(left=offsets, right=offsets, one=offsets, low=heights)
@settings(max_examples=30, deadline=None)
def test_pieces_lie_on_their_sheets(
    left: list[float], right: list[float], one: list[float], low: list[float]
) -> None:
    """Every panel is on one sheet, inside it, at the edges it needs, over no other piece."""
    plan = planned(back(left, right, low), end("right", one, low))
    assert plan.cutting is not None
    for cut in plan.cutting.sheets:
        for piece in cut.pieces:
            assert -1e-6 <= piece.x.mm <= cut.width.mm - piece.width.mm + 1e-6
            assert -1e-6 <= piece.y.mm <= cut.height.mm - piece.height.mm + 1e-6
            assert piece.y.mm == pytest.approx(0.0)
    names = [piece.name for cut in plan.cutting.sheets for piece in cut.pieces]
    assert sorted(names) == sorted(panel.title for panel in plan.panels)
