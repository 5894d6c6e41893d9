"""The middle of a round plate, found where the plate is round: in the rectified plane.

In the photo a circle is an ellipse, whose centre is not the circle's: the nearer half takes up
more of it. So the photo round the tap is first laid into the wall's plane; there every centre and
radius is tried against the change of grey along the spokes, and the best circle is fitted to the
crest on each spoke, those that something hides left out.

A plate that stands off the wall shows its face's rim on one side and its foot on the other. The
foot is the same circle, moved by what its depth looks like from there, so the outline is wider
on that side by as much as the foot stands out; how much of the depth the rounded rim really shows
is estimated with the circle.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from vision.plane.snap.rectified import Patch, mapped
from vision.plane.snap.snapped import Doubt, Snap, SnapOffer
from vision.plane.view import WallView
from vision.units import BoolArray, FloatArray, GreyImage, read_only

RADII_MM: Final = (15.0, 110.0)
"""From a half-inch pipe's plate to a large valve trim."""
RELIEF_U_MM: Final = 0.5
"""Rims are rounded: where along its depth the rim is that is seen as its face."""
_FOOT_SHOWN: Final = (0.5, 0.29)
"""Share of the stated depth that stands out from the wall on the foot's side: a polished side
looks like the wall or unlike it, so anything from none to all."""
_SPOKES: Final = 96
_LEAST_STEP_DN: Final = 8.0
_LEAST_SCORE: Final = 0.35
_LEAST_SEEN: Final = 0.55
_WIDEST_GAP: Final = 0.40
"""Share of the circle, in one piece, that may be hidden."""
_ROUND_PX: Final = 1.2
"""What lies farther from the circle is no part of it: a square's sides touch one in four places."""
_FLOOR_PX: Final = 0.3
_TRACK_PX: Final = 4.0
_FEWEST_PX: Final = 8.0
_SAME_PX: Final = 1.2
_GRID_PX: Final = 1.5
_RIVAL: Final = 0.85
_NO_FOOT: Final = read_only(np.zeros(2))


@dataclass(frozen=True)
class FoundPlate:
    """A circle in the wall's plane and its middle in the photo.

    Attributes
    ----------
    centre_mm, radius_mm
        In the plane of the map that was given.
    pixel, covariance_px2
        The middle in the photo.
    seen
        Share of its rim that was seen.
    """

    centre_mm: FloatArray
    radius_mm: float
    pixel: FloatArray
    covariance_px2: FloatArray
    seen: float


def offer_plates(
    grey: GreyImage, view: WallView, tap: FloatArray, tap_sd_px: float, height_mm: float = 0.0
) -> SnapOffer:
    """The middles of round plates near a tap, with what the plate's relief adds.

    Parameters
    ----------
    grey
        Upright photo (h, w).
    view
        The photo's place before the wall.
    tap
        (2,) pixel.
    tap_sd_px
        Standard deviation of the tap on each axis.
    height_mm
        How far the plate's rim stands off the wall's mean plane.
    """
    at = view.on_wall(tap, height_mm)
    raised = np.array([[*at, height_mm], [*at, height_mm + 1.0], [*at, 0.0]])
    seen = view.pixels(raised)
    foot_mm = view.on_wall(seen[2], height_mm) - at
    found = find_plates(grey, view.homography(at, height_mm), tap, tap_sd_px, foot_mm)
    parallax = seen[0] - seen[1]
    relief = RELIEF_U_MM**2 * np.outer(parallax, parallax)
    snaps = tuple(
        Snap(
            "plate",
            plate.pixel,
            read_only(plate.covariance_px2 + relief),
            f"the middle of a round plate {2 * plate.radius_mm:.0f} mm across",
        )
        for plate in found
    )
    doubt = None
    if not snaps:
        doubt = Doubt("nothing-near", "No round plate is clear enough round this tap.")
    elif len(snaps) > 1:
        doubt = Doubt("several-near", "Several round things lie round this tap: choose one.")
    return SnapOffer(read_only(tap), snaps, doubt)


