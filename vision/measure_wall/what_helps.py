"""What would help most before leaving the room: candidates tried in the adjustment itself.

A candidate (a card more, a photo more, one tape) is added with the sightings it would give at the
solution, and the covariance of the sizes wanted is worked out anew. Nothing is guessed from an
image's looks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import radians, sqrt
from typing import Final

import numpy as np

from vision.adjust.lengths import Size
from vision.adjust.network import Network, Shot, Sightings, join_sightings
from vision.adjust.placing import Pose
from vision.adjust.solution import WallAdjustment
from vision.adjust.solver import NotObservable, invert_normal
from vision.adjust.state import POSE, SHEET, Layout, State, layout_of
from vision.adjust.wall_problem import Tape, WallProblem, starting_weights
from vision.units import FloatArray, IntArray

FRAME_MARGIN_PX: Final = 20.0
CORNER_SD_PX: Final = 0.1
TAP_SD_PX: Final = 1.0
TAPE_U_MM: Final = 0.7
SIDE_ANGLE_RAD: Final = radians(30.0)
_BLOCKS: Final = ("pose", "lens", "exposure", "sheet", "scale", "mark", "edge", "line")


@dataclass(frozen=True)
class Candidate:
    """One thing to do and what the sizes' standard uncertainties would be after it.

    ``kind`` is ``card``, ``photo`` or ``tape``; ``place`` says where, in the wall's own words
    (``lower left``, ``right``, ...) or names the size to tape.
    """

    kind: str
    place: str
    u_mm: dict[str, float]


def what_helps(adjustment: WallAdjustment, sizes: Sequence[Size]) -> list[Candidate]:
    """Candidates for a solved wall, the one that narrows the widest size most first."""
    if not sizes:
        return []
    candidates = [
        *_tapes(adjustment, sizes),
        *_cards(adjustment, sizes),
        *_photos(adjustment, sizes),
    ]
    return sorted(candidates, key=lambda candidate: max(candidate.u_mm.values()))


def _tapes(adjustment: WallAdjustment, sizes: Sequence[Size]) -> list[Candidate]:
    """One tape along the longest size, and one along the most uncertain."""
    found = adjustment.estimates(sizes)
    variance = np.diag(found.covariance_mm2)
    picks = {int(np.argmax(np.abs(found.mm))), int(np.argmax(variance))}
    state = adjustment.photo.state
    candidates = []
    for pick in sorted(picks):
        tape = Tape(sizes[pick], float(found.mm[pick]), TAPE_U_MM)
        u = _spreads(adjustment, adjustment.network, state, sizes, [tape])
        candidates.append(Candidate("tape", sizes[pick].name, u))
    return candidates


def _cards(adjustment: WallAdjustment, sizes: Sequence[Size]) -> list[Candidate]:
    """A card more at each corner of what is marked, seen in the photos there are."""
    network, state = adjustment.network, adjustment.photo.state
    pattern = network.sheets[network.datum_sheet]
    old, candidates = layout_of(network), []
    for place, (x, y) in _corners_of_marks(adjustment).items():
        # the page lies inwards of the corner
        width, height = pattern.size_mm
        shift = (x - width * ("right" in place), y - height * ("upper" in place))
        sheet = replace(pattern, name=f"card {place}")
        seen = _all_sightings(
            len(pattern.points_mm), range(len(network.shots)), len(network.sheets)
        )
        extended = replace(
            network,
            sheets=(*network.sheets, sheet),
            sightings=join_sightings([network.sightings, seen]),
        )
        moved = _carried(old, layout_of(extended), state)
        start = layout_of(extended).sheet + SHEET * len(network.sheets)
        moved.x[start : start + 2] = shift
        seeable = _only_visible(extended, moved, len(network.sightings.shot))
        u = _spreads(adjustment, seeable, moved, sizes)
        candidates.append(Candidate("card", place, u))
    return candidates


def _photos(adjustment: WallAdjustment, sizes: Sequence[Size]) -> list[Candidate]:
    """A photo more from each side, turned to the wall, that looks at the middle of it."""
    network, state = adjustment.network, adjustment.photo.state
    old, candidates = layout_of(network), []
    points, _ = adjustment.photo.mark_points()
    middle = points.mean(axis=0)
    distance = _usual_distance(network, state)
    for place, sideways, upwards in (("left", -1, 0), ("right", 1, 0), ("low", 0, -1)):
        offset = np.array(
            [
                sideways * np.sin(SIDE_ANGLE_RAD),
                upwards * np.sin(SIDE_ANGLE_RAD),
                np.cos(SIDE_ANGLE_RAD),
            ]
        )
        pose = _looking_at(middle + distance * offset, middle)
        shot = replace(network.shots[0], name=f"photo from the {place}")
        extended = _with_shot(network, shot)
        moved = _carried(old, layout_of(extended), state)
        rotations = np.concatenate([state.rotations, pose.rotation[None]])
        moved.x[POSE * len(network.shots) + 3 : POSE * len(network.shots) + 6] = pose.shift
        moved = State(rotations, moved.x)
        seeable = _only_visible(extended, moved, len(network.sightings.shot))
        u = _spreads(adjustment, seeable, moved, sizes)
        candidates.append(Candidate("photo", place, u))
    return candidates


def _spreads(
    adjustment: WallAdjustment,
    network: Network,
    state: State,
    sizes: Sequence[Size],
    tapes: Sequence[Tape] = (),
) -> dict[str, float]:
    """Standard uncertainty of each size in a network at a state; infinite if not observable."""
    weights = starting_weights(network, state)
    problem = WallProblem(network, weights, tapes, adjustment.level)
    _, jacobian = problem.linearise(state)
    try:
        covariance = invert_normal(jacobian.T @ jacobian)
    except NotObservable:
        return {size.name: float("inf") for size in sizes}
    _, gradients = problem.size_values(sizes, state)
    return {
        size.name: sqrt(max(float(gradient @ covariance @ gradient), 0.0))
        for size, gradient in zip(sizes, gradients, strict=True)
    }


def _corners_of_marks(adjustment: WallAdjustment) -> dict[str, tuple[float, float]]:
    points, _ = adjustment.photo.mark_points()
    (left, low), (right, high) = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    return {
        "lower left": (left, low),
        "lower right": (right, low),
        "upper left": (left, high),
        "upper right": (right, high),
    }


def _all_sightings(points: int, shots: Sequence[int], sheet: int) -> Sightings:
    count = points * len(shots)
    return Sightings(
        shot=np.repeat(np.array(shots, dtype=np.int64), points),
        sheet=np.full(count, sheet),
        point=np.tile(np.arange(points), len(shots)),
        pixels=np.zeros((count, 2)),
        covariance_px2=np.tile(np.eye(2) * CORNER_SD_PX**2, (count, 1, 1)),
        defined_mm=np.zeros(count),
        edge=np.full(count, -1),
        edge_direction=np.zeros((count, 2)),
    )


def _with_shot(network: Network, shot: Shot) -> Network:
    """The network with a photo more that would show every sheet and mark, if in its frame."""
    number = len(network.shots)
    tables = [network.sightings]
    for index, sheet in enumerate(network.sheets):
        tables.append(_all_sightings(len(sheet.points_mm), [number], index))
    marks = len(network.marks)
    taps = _all_sightings(marks, [number], -1)
    spread = np.tile(np.eye(2) * TAP_SD_PX**2, (marks, 1, 1))
    tables.append(replace(taps, covariance_px2=spread))
    return replace(network, shots=(*network.shots, shot), sightings=join_sightings(tables))


def _only_visible(network: Network, state: State, known: int) -> Network:
    """Sightings beyond the first ``known`` kept where they fall into their photo's frame."""
    predicted = WallProblem(network).images.predict(state)
    seen = network.sightings
    sizes = np.array([(shot.width_px, shot.height_px) for shot in network.shots])[seen.shot]
    inside = np.all((predicted > FRAME_MARGIN_PX) & (predicted < sizes - FRAME_MARGIN_PX), axis=1)
    keep: IntArray = np.flatnonzero(inside | (np.arange(len(seen.shot)) < known))
    pixels = np.where(np.arange(len(seen.shot))[:, None] < known, seen.pixels, predicted)
    fields = Sightings.__dataclass_fields__
    placed = replace(seen, pixels=pixels)
    kept = Sightings(*(getattr(placed, name)[keep] for name in fields))
    return replace(network, sightings=kept)


def _carried(old: Layout, new: Layout, state: State) -> State:
    """The same values in a longer vector whose blocks have grown at their ends."""
    x: FloatArray = np.zeros(new.size)
    ends = [getattr(old, block) for block in _BLOCKS[1:]] + [old.size]
    for block, end in zip(_BLOCKS, ends, strict=True):
        start = getattr(old, block)
        x[getattr(new, block) : getattr(new, block) + end - start] = state.x[start:end]
    return State(state.rotations, x)


def _usual_distance(network: Network, state: State) -> float:
    shifts = state.x[: POSE * len(network.shots)].reshape(-1, POSE)[:, 3:]
    centres = -np.einsum("sji,sj->si", state.rotations, shifts)
    return float(np.median(centres[:, 2]))


def _looking_at(place: FloatArray, target: FloatArray) -> Pose:
    forward = (target - place) / np.linalg.norm(target - place)
    right = np.cross(forward, np.array([0.0, 1.0, 0.0]))
    right /= np.linalg.norm(right)
    rotation = np.stack([right, np.cross(forward, right), forward])
    return Pose(rotation, -rotation @ place, 0.0)
