"""Absurd input: one error that names the field and the limit."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.walls import Given, Pattern, Region, Station, StockSheet
from tests.panels.worked_alcove import worked_alcove, worked_practice

if TYPE_CHECKING:
    from service.panels.model import Plan
    from service.panels.walls import Alcove, WallShape


def planned(alcove: Alcove) -> Plan:
    """The plan, or its refusal."""
    return plan_panels(alcove, worked_practice())


def with_wall(name: str, **changes: object) -> Alcove:
    """The alcove worked by hand with one wall changed."""
    alcove = worked_alcove()
    walls = tuple(
        replace(shape, **changes) if shape.wall == name else shape  # type: ignore[arg-type]
        for shape in alcove.walls
    )
    return replace(alcove, walls=walls)


def wall(name: str) -> WallShape:
    """One wall of the alcove worked by hand."""
    return next(shape for shape in worked_alcove().walls if shape.wall == name)


def stations(*pairs: tuple[float, float]) -> tuple[Station, ...]:
    """Plain readings, inches."""
    return tuple(
        Station(at * 25.4, Given(f"reading at {at:g}", mm * 25.4, 1.0, "plain")) for at, mm in pairs
    )


@pytest.mark.parametrize("value", [-3.0, 0.0, math.nan, math.inf, 480.0])
def test_offset_out_of_reason(value: float) -> None:
    """An offset that is negative, nothing, not finite or 40 ft is refused with the limit."""
    with pytest.raises(PlanError, match="reading at 16: expected more than 0 and at most 144 in"):
        planned(with_wall("back", left=stations((16, value))))


@pytest.mark.parametrize("field", ["left", "right", "line_to_deck"])
@pytest.mark.parametrize("at", [math.nan, math.inf, 3000.0, -3000.0])
def test_station_out_of_reason(field: str, at: float) -> None:
    """A reading said to be taken 250 ft off, a point forgotten, is refused: the side was drawn
    through it without a word."""
    one = stations((at, 29))
    with pytest.raises(PlanError, match=r"reading at .* station: expected a station within 144 in"):
        planned(with_wall("back", **{field: one}))


def test_forty_foot_wall() -> None:
    """Two offsets, each of which might be, that make a wall of 20 ft are refused."""
    alcove = with_wall("back", left=stations((16, 120)), right=stations((16, 120)))
    with pytest.raises(PlanError, match=r"back.left \+ back.right: expected at most 144 in"):
        planned(alcove)


@pytest.mark.parametrize("above", [-1.0, math.nan, 5000.0])
def test_top_out_of_reason(above: float) -> None:
    """A finished top below the line or past the limit is refused."""
    alcove = worked_alcove()
    with pytest.raises(PlanError, match=r"top.above_line: expected 0 to 132 in"):
        planned(replace(alcove, top=replace(alcove.top, above_line_mm=above)))


def test_crossing_sides() -> None:
    """Sides that cross are refused as an outline."""
    left = stations((16, 30), (40, 1), (64, 30))
    right = stations((16, 30), (17, 0.05), (63, 0.05), (64, 30))
    with pytest.raises(PlanError, match=r"back\.outline"):
        planned(with_wall("back", left=stations((0, 30), (1, 1)), right=right))
    assert planned(with_wall("back", left=left)).panels


def test_hole_outside_its_panel() -> None:
    """A hole that is not wholly inside its panel is refused with its place."""
    fixtures = wall("plumbing").fixtures
    low = replace(fixtures[1], down=replace(fixtures[1].down, mm=66 * 25.4))
    with pytest.raises(PlanError, match=r"plumbing\.valve: expected a hole inside the panel"):
        planned(with_wall("plumbing", fixtures=(low,)))


def test_fixture_without_any_size() -> None:
    """A fixture with neither hole, guard nor pipe is refused."""
    bare = replace(wall("plumbing").fixtures[0], pipe_mm=None)
    with pytest.raises(PlanError, match=r"plumbing\.arm: expected hole, guard or pipe"):
        planned(with_wall("plumbing", fixtures=(bare,)))


@pytest.mark.parametrize("field", ["left", "right", "line_to_deck"])
def test_missing_readings(field: str) -> None:
    """A wall without readings on one side, or without heights, is refused by that name."""
    with pytest.raises(PlanError, match=f"back.{field}"):
        planned(with_wall("back", **{field: ()}))


def test_end_wall_without_its_outer_edge() -> None:
    """An end panel cannot be planned without its finished outer edge."""
    with pytest.raises(PlanError, match=r"plumbing\.outer"):
        planned(with_wall("plumbing", outer=None))


def test_two_readings_at_one_station() -> None:
    """Two readings at one place are not averaged in silence."""
    with pytest.raises(PlanError, match=r"back\.left: two readings at 16 in: keep one"):
        planned(with_wall("back", left=stations((16, 29), (16, 29.5))))


@pytest.mark.parametrize(
    ("regions", "match"),
    [
        ((Region(0, 100, -1, "keep"),), "proud"),
        ((Region(100, 50, 9, "keep"),), "to_down"),
        ((Region(0, 100, 9, "keep"), Region(50, None, 9, "keep")), "do not overlap"),
        ((Region(0, None, 100, "keep"),), "expected at most 2 in"),
    ],
)
def test_surfaces_that_cannot_be(regions: tuple[Region, ...], match: str) -> None:
    """Regions that overlap, run upwards or stand out absurdly far are refused."""
    with pytest.raises(PlanError, match=match):
        planned(with_wall("back", surfaces=regions))


@pytest.mark.parametrize(
    "pattern",
    [
        Pattern((0, 300), 3),
        Pattern((300, math.nan), 3),
        Pattern((300, 300), -1),
        Pattern((3, 3), 9),
    ],
)
def test_pattern_that_cannot_be(pattern: Pattern) -> None:
    """A tile without size, or a joint wider than the tile, is refused."""
    with pytest.raises(PlanError, match="pattern"):
        planned(replace(worked_alcove(), pattern=pattern))


def test_pattern_larger_than_the_wall() -> None:
    """A tile wider than the widest panel (58 11/16, its box) is refused with that limit."""
    alcove = replace(worked_alcove(), pattern=Pattern((3000, 300), 3))
    with pytest.raises(PlanError, match=r"pattern\.tile: expected a width of at most 58 11/16 in"):
        planned(alcove)


@pytest.mark.parametrize(
    ("band", "expected"),
    [
        ((83.0, 81.0), "expected the lower top first, not 83 before 81"),
        ((81.0, 9000.0), "band[1]: expected more than 0 and at most 132 in, not 9000 in"),
        ((math.nan, 83.0), "band[0]: expected more than 0 and at most 132 in"),
    ],
)
def test_a_band_that_cannot_be(band: tuple[float, float], expected: str) -> None:
    """A band upside down, past the limit or of no number is refused."""
    alcove = worked_alcove()
    wrong = replace(alcove.top, band_mm=(band[0] * 25.4, band[1] * 25.4))
    with pytest.raises(PlanError, match=r"top\.band\b") as error:
        planned(replace(alcove, top=wrong))
    assert expected in str(error.value)


def test_a_tile_too_small_to_be_one() -> None:
    """A hundredth of an inch would be a hundred thousand tiles: the least is named."""
    alcove = replace(worked_alcove(), pattern=Pattern((0.254, 300), 0.1))
    with pytest.raises(PlanError, match=r"pattern\.tile: .* of 0.5 in or more"):
        planned(alcove)


@pytest.mark.parametrize("mm", [math.nan, -5.0, 1e6])
def test_a_box_out_of_reason(mm: float) -> None:
    """A receptacle's box of no size or of another house is refused by its name."""
    box = replace(wall("plumbing").fixtures[0], pipe_mm=None, box_mm=(50.0, mm))
    with pytest.raises(PlanError, match=r"plumbing\.arm\.box\[1\]: expected more than 0"):
        planned(with_wall("plumbing", fixtures=(box,)))


