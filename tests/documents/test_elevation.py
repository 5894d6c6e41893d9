"""Elevations: panels on their walls, and the alcove unfolded."""

from __future__ import annotations

from collections import Counter

import pytest

from service.documents.drawing import Dimension, Layer, Line, Polyline, Text
from service.documents.elevation import alcove_elevation, panel_elevation
from tests.documents.alcove import INCH, alcove_plan

TEXT_MM = 50.0


def titles(released: bool) -> list[tuple[float, str]]:
    plan = alcove_plan(released=(released, True, True))
    view = alcove_elevation(plan.panels, TEXT_MM)
    words = [item for item in view if isinstance(item, Text)]
    return sorted((item.at.x, item.text) for item in words if item.layer is Layer.NOTE)


def test_walls_stand_as_they_meet_in_the_room() -> None:
    """Left hand panel, back wall, right hand panel, from left to right, each named with hand."""
    assert [text for _, text in titles(True)] == [
        "plumbing wall, left hand",
        "back wall",
        "far end wall, right hand",
    ]


def test_unfolded_panels_do_not_overlap() -> None:
    """Each outline ends before the next begins."""
    view = alcove_elevation(alcove_plan().panels, TEXT_MM)
    outlines = [item for item in view if isinstance(item, Polyline) and item.layer == "OUTLINE"]
    spans = sorted((min(p.x for p in o.points), max(p.x for p in o.points)) for o in outlines)

    assert len(spans) == 3
    assert spans[0][1] < spans[1][0] < spans[1][1] < spans[2][0]


def test_pattern_joints_run_level_across_the_walls() -> None:
    """Every level joint is drawn at one height on all three panels."""
    view = alcove_elevation(alcove_plan().panels, TEXT_MM)
    level = [
        item
        for item in view
        if isinstance(item, Line) and item.layer is Layer.PATTERN and item.start.y == item.end.y
    ]

    heights = Counter(round(-item.start.y / INCH, 4) for item in level)
    assert set(heights) == {12.0, 24.125, 36.25, 48.375, 60.5}
    assert set(heights.values()) == {len(alcove_plan().panels)}


@pytest.mark.parametrize("released", [True, False])
def test_sizes_of_an_unreleased_panel_are_about(released: bool) -> None:
    """An estimated size is never drawn as if it were proved."""
    panel = alcove_plan(released=(released, True, True)).panels[0]

    view = panel_elevation(panel, TEXT_MM)

    sizes = [item.text for item in view if isinstance(item, Dimension)]
    assert len(sizes) == 2
    assert all(text.startswith("about ") is not released for text in sizes)


@pytest.mark.parametrize("released", [True, False])
def test_the_unfolded_alcove_warns_while_any_panel_is_unreleased(released: bool) -> None:
    """One shut panel is enough for the warning."""
    plan = alcove_plan(released=(True, released, True))

    view = alcove_elevation(plan.panels, TEXT_MM)

    warned = any(isinstance(item, Text) and item.layer is Layer.WARNING for item in view)
    assert warned is not released
