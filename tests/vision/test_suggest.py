"""Suggestions on a drawn wall whose deck, sides and plate are known: candidates, no more."""

from __future__ import annotations

import numpy as np
import pytest

from vision.plane.area import Area
from vision.plane.elevation import ColourImage, Elevation
from vision.plane.suggest import Suggestion, suggest

AREA = Area(-80.0, -1750.0, 860.0, 60.0, 1.0)
DECK_MM, LEFT_MM, RIGHT_MM = -1676.0, 3.0, 788.0
LEAN = 0.006
PLATE_MM = np.array([277.0, -1292.0, 82.5])


def wall(*, joints: bool = True, plate: bool = True, edges: bool = True) -> Elevation:
    """Tile with joints 110 mm apart, a darker tub below, darker walls beside, one plate."""
    x, y = np.moveaxis(AREA.points(*(np.arange(n, dtype=np.float64) for n in AREA.size_px)), -1, 0)
    grey = np.full(x.shape, 190.0)
    if joints:
        grey[(np.mod(x - 40, 110) < 2.5) | (np.mod(y - 30, 110) < 2.5)] = 120.0
    if plate:
        grey[np.hypot(x - PLATE_MM[0], y - PLATE_MM[1]) < PLATE_MM[2]] = 110.0
    if edges:
        grey[(x < LEFT_MM) | (x > RIGHT_MM)] = 165.0
        grey[y < DECK_MM + LEAN * x] = 225.0
    noisy = grey + np.random.default_rng(5).normal(0, 3, grey.shape)
    colours: ColourImage = np.repeat(np.clip(noisy, 0, 255).astype(np.uint8)[..., None], 3, axis=2)
    return Elevation(colours, np.ones(grey.shape, dtype=bool), AREA)


def of_kind(found: tuple[Suggestion, ...], kind: str) -> list[Suggestion]:
    return [one for one in found if one.kind == kind]


def test_the_deck_line_is_the_tubs_edge() -> None:
    """Both its ends within 3 mm, its slope kept; no joint is taken for one."""
    (deck,) = of_kind(suggest(wall()), "deck line")
    assert deck.points_mm[:, 1] == pytest.approx(DECK_MM + LEAN * deck.points_mm[:, 0], abs=3.0)


def test_sides_and_corners_are_offered() -> None:
    """Left and right edge, and where the deck meets them, within 4 mm."""
    found = suggest(wall())
    sides = sorted(float(one.points_mm[:, 0].mean()) for one in of_kind(found, "side edge"))
    assert sides == pytest.approx([LEFT_MM, RIGHT_MM], abs=3.0)
    corners = np.array(sorted(one.points_mm[0].tolist() for one in of_kind(found, "corner")))
    expected = [[x, DECK_MM + LEAN * x] for x in (LEFT_MM, RIGHT_MM)]
    assert np.abs(corners - expected).max() < 4.0


def test_a_round_plate_is_offered_once() -> None:
    """Its middle to 1.5 mm."""
    (plate,) = of_kind(suggest(wall()), "round fitting")
    assert np.hypot(*(plate.points_mm[0] - PLATE_MM[:2])) < 1.5
    assert "165 mm" in plate.text


def test_joints_alone_suggest_nothing() -> None:
    """Twenty-five joints are no deck, no side and no fitting."""
    assert suggest(wall(plate=False, edges=False)) == ()


def test_a_plain_wall_suggests_nothing() -> None:
    """Noise alone."""
    assert suggest(wall(joints=False, plate=False, edges=False)) == ()
