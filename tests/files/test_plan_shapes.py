"""Obstacles, sloped ceilings, low walls and boxes as a plan file writes them."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from service.files.panels_values import panels_file
from tests.panels.written_plan import back_wall, end_wall, panel, written_plan

SEAT = {"name": "seat", "kind": "seat", "left": {"value": "14"}, "head": {"value": "42"},
        "depth": "15"}  # fmt: skip


def end(**more: Any) -> dict[str, Any]:
    """A far end wall, corner left 10 from plumb, outer edge 20."""
    return end_wall("far end", "10", "18", "20", **more)


def test_a_seat_of_the_file_is_cut_round_and_covered() -> None:
    """14 right of plumb and 42 below the line: its corner is 14 across and 42 3/4 down."""
    plan = written_plan({"walls": [back_wall(obstacles=[SEAT])]})
    row = panels_file(plan).panels[0].notches[0]
    assert (row.name, row.kind) == ("seat", "seat")
    assert row.corner_mm == pytest.approx((14 * 25.4, 42.75 * 25.4))
    assert [liner.name for liner in row.liners] == ["front", "left side", "top"]
    assert {m.edge for m in panel(plan, "back").marks} >= {"notch", "left", "right", "bottom"}


def test_millimetres_do_as_well() -> None:
    """The same seat in millimetres gives the same outline."""
    metric = SEAT | {"left": {"value": "355.6 mm"}, "head": {"value": "1066.8 mm"},
                     "depth": "381 mm"}  # fmt: skip
    one, other = (written_plan({"walls": [back_wall(obstacles=[o])]}) for o in (SEAT, metric))
    assert [m.how for m in one.panels[0].marks] == [m.how for m in other.panels[0].marks]


def test_a_sloped_ceiling_and_a_low_wall_of_the_file() -> None:
    """Ceiling 40 at -30 and 25 at 30; the far end a low wall 24 below the line."""
    ceiling = [{"at": "-30", "value": "40"}, {"at": "30", "value": "25"}]
    low = {"down": {"value": "24"}, "thickness": "4 1/2"}
    plan = written_plan(
        {
            "walls": [back_wall(ceiling=ceiling), end(low_top=low)],
            "top": {"above_line": "40", "to_ceiling": True},
        }
    )
    file = panels_file(plan)
    assert [p.top for p in file.panels] == ["sloped ceiling", "cap"]
    assert panel(plan, "far end").box.height.text == "35 7/8"


def test_a_bare_floor_of_the_file() -> None:
    """`tub` is floor: its own hours, joint and word."""
    plan = written_plan({"job": {"name": "f", "scope": "down to studs", "tub": "floor"},
                         "walls": [back_wall()]})  # fmt: skip
    assert "bare-floor" in {w.code for w in plan.warnings}


@pytest.mark.parametrize(
    ("change", "place", "message"),
    [
        ({"obstacles": [SEAT, SEAT]}, "obstacles[1].name", "'seat' is in walls[0].obstacles[0]"),
        ({"obstacles": [SEAT | {"left": {"dimension": "x"}}]}, "left.value", "left negative"),
        ({"obstacles": [SEAT | {"depth": "0"}]}, "depth", "expected a length greater than zero"),
        ({"ceiling": [{"at": "0", "value": "high"}]}, "ceiling[0].value", "expected a length"),
    ],
)
def test_what_a_file_may_not_say(change: dict[str, Any], place: str, message: str) -> None:
    """The place in the file is named with what was expected there."""
    with pytest.raises(ValidationError) as error:
        written_plan({"walls": [back_wall(**change)]})
    (found,) = error.value.errors()
    assert str(found["ctx"]["field"]).startswith("walls[0].")
    assert place in str(found["ctx"]["field"])
    assert message in found["msg"]
