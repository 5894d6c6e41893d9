"""What a person may want to mark, found in the rectified picture of a wall: candidates only.

Edges that run over most of the picture, level or plumb to two degrees, are offered as the deck
line and as the wall's side edges, their meetings as corners, circles as round fittings. Joints are
lines with a step on either side and are left out, and so are the cards: a marker among black
squares passes for a circle. Nothing here is a measurement: a mark is set in
the photos, where its covariance is known (`vision.plane.snap`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import Final, Literal, TypeAlias

import cv2
import numpy as np

from vision.card.design import BOARD_OUTLINE_MM, card_design
from vision.card.found import FoundCard
from vision.card.plane_map import fit_plane_map
from vision.card.search import find_cards
from vision.plane.area import Area
from vision.plane.elevation import Elevation
from vision.plane.snap import find_plates
from vision.units import FloatArray, FloatImage, GreyImage, IntArray, read_only

SuggestionKind: TypeAlias = Literal["deck line", "side edge", "corner", "round fitting"]

_SCALE_MM: Final = 2.0
_LEANS: Final = np.tan(np.deg2rad(np.arange(-2.0, 2.01, 0.2)))
_LEAST_STEP_DN: Final = 4.0
_LEAST_SHARE: Final = 0.5
"""Of the picture's width or height that an edge must run along, changing the same way."""
_JOINT_MM: Final = 10.0
"""Two opposite edges this near to one another are the two sides of a joint or a drawn line."""
_APART_MM: Final = 25.0
_MOST_EDGES: Final = 6
_MOST_DECKS: Final = 2
_LOW: Final = 0.6
"""The deck lies below this share of the picture's height."""
_MOST_ROUND: Final = 6
_PLATE_MM: Final = (18, 110)
_SEED_SD_MM: Final = 6.0
"""Of a circle's middle as the transform proposes it."""
_BESIDE_BOARD_MM: Final = 24.0
"""The sheet's margin, and its tape."""


@dataclass(frozen=True)
class Suggestion:
    """A candidate.

    Attributes
    ----------
    kind
        What it may be.
    points_mm
        (n, 2) report's frame: the two ends of an edge, a corner, or a middle.
    strength
        Share of its length or rim that was seen, 0 to 1.
    text
        What it is, in words for the person who accepts it.
    """

    kind: SuggestionKind
    points_mm: FloatArray
    strength: float
    text: str


@dataclass(frozen=True)
class _Edge:
    """``at = offset + lean * run`` in pixels of the small picture.

    ``sign`` of the step, ``share`` of the run where it is seen, ``mean_dn`` of its slope.
    """

    offset: float
    lean: float
    sign: int
    share: float
    mean_dn: float


def suggest(elevation: Elevation) -> tuple[Suggestion, ...]:
    """Deck line, side edges, corners and round fittings, each kind the clearest first."""
    full = _bare(elevation)
    grey, area = _small(full, elevation.area)
    slope = np.array([[-0.5, 0, 0.5]], dtype=np.float32)
    smooth = cv2.GaussianBlur(grey.astype(np.float32), (0, 0), 1.0)
    level = _edges(np.asarray(cv2.filter2D(smooth, -1, slope.T), np.float32))
    plumb = _edges(np.asarray(cv2.filter2D(smooth, -1, slope).T, np.float32))
    width, height = area.size_px
    # the deck is low, but under it a tub may show an edge of its own: the person tells
    low = [edge for edge in level if _at(edge, width / 2) > _LOW * height]
    decks = sorted(low, key=lambda edge: -edge.share)[:_MOST_DECKS]
    sides = sorted(plumb, key=lambda edge: _at(edge, height / 2))
    sides = [sides[0], sides[-1]] if len(sides) > 1 else sides
    found = [_level_suggestion(edge, area) for edge in decks]
    found += [_plumb_suggestion(edge, area) for edge in sides]
    found += [_corner(deck, side, area) for deck in decks[:1] for side in sides]
    return (*found, *_round_fittings(grey, area, full, elevation.area))


