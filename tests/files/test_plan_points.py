"""A wall's edges through points of its reports, by hand: offsets, depths, uncertainty, refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from service.files.plan import PlanFile
from service.files.plan_values import alcove_values
from service.measuring.release.judged import JudgedPoint, JudgedWall
from service.panels.plan import plan_panels
from service.panels.planned_wall import planned_walls
from service.panels.problem import PlanError
from service.panels.walls import Alcove
from tests.panels.worked_alcove import shipped_practice

INCH = 25.4


def point(name: str, x: float, y: float, u: float = 2.0) -> JudgedPoint:
    """A point of the report, inches from the frame's origin, y up; u in mm."""
    return JudgedPoint(name, x * INCH, y * INCH, u, u)


POINTS = (
    point("plumb", 31.0, -20.0, 1.0),
    point("left-high", 1.0, -1.0),
    point("left-low", 0.5, -60.0),
    point("right-high", 60.5, -1.0),
    point("right-low", 61.0, -60.0),
    point("deck-left", 0.5, -66.0),
    point("deck-right", 61.0, -66.25),
)
REPORT = JudgedWall("back.json", (), points=POINTS, levelled=True)
EDGES = {
    "plumb": "plumb",
    "left": ["left-high", "left-low"],
    "right": ["right-high", "right-low"],
    "deck": ["deck-left", "deck-right"],
}


def alcove(report: JudgedWall = REPORT, points: Any = None, **more: Any) -> Alcove:
    """A back wall given by points, and by what else is written."""
    wall = {"wall": "back", "reports": ["back.json"], "points": points or EDGES} | more
    file = PlanFile.model_validate({"job": {"name": "j", "scope": "over tile"}, "walls": [wall]})
    return alcove_values(file, {"back": (report,)}, shipped_practice())


def test_points_make_the_panel() -> None:
    """Plumb at 31: left 30 and 30 1/2, right 29 1/2 and 30, deck 66 to 66 1/4.

    The box is 30 1/2 + 30 and less 2/8, drawn on to the lower corners 66 down: the left slope is
    1/2 over 59 and so is the right, 6/59 x 1/2 more on either side.
    """
    panel = plan_panels(alcove(), shipped_practice()).panels[0]
    across = 60.5 + 2 * 0.5 * 6 / 59 - 0.25
    assert panel.box.width.mm / INCH == pytest.approx(across, abs=0.01)
    assert panel.box.height.mm / INCH == pytest.approx(66.25 + 0.75 - 0.125, abs=0.01)


def test_points_release_nothing() -> None:
    """Each says that it was seen and not taped."""
    panel = plan_panels(alcove(), shipped_practice()).panels[0]
    assert not panel.released
    assert len(panel.why_not) == 6
    assert all("seen in photos, not taped" in why for why in panel.why_not)


def test_a_readings_place_is_the_readings() -> None:
    """A reading within an inch of a point stands for both; elsewhere both are used."""
    left = [{"down": "1", "value": "30 1/16"}, {"down": "30", "value": "30 1/4"}]
    stations = alcove(left=left).walls[0].left
    found = sorted((s.at_mm / INCH, s.value.mm / INCH) for s in stations)
    assert [at for at, _ in found] == pytest.approx([1, 30, 60])
    assert [mm for _, mm in found] == pytest.approx([30.0625, 30.25, 30.5])


def test_the_plumb_lines_own_error_falls_out_of_the_width() -> None:
    """With u 2 at either side and 1 at the plumb line the width has u = 2 root 2, no more.

    One point a side makes the box a plain sum: 58 + 2.83 mm is held in 84 of 100, as 1 u is.
    """
    one = EDGES | {"left": ["left-high"], "right": ["right-high"]}
    room = alcove(points=one)
    wall = planned_walls(room, 0.75 * INCH, shipped_practice())[0]
    width = wall.outline.box[2] - wall.outline.box[0]
    assert wall.terms.chance_wide(width + 2 * math.sqrt(2)) == pytest.approx(0.8413, abs=1e-4)


@pytest.mark.parametrize(
    ("report", "points", "message"),
    [
        (REPORT, EDGES | {"left": ["nowhere"]}, r"mark 'nowhere' is in no report; expected one of"),
        (replace(REPORT, levelled=False), EDGES, "expected a level line in back.json"),
    ],
)
def test_points_that_do_not_do(report: JudgedWall, points: Any, message: str) -> None:
    """The wall, the mark and what was expected are named."""
    with pytest.raises(PlanError, match=r"back\.points") as error:
        alcove(report, points)
    assert message in str(error.value)
