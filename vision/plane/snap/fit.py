"""One straight edge or drawn line fitted to the crest of its response."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from vision.plane.snap.rims import Rims, find_rims
from vision.plane.snap.window import LINE_SCALES_PX, STEP_SCALE_PX, Field, Window
from vision.units import FloatArray

FLOORS_PX: Final = {
    ("step", STEP_SCALE_PX): 0.25,
    ("line", LINE_SCALES_PX[0]): 0.15,
    ("line", LINE_SCALES_PX[1]): 0.65,
}
"""What a fit does not see: a tone curve moves an edge toward its dark side, pencil is not even
across its width, the two rims of a joint are lit unalike, so that its dark is not its middle.
Where the rims are found (`rims`) their own spread stands instead."""
_TRACK_PX: Final = 2.5
_LEAST_POINTS: Final = 8
_WORST_RMS_PX: Final = 0.8
_CORRELATED: Final = 3.0
"""Neighbouring places along a smoothed line tell the same: so many count as one."""
_ROUNDS: Final = 3
_FLANK: Final = 0.25
_MEET_PX: Final = 1.5
_BENT: Final = np.deg2rad(1.5)


@dataclass(frozen=True, eq=False)
class FittedLine:
    """A straight piece near a tap.

    Attributes
    ----------
    kind, sign
        ``step`` or ``line``; whether grey rises along ``normal``, or the line is dark (+1).
    point, direction
        (2,) offset from the window's origin, and unit direction.
    start_px, end_px
        From where to where it is seen, along ``direction`` from ``point``.
    covariance
        (2, 2) of place across at ``point`` (px) and of turn (rad).
    contrast_dn
        Grey levels that a step, or a line about as wide as the scale, would need to look so.
    scale_px
        Gaussian scale at which it was found.
    rims
        Where a joint's rims put its middle, None for a step or a line without.
    """

    kind: str
    sign: int
    point: FloatArray
    direction: FloatArray
    start_px: float
    end_px: float
    covariance: FloatArray
    contrast_dn: float
    scale_px: float
    rims: Rims | None = None

    @property
    def normal(self) -> FloatArray:
        """(2,) unit vector a quarter turn from ``direction``, towards y."""
        return np.array([-self.direction[1], self.direction[0]])

    @property
    def lean(self) -> FloatArray:
        """(2,) what tells it from its like: the way grey rises, or dark from light."""
        if self.kind == "step":
            return self.sign * self.normal
        return np.array([float(self.sign), 0.0])

    def point_at(self, along_px: float) -> FloatArray:
        """(2,) offset of a place along it."""
        return np.asarray(self.point + along_px * self.direction)

    def along(self, place: FloatArray) -> float:
        """How far along it an offset lies."""
        return float((place - self.point) @ self.direction)

    def across(self, place: FloatArray) -> float:
        """How far beside it an offset lies."""
        return float((place - self.point) @ self.normal)

    def turned_from(self, other: FittedLine) -> float:
        """Angle between the two, 0 to a right angle."""
        return float(np.arccos(min(1.0, abs(float(self.direction @ other.direction)))))

    def centred(self) -> FittedLine:
        """The same through the middle between its rims."""
        if self.rims is None:
            return self
        covariance = self.covariance.copy()
        covariance[0, 0] += self.rims.u_px**2 - FLOORS_PX[(self.kind, self.scale_px)] ** 2
        shifted = self.point + self.rims.shift_px * self.normal
        return replace(self, point=shifted, covariance=covariance, rims=None)

    def variance_at(self, along_px: float) -> float:
        """Variance across it at a place along it, px²."""
        lever = np.array([1.0, along_px])
        return float(lever @ self.covariance @ lever)


def fit_line(
    window: Window,
    field: Field,
    sign: int,
    near: FloatArray,
    turn_across: tuple[float, float],
    stretch: tuple[float, float],
) -> FittedLine | None:
    """Fit from a rough turn and offset; None where it is no straight crest."""
    turn, across = turn_across
    direction = np.array([np.cos(turn), np.sin(turn)])
    point = near + across * np.array([-direction[1], direction[0]])
    line = FittedLine(field.kind, sign, point, direction, *stretch, np.eye(2), 0.0, field.scale_px)
    fitted: FittedLine | None = line
    for _ in range(_ROUNDS):
        fitted = _refined(window, field, line, None)
        if fitted is None:
            return None
        line = fitted
    return None if fitted is None or _is_flank(window, field, line) else line


def with_rims(window: Window, line: FittedLine) -> FittedLine:
    """A line that knows where its rims put its middle."""
    if line.kind != "line":
        return line
    along = np.arange(np.ceil(line.start_px), np.floor(line.end_px) + 1)
    rims = find_rims(window, line.point, line.direction, along, line.sign)
    return replace(line, rims=rims)


def refit_at(window: Window, line: FittedLine, at_px: float, hidden_px: float) -> FittedLine | None:
    """The line again near ``at_px`` along it, without the stretch that is hidden there.

    A drawn line that goes round a corner between two walls bends at it. Each side is fitted
    alone, and where they differ in turn, the mean of the two at ``at_px`` is the line's place.
    None where the sides do not meet.
    """
    field = next(f for f in window.fields if f.kind == line.kind and f.scale_px == line.scale_px)
    before = replace(line, end_px=min(line.end_px, at_px - hidden_px))
    after = replace(line, start_px=max(line.start_px, at_px + hidden_px))
    sides = [_settled(window, field, side) for side in (before, after)]
    place = line.point_at(at_px)
    known = [side for side in sides if side is not None]
    if len(known) < 2:
        return known[0] if known else None
    first, second = (side.across(place) for side in known)
    if abs(first - second) > _MEET_PX:
        return None
    if known[0].turned_from(known[1]) < _BENT:
        whole = _refined(window, field, line, (at_px - hidden_px, at_px + hidden_px))
        return known[0] if whole is None else whole
    return _bent(line, place, known)


def _settled(window: Window, field: Field, line: FittedLine) -> FittedLine | None:
    """A side fitted until it follows its own direction."""
    once = _refined(window, field, line, None)
    return None if once is None else _refined(window, field, once, None)


def _bent(line: FittedLine, place: FloatArray, sides: list[FittedLine]) -> FittedLine:
    """A line through the mean of where two sides reach ``place``, turned as their mean."""
    directions = [s.direction * np.sign(s.direction @ line.direction) for s in sides]
    mean = np.asarray(directions[0] + directions[1])
    shift = np.mean([s.across(place) * np.sign(s.normal @ line.normal) for s in sides])
    variance = np.mean([s.variance_at(s.along(place)) for s in sides])
    return replace(
        line,
        point=place - shift * line.normal,
        direction=mean / np.hypot(*mean),
        covariance=np.diag([float(variance), _BENT**2]),
    )


def _refined(
    window: Window, field: Field, line: FittedLine, skip_px: tuple[float, float] | None
) -> FittedLine | None:
    along = np.arange(np.ceil(line.start_px), np.floor(line.end_px) + 1)
    if skip_px is not None:
        along = along[(along < skip_px[0]) | (along > skip_px[1])]
    if len(along) < _LEAST_POINTS:
        return None
    found, height = _crest(window, field, line, along)
    seen = np.isfinite(found) & (height > 0.5 * field.least)
    if np.count_nonzero(seen) < max(_LEAST_POINTS, 0.6 * len(along)):
        return None
    middle = float(along[seen].mean())
    place, slope, covariance, rms = _robust_fit(along[seen] - middle, found[seen])
    if rms > _WORST_RMS_PX:
        return None
    covariance[0, 0] += FLOORS_PX[(line.kind, line.scale_px)] ** 2
    turn = np.arctan(slope)
    direction = np.cos(turn) * line.direction + np.sin(turn) * line.normal
    return replace(
        line,
        point=line.point_at(middle) + place * line.normal,
        direction=direction,
        start_px=line.start_px - middle,
        end_px=line.end_px - middle,
        covariance=covariance,
        contrast_dn=float(np.mean(height[seen])) * field.dn_per_response,
    )


def _crest(
    window: Window, field: Field, line: FittedLine, along: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Where across the line the response is highest, and how high; NaN at the track's rim."""
    step = 0.5
    across = np.arange(-_TRACK_PX, _TRACK_PX + step / 2, step)
    offsets = (
        line.point + along[:, None, None] * line.direction + across[None, :, None] * line.normal
    )
    response = line.sign * field.along(line.normal, window.places(offsets))
    top = np.argmax(response, axis=1)
    inside = (top > 0) & (top < len(across) - 1)
    rows, at = np.arange(len(along)), np.clip(top, 1, len(across) - 2)
    before, peak, after = (response[rows, at + k] for k in (-1, 0, 1))
    bend = np.minimum(before - 2 * peak + after, -1e-9)
    shift = np.clip((before - after) / (2 * bend), -0.5, 0.5)
    return np.where(inside, across[at] + step * shift, np.nan), peak