def _bare(elevation: Elevation) -> GreyImage:
    """The picture in grey; what no photo shows, and the cards, take its middle grey."""
    grey = np.asarray(cv2.cvtColor(elevation.colours, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    if not elevation.seen.any():
        return grey
    middle = int(np.median(grey[elevation.seen]))
    cards = find_cards(grey).cards
    grey[~elevation.seen] = middle
    for card in cards:
        cv2.fillConvexPoly(grey, _sheet_outline(card, elevation.area), (middle,))
    return grey


def _sheet_outline(card: FoundCard, area: Area) -> IntArray:
    """(4, 2) pixels round a card's board and margin."""
    outward = np.sign(BOARD_OUTLINE_MM - BOARD_OUTLINE_MM.mean(axis=0))
    corners = card_design(card.serial).corners_mm[card.corner_ids]
    plane_map = fit_plane_map(corners, card.pixels, area.size_px, bent=False)
    if plane_map is None:
        return np.rint(cv2.convexHull(card.pixels.astype(np.float32))).astype(np.int32)
    outline = plane_map.pixels(BOARD_OUTLINE_MM + _BESIDE_BOARD_MM * outward)
    return np.asarray(np.rint(np.nan_to_num(outline)), dtype=np.int32)


def _small(full: GreyImage, area: Area) -> tuple[GreyImage, Area]:
    """The picture at `_SCALE_MM`."""
    scale = max(_SCALE_MM, area.mm_per_px)
    small = Area(area.left_mm, area.bottom_mm, area.right_mm, area.top_mm, scale)
    shrunk = cv2.resize(full, small.size_px, interpolation=cv2.INTER_AREA)
    return np.asarray(shrunk, dtype=np.uint8), small


def _edges(change: FloatImage) -> list[_Edge]:
    """Edges along the rows of ``change``, those that are a joint's two sides left out."""
    rows, columns = change.shape
    least = _LEAST_STEP_DN / (sqrt(2 * pi) * 1.4)
    run = np.arange(columns)
    found: list[_Edge] = []
    for lean in _LEANS:
        shift = np.rint(lean * (run - columns / 2)).astype(int)
        index = np.clip(np.arange(rows)[:, None] + shift[None, :], 0, rows - 1)
        leaning = change[index, run]
        for sign in (1, -1):
            share = (sign * leaning > least).mean(axis=1)
            for row in np.flatnonzero(share >= _LEAST_SHARE):
                offset = float(row) - lean * columns / 2
                mean = float(np.mean(sign * leaning[row]))
                found.append(_Edge(offset, float(lean), sign, float(share[row]), mean))
    found.sort(key=lambda edge: -edge.mean_dn)
    kept: list[_Edge] = []
    for edge in found:
        if all(_apart(edge, other, columns) > _JOINT_MM / _SCALE_MM / 2 for other in kept):
            kept.append(edge)
    single = [edge for edge in kept if not any(_other_side(edge, o, columns) for o in found)]
    spaced: list[_Edge] = []
    for edge in single:
        if all(_apart(edge, other, columns) > _APART_MM / _SCALE_MM for other in spaced):
            spaced.append(edge)
    return spaced[:_MOST_EDGES]


def _apart(edge: _Edge, other: _Edge, columns: int) -> float:
    return abs(_at(edge, columns / 2) - _at(other, columns / 2))


def _other_side(edge: _Edge, other: _Edge, columns: int) -> bool:
    near = _apart(edge, other, columns) < _JOINT_MM / _SCALE_MM
    return edge.sign != other.sign and near and other.share > 0.6 * edge.share


def _at(edge: _Edge, run: float) -> float:
    return edge.offset + edge.lean * run


def _level_suggestion(edge: _Edge, area: Area) -> Suggestion:
    width = area.size_px[0]
    ends = [[0.0, _at(edge, 0)], [width - 1.0, _at(edge, width - 1)]]
    return Suggestion(
        "deck line", _mm(ends, area), edge.share, "a long level edge, low on the wall"
    )


def _plumb_suggestion(edge: _Edge, area: Area) -> Suggestion:
    height = area.size_px[1]
    ends = [[_at(edge, 0), 0.0], [_at(edge, height - 1), height - 1.0]]
    return Suggestion("side edge", _mm(ends, area), edge.share, "a long plumb edge at the side")


def _corner(deck: _Edge, side: _Edge, area: Area) -> Suggestion:
    # y = a + b x and x = c + d y
    y = (deck.offset + deck.lean * side.offset) / (1 - deck.lean * side.lean)
    place = _mm([[_at(side, y), y]], area)
    return Suggestion("corner", place, min(deck.share, side.share), "where the two edges meet")


def _round_fittings(
    grey: GreyImage, area: Area, full: GreyImage, full_area: Area
) -> list[Suggestion]:
    """Circles that the Hough transform proposes and the plate search confirms at full scale."""
    scale = area.mm_per_px
    low, high = (max(4, round(edge / scale)) for edge in _PLATE_MM)
    circles = cv2.HoughCircles(
        grey,
        cv2.HOUGH_GRADIENT,
        1.5,
        40 / scale,
        param1=60,
        param2=28,
        minRadius=low,
        maxRadius=high,
    )
    seeds = np.asarray([] if circles is None else circles, dtype=np.float64).reshape(-1, 3)
    found: list[Suggestion] = []
    to_pixels, seed_sd_px = _mm_to_pixels(full_area), _SEED_SD_MM / full_area.mm_per_px
    places = full_area.pixels(_mm(seeds[:, :2], area)) if len(seeds) else seeds[:, :2]
    for place_px in places[: 5 * _MOST_ROUND]:
        for plate in find_plates(full, to_pixels, place_px, seed_sd_px):
            if _is_new(plate.centre_mm, found):
                text = f"a round fitting {2 * plate.radius_mm:.0f} mm across"
                place = read_only(plate.centre_mm[None])
                found.append(Suggestion("round fitting", place, plate.seen, text))
    return sorted(found, key=lambda one: -one.strength)[:_MOST_ROUND]


def _is_new(centre_mm: FloatArray, found: Sequence[Suggestion]) -> bool:
    return all(np.hypot(*(centre_mm - one.points_mm[0])) > _APART_MM for one in found)


def _mm_to_pixels(area: Area) -> FloatArray:
    """(3, 3) millimetres to the picture's pixels."""
    (x0, y0), (x1, _), (_, y1) = area.pixels(np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
    return np.array([[x1 - x0, 0.0, x0], [0.0, y1 - y0, y0], [0.0, 0.0, 1.0]])


def _mm(pixels: Sequence[Sequence[float]] | FloatArray, area: Area) -> FloatArray:
    x, y = np.array(pixels, dtype=np.float64).T
    across = area.left_mm + (x + 0.5) * area.mm_per_px
    return read_only(np.column_stack([across, area.top_mm - (y + 0.5) * area.mm_per_px]))
