"""Sizes without a photo lie where the hand-worked alcove has them."""

from __future__ import annotations

import math

import pytest

from service.measuring.alcove.judging import as_read
from service.measuring.alcove.placing import Ends, size_ends
from service.measuring.alcove.vocabulary import Role
from tests.measuring.alcove.worked import worked_alcove

IN_PLAN = {Role.CORNER_DIAGONAL, Role.OPENING, Role.DEPTH, Role.PLAN_DIAGONAL, Role.STEP}


def _ends() -> dict[str, Ends]:
    walls, readings = worked_alcove("29 1/16")
    values = as_read(None, readings)
    return {name: ends for wall in walls for name, ends in size_ends(wall, values).items()}


def _inches(ends: Ends) -> list[float]:
    return [mm / 25.4 for place in ends for mm in place]


@pytest.mark.parametrize(
    ("name", "inches"),
    [
        ("back right 40", [0, -40, 29 + 1 / 16, -40]),
        ("back left 64", [0, -64, -(29 + 3 / 16), -64]),
        ("back deck -14", [-14, 0, -14, -(66 + 1 / 16)]),
        ("plumbing inner 40", [0, -40, 10 + 1 / 16, -40]),
        ("plumbing outer 40", [0, -40, -(20 + 5 / 8), -40]),
        ("plumbing deck front", [-(18 + 7 / 8), 0, -(18 + 7 / 8), -(66 + 1 / 8)]),
        ("plumbing deck to floor", [-18.875, -66.125, -18.875, -66.125 - 14.9375]),
        ("plumbing valve from plumb", [0, -51.0625, -4.0625, -51.0625]),
        ("plumbing valve down", [-4.0625, 0, -4.0625, -51.0625]),
        ("plumbing spout above deck", [-4, -61.75 - 4.3125, -4, -61.75]),
        ("far end inner 16", [0, -16, -(9 + 7 / 8), -16]),
        ("far end tub front", [0, -(66 + 7 / 16), 18 + 15 / 16, -(66 + 7 / 16)]),
    ],
)
def test_a_size_lies_where_it_was_taped(name: str, inches: list[float]) -> None:
    """Left of the plumb line is minus, below the level line too; an end wall's corner is on the
    side on which it meets the back wall."""
    assert _inches(_ends()[name]) == pytest.approx(inches)


def test_every_size_of_an_elevation_has_a_place_of_about_its_own_length() -> None:
    """Whatever lies on a wall has two ends, as far apart as it was read, but for what the walls
    and a deck that are not straight leave: 1/16 in across, 1/8 down a pipe and a corner."""
    walls, readings = worked_alcove("29 1/16")
    values, ends = as_read(None, readings), _ends()

    sizes = [size for wall in walls for size in wall.sizes]
    assert {size.name for size in sizes if size.role in IN_PLAN}.isdisjoint(ends)
    for size in sizes:
        if size.role not in IN_PLAN:
            apart = math.dist(*ends[size.name])
            assert apart == pytest.approx(values[size.name], abs=3.2), size.name


def test_a_size_that_nothing_places_has_none() -> None:
    """A pipe's offset without its height, and a diagonal without an edge, are not drawn."""
    walls, _ = worked_alcove()
    plumbing = walls[1]
    assert size_ends(plumbing, {"plumbing valve from plumb": 100.0}) == {}
    assert size_ends(plumbing, {"plumbing diagonal inner": 1450.0}) == {}
