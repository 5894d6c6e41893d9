"""Markers in a picture, gathered into guesses of where whole boards are.

The dictionary has a thousand codes of sixteen bits, so a single marker proves nothing: texture
decodes to one now and then. Markers that agree on one board are a guess, to be confirmed by the
board's square corners and by reading all its codes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.artwork import dictionary
from vision.card.codes import read_codes
from vision.card.design import card_design, serial_of_marker
from vision.card.plane_map import PlaneMap, fit_plane_map

if TYPE_CHECKING:
    from vision.units import FloatArray, GreyImage

LEAST_PERIMETER: Final = 0.0145
"""Of a marker's perimeter by the picture's long side: 7 px a side in a halved 12 MP photo, below
which no code can be read. OpenCV's default of 0.03 loses a letter sheet at 2.5 m."""
_THRESHOLDS: Final = ((7, 7.0), (23, 10.0))
"""Windows in pixels and grey levels below their means: a small window for far and dim cards, a
large one for blurred ones. OpenCV's third, of 3 pixels, finds little more in half as much time
again; its 7 grey levels in the large window too outline the mottles of a wall, a quarter more time,
for two codes in a thousand."""
_AGREE: Final = 0.3
"""Part of a marker's side by which its corners may miss the board's place for them."""


@dataclass(frozen=True)
class Marker:
    """A decoded marker: id and (4, 2) outer corners, pixels of the full picture."""

    marker_id: int
    corners: FloatArray

    @cached_property
    def side_px(self) -> float:
        """Mean side."""
        return sum(map(math.dist, self._points, self._points[1:] + self._points[:1])) / 4

    @cached_property
    def middle(self) -> tuple[float, float]:
        """Mean of the corners."""
        x, y = zip(*self._points, strict=True)
        return sum(x) / 4, sum(y) / 4

    @cached_property
    def _points(self) -> list[list[float]]:
        return [[float(x), float(y)] for x, y in self.corners]


@dataclass(frozen=True)
class BoardGuess:
    """Markers of one serial that agree, and the board they agree on."""

    serial: int
    markers: tuple[Marker, ...]
    plane_map: PlaneMap

    @property
    def middles_mm(self) -> FloatArray:
        """(n, 2) middles of the markers on the card."""
        return np.array([_place_mm(marker).mean(axis=0) for marker in self.markers])


def detect_markers(grey: GreyImage, scale: float) -> tuple[Marker, ...]:
    """All markers in ``grey``, whose pixels are ``scale`` pixels of the full picture wide."""
    quads = np.concatenate([_four_sided_shapes(grey, *threshold) for threshold in _THRESHOLDS])
    ids, starts = read_codes(grey, quads)
    # A pixel of the small picture covers scale x scale; centres are at integers in both.
    quads = (quads + 0.5) * scale - 0.5
    full = [
        Marker(int(ids[i]), np.roll(quads[i], -int(starts[i]), axis=0))
        for i in np.flatnonzero(ids >= 0)
    ]
    return tuple(sorted(_single(full), key=lambda m: (m.marker_id, *m.corners[0])))


def _four_sided_shapes(grey: GreyImage, window: int, step_dn: float) -> FloatArray:
    """(n, 4, 2) corners, clockwise, of what OpenCV would look at for a code."""
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = LEAST_PERIMETER
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    # it would read a code in each shape, and throw it away
    parameters.perspectiveRemovePixelPerCell, parameters.minOtsuStdDev = 1, 300.0
    parameters.adaptiveThreshWinSizeMin = parameters.adaptiveThreshWinSizeMax = window
    parameters.adaptiveThreshConstant = step_dn
    corners, _, rejected = cv2.aruco.ArucoDetector(_one_code(), parameters).detectMarkers(grey)
    shapes = (np.empty((0, 4, 2)), *corners, *rejected)
    return np.concatenate(shapes, dtype=np.float64)


@cache
def _one_code() -> cv2.aruco.Dictionary:
    """As little to compare with as OpenCV admits."""
    whole = dictionary()
    return cv2.aruco.Dictionary(whole.bytesList[:1], whole.markerSize, 0)


def _single(markers: list[Marker]) -> list[Marker]:
    """Without the smaller ones of those seen several times in one place."""
    kept: list[Marker] = []
    for marker in sorted(markers, key=lambda m: (-m.side_px, m.middle)):
        if not any(
            other.marker_id == marker.marker_id
            and math.dist(other.middle, marker.middle) < other.side_px / 2
            for other in kept
        ):
            kept.append(marker)
    return kept


def group_boards(markers: tuple[Marker, ...], size: tuple[int, int]) -> tuple[BoardGuess, ...]:
    """Guesses, those with most markers first.

    One serial gives several guesses if its markers agree on several places. A marker that agrees
    with no other is a guess by itself: weak, and last.
    """
    guesses: list[BoardGuess] = []
    for serial in sorted({serial_of_marker(marker.marker_id) for marker in markers}):
        rest = [m for m in markers if serial_of_marker(m.marker_id) == serial]
        while guess := _best_guess(serial, rest, size):
            guesses.append(guess)
            rest = [m for m in rest if all(m is not used for used in guess.markers)]
    return tuple(sorted(guesses, key=lambda guess: (-len(guess.markers), guess.serial)))


def _best_guess(serial: int, markers: list[Marker], size: tuple[int, int]) -> BoardGuess | None:
    best: tuple[Marker, ...] = tuple(markers[:1])
    most = len({marker.marker_id for marker in markers})
    for first, second in combinations(markers, 2):
        if first.marker_id == second.marker_id:
            continue
        plane_map = _map_through((first, second), size)
        if plane_map is None:
            continue
        agreeing = _agreeing(plane_map, markers)
        if len(agreeing) > len(best):
            best = agreeing
        if len(best) == most:
            break
    plane_map = _map_through(best, size) if best else None
    return None if plane_map is None else BoardGuess(serial, best, plane_map)


def _map_through(markers: tuple[Marker, ...], size: tuple[int, int]) -> PlaneMap | None:
    points = np.concatenate([_place_mm(marker) for marker in markers])
    pixels = np.concatenate([marker.corners for marker in markers])
    return fit_plane_map(points, pixels, size, bent=False)


def _agreeing(plane_map: PlaneMap, markers: list[Marker]) -> tuple[Marker, ...]:
    """The markers that lie where the map puts them, the nearest one of each id."""
    nearest: dict[int, tuple[float, Marker]] = {}
    places = plane_map.pixels(np.concatenate([_place_mm(marker) for marker in markers]))
    gaps = places - np.concatenate([marker.corners for marker in markers])
    misses = np.hypot(gaps[:, 0], gaps[:, 1]).reshape(-1, 4).max(axis=1).tolist()
    for miss, marker in zip(misses, markers, strict=True):
        worst = miss / marker.side_px
        if worst < nearest.get(marker.marker_id, (_AGREE, marker))[0]:
            nearest[marker.marker_id] = (worst, marker)
    return tuple(marker for _, marker in nearest.values())


def _place_mm(marker: Marker) -> FloatArray:
    design = card_design(serial_of_marker(marker.marker_id))
    return np.asarray(design.marker_corners_mm[design.marker_ids.index(marker.marker_id)])
