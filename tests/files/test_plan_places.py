"""What a plan takes a size for, held against where it was taken."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.files.plan_places import (
    UNTOLD,
    fixture_taken_for,
    height_taken_for,
    is_just,
    offset_taken_for,
    otherwise,
    outer_edge_taken_for,
)
from service.files.plan_sizes import given
from service.measuring.release.judged import JudgedSize, JudgedWall, TakenOf
from service.panels.practice import Practice
from tests.panels.worked_alcove import worked_practice

INCH = 25.4
LEFT_16 = TakenOf("offset", "left", 16 * INCH, surface="tile")
LEFT_40 = replace(LEFT_16, down_mm=40 * INCH)


@pytest.mark.parametrize(
    ("told", "why"),
    [
        (LEFT_16, ""),
        (None, ""),
        (replace(LEFT_16, down_mm=16.4 * INCH), ""),
        (replace(LEFT_16, side="inner", surface=None), ""),
        (LEFT_40, "it was taken 40 in below the level line"),
        (replace(LEFT_16, side="right"), "it was taken on the right"),
        (replace(LEFT_16, surface="bare"), "it was taken to the bare surface"),
        (replace(LEFT_16, role="width"), "it is told to be of another kind: width"),
    ],
)
def test_an_offset_counts_where_it_was_taken(told: TakenOf | None, why: str) -> None:
    """Another height, side, surface or kind of size is told; half an inch is the same height."""
    assert otherwise(offset_taken_for("left", 16 * INCH, "tile"), told) == why


def test_the_finished_plane_may_be_any_surface() -> None:
    """What the sheet lies on is tile or plaster: the reading may be to either."""
    asked = offset_taken_for("left", 16 * INCH, "finished")
    assert otherwise(asked, LEFT_16) == otherwise(asked, replace(LEFT_16, surface="bare")) == ""


def test_a_height_and_a_fixture_count_where_they_were_taken() -> None:
    """By the place along the wall; by the fixture, as far as both are the wall's own."""
    height = TakenOf("height", at_mm=-14 * INCH)
    across, down = fixture_taken_for("valve", ["valve", "spout"])

    assert otherwise(height_taken_for(-14 * INCH), height) == ""
    assert (
        otherwise(height_taken_for(14 * INCH), height) == "it was taken -14 in from the plumb line"
    )
    assert otherwise(across, TakenOf("fixture from plumb", fixture="valve")) == ""
    assert otherwise(across, TakenOf("fixture from plumb", fixture="spout")) == "it is of the spout"
    assert otherwise(across, TakenOf("fixture from plumb", fixture="mixer")) == ""
    assert "fixture from plumb" in otherwise(down, TakenOf("fixture from plumb", fixture="valve"))


def test_a_size_without_a_place_is_not_just_that() -> None:
    """It may be, and nothing says so."""
    asked = offset_taken_for("left", 16 * INCH, "tile")
    assert is_just(asked, LEFT_16)
    assert not is_just(asked, LEFT_40)
    assert not is_just(asked, replace(LEFT_16, down_mm=None))


@pytest.fixture
def shop() -> Practice:
    """The worked alcove's practice."""
    return worked_practice()


def _proved(name: str, mm: float, of: TakenOf | None) -> JudgedSize:
    figures = (mm, 0.7, mm, 0.5, mm + 0.4, 1.0, mm + 1.0, 1.9, 0.1, 5.0)
    return JudgedSize(name, "agrees", True, *figures, of)


def _wall(*sizes: JudgedSize) -> JudgedWall:
    return JudgedWall("back.json", sizes)


def test_a_size_named_at_another_place_is_not_proved_by_it(shop: Practice) -> None:
    """Proved as it is, it was taken 24 in higher up; the value stays as an estimate."""
    wall = _wall(_proved("left 16", 750.0, LEFT_16))
    asked = offset_taken_for("left", 40 * INCH, "tile")

    found = given("back left 40", None, "left 16", [wall], shop, (), asked)

    assert (found.mm, found.proof) == (750.0, "")
    assert found.why_not == (
        "back left 40: by 'left 16', but it was taken 16 in below the level line"
    )
    assert given("back left 16", None, "left 16", [wall], shop).proof == "checked"


@pytest.mark.parametrize(
    ("there", "why"),
    [
        (_proved("left 40", 746.0, LEFT_40), "differs from the tape reading of 'left 40'"),
        (_proved("left 64", 742.0, replace(LEFT_16, down_mm=64 * INCH)), "in no measure report"),
    ],
)
def test_a_written_value_is_not_proved_by_its_like_elsewhere(
    shop: Practice, there: JudgedSize, why: str
) -> None:
    """750 mm was taped at 16 in. Written at 40 it is held against what was taped there; where
    nothing was, it is a plain reading."""
    wall = _wall(_proved("left 16", 750.0, LEFT_16), there)
    asked = offset_taken_for("left", 40 * INCH, "tile")

    found = given("back left 40", 750.0, None, [wall], shop, (), asked)

    assert why in found.why_not


def test_a_written_value_is_proved_by_the_size_of_its_place(shop: Practice) -> None:
    """Two walls' sizes are alike to the figure: the one of that place counts, and one that does
    not say its place where there is none."""
    here, away = _proved("left 16", 750.0, LEFT_16), _proved("right 16", 750.0, None)
    asked = offset_taken_for("left", 16 * INCH, "tile")

    assert given("l", 750.0, None, [_wall(away, here)], shop, (), asked).dimension == "left 16"
    assert given("l", 750.0, None, [_wall(away)], shop, (), asked).dimension == "right 16"


def test_an_edge_and_a_window_are_not_proved_by_an_equal_figure(shop: Practice) -> None:
    """What is told to be of something else proves no edge on the other side, and no side of a
    window, though it is 750 mm as well; whoever names a size for a window is believed."""
    wall = _wall(_proved("left 16", 750.0, LEFT_16))
    edge, near = outer_edge_taken_for("left"), outer_edge_taken_for("right")

    for asked in (edge, UNTOLD):
        assert given("x", 750.0, None, [wall], shop, (), asked).proof == ""
    assert given("x", 750.0, None, [wall], shop, (), near).proof == "checked"
    assert given("x", None, "left 16", [wall], shop).proof == "checked"
    assert given("x", 750.0, None, [_wall(_proved("sill", 750.0, None))], shop).proof == "checked"
