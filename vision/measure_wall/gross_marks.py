"""Marks that are on another thing altogether, or under one another's names in a photo.

A mark that is off by the length of a hand strains the whole wall, so that least squares finds the
fault anywhere. It is told before, from where each photo by its own cards puts its marks.
"""

from __future__ import annotations

from itertools import combinations
from typing import Final

import numpy as np

from vision.adjust.network import Network
from vision.adjust.solution import WallAdjustment
from vision.adjust.solver import NotObservable
from vision.adjust.start import CLASH_MM, CLASH_SHARE, mark_places
from vision.adjust.state import SHEET
from vision.measure_wall.apart import Places, widened_to_gap
from vision.measure_wall.doubts import freed_starts, shots_of_sheet
from vision.measure_wall.vetting import SetAside, without_sightings
from vision.units import FloatArray

STRAINED: Final = 2.0
"""Variance factor below which no mark can be that far off."""


def set_gross_aside(adjustment: WallAdjustment) -> tuple[WallAdjustment, tuple[SetAside, ...]]:
    """The wall without marks that lie on another thing, and what was found."""
    if adjustment.photo.variance_factor < STRAINED:
        return adjustment, ()
    network = adjustment.network
    places = mark_places(network, adjustment.start)
    wrong = _wrong(network, adjustment, places)
    if not wrong:
        return adjustment, ()
    exchanged = _exchanged(adjustment, places, wrong)
    told = {(shot, mark) for found in exchanged for shot in found.shots for mark in found.marks}
    findings = list(exchanged)
    for mark, (kind, shots) in wrong.items():
        left = tuple(shot for shot in shots if (shot, mark) not in told)
        if left:
            findings.append(SetAside(kind, left, mark))
    calmer = _without(adjustment, wrong, places)
    return (adjustment, ()) if calmer is None else (calmer, tuple(findings))


def _wrong(
    network: Network, adjustment: WallAdjustment, places: Places
) -> dict[int, tuple[str, tuple[int, ...]]]:
    """Per mark how it is wrong and in which photos; nothing of photos whose pose is in doubt."""
    found: dict[int, tuple[str, tuple[int, ...]]] = {}
    shared = dict.fromkeys(range(len(places)), 0)
    for mark in range(len(network.marks)):
        shots = [shot for shot, placed in enumerate(places) if mark in placed]
        if len(shots) < 2:
            continue
        for shot in shots:
            shared[shot] += 1
        kind, odd = _odd_ones(mark, shots, adjustment, places)
        if odd:
            found[mark] = kind, odd
    wrong_in = {shot: [m for m, (_, odd) in found.items() if shot in odd] for shot in shared}
    doubtful = {
        shot
        for shot, marks in wrong_in.items()
        if 2 * len(marks) > shared[shot] and not _is_held(network, shot)
    }
    return {m: (kind, odd) for m, (kind, odd) in found.items() if not doubtful & set(odd)}


def _odd_ones(
    mark: int, shots: list[int], adjustment: WallAdjustment, places: Places
) -> tuple[str, tuple[int, ...]]:
    """Photos outvoted by others that agree, or all of them where nothing tells."""
    alike = {
        one: {
            other
            for other in shots
            if _same_place(adjustment, places[one][mark], places[other][mark])
        }
        for one in shots
    }
    if all(len(others) == len(shots) for others in alike.values()):
        return "", ()
    largest = max(alike.values(), key=len)
    rivals = [others for others in alike.values() if len(others) == len(largest)]
    if len(largest) > 1 and all(others == largest for others in rivals):
        return "mark", tuple(shot for shot in shots if shot not in largest)
    return "disagree", tuple(shots)


def _same_place(adjustment: WallAdjustment, one: FloatArray, other: FloatArray) -> bool:
    layout = adjustment.photo.layout
    sheets = adjustment.start.state.x[layout.sheet : layout.scale].reshape(-1, SHEET)[:, :2]
    away = [float(np.min(np.linalg.norm(sheets - place, axis=1))) for place in (one, other)]
    return float(np.linalg.norm(one - other)) <= CLASH_MM + CLASH_SHARE * max(away)


def _is_held(network: Network, shot: int) -> bool:
    """Whether two sheets that other photos show too hold the photo's pose."""
    shown = (shots_of_sheet(network, sheet) for sheet in range(len(network.sheets)))
    return sum(shot in shots and len(shots) > 1 for shots in shown) > 1


def _exchanged(
    adjustment: WallAdjustment, places: Places, wrong: dict[int, tuple[str, tuple[int, ...]]]
) -> tuple[SetAside, ...]:
    """Pairs of which each lies in one photo where others show the other; each mark in one pair."""
    crossed = []
    for one, other in combinations(wrong, 2):
        if wrong[one] != wrong[other]:
            continue
        kind, shots = wrong[one]
        rest = [shot for shot in range(len(places)) if shot not in shots]
        pairs = combinations(shots, 2) if kind == "disagree" else ((shots[0], r) for r in rest)
        gaps = [_crossing(adjustment, places[a], places[b], one, other) for a, b in pairs]
        crossed.append((min(gaps, default=np.inf), one, other, shots))
    found: list[SetAside] = []
    taken: set[int] = set()
    for gap, one, other, shots in sorted(crossed):
        if np.isfinite(gap) and not taken & {one, other}:
            taken |= {one, other}
            found.append(SetAside("exchanged", shots, one, other))
    return tuple(found)


def _crossing(
    adjustment: WallAdjustment,
    first: dict[int, FloatArray],
    second: dict[int, FloatArray],
    one: int,
    other: int,
) -> float:
    """How far both marks lie from where the second photo shows the other; infinite if too far."""
    if not {one, other} <= set(first) & set(second):
        return np.inf
    pairs = ((first[one], second[other]), (first[other], second[one]))
    if not all(_same_place(adjustment, a, b) for a, b in pairs):
        return np.inf
    return max(float(np.linalg.norm(a - b)) for a, b in pairs)


def _without(
    adjustment: WallAdjustment, wrong: dict[int, tuple[str, tuple[int, ...]]], places: Places
) -> WallAdjustment | None:
    """Outvoted marks left out, the others widened to what lies between them."""
    network, seen = adjustment.network, adjustment.network.sightings
    keep = np.ones(len(seen.shot), dtype=bool)
    for mark, (kind, shots) in wrong.items():
        rows = np.flatnonzero((seen.sheet < 0) & (seen.point == mark) & np.isin(seen.shot, shots))
        if kind == "mark":
            keep[rows] = False
        else:
            network = widened_to_gap(network, rows, adjustment.start, places)
    calmer = without_sightings(network, np.flatnonzero(~keep))
    try:
        found = WallAdjustment(calmer, adjustment.level, freed_starts(calmer))
    except NotObservable:
        return None
    return None if found.start.unplaced_shots or found.start.clashing_sheets else found
