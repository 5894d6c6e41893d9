"""Real photos of a chessboard, one patch of which serves as the reference card.

The photos and their published calibration come from Debian's ``opencv-doc`` (see ``outside``).
Corners are found by OpenCV, not by this package, so that only the adjustment is judged.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

import cv2
import numpy as np

from tests.support.outside import CHESSBOARDS, find_outside
from vision.adjust.network import (
    Lens,
    Mark,
    Network,
    ScaleGroup,
    Sheet,
    Shot,
    Sightings,
)
from vision.camera.prior import lens_prior
from vision.photo.photograph import Header
from vision.units import FloatArray, IntArray

COLUMNS, ROWS, SQUARE_MM = 9, 6, 25.0
WIDTH, HEIGHT = 640, 480
CORNER_PX = 0.2
"""Per axis; between the published residual of a good view (0.16-0.25) over both axes."""
BOARD_FLATNESS_MM = 0.2
PATCHES = {"top left": (0, 0), "top right": (6, 0), "low left": (0, 3), "low right": (6, 3)}
BOARD_MM = np.array(
    [[x * SQUARE_MM, (ROWS - 1 - y) * SQUARE_MM] for y in range(ROWS) for x in range(COLUMNS)]
)
"""(54, 2) inner corners in OpenCV's order, x right, y up."""


@dataclass(frozen=True)
class View:
    """One photo's 54 corners (54, 2), in the order of ``BOARD_MM``."""

    name: str
    pixels: FloatArray


def views() -> list[View]:
    """All thirteen photos with their corners."""
    return [View(name, _corners(name)) for name in CHESSBOARDS]


def patch_indices(patch: str) -> IntArray:
    """The 3 x 3 corners of a patch, of the 54."""
    column, row = PATCHES[patch]
    return np.array([(row + j) * COLUMNS + column + i for j in range(3) for i in range(3)])


def unknown_lens() -> Lens:
    """The package's own prior for a photo without camera data."""
    prior = lens_prior(Header(WIDTH, HEIGHT))
    spread = np.array([prior.log_f_u, prior.centre_u_px, prior.centre_u_px, prior.k1_u, prior.k2_u])
    return Lens("unknown", "none", np.array([log(prior.f_px), 0, 0, 0, 0]), np.diag(spread**2))


def network_of(photos: list[View], card: IntArray, lens: Lens) -> Network:
    """A wall whose only card is the corners ``card``; every other corner is a mark."""
    others = np.setdiff1d(np.arange(len(BOARD_MM)), card)
    origin = BOARD_MM[card].min(axis=0)
    size = np.ptp(BOARD_MM[card], axis=0)
    sheet = Sheet(
        name="patch",
        points_mm=BOARD_MM[card] - origin,
        size_mm=(float(size[0]), float(size[1])),
        scale_group=0,
        standoff_mm=0.0,
        standoff_u_mm=BOARD_FLATNESS_MM,
        tilt_u_rad=0.002,
        bow_u_mm=0.05,
    )
    shots = tuple(Shot(v.name, 0, WIDTH, HEIGHT, np.eye(2), 0.001, 0.5) for v in photos)
    return Network(
        lenses=(lens,),
        shots=shots,
        scale_groups=(ScaleGroup("board", (1.0, 1.0), (1e-5, 1e-5)),),
        sheets=(sheet,),
        marks=tuple(Mark(str(i), 0.0, BOARD_FLATNESS_MM) for i in others),
        sightings=_sightings(photos, card, others),
        datum_sheet=0,
        edge_u_px=np.zeros(0),
    )


def homography_errors(view: View, card: IntArray) -> FloatArray:
    """Errors (45, 2) in mm of the patch's own four-corner homography over the other corners."""
    outer = card[[0, 2, 8, 6]]
    matrix = cv2.getPerspectiveTransform(
        view.pixels[outer].astype(np.float32), BOARD_MM[outer].astype(np.float32)
    )
    others = np.setdiff1d(np.arange(len(BOARD_MM)), card)
    found = cv2.perspectiveTransform(view.pixels[others].reshape(-1, 1, 2), matrix)
    errors: FloatArray = np.asarray(found).reshape(-1, 2) - BOARD_MM[others]
    return errors


def _corners(name: str) -> FloatArray:
    grey = cv2.imdecode(
        np.frombuffer(find_outside(name).read_bytes(), np.uint8), cv2.IMREAD_GRAYSCALE
    )
    if grey is None:
        raise AssertionError(f"OpenCV cannot read {name}")
    found, corners = cv2.findChessboardCorners(grey, (COLUMNS, ROWS))
    if not found:
        raise AssertionError(f"OpenCV finds no board in {name}")
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 1e-4)
    refined = cv2.cornerSubPix(grey, corners, (5, 5), (-1, -1), stop)
    return np.asarray(refined, dtype=np.float64).reshape(-1, 2)


def _sightings(photos: list[View], card: IntArray, others: IntArray) -> Sightings:
    count, marks = len(card), len(others)
    each = count + marks
    total = each * len(photos)
    return Sightings(
        shot=np.repeat(np.arange(len(photos)), each),
        sheet=np.tile(np.repeat([0, -1], [count, marks]), len(photos)),
        point=np.tile(np.concatenate([np.arange(count), np.arange(marks)]), len(photos)),
        pixels=np.concatenate([v.pixels[np.concatenate([card, others])] for v in photos]),
        covariance_px2=np.tile(np.eye(2) * CORNER_PX**2, (total, 1, 1)),
        defined_mm=np.zeros(total),
        edge=np.full(total, -1),
        edge_direction=np.zeros((total, 2)),
    )
