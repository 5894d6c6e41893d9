"""From a guess of where a board is to confirmed X-corners with their covariance."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.design import (
    BOARD_BOTTOM_MM,
    BOARD_LEFT_MM,
    BOARD_OUTLINE_MM,
    COLUMNS,
    ROWS,
    SQUARE_MM,
    card_design,
    is_black,
)
from vision.card.plane_map import PlaneMap, bounding_box, fit_plane_map, smallest_scale
from vision.card.saddle import Saddle, corner_covariance, refine, smooth
from vision.card.sharpness import EdgeReading, read_edges
from vision.card.template import LEAST_SCORE, pyramid_level, sight

if TYPE_CHECKING:
    from vision.units import FloatArray, FloatImage, GreyImage

FIRST_REACH_MM: Final = 11.0
"""A third of a square: beyond half, the next corner's X has the same colours upside down."""
LATER_REACH_MM: Final = 4.0
LEAST_RELATIVE_CONTRAST: Final = 40 / 255
"""Of a corner's contrast by the sheet's own range of grey."""
LEAST_OF_USUAL_CONTRAST: Final = 0.4
"""Of a corner's contrast by the card's median: at the rim of a lamp's image corners move by half
a pixel before they vanish, while a plain shadow leaves more than half."""
LEAST_CONTRAST_DN: Final = 10.0
MOST_UNSTEADY_PX: Final = 0.7
"""Standard deviation of a corner from noise and uneven light beyond which it tells nothing."""
MOST_MISFIT_PX: Final = 1.5
MOST_MISFIT_MM: Final = 0.7
"""What a sheet that is not quite flat may add to the misfit."""
STRAY_TO_USUAL: Final = 8.0
"""Misfit by the card's median misfit of a corner that went astray; a bent sheet raises both."""
LEAST_STRAY_PX: Final = 0.4
_STRAY_FROM: Final = 8
_BENT_FROM: Final = 12
"""Corners from which a radial term is fitted."""
_ROUNDS: Final = 8
_READ_AGAIN: Final = 1.5
"""Growth in corners from which the edges between them are read anew."""
_HALF_TURN: Final = np.array(
    [
        [-1.0, 0.0, 2 * BOARD_LEFT_MM + COLUMNS * SQUARE_MM],
        [0.0, -1.0, 2 * BOARD_BOTTOM_MM + ROWS * SQUARE_MM],
        [0.0, 0.0, 1.0],
    ]
)
"""Of the board about its middle, millimetres."""
_SURE_FROM: Final = 4
"""Markers from which a map is trusted over the whole board at once."""
_OWN_SQUARE_MM: Final = 25.0
_NEAR_MM: Final = 45.0
"""From a known place on the board the map is trusted this far: to the next corner."""
_NOT_FAR_MM: Final = 100.0
"""With as many corners as `_STRAY_FROM` it is trusted two corners on."""
_FIRST_BLUR_PX: Final = 1.0
_NO_READING: Final = EdgeReading(_FIRST_BLUR_PX, 0.0)


@dataclass(frozen=True)
class Part:
    """The part of a photo that holds one card.

    ``offset`` is the photo pixel of the part's top left; ``shrunk`` is the part made ``level``
    times smaller for the coarse search.
    """

    raw: FloatImage
    smoothed: FloatImage
    shrunk: FloatImage
    shrunk_smoothed: FloatImage
    level: int
    offset: FloatArray
    grey_range: float


@dataclass(frozen=True)
class Confirmed:
    """X-corners that hold together.

    Attributes
    ----------
    corners
        Saddles by corner id, pixels of the photo.
    in_frame
        Ids of the corners that the photo covers.
    contradicted
        Number of X-corners seen that do not lie on the board.
    """

    corners: dict[int, Saddle]
    in_frame: tuple[int, ...]
    contradicted: int
    plane_map: PlaneMap
    edges: EdgeReading
    part: Part = field(repr=False)

    def covariance(self, corner_id: int) -> FloatArray:
        """(2, 2) covariance of one corner."""
        saddle = self.corners[corner_id]
        return corner_covariance(saddle, self.edges.noise_dn, self.edges.blur_px)

    def turned_half(self) -> Confirmed:
        """The same corners with the sheet taken to hang upside down."""
        last = len(card_design(1).corners_mm) - 1
        return replace(
            self,
            corners={last - corner_id: saddle for corner_id, saddle in self.corners.items()},
            in_frame=tuple(last - corner_id for corner_id in reversed(self.in_frame)),
            plane_map=replace(self.plane_map, homography=self.plane_map.homography @ _HALF_TURN),
        )