def test_empty_stock_is_a_warning() -> None:
    """Without stock every panel has no sheet, and each is warned of with its size."""
    plan = planned(replace(worked_alcove(), stock=()))
    assert [panel.sheet for panel in plan.panels] == [None, None, None]
    told = [w for w in plan.warnings if w.code == "no-sheet"]
    assert [w.wall for w in told] == ["back", "plumbing", "far end"]
    assert "no sheet in stock holds 58 3/4 x 67 3/16 in (stock is empty" in told[0].text


def test_no_hand_that_fits_is_a_warning() -> None:
    """A left-hand end panel never comes from a right-hand sheet."""
    stock = tuple(s for s in worked_alcove().stock if s.hand != "left")
    plan = planned(replace(worked_alcove(), stock=stock))
    texts = [w.text for w in plan.warnings if w.code == "no-sheet"]
    assert len(texts) == 1
    assert "finished left edge" in texts[0]


def test_sheet_without_size() -> None:
    """A sheet of no width is refused by its name."""
    stock = (StockSheet("odd", 0.0, 2438.4, ("top",)),)
    with pytest.raises(PlanError, match=r"stock.odd.size"):
        planned(replace(worked_alcove(), stock=stock))


@pytest.mark.parametrize("mm", [math.nan, -math.inf, 1e6])
def test_fixture_out_of_reason(mm: float) -> None:
    """A pipe at no place in a house is refused by its name."""
    arm = wall("plumbing").fixtures[0]
    lost = replace(arm, from_plumb=replace(arm.from_plumb, mm=mm))
    with pytest.raises(PlanError, match="plumbing arm from plumb: expected a size within"):
        planned(with_wall("plumbing", fixtures=(lost,)))


@pytest.mark.parametrize("mm", [math.nan, -1.0, 0.0, 1e6])
def test_line_to_floor_out_of_reason(mm: float) -> None:
    """A floor above the line or in another house is refused."""
    front = wall("plumbing").tub_front
    assert front is not None
    lost = replace(front, line_to_floor=replace(front.line_to_floor, mm=mm))
    with pytest.raises(PlanError, match="plumbing line to floor"):
        planned(with_wall("plumbing", tub_front=lost))


def test_floor_above_the_deck() -> None:
    """A floor that is not below the deck leaves no leg, and is refused."""
    front = wall("plumbing").tub_front
    assert front is not None
    high = replace(front, line_to_floor=replace(front.line_to_floor, mm=60 * 25.4))
    with pytest.raises(PlanError, match=r"plumbing\.tub_front: expected the floor below"):
        planned(with_wall("plumbing", tub_front=high))


def test_no_walls() -> None:
    """An alcove without walls is refused."""
    with pytest.raises(PlanError, match="walls"):
        planned(replace(worked_alcove(), walls=()))


def test_same_wall_twice() -> None:
    """A wall that stands twice is refused."""
    back = wall("back")
    with pytest.raises(PlanError, match=r"walls.back: expected this wall once"):
        planned(replace(worked_alcove(), walls=(back, back)))