def _robust_fit(t: FloatArray, v: FloatArray) -> tuple[float, float, FloatArray, float]:
    """Place, slope, their covariance and the scatter; Huber's weights (1964)."""
    design = np.column_stack([np.ones_like(t), t])
    weight = np.ones_like(t)
    solution = np.array([np.median(v), 0.0])
    scatter = 1.0
    for _ in range(8):
        solution = np.linalg.solve((design.T * weight) @ design, (design.T * weight) @ v)
        residual = v - design @ solution
        scatter = max(1.4826 * float(np.median(np.abs(residual))), 0.02)
        weight = np.minimum(1.0, 1.5 * scatter / np.maximum(np.abs(residual), 1e-9))
    rms = float(np.sqrt(np.sum(weight * residual**2) / np.sum(weight)))
    covariance = np.linalg.inv((design.T * weight) @ design) * rms**2 * _CORRELATED
    return float(solution[0]), float(solution[1]), np.asarray(covariance, np.float64), rms


def _is_flank(window: Window, field: Field, line: FittedLine) -> bool:
    """Whether a drawn line is only the shoulder of a step or the fringe of another line.

    The grey falls on one side of a line and rises on the other, by about as much; on a shoulder
    or a fringe it goes one way on both sides.
    """
    if line.kind != "line":
        return False
    along = np.arange(np.ceil(line.start_px), np.floor(line.end_px) + 1)
    before, after = (
        line.sign * np.median(field.slope(line.normal, window.places(place)))
        for side in (-1, 1)
        for place in [
            line.point + along[:, None] * line.direction + side * field.scale_px * line.normal
        ]
    )
    return bool(before > 0 or after < 0 or min(-before, after) < _FLANK * max(-before, after))