def find_plates(
    grey: GreyImage,
    homography: FloatArray,
    tap: FloatArray,
    tap_sd_px: float,
    foot_mm: FloatArray = _NO_FOOT,
) -> list[FoundPlate]:
    """Round plates whose middle may have been tapped, the clearest first, at most three.

    Parameters
    ----------
    grey
        Upright photo (h, w).
    homography
        (3, 3) plane millimetres x, y, 1 to pixels round the tap (`WallView.homography`).
    tap
        (2,) pixel.
    tap_sd_px
        Standard deviation of the tap on each axis; the middle of a plate is bare metal, so a
        person judges it to a few pixels at best.
    foot_mm
        (2,) where in this plane the middle of the plate's foot is seen, from the face's middle.
    """
    patch = Patch.around(grey, homography, tap, 1.3 * RADII_MM[1])
    reach = min(3.3 * tap_sd_px, 0.25 * patch.middle)
    found = []
    for circle in _circles(patch, reach):
        plate = _fitted(patch, circle, foot_mm)
        if plate is not None and np.hypot(*(plate.pixel - tap)) <= 3.3 * tap_sd_px:
            found.append(plate)
    outer = [plate for plate in found if not any(_inside(plate, other) for other in found)]
    return _distinct(outer)


@dataclass(frozen=True)
class _Circle:
    """Centre and radius in pixels of the rectified patch, sign of the step outward."""

    centre: FloatArray
    radius: float
    sign: int
    score: float


def _inside(plate: FoundPlate, other: FoundPlate) -> bool:
    """Whether a circle lies within another: a handle's or pipe's rim in front of the plate."""
    apart = float(np.hypot(*(plate.centre_mm - other.centre_mm)))
    return apart + plate.radius_mm < other.radius_mm


def _distinct(plates: list[FoundPlate]) -> list[FoundPlate]:
    """Each once: circles that differ at first may be fitted to the same rim."""
    kept: list[FoundPlate] = []
    for plate in plates:
        if all(np.hypot(*(plate.pixel - other.pixel)) > _SAME_PX for other in kept):
            kept.append(plate)
    return kept


def _spokes(count: int) -> FloatArray:
    angle = np.arange(count) * 2 * pi / count
    return np.column_stack([np.cos(angle), np.sin(angle)])


