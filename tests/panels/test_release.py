"""Release goes by sheets: a panel is released by the sizes that it is cut by, and no others."""

from __future__ import annotations

from dataclasses import replace

from service.panels.plan import plan_panels
from service.panels.release import overrides, with_releases
from service.panels.sheet_release import SheetRelease, State
from service.panels.walls import Alcove, Given, Station, WallShape
from tests.panels.worked_alcove import worked_alcove, worked_practice


def proven(shape: WallShape) -> WallShape:
    """A wall all of whose sizes are proved."""

    def open_(stations: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(replace(s, value=replace(s.value, why_not="")) for s in stations)

    return replace(
        shape,
        left=open_(shape.left),
        right=open_(shape.right),
        line_to_deck=open_(shape.line_to_deck),
    )


def alcove_with_proven(*names: str) -> Alcove:
    """The alcove worked by hand with some of its walls proved."""
    alcove = worked_alcove()
    walls = tuple(proven(shape) if shape.wall in names else shape for shape in alcove.walls)
    return replace(alcove, walls=walls)


def test_release_is_per_sheet() -> None:
    """The back panel is released while the ends are still estimates, and the plan is not."""
    plan = plan_panels(alcove_with_proven("back"), worked_practice())
    assert [panel.released for panel in plan.panels] == [True, False, False]
    assert not plan.released


def test_a_hole_must_be_proved_too() -> None:
    """A proved outline with a plain valve reading is not released, and says which size."""
    plan = plan_panels(alcove_with_proven("back", "plumbing"), worked_practice())
    assert any("valve down" in why for why in plan.panels[1].why_not)


def test_released_exactly_when_nothing_speaks_against_it() -> None:
    """`why_not` is empty exactly on released panels."""
    plan = plan_panels(alcove_with_proven("back"), worked_practice())
    assert all(panel.released == (not panel.why_not) for panel in plan.panels)


def test_an_outer_edge_put_at_a_size_must_be_proved() -> None:
    """An edge that was chosen holds nothing; one that names a size is cut by that size."""
    alcove = alcove_with_proven("back", "plumbing", "far end")
    end = alcove.wall("far end")
    assert end is not None
    assert end.outer is not None
    why = "far end outer edge: not taped"
    edge = Given("far end outer edge", end.outer.from_plumb_mm, 1.0, why)
    held = replace(end, outer=replace(end.outer, taped=edge))
    walls = tuple(held if shape.wall == "far end" else shape for shape in alcove.walls)
    chosen = plan_panels(alcove, worked_practice()).panels[2]
    taped = plan_panels(replace(alcove, walls=walls), worked_practice()).panels[2]
    assert not any("outer edge" in reason for reason in chosen.why_not)
    assert taped.why_not == (*chosen.why_not, why)


def test_a_panel_tells_every_size_behind_it() -> None:
    """Offsets, heights and both ways to each hole, each once, with what holds it."""
    panel = plan_panels(alcove_with_proven("back", "plumbing"), worked_practice()).panels[1]
    names = [size.name for size in panel.sizes]
    assert len(names) == len(set(names))
    assert {"plumbing valve down", "plumbing valve from plumb"} <= set(names)
    assert {size.why_not for size in panel.sizes if size.why_not} == set(panel.why_not)


def test_only_a_locked_sheet_is_for_cutting_once_somebody_decides() -> None:
    """Proved sizes alone release nothing where sheets are locked; one that is locked stays so."""
    plan = plan_panels(alcove_with_proven("back"), worked_practice())
    states: tuple[tuple[State, bool], ...] = (
        ("open", False), ("reopened", False), ("released", True)
    )  # fmt: skip
    for state, released in states:
        told = with_releases(plan, {"back": SheetRelease(state, "A", held=("changed",))})
        back = told.panels[0]
        assert (back.released, bool(back.why_not)) == (released, not released)
        assert back.release is not None


def test_an_override_is_told_of_its_panel() -> None:
    """What was let stand is known to every page of the panel."""
    alcove = alcove_with_proven("back")
    back = alcove.wall("back")
    assert back is not None
    first = replace(back.left[0].value, proof="override", note="override by B: looked at it")
    left = (replace(back.left[0], value=first), *back.left[1:])
    walls = tuple(replace(s, left=left) if s is back else s for s in alcove.walls)
    plan = plan_panels(replace(alcove, walls=walls), worked_practice())
    assert overrides(plan.panels[0]) == ("back left 0: override by B: looked at it",)
    assert overrides(plan.panels[1]) == ()
