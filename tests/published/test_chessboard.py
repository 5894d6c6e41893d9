"""Sizes from a small reference on real photos, against a plain homography in the same run.

Thirteen photos of a chessboard of 25 mm squares (Debian's ``opencv-doc``; corners by OpenCV). A
3 x 3-corner patch, 50 mm square, is the reference; the other 45 corners are marks whose true
places are known. The camera is a webcam with strong barrel distortion and no camera data.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

import cv2
import numpy as np
import pytest

from tests.support.chessboards import (
    BOARD_MM,
    HEIGHT,
    PATCHES,
    WIDTH,
    View,
    homography_errors,
    network_of,
    patch_indices,
    unknown_lens,
    views,
)
from vision.adjust.network import Lens
from vision.adjust.solution import WallAdjustment, WallSolution
from vision.units import FloatArray, IntArray

pytestmark = [pytest.mark.published, pytest.mark.outside_data]

WHOLE = np.arange(len(BOARD_MM))
STARTS = [np.array([log(0.75 * WIDTH * share)]) for share in (1.0, 0.8, 1.3)]


@dataclass(frozen=True)
class Outcome:
    """Root mean square error in mm, and the share of 95 % intervals that held the truth."""

    rms_mm: float
    held: float


@pytest.fixture(scope="module")
def photos() -> list[View]:
    """The thirteen photos' corners."""
    return views()


@pytest.fixture(scope="module")
def plain_mm(photos: list[View]) -> float:
    """Rms error of the patch's own four-corner homography over all patches and photos."""
    errors = [homography_errors(v, patch_indices(p)) for p in PATCHES for v in photos]
    return float(np.sqrt(np.mean(np.square(errors))))


def test_one_photo_of_an_unknown_camera_is_three_times_better_than_a_homography(
    photos: list[View], plain_mm: float
) -> None:
    """Rms at most a third of the plain homography's; 95 % intervals hold 90 to 99 %."""
    outcome = _outcome(photos, [unknown_lens()] * len(photos))

    assert 0 < outcome.rms_mm <= plain_mm / 3
    assert 0.90 <= outcome.held <= 0.99


def test_with_the_lens_from_the_other_photos_it_is_six_times_better(
    photos: list[View], plain_mm: float
) -> None:
    """Rms at most a sixth of the plain homography's; 95 % intervals hold 90 to 99 %."""
    lenses = [_lens_from(photos[:i] + photos[i + 1 :]) for i in range(len(photos))]

    outcome = _outcome(photos, lenses)

    assert 0 < outcome.rms_mm <= plain_mm / 6
    assert 0.90 <= outcome.held <= 0.99


def test_calibration_from_whole_boards_agrees_with_opencv(photos: list[View]) -> None:
    """Focal length within 0.1 %, centre within 0.5 px and k1 within 0.005 of OpenCV's own
    ``calibrateCamera`` with the same two radial terms on the same corners."""
    found = _lens_from(photos).mean
    board = np.column_stack([BOARD_MM, np.zeros(len(BOARD_MM))]).astype(np.float32)
    flags = (
        cv2.CALIB_FIX_ASPECT_RATIO
        | cv2.CALIB_ZERO_TANGENT_DIST
        | cv2.CALIB_FIX_K3
        | cv2.CALIB_USE_INTRINSIC_GUESS
    )
    guess = np.array([[500.0, 0, 319.5], [0, 500.0, 239.5], [0, 0, 1]])

    _, matrix, distortion, _, _ = cv2.calibrateCamera(
        [board] * len(photos),
        [v.pixels.astype(np.float32) for v in photos],
        (WIDTH, HEIGHT),
        guess,
        np.zeros(5),
        flags=flags,
    )

    centre = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2]) + found[1:3]
    assert exp(found[0]) == pytest.approx(matrix[0, 0], rel=1e-3)
    np.testing.assert_allclose(centre, matrix[:2, 2], atol=0.5)
    assert found[3] == pytest.approx(float(np.ravel(distortion)[0]), abs=0.005)


def _outcome(photos: list[View], lenses: list[Lens]) -> Outcome:
    errors, held = [], []
    for patch in PATCHES:
        card = patch_indices(patch)
        for view, lens in zip(photos, lenses, strict=True):
            error, spread = _errors(_solve([view], card, lens), card)
            errors.append(error)
            held.append(np.abs(error) < 1.96 * spread)
    return Outcome(float(np.sqrt(np.mean(np.square(errors)))), float(np.mean(held)))


def _solve(photos: list[View], card: IntArray, lens: Lens) -> WallSolution:
    starts = STARTS if lens.source == "none" else [lens.mean[:1]]
    return WallAdjustment(network_of(photos, card, lens), None, starts).solve()


def _errors(solution: WallSolution, card: IntArray) -> tuple[FloatArray, FloatArray]:
    """Errors (45, 2) of the marks and their stated standard uncertainties."""
    others = np.setdiff1d(WHOLE, card)
    truth = BOARD_MM[others] - BOARD_MM[card].min(axis=0)
    points, covariance = solution.mark_points()
    spread = np.sqrt(np.diag(covariance)).reshape(-1, 3)[:, :2]
    return points[:, :2] - truth, spread


def _lens_from(photos: list[View]) -> Lens:
    """The lens as whole boards in these photos give it, with its covariance."""
    solution = _solve(photos, WHOLE, unknown_lens())
    block = slice(solution.layout.lens, solution.layout.exposure)
    return Lens("known", "profile", solution.lens_constants(0), solution.covariance[block, block])