def _circles(patch: Patch, reach_px: float) -> list[_Circle]:
    """Up to three clearly different circles that stand out, the clearest first."""
    steps = np.arange(-np.ceil(reach_px / _GRID_PX), np.ceil(reach_px / _GRID_PX) + 1) * _GRID_PX
    spokes = _spokes(_SPOKES // 2)
    low, high = (edge * patch.px_per_mm for edge in RADII_MM)
    radii = np.arange(max(low, _FEWEST_PX), high, 1.0)
    least = _LEAST_STEP_DN / (np.sqrt(2 * pi) * 1.6)
    tried: list[_Circle] = []
    for y in steps:
        for x in steps:
            centre = np.array([patch.middle + x, patch.middle + y])
            places = centre + radii[:, None, None] * spokes
            change = patch.outward(places, spokes[None]) / least
            for sign in (1, -1):
                score = np.clip(sign * change - 0.5, -1, 1).mean(axis=1)
                best = np.argsort(score)[-3:]
                tried += [_Circle(centre, float(radii[i]), sign, float(score[i])) for i in best]
    tried.sort(key=lambda circle: -circle.score)
    kept: list[_Circle] = []
    for circle in tried:
        if circle.score < max(_LEAST_SCORE, _RIVAL * tried[0].score) or len(kept) == 3:
            break
        if all(_differs(circle, other) for other in kept):
            kept.append(circle)
    return kept


def _differs(circle: _Circle, other: _Circle) -> bool:
    apart = float(np.hypot(*(circle.centre - other.centre)))
    return apart + abs(circle.radius - other.radius) > 2 * _TRACK_PX


def _fitted(patch: Patch, circle: _Circle, foot_mm: FloatArray) -> FoundPlate | None:
    spokes = _spokes(_SPOKES)
    foot = np.maximum(spokes @ (foot_mm * patch.px_per_mm * [1.0, -1.0]), 0.0)
    state = np.array([*circle.centre, circle.radius, _FOOT_SHOWN[0]])
    covariance, seen = np.eye(4), np.zeros(_SPOKES, dtype=bool)
    for _ in range(4):
        radius, seen = _crests(patch, state, circle.sign, spokes, foot)
        if seen.mean() < _LEAST_SEEN or _gap(seen) > _WIDEST_GAP:
            return None
        state, covariance, seen = _circle_fit(state, spokes, foot, radius, seen)
    if seen.mean() < _LEAST_SEEN:
        return None
    centre_px = mapped(patch.to_pixel, state[None, :2])[0]
    beside = mapped(
        patch.to_pixel, state[:2] + np.array([[0.5, 0], [-0.5, 0], [0, 0.5], [0, -0.5]])
    )
    jacobian = np.column_stack([beside[0] - beside[1], beside[2] - beside[3]])
    spread = jacobian @ covariance[:2, :2] @ jacobian.T
    return FoundPlate(
        read_only(mapped(patch.to_mm, state[None, :2])[0]),
        float(state[2]) / patch.px_per_mm,
        read_only(centre_px),
        read_only(spread + _FLOOR_PX**2 * np.eye(2)),
        float(seen.mean()),
    )


def _crests(
    patch: Patch, state: FloatArray, sign: int, spokes: FloatArray, foot: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Radius of the strongest change on each spoke near the outline, and where there is one."""
    track = np.arange(-_TRACK_PX, _TRACK_PX + 0.25, 0.5)
    outline = state[2] + state[3] * foot
    places = state[:2] + (outline[:, None] + track)[:, :, None] * spokes[:, None, :]
    change = sign * patch.outward(places, spokes[:, None, :])
    top = np.argmax(change, axis=1)
    rows, at = np.arange(len(spokes)), np.clip(top, 1, len(track) - 2)
    before, peak, after = (change[rows, at + k] for k in (-1, 0, 1))
    bend = np.minimum(before - 2 * peak + after, -1e-9)
    radius = outline + track[at] + 0.5 * np.clip((before - after) / (2 * bend), -1, 1)
    least = _LEAST_STEP_DN / (np.sqrt(2 * pi) * 1.6)
    return radius, (top > 0) & (top < len(track) - 1) & (peak > least)


def _circle_fit(
    state: FloatArray,
    spokes: FloatArray,
    foot: FloatArray,
    radius: FloatArray,
    seen: BoolArray,
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Least squares on the spokes seen, Huber's weights; what lies far off is unseen."""
    design = np.column_stack([spokes, np.ones(len(spokes)), foot])
    offset = radius - state[2] - state[3] * foot
    weight = seen.astype(float)
    step, scatter = np.zeros(4), 1.0
    known = np.zeros(4)
    for _ in range(10):
        known[3] = (scatter / _FOOT_SHOWN[1]) ** 2
        normal = (design.T * weight) @ design + np.diag(known)
        pull = known * (np.array([0.0, 0.0, 0.0, _FOOT_SHOWN[0]]) - state)
        step = np.linalg.solve(normal, (design.T * weight) @ offset + pull)
        residual = offset - design @ step
        scatter = max(1.4826 * float(np.median(np.abs(residual[seen]))), 0.05)
        weight = seen * np.minimum(1.0, 1.5 * scatter / np.maximum(np.abs(residual), 1e-9))
    near = seen & (np.abs(residual) < min(4 * scatter, _ROUND_PX))
    spread = np.linalg.inv(normal) * scatter**2
    return state + step, spread, near


def _gap(seen: BoolArray) -> float:
    """Longest unseen piece of the rim as a share of it."""
    twice = np.concatenate([seen, seen])
    longest = run = 0
    for one in twice:
        run = 0 if one else run + 1
        longest = max(longest, run)
    return min(longest, len(seen)) / len(seen)
