"""What a tap may have meant: candidates with their covariance, never a silent change.

The caller shows them, a person accepts one, or keeps the tap as it is.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from vision.plane.snap.fit import FittedLine, refit_at
from vision.plane.snap.lines import find_lines
from vision.plane.snap.snapped import Doubt, Snap, SnapKind, SnapOffer
from vision.plane.snap.window import HALF_PX, Window, cut_window
from vision.units import FloatArray, GreyImage, read_only

REACH_SD: Final = 3.3
"""A tap misses what it meant by more than this once in 200 times (two axes)."""
_LEAST_REACH_PX: Final = 3.0
_MOST_REACH_PX: Final = 14.0
_LEAST_ANGLE: Final = np.deg2rad(20.0)
_GAP_PX: Final = 5.0
"""A piece ends this close to what it meets: blur and the other line hide its end."""
_HIDDEN_PX: Final = 3.5
_MERGE_PX: Final = 1.2
_CLEAR_ODDS: Final = 20.0
_RIM_ODDS: Final = 60.0
_RIM_OF_BAND_PX: Final = 4.5
"""Where joints cross, their middle is meant rather than one of the four corners beside it."""
_RIM_PX: Final = 4.0
_NAMES: Final[tuple[tuple[SnapKind, str], ...]] = (
    ("crossing", "where two lines cross"),
    ("line end", "where a line meets an edge"),
    ("corner", "the corner where two edges meet"),
)
"""By how many of the two are edges."""


def offer_snaps(grey: GreyImage, tap: FloatArray, tap_sd_px: float = 1.0) -> SnapOffer:
    """What the person may have tapped.

    Parameters
    ----------
    grey
        Upright photo (h, w).
    tap
        (2,) pixel.
    tap_sd_px
        Standard deviation of a tap on each axis: loupe about 1, finger several.

    Raises
    ------
    ValueError
        If the tap is not in the photo or its spread not above zero.
    """
    tap = np.asarray(tap, dtype=np.float64)
    _check(grey, tap, tap_sd_px)
    rim = min(*tap, grey.shape[1] - 1 - tap[0], grey.shape[0] - 1 - tap[1])
    if rim < _RIM_PX:
        return SnapOffer(read_only(tap), (), Doubt("at-the-rim", "The photo ends here."))
    reach = float(np.clip(REACH_SD * tap_sd_px, _LEAST_REACH_PX, _MOST_REACH_PX))
    window = cut_window(grey, tap)
    near = tap - window.origin
    lines = find_lines(window, near, reach)
    points = [
        snap
        for i, first in enumerate(lines)
        for second in lines[i + 1 :]
        if (snap := _meeting(window, first, second)) and np.hypot(*(snap.pixel - tap)) <= reach
    ]
    points = _merged(points)
    rivals = list(points)
    points.sort(key=lambda snap: _unlikely(snap, rivals, tap, tap_sd_px))
    on_lines = [
        _on_line(window.origin, line, near, tap_sd_px)
        for line in lines
        if abs(line.across(near)) <= reach and _is_beside(line, near)
    ]
    on_lines.sort(key=lambda snap: _misfit(snap, tap, tap_sd_px))
    return SnapOffer(read_only(tap), (*points, *on_lines), _doubt(points, on_lines, tap, tap_sd_px))


def _check(grey: GreyImage, tap: FloatArray, tap_sd_px: float) -> None:
    if grey.ndim != 2:
        raise ValueError("grey must be a picture of one channel")
    height, width = grey.shape
    if tap.shape != (2,) or not (0 <= tap[0] <= width - 1 and 0 <= tap[1] <= height - 1):
        raise ValueError("the tap must be a pixel of the photo")
    if not tap_sd_px > 0:
        raise ValueError("the tap's standard deviation must be above zero")


def _meeting(window: Window, first: FittedLine, second: FittedLine) -> Snap | None:
    """Where two lines meet, fitted again without the stretch where each hides the other."""
    place = _intersection(first, second)
    if place is None or not (_reaches(first, place) and _reaches(second, place)):
        return None
    hidden = _HIDDEN_PX / max(np.sin(first.turned_from(second)), 0.5)
    again = [refit_at(window, line, line.along(place), hidden) for line in (first, second)]
    lines = [line.centred() for line in again if line is not None]
    if len(lines) < 2 or (place := _intersection(*lines)) is None:
        return None
    steps = sum(line.kind == "step" for line in lines)
    kind, text = _NAMES[steps]
    pixel = place + window.origin
    return Snap(kind, read_only(pixel), read_only(_covariance(lines, place)), text)


def _intersection(first: FittedLine, second: FittedLine) -> FloatArray | None:
    if first.turned_from(second) < _LEAST_ANGLE:
        return None
    normals = np.stack([first.normal, second.normal])
    return np.asarray(
        np.linalg.solve(normals, [first.normal @ first.point, second.normal @ second.point])
    )


def _reaches(line: FittedLine, place: FloatArray) -> bool:
    at = line.along(place)
    return line.start_px - _GAP_PX <= at <= line.end_px + _GAP_PX and abs(at) < 2 * HALF_PX


def _covariance(lines: list[FittedLine], place: FloatArray) -> FloatArray:
    normals = np.stack([line.normal for line in lines])
    back = np.linalg.inv(normals)
    spread = np.diag([line.variance_at(line.along(place)) for line in lines])
    return np.asarray(back @ spread @ back.T)


def _on_line(origin: FloatArray, seen: FittedLine, near: FloatArray, tap_sd_px: float) -> Snap:
    line = seen.centred()
    at = line.along(near)
    frame = np.column_stack([line.direction, line.normal])
    spread = np.diag([tap_sd_px**2, line.variance_at(at)])
    kind: SnapKind = "edge" if line.kind == "step" else "drawn line"
    return Snap(
        kind,
        read_only(origin + line.point_at(at)),
        read_only(frame @ spread @ frame.T),
        "the nearest point on the edge" if kind == "edge" else "the nearest point on the line",
    )


def _is_beside(line: FittedLine, near: FloatArray) -> bool:
    return line.start_px - 1 <= line.along(near) <= line.end_px + 1


def _merged(points: list[Snap]) -> list[Snap]:
    """One candidate for each place: the surest of those that lie together."""
    kept: list[Snap] = []
    for snap in sorted(points, key=lambda one: float(np.trace(one.covariance_px2))):
        if all(np.hypot(*(snap.pixel - other.pixel)) > _MERGE_PX for other in kept):
            kept.append(snap)
    return kept


def _misfit(snap: Snap, tap: FloatArray, tap_sd_px: float) -> float:
    """Squared standardised distance from the tap; along an edge the tap is the candidate."""
    away = snap.pixel - tap
    spread = snap.covariance_px2 + tap_sd_px**2 * np.eye(2)
    return float(away @ np.linalg.solve(spread, away))


def _unlikely(snap: Snap, rivals: list[Snap], tap: FloatArray, tap_sd_px: float) -> float:
    """Minus twice the logarithm of how likely a candidate is meant, up to a constant."""
    crossings = [one for one in rivals if one.kind == "crossing" and one is not snap]
    on_rim = snap.kind != "crossing" and any(
        np.hypot(*(one.pixel - snap.pixel)) < _RIM_OF_BAND_PX for one in crossings
    )
    return _misfit(snap, tap, tap_sd_px) + (2 * np.log(_RIM_ODDS) if on_rim else 0.0)


def _doubt(
    points: list[Snap], on_lines: list[Snap], tap: FloatArray, tap_sd_px: float
) -> Doubt | None:
    rivals = points or on_lines
    if not rivals:
        return Doubt("nothing-near", "No edge, line or corner is clear enough near this tap.")
    fits = [_unlikely(snap, rivals, tap, tap_sd_px) for snap in rivals[:2]]
    if len(fits) > 1 and fits[1] - fits[0] < 2 * np.log(_CLEAR_ODDS):
        return Doubt("several-near", "Several things lie near this tap: choose one, or keep it.")
    return None
