"""What tile, strip and pack-out do to a reading, worked by hand on 3/8 in tile."""

from __future__ import annotations

import pytest

from service.panels.plane import finished_proud_mm, to_finished_mm
from service.panels.returns import least_step_mm
from service.panels.walls import Region, Surface, Treatment

TILE = 9.525


def band(above: Treatment, below: Treatment) -> tuple[Region, ...]:
    """Bare plaster down to 15 in, tile from there."""
    return (Region(-25.4, 381.0, 0.0, above), Region(381.0, None, TILE, below))


@pytest.mark.parametrize(
    ("above", "below", "high", "low"),
    [
        ("pack", "keep", TILE, TILE),  # packed flush with the tile that stays
        ("keep", "keep", 0.0, TILE),  # the step stays
        ("keep", "strip", 0.0, 0.0),  # tile off: bare all over
        ("pack", "strip", 0.0, 0.0),  # packed flush with a stripped wall is bare
    ],
)
def test_finished_plane(above: Treatment, below: Treatment, high: float, low: float) -> None:
    """The finished plane is kept tile, bare where stripped, and flush where packed."""
    regions = band(above, below)
    assert finished_proud_mm(regions, 0.0) == high
    assert finished_proud_mm(regions, 1000.0) == low


@pytest.mark.parametrize(
    ("above", "below", "down", "surface", "added"),
    [
        ("pack", "keep", 0.0, "bare", -TILE),  # plaster to be packed out: shorter
        ("pack", "keep", 0.0, None, -TILE),  # the surface there is the plaster
        ("pack", "keep", 0.0, "tile", 0.0),  # a block held the tape to the tile's plane
        ("pack", "keep", 0.0, "finished", 0.0),
        ("pack", "keep", 1000.0, "tile", 0.0),
        ("pack", "keep", 1000.0, "bare", -TILE),  # a tile was off where it was read
        ("keep", "strip", 1000.0, "tile", TILE),  # tile to come off: longer
        ("keep", "strip", 1000.0, "bare", 0.0),
        ("keep", "keep", 0.0, "bare", 0.0),
    ],
)
def test_what_a_reading_gains(
    above: Treatment, below: Treatment, down: float, surface: Surface | None, added: float
) -> None:
    """A reading ends where the finished plane will be, whatever it was taken to."""
    assert to_finished_mm(band(above, below), down, surface) == pytest.approx(added)


def test_no_regions_is_one_plane() -> None:
    """Without regions nothing is added."""
    assert to_finished_mm((), 0.0, "bare") == 0.0


def test_the_border_belongs_to_the_lower_region() -> None:
    """Where the tile stops, a reading is on the tile."""
    assert finished_proud_mm(band("keep", "keep"), 381.0) == TILE


@pytest.mark.parametrize(
    ("above", "step"), [("keep", 0.0), ("pack", TILE)], ids=["not packed", "packed"]
)
def test_least_step_sets_the_return(above: Treatment, step: float) -> None:
    """A return never reaches deeper than the least step along its edge."""
    assert least_step_mm(band(above, "keep"), -25.4, 1600.0) == step
