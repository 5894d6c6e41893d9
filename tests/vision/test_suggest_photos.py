"""Suggestions on a rendered photo of the example: what is offered lies on what is there.

The photo is laid flat through the maker's own camera, so that only the search is judged.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import cv2
import numpy as np
import pytest

from tests.fixtures.example_files import EXAMPLE, truth
from vision.photo.decode import decode_colour
from vision.plane.area import Area, PlaneFrame
from vision.plane.elevation import WallPhoto, draw_elevation
from vision.plane.suggest import Suggestion, suggest
from vision.plane.view import WallView
from vision.units import FloatArray

PHOTO = "photos/plumbing-1.jpg"


@cache
def photo() -> dict[str, Any]:
    return next(entry for entry in truth()["photos"] if entry["file"] == PHOTO)


def mark_mm(name: str) -> FloatArray:
    """(2,) true place of a mark in the wall's frame."""
    return np.array(truth()["walls"]["plumbing"]["marks"][name]["xyz_mm"][:2])


def view() -> WallView:
    """The maker's camera in the wall's frame."""
    entry, frame = photo(), truth()["walls"]["plumbing"]["frame_in_room"]
    axes = np.array([frame["x"], frame["y"], frame["z"]])
    turn = np.array(entry["rotation"])
    away = np.array(frame["origin_mm"]) - np.array(entry["position_mm"])
    camera = np.array([entry[key] for key in ("f_px", "cx_px", "cy_px", "k1", "k2")])
    return WallView(tuple(entry["size_px"]), camera, turn @ axes.T, turn @ away)


@cache
def offered() -> tuple[Suggestion, ...]:
    names = [name for name in photo()["marks_px"] if name not in ("arm", "spout", "valve")]
    places = np.array([mark_mm(name) for name in names])
    (left, low), (right, high) = places.min(axis=0) - 60.0, places.max(axis=0) + 60.0
    area = Area(float(left), float(low), float(right), float(high), 1.0)
    colours = np.asarray(decode_colour((EXAMPLE / PHOTO).read_bytes()), dtype=np.uint8)
    flat = PlaneFrame(np.zeros(2), np.array([1.0, 0.0]))
    return suggest(draw_elevation([WallPhoto(view(), lambda: colours)], area, flat))


def of_kind(kind: str) -> list[FloatArray]:
    return [one.points_mm for one in offered() if one.kind == kind]


def beside(line: FloatArray, point: FloatArray) -> float:
    along = line[1] - line[0]
    to = point - line[0]
    return abs(float(along[0] * to[1] - along[1] * to[0])) / float(np.hypot(*along))


@pytest.mark.parametrize("name", ["deck inner", "deck plumb", "deck front"])
def test_a_deck_line_passes_the_marks_on_the_deck(name: str) -> None:
    """One of those offered, within 8 mm of each true mark."""
    assert min(beside(line, mark_mm(name)) for line in of_kind("deck line")) < 8.0


def test_the_corner_of_the_alcove_is_offered() -> None:
    """Where the deck meets the back wall, within 12 mm."""
    gaps = [float(np.hypot(*(at[0] - mark_mm("deck inner")))) for at in of_kind("corner")]
    assert min(gaps) < 12.0


def test_the_valves_plate_is_the_one_round_fitting() -> None:
    """Its middle within 3 mm, its 165 mm told to 3; the markers on the cards are none."""
    (plate,) = (one for one in offered() if one.kind == "round fitting")
    assert np.hypot(*(plate.points_mm[0] - mark_mm("valve"))) < 3.0
    assert float(plate.text.split(" mm")[0].split()[-1]) == pytest.approx(165.0, abs=3.0)


def test_no_joint_is_offered_as_a_deck() -> None:
    """All decks lie below the lowest row of marks on the tile."""
    lowest = mark_mm("inner 64")[1]
    assert all(float(line[:, 1].max()) < lowest for line in of_kind("deck line"))


def test_the_projection_is_opencvs() -> None:
    """The camera used here maps the true marks to their exact pixels, by cv2.projectPoints."""
    v = view()
    matrix = np.array([[v.camera[0], 0, v.camera[1]], [0, v.camera[0], v.camera[2]], [0, 0, 1]])
    lens = np.array([*v.camera[3:], 0.0, 0.0])
    marks = truth()["walls"]["plumbing"]["marks"]
    names = list(photo()["marks_px"])
    points = np.array([marks[name]["xyz_mm"] for name in names])
    turn, _ = cv2.Rodrigues(v.rotation)
    pixels, _ = cv2.projectPoints(points, turn, v.shift, matrix, lens)
    exact = np.array([photo()["marks_px"][name] for name in names])
    assert np.abs(np.asarray(pixels).reshape(-1, 2) - exact).max() < 0.01
