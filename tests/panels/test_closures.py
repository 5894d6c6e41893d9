"""What closes between walls, and what is said when it does not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from service.panels.plan import plan_panels
from tests.panels.worked_alcove import worked_alcove, worked_plan, worked_practice

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.walls import WallShape


def cautions(name: str, change: Callable[[WallShape], WallShape]) -> dict[str, list[str]]:
    """Warnings by code, with one wall of the worked alcove changed."""
    alcove = worked_alcove()
    walls = tuple(change(shape) if shape.wall == name else shape for shape in alcove.walls)
    plan = plan_panels(replace(alcove, walls=walls), worked_practice())
    found: dict[str, list[str]] = {}
    for caution in plan.warnings:
        found.setdefault(caution.code, []).append(caution.text)
    return found


def test_the_worked_alcove_closes() -> None:
    """Both corners' heights and all three pipes close: 66 = 66, 14 1/4, 14.211, 14.232."""
    assert not [w for w in worked_plan().warnings if w.code in ("does-not-close", "few-stations")]


def test_a_corner_height_an_inch_off() -> None:
    """A corner height that is an inch longer on one wall is told, with both values."""

    def inch_long(shape: WallShape) -> WallShape:
        first, *rest = shape.line_to_deck
        longer = replace(first, value=replace(first.value, mm=first.value.mm + 25.4))
        return replace(shape, line_to_deck=(longer, *rest))

    along, corner = cautions("plumbing", inch_long)["does-not-close"]
    assert along.startswith("line to deck: 0 in along it is 5/8 in off the straight line")
    assert "left corner is 66 in on the back wall and 67 in on the plumbing wall" in corner


@pytest.mark.parametrize(
    ("at", "inches", "told"),
    [
        (2, 1 / 4, None),
        (2, -10.0, "left: 40 in down it is 10 in off the straight line between 16 and 64 in"),
        (1, 1.0, "left: 16 in down it is 1 in off the straight line between 0 and 40 in"),
        (0, 1.0, "left: 16 in down it is 5/8 in off the straight line between 0 and 40 in"),
        (3, -1.0, "left: 40 in down it is 1/2 in off the straight line between 16 and 64 in"),
    ],
)
def test_an_offset_far_off_its_neighbours_is_told(at: int, inches: float, told: str | None) -> None:
    """One reading an inch out, a sheet cut by which would have a notch, is told once, in a plan by
    plain readings too; a wall that bows by 1/4 in is not."""

    def moved(shape: WallShape) -> WallShape:
        left = list(shape.left)
        value = left[at].value
        left[at] = replace(left[at], value=replace(value, mm=value.mm + inches * 25.4))
        return replace(shape, left=tuple(left))

    texts = cautions("back", moved).get("does-not-close", [])
    assert [text.partition(": one of")[0] for text in texts] == ([told] if told else [])


@pytest.mark.parametrize(("inches", "told"), [(1 / 16, 0), (1 / 4, 1), (-1.0, 1)])
def test_a_pipe_that_does_not_close(inches: float, told: int) -> None:
    """A pipe off by more than 1/8 in from the corner is told by its name."""

    def moved(shape: WallShape) -> WallShape:
        arm, *rest = shape.fixtures
        assert arm.from_corner_mm is not None
        arm = replace(arm, from_corner_mm=arm.from_corner_mm + inches * 25.4)
        return replace(shape, fixtures=(arm, *rest))

    texts = cautions("plumbing", moved).get("does-not-close", [])
    assert len(texts) == told
    assert all(text.startswith("arm") for text in texts)


def test_a_mirrored_pipe_does_not_close() -> None:
    """A pipe written on the wrong side of the plumb line is told."""

    def mirrored(shape: WallShape) -> WallShape:
        arm, *rest = shape.fixtures
        arm = replace(arm, from_plumb=replace(arm.from_plumb, mm=-arm.from_plumb.mm))
        return replace(shape, fixtures=(arm, *rest))

    assert "does-not-close" in cautions("plumbing", mirrored)


def test_one_height_is_too_few() -> None:
    """A side read at one height is drawn plumb, and that is said."""
    texts = cautions("back", lambda shape: replace(shape, left=shape.left[1:2]))["few-stations"]
    assert texts[0].startswith("left: 1 of 3 stations")
    assert "below the last reading" in texts[1]


def test_readings_that_name_an_unknown_surface() -> None:
    """A reading to bare plaster of a wall without surfaces is not corrected, and that is said."""
    found = cautions("plumbing", lambda shape: replace(shape, surfaces=()))
    assert "surface-unknown" in found