def cut_part(grey: GreyImage, plane_map: PlaneMap, points: FloatArray) -> Part | None:
    """The part round ``points``, (n, 2) millimetres, None if it is not in the photo."""
    height, width = grey.shape
    pixels = plane_map.pixels(points)
    if not np.isfinite(pixels).all():
        return None
    scale = float(np.linalg.svd(plane_map.jacobians(points), compute_uv=False).max())
    margin = 8.0 + FIRST_REACH_MM * scale
    left, top, right, bottom = bounding_box(pixels, (width, height), margin)
    if right - left < 16 or bottom - top < 16:
        return None
    level = pyramid_level(scale)
    left, top = left - left % level, top - top % level
    raw = grey[top:bottom, left:right].astype(np.float32)
    shrunk_size = (raw.shape[1] // level, raw.shape[0] // level)
    even = np.ascontiguousarray(raw[: shrunk_size[1] * level, : shrunk_size[0] * level])
    shrunk = even
    if level > 1:
        shrunk = np.asarray(cv2.resize(even, shrunk_size, interpolation=cv2.INTER_AREA), np.float32)
    low, high = np.percentile(shrunk, [2, 98])
    offset = np.array([left, top], dtype=np.float64)
    return Part(raw, smooth(raw), shrunk, smooth(shrunk), level, offset, float(high - low))


def confirm(grey: GreyImage, plane_map: PlaneMap, known_mm: FloatArray) -> Confirmed | None:
    """Refine the corners that ``plane_map`` predicts and keep those that hold together.

    The search grows outwards from ``known_mm``, (n, 2) places on the card where the map is known
    to hold, from corner to corner: so a few markers and a bent lens suffice.
    """
    first = _first_map(grey, plane_map, known_mm)
    part = None if first is None else cut_part(grey, first, BOARD_OUTLINE_MM)
    if first is None or part is None:
        return None
    plane_map, edges = first, _NO_READING
    corners: dict[int, Saddle] = {}
    contradicted = read_from = 0
    for _ in range(_ROUNDS):
        wanted = _near(known_mm, corners)
        seen = _look(part, plane_map, edges, corners, wanted)
        kept, better = _consistent(seen, plane_map.size)
        if better is None:
            return None
        contradicted = len(seen) - len(kept)
        settled = set(kept) == set(corners)
        corners, plane_map = kept, better
        if settled:
            break
        if len(corners) >= _READ_AGAIN * read_from:
            places = {corner_id: saddle.pixel for corner_id, saddle in corners.items()}
            edges = read_edges(part.raw, part.offset, plane_map, places) or edges
            read_from = len(corners)
    return Confirmed(corners, corners_in_frame(plane_map), contradicted, plane_map, edges, part)


def corners_in_frame(plane_map: PlaneMap) -> tuple[int, ...]:
    """Ids of the corners that ``plane_map`` puts into the photo."""
    pixels = plane_map.pixels(card_design(1).corners_mm)
    inside = np.all((pixels >= 3) & (pixels <= np.array(plane_map.size) - 4), axis=1)
    return tuple(int(i) for i in np.flatnonzero(inside))


def _first_map(grey: GreyImage, plane_map: PlaneMap, known_mm: FloatArray) -> PlaneMap | None:
    """A map from few markers is first tried on the corners next to them, and made better there."""
    if len(known_mm) >= _SURE_FROM:
        return plane_map
    low, high = known_mm.min(axis=0) - _OWN_SQUARE_MM, known_mm.max(axis=0) + _OWN_SQUARE_MM
    box = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    part = cut_part(grey, plane_map, box)
    if part is None:
        return None
    seen = _look(part, plane_map, _NO_READING, {}, _near(known_mm, {}))
    return _consistent(seen, plane_map.size)[1]


def _near(known_mm: FloatArray, corners: dict[int, Saddle]) -> list[int]:
    """Corners next to a known place or to a confirmed corner."""
    points = card_design(1).corners_mm
    known = np.concatenate([known_mm, points[list(corners)]])
    gaps = np.linalg.norm(points[:, None] - known[None], axis=2)
    trusted = _NOT_FAR_MM if len(corners) >= _STRAY_FROM else _NEAR_MM
    return [int(i) for i in np.flatnonzero(gaps.min(axis=1) < trusted)]


def _look(
    part: Part,
    plane_map: PlaneMap,
    edges: EdgeReading,
    known: dict[int, Saddle],
    wanted: list[int],
) -> dict[int, Saddle]:
    """Every wanted corner that shows an X near its predicted place."""
    points = card_design(1).corners_mm[wanted]
    pixels = plane_map.pixels(points) - part.offset
    jacobians = plane_map.jacobians(points)
    places = np.full_like(pixels, np.nan)
    usable = np.flatnonzero(np.isfinite(np.column_stack([pixels, jacobians.reshape(-1, 4)])).all(1))
    for index in usable:
        if wanted[index] in known:
            places[index] = known[wanted[index]].pixel - part.offset
    new = usable[np.isnan(places[usable, 0])]
    signs = [_sign(wanted[index]) for index in new]
    reach = LATER_REACH_MM if len(known) >= _BENT_FROM else FIRST_REACH_MM
    places[new] = _coarse(part, pixels[new], jacobians[new], signs, reach)
    seen = {}
    started = np.flatnonzero(np.isfinite(places[:, 0]))
    limit = 1.5 + edges.blur_px
    saddles = refine(part.smoothed, places[started], jacobians[started], edges.blur_px, limit)
    for index, saddle in zip(started, saddles, strict=True):
        corner_id = wanted[index]
        if saddle is not None and _clear(saddle, _sign(corner_id), part.grey_range, edges):
            place = saddle.pixel + part.offset
            seen[corner_id] = replace(saddle, pixel=place, contrast=abs(saddle.contrast))
    usual = float(np.median([saddle.contrast for saddle in seen.values()])) if seen else 0.0
    return {i: s for i, s in seen.items() if s.contrast >= LEAST_OF_USUAL_CONTRAST * usual}


def _coarse(
    part: Part, starts: FloatArray, jacobians: FloatArray, signs: list[int], reach_mm: float
) -> FloatArray:
    """(n, 2) the X next to each start, to a tenth of a pixel of the shrunk part; NaN for none."""
    places = np.full((len(starts), 2), np.nan)
    for index, sign in enumerate(signs):
        start, jacobian = starts[index], jacobians[index]
        found = sight(part.shrunk, part.level, start, jacobian, sign, reach_mm)
        if found is not None and found.score >= LEAST_SCORE:
            places[index] = found.pixel
    if part.level == 1:
        return places
    level = part.level
    found_at = np.flatnonzero(np.isfinite(places[:, 0]))
    small = (places[found_at] + 0.5) / level - 0.5
    jacobians = jacobians[found_at] / level
    saddles = refine(part.shrunk_smoothed, small, jacobians, _FIRST_BLUR_PX, 2.5)
    for at, saddle in zip(found_at, saddles, strict=True):
        places[at] = np.nan if saddle is None else (saddle.pixel + 0.5) * level - 0.5
    return places


def _sign(corner_id: int) -> int:
    """+1 if the square above and right of the corner is white."""
    column, row = corner_id % (COLUMNS - 1), corner_id // (COLUMNS - 1)
    return -1 if is_black(column + 1, row) else 1


def _clear(saddle: Saddle, sign: int, grey_range: float, edges: EdgeReading) -> bool:
    """Whether the X has the right colours, stands out and is steady."""
    unsteady = edges.noise_dn**2 * saddle.noise_cov_px2 + saddle.shading_cov_px2
    (xx, xy), (_, yy) = unsteady.tolist()
    largest = (xx + yy) / 2 + math.hypot((xx - yy) / 2, xy)
    wanted = max(LEAST_CONTRAST_DN, LEAST_RELATIVE_CONTRAST * grey_range)
    return sign * saddle.contrast >= wanted and largest <= MOST_UNSTEADY_PX**2


def _consistent(
    seen: dict[int, Saddle], size: tuple[int, int]
) -> tuple[dict[int, Saddle], PlaneMap | None]:
    """Drops the worst corner until all lie on one slightly bent plane."""
    kept = dict(seen)
    while len(kept) >= 4:
        ids = list(kept)
        points = card_design(1).corners_mm[ids]
        pixels = np.array([kept[i].pixel for i in ids])
        plane_map = fit_plane_map(points, pixels, size, bent=len(ids) >= _BENT_FROM)
        if plane_map is None:
            return {}, None
        jacobians = plane_map.jacobians(points)
        if not np.isfinite(jacobians).all():
            return {}, None
        miss = np.linalg.norm(plane_map.pixels(points) - pixels, axis=1)
        allowed = MOST_MISFIT_PX + MOST_MISFIT_MM * smallest_scale(jacobians)
        if len(ids) >= _STRAY_FROM:
            stray = max(LEAST_STRAY_PX, STRAY_TO_USUAL * float(np.median(miss)))
            allowed = np.minimum(allowed, stray)
        excess = miss / allowed
        worst = int(np.argmax(excess))
        if excess[worst] <= 1:
            return kept, plane_map
        del kept[ids[worst]]
    return {}, None
