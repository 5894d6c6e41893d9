"""An edge followed between its ends: points along it, each where the edge is and not the hand.

Looked for at places along the way that was given, apart enough to be fitted from pixels of their
own. An edge is taken only if it goes on from place to place along one smooth curve, so that what
lies beside it, a shadow's rim or another edge, is not mixed in; where two edges go on as well, none
is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from vision.plane.snap.fit import FittedLine
from vision.plane.snap.lines import find_lines
from vision.plane.snap.window import HALF_PX, cut_window
from vision.units import FloatArray, GreyImage, read_only

_APART_PX: Final = 1.5 * HALF_PX
_MOST_PLACES: Final = 14
_FEWEST_PLACES: Final = 3
_INSET: Final = 0.1
"""Share of the way left out at each end: corners are rounded there, or worn."""
_TURNED: Final = np.deg2rad(5.0)
_TURNS: Final = read_only(np.deg2rad([-6.0, -3.0, 0.0, 3.0, 6.0]))
_SAME_CURVE_PX: Final = 1.2
_LEAST_SEEN: Final = 0.6
_AS_WELL: Final = 0.8
"""Of the places that the best edge is seen at: another seen at so many leaves it open."""
_SAME_EDGE_PX: Final = 1.0
_LEAST_SD_PX: Final = 0.15


@dataclass(frozen=True)
class EdgeTrace:
    """Points along an edge, in the order of the way that was given.

    Attributes
    ----------
    pixels
        (n, 2) upright picture.
    sd_px
        Standard deviation of each across the edge; what moves the edge as a whole is not in it.
    seen
        Share of the places at which it was seen.
    """

    pixels: FloatArray
    sd_px: float
    seen: float


@dataclass(frozen=True)
class _Piece:
    """The edge near one place: number of the place, where, how far across, which side is light."""

    place: int
    run: float
    pixel: FloatArray
    across: float
    sign: int


def trace_edge(grey: GreyImage, way: FloatArray, reach_px: float) -> EdgeTrace | None:
    """The edge that goes along a way; None where none is clear, or two are.

    Parameters
    ----------
    grey
        Upright photo (h, w).
    way
        (n, 2) pixels, two or more, the edge's ends among them.
    reach_px
        How far from the way the edge may lie.

    Raises
    ------
    ValueError
        If the way is no way.
    """
    way = np.asarray(way, dtype=np.float64)
    if grey.ndim != 2 or way.ndim != 2 or way.shape[1:] != (2,) or len(way) < 2:
        raise ValueError("expected a picture of one channel and two or more pixels")
    runs, places, directions = _places(way)
    inside = _is_inside(places, grey)
    if np.count_nonzero(inside) < _FEWEST_PLACES:
        return None
    pieces = [
        piece
        for index in np.flatnonzero(inside)
        for piece in _pieces(
            grey, int(index), runs[index], places[index], directions[index], reach_px
        )
    ]
    curves = _curves(pieces)
    if not curves:
        return None
    best = curves[0]
    seen = len(best) / np.count_nonzero(inside)
    rivals = [c for c in curves[1:] if len(c) >= _AS_WELL * len(best) and _is_other(c, best)]
    if len(best) < _FEWEST_PLACES or seen < _LEAST_SEEN or rivals:
        return None
    pixels = np.array([piece.pixel for piece in best])
    return EdgeTrace(read_only(pixels), _scatter(best), float(seen))


def _places(way: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Runs, pixels and directions of the places at which the edge is looked for."""
    steps = np.diff(way, axis=0)
    lengths = np.hypot(*steps.T)
    total = np.concatenate([[0.0], np.cumsum(lengths)])
    count = int(
        np.clip((1 - 2 * _INSET) * total[-1] // _APART_PX + 1, _FEWEST_PLACES, _MOST_PLACES)
    )
    runs = np.linspace(_INSET, 1 - _INSET, count) * total[-1]
    pieces = np.clip(np.searchsorted(total, runs) - 1, 0, len(steps) - 1)
    unit = steps / np.maximum(lengths, 1e-9)[:, None]
    return runs, way[pieces] + (runs - total[pieces])[:, None] * unit[pieces], unit[pieces]


def _is_inside(places: FloatArray, grey: GreyImage) -> FloatArray:
    limits = np.array(grey.shape[::-1], dtype=np.float64) - 1
    return np.asarray(np.all((places >= 4) & (places <= limits - 4), axis=1))


def _pieces(
    grey: GreyImage,
    place: int,
    run: float,
    pixel: FloatArray,
    direction: FloatArray,
    reach_px: float,
) -> list[_Piece]:
    """What goes along the way near one of its places."""
    window = cut_window(grey, pixel)
    near = pixel - window.origin
    normal = np.array([-direction[1], direction[0]])
    turns = np.arctan2(direction[1], direction[0]) + _TURNS
    found = []
    for line in find_lines(window, near, reach_px, turns):
        if line.kind != "step" or abs(float(line.direction @ normal)) > np.sin(_TURNED):
            continue
        at = near + _across(line, near, normal) * normal
        across = float((at - near) @ normal)
        if abs(across) <= reach_px and line.start_px - 1 <= line.along(at) <= line.end_px + 1:
            sign = int(np.sign(line.lean @ normal))
            found.append(_Piece(place, float(run), at + window.origin, across, sign))
    return found


def _across(line: FittedLine, near: FloatArray, normal: FloatArray) -> float:
    """How far along ``normal`` a line lies from ``near``."""
    return float((line.point - near) @ line.normal / (normal @ line.normal))


def _curves(pieces: list[_Piece]) -> list[list[_Piece]]:
    """For each piece those that go on from it, one a place; the longest first."""
    found: list[list[_Piece]] = []
    for start in pieces:
        like = [piece for piece in pieces if piece.sign == start.sign]
        for end in like:
            if end.place > start.place + 1:
                slope = (end.across - start.across) / (end.run - start.run)
                found.append(_followed(like, start, slope))
    return sorted(found, key=lambda curve: (-len(curve), _scatter(curve)))


def _followed(like: list[_Piece], start: _Piece, slope: float) -> list[_Piece]:
    best: dict[int, tuple[float, _Piece]] = {}
    for piece in like:
        off = abs(piece.across - start.across - slope * (piece.run - start.run))
        if off <= _SAME_CURVE_PX and off < best.get(piece.place, (np.inf, piece))[0]:
            best[piece.place] = (off, piece)
    return [best[place][1] for place in sorted(best)]


def _is_other(curve: list[_Piece], best: list[_Piece]) -> bool:
    """Whether a curve lies beside the best one where both are seen."""
    at = {piece.place: piece.across for piece in best}
    apart = [abs(p.across - at[p.place]) for p in curve if p.place in at]
    return not apart or float(np.median(apart)) > _SAME_EDGE_PX


def _scatter(curve: list[_Piece]) -> float:
    """Standard deviation of the pieces about a smooth curve, a straight one where they are few."""
    if len(curve) < _FEWEST_PLACES:
        return np.inf
    run = np.array([piece.run for piece in curve])
    across = np.array([piece.across for piece in curve])
    degree = 2 if len(curve) > 5 else 1
    scaled = (run - run.mean()) / max(float(np.ptp(run)), 1.0)
    left = across - np.polyval(np.polyfit(scaled, across, degree), scaled)
    free = max(len(curve) - degree - 1, 1)
    return max(float(np.sqrt(np.sum(left**2) / free)), _LEAST_SD_PX)
