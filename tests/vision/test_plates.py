"""Round plates that stand off the wall, drawn by cv2's own projection and supersampling."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import pytest

from tests.support.snap_scenes import picture
from vision.plane.snap import find_plates, offer_plates
from vision.plane.view import WallView
from vision.units import FloatArray, GreyImage

SIZE = 301
FOCAL_PX = 900.0
RADIUS_MM = 60.0
HEIGHT_MM = 6.0
TAP_SD_PX = 4.0


@cache
def view() -> WallView:
    """40 degrees off square, 0.75 m away."""
    turn, _ = cv2.Rodrigues(np.array([0.0, np.deg2rad(40.0), 0.0]))
    rotation = np.asarray(turn @ np.diag([1.0, -1.0, -1.0]), dtype=np.float64)
    camera = np.array([FOCAL_PX, (SIZE - 1) / 2, (SIZE - 1) / 2, 0.0, 0.0])
    return WallView((SIZE, SIZE), camera, rotation, np.array([0.0, 0.0, 750.0]))


def projected(points_mm: FloatArray) -> FloatArray:
    """(n, 2) pixels, by cv2.projectPoints."""
    f, cx, cy = view().camera[:3]
    matrix = np.array([[f, 0, cx], [0, f, cy], [0, 0, 1]])
    turn, _ = cv2.Rodrigues(view().rotation)
    pixels, _ = cv2.projectPoints(points_mm, turn, view().shift, matrix, None)
    return np.asarray(pixels, dtype=np.float64).reshape(-1, 2)


@cache
def raised_plate(height_mm: float, others: tuple[float, ...] = ()) -> GreyImage:
    """Dark cylinders on a light wall, one in the middle, the others so far up."""
    angle = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    ring = RADIUS_MM * np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    outlines = []
    for up in (0.0, *others):
        rings = [ring + np.array([0.0, up, h]) for h in (0.0, height_mm)]
        both = projected(np.concatenate(rings)).astype(np.float32)
        outlines.append(cv2.convexHull(both).reshape(-1, 2).astype(np.float64))

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        fine = 8
        canvas = np.zeros(np.broadcast(x, y).shape, dtype=np.uint8)
        for outline in outlines:
            corners = np.rint(((outline + 0.5) * fine - 0.5) * 16).astype(np.int32)
            cv2.fillPoly(canvas, [corners], 1, shift=4)
        return np.where(canvas > 0, 0.25, 0.6)

    return picture(reflectance, SIZE)


def test_a_raised_plate_is_met_where_its_face_is() -> None:
    """Its middle at the stated height to 0.5 px; taken for a flat disc it is off by over 1 px."""
    grey = raised_plate(HEIGHT_MM)
    (truth,) = projected(np.array([[0.0, 0.0, HEIGHT_MM]]))
    tap = truth + np.array([3.0, -2.0])
    offer = offer_plates(grey, view(), tap, TAP_SD_PX, HEIGHT_MM)
    (flat,) = find_plates(grey, view().homography(np.zeros(2), HEIGHT_MM), tap, TAP_SD_PX)
    assert offer.best is not None
    assert np.hypot(*(flat.pixel - truth)) > 1.0
    assert np.hypot(*(offer.best.pixel - truth)) < 0.5
    error = offer.best.pixel - truth
    assert error @ np.linalg.solve(offer.best.covariance_px2, error) < 9.2


def test_its_size_is_told_in_words() -> None:
    """120 mm across, to a millimetre or two, so that the person knows which circle is meant."""
    offer = offer_plates(
        raised_plate(HEIGHT_MM), view(), projected(np.zeros((1, 3)))[0], TAP_SD_PX, HEIGHT_MM
    )
    assert offer.best is not None
    across = float(offer.best.text.split(" mm")[0].split()[-1])
    assert across == pytest.approx(2 * RADIUS_MM, abs=2.0)


def test_spread_says_that_a_rounded_rim_is_no_edge() -> None:
    """Along the parallax the stated spread is wider than across it."""
    tap = projected(np.array([[0.0, 0.0, HEIGHT_MM]]))[0]
    best = offer_plates(raised_plate(HEIGHT_MM), view(), tap, TAP_SD_PX, HEIGHT_MM).best
    assert best is not None
    assert best.covariance_px2[0, 0] > 1.2 * best.covariance_px2[1, 1]


def test_nothing_round_is_said_to_be_nothing() -> None:
    """A bare wall: no candidate, and the reason's code."""
    grey = picture(lambda x, y: np.full(np.broadcast(x, y).shape, 0.5), SIZE)
    offer = offer_plates(grey, view(), np.array([150.0, 150.0]), TAP_SD_PX)
    assert offer.snaps == ()
    assert offer.doubt is not None
    assert offer.doubt.code == "nothing-near"
