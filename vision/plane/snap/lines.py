"""Straight pieces of edges and drawn lines near a tap.

Every direction and offset is tried: along each the response is walked, and the stretch that gains
most is kept (the largest sum of a sub-array), so that an edge that ends at a corner counts as much
as one that runs through. Each find is then fitted to a tenth of a pixel (`fit`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from vision.plane.snap.fit import FittedLine, fit_line, with_rims
from vision.plane.snap.window import HALF_PX, Field, Window
from vision.units import FloatArray, IntArray, read_only

_TURNS: Final = 60
_BEYOND_PX: Final = 4
"""Lines are looked for this far beyond the reach, since what crosses there may lie within."""
_LEAST_GAIN: Final = 9.0
"""Pixels of a clear line, less what speaks against it."""
_TRIED: Final = 60
_MOST: Final = 10
_SAME_TURN: Final = np.deg2rad(7.0)
_SAME_PX: Final = 1.6
_THIN_PX: Final = 2.0
_FRINGE_PX: Final = 5.0


@dataclass(frozen=True)
class _Rough:
    """One stretch: field number, sign of the response, turn, offset across, from and to along."""

    field: int
    sign: int
    turn_rad: float
    across_px: float
    start_px: float
    end_px: float
    gain: float


ANY_TURN: Final = read_only(np.arange(_TURNS) * np.pi / _TURNS)


def find_lines(
    window: Window, near: FloatArray, reach_px: float, turns: FloatArray = ANY_TURN
) -> list[FittedLine]:
    """Edges and drawn lines within ``reach_px`` of the offset ``near``, the clearest first.

    ``turns`` (n,) are the directions to look in, radians.
    """
    rough: list[_Rough] = []
    for number, field in enumerate(window.fields):
        rough += _stretches(window, field, number, near, reach_px, turns)
    rough.sort(key=lambda one: -one.gain)
    found: list[FittedLine] = []
    for one in rough[:_TRIED]:
        line = fit_line(
            window,
            window.fields[one.field],
            one.sign,
            near,
            (one.turn_rad, one.across_px),
            (one.start_px, one.end_px),
        )
        if line is not None:
            _take(line, found)
    return [with_rims(window, line) for line in _without_flanks(found)[:_MOST]]


def _take(line: FittedLine, found: list[FittedLine]) -> None:
    """Add a new find; of one line at two scales keep the finer unless the line is wider than it."""
    for index, other in enumerate(found):
        if not _same(line, other):
            continue
        as_long = line.end_px - line.start_px > 0.7 * (other.end_px - other.start_px)
        if as_long and line.scale_px < other.scale_px and line.contrast_dn > other.contrast_dn:
            found[index] = line
        return
    found.append(line)


def _stretches(
    window: Window,
    field: Field,
    number: int,
    near: FloatArray,
    reach_px: float,
    turns: FloatArray,
) -> list[_Rough]:
    span = int(np.ceil(reach_px)) + _BEYOND_PX
    across = np.arange(-span, span + 1, dtype=np.float64)
    along = np.arange(-HALF_PX, HALF_PX + 1, dtype=np.float64)
    found = []
    for turn in turns:
        direction = np.array([np.cos(turn), np.sin(turn)])
        normal = np.array([-direction[1], direction[0]])
        offsets = near + across[:, None, None] * normal + along[None, :, None] * direction
        response = field.along(normal, window.places(offsets)) / field.least
        for sign in (1, -1):
            gain, first, last = _best_stretch(np.clip(sign * response - 1, -1, 1))
            reaches = (along[first] <= span) & (along[last] >= -span)
            for row in _peaks(np.where(reaches, gain, 0.0)):
                found.append(
                    _Rough(
                        number,
                        sign,
                        float(turn),
                        float(across[row]),
                        float(along[first[row]]),
                        float(along[last[row]]),
                        float(gain[row]),
                    )
                )
    return found


def _best_stretch(gains: FloatArray) -> tuple[FloatArray, IntArray, IntArray]:
    """For each row the largest sum of consecutive values, and its first and last column."""
    total = np.concatenate([np.zeros((len(gains), 1)), np.cumsum(gains, axis=1)], axis=1)
    lowest = np.minimum.accumulate(total, axis=1)
    rise = total - lowest
    last = np.argmax(rise, axis=1)
    rows = np.arange(len(gains))
    first = np.argmax(total == lowest[rows, last][:, None], axis=1)
    return rise[rows, last], np.minimum(first, gains.shape[1] - 1), np.maximum(last - 1, 0)


def _peaks(gain: FloatArray) -> IntArray:
    padded = np.pad(gain, 1)
    top = (gain >= padded[:-2]) & (gain >= padded[2:]) & (gain >= _LEAST_GAIN)
    return np.flatnonzero(top)


def _same(line: FittedLine, other: FittedLine) -> bool:
    """Whether two finds are one: alike in kind and place where both are seen."""
    if line.kind != other.kind or line.lean @ other.lean <= 0:
        return False
    return line.turned_from(other) < _SAME_TURN and _apart(line, other) < _SAME_PX


def _apart(line: FittedLine, other: FittedLine) -> float:
    """Distance across ``other`` of the middle of what is seen of ``line``; far if end to end."""
    first, last = (other.along(line.point_at(t)) for t in (line.start_px, line.end_px))
    if max(first, last) < other.start_px or min(first, last) > other.end_px:
        return np.inf
    middle = line.point_at((line.start_px + line.end_px) / 2)
    return abs(other.across(middle))


def _without_flanks(lines: list[FittedLine]) -> list[FittedLine]:
    """Leave out what only accompanies a clearer line: its two sides, and the fringe between two.

    The sides of a wider band, a joint's or a tile's raw edge, are edges in their own right.
    """
    kept: list[FittedLine] = []
    drawn = sorted((one for one in lines if one.kind == "line"), key=lambda one: -one.contrast_dn)
    for line in drawn:
        if not any(_beside(line, other, _FRINGE_PX) for other in kept):
            kept.append(line)
    return [
        line
        for line in lines
        if (line.kind == "line" and line in kept)
        or (line.kind == "step" and not any(_beside(line, other, _THIN_PX) for other in kept))
    ]


def _beside(line: FittedLine, other: FittedLine, within_px: float) -> bool:
    """Whether a line goes along another, of its own lean or kind no more."""
    if line.kind == other.kind and line.lean @ other.lean > 0:
        return False
    return line.turned_from(other) < _SAME_TURN and _apart(line, other) < within_px
