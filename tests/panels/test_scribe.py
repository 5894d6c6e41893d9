"""The largest rectangle that goes in, and what must be scribed."""

from __future__ import annotations

import pytest
from shapely.geometry import Polygon, box

from service.panels.model import Panel
from tests.panels.worked_alcove import worked_panel, worked_plan
from tests.panels.written_plan import back_wall, written_plan

WALLS = pytest.mark.parametrize("panel", worked_plan().panels, ids=lambda panel: panel.wall)


def test_back_panel_of_the_worked_alcove() -> None:
    """29.0479 + 28 7/8 = 57.92 wide, so 57 7/8; 66 7/8 high; left .522, right .267, bottom 5/16."""
    found = worked_panel("back").scribe
    assert found is not None
    assert (found.width.text, found.height.text) == ("57 7/8", "66 7/8")
    assert {edge: size.text for edge, size in found.edges} == {
        "left": "1/2",
        "right": "1/4",
        "bottom": "5/16",
    }


@WALLS
def test_the_rectangle_lies_in_the_panel_and_no_larger_one_does(panel: Panel) -> None:
    """Under the finished top it touches both sides and the lower edge; a little more sticks out."""
    found = panel.scribe
    assert found is not None
    outline = Polygon(panel.outline_mm)
    start = max(x for x, _ in panel.outline_mm[:1])
    if panel.wall == "back":
        start = max(m.at_mm.x for m in panel.marks if m.edge == "left")
    inside = box(start, 0.0, start + found.width.mm, found.height.mm)
    assert outline.buffer(1e-6).contains(inside)
    wider = box(start, 0.0, start + found.width.mm + 0.5, found.height.mm)
    higher = box(start, 0.0, start + found.width.mm, found.height.mm + 9.0)
    assert not outline.buffer(1e-6).contains(wider)
    assert not outline.buffer(1e-6).contains(higher)


def test_a_square_wall_needs_no_scribing() -> None:
    """Plumb sides and a level deck: the panel is the rectangle."""
    panel = written_plan({"walls": [back_wall("30", "28")]}).panels[0]
    assert panel.scribe is not None
    assert panel.scribe.edges == ()
    assert (panel.scribe.width.text, panel.scribe.height.text) == ("57 3/4", "60 5/8")
