"""Marks and corners that the rest contradicts: named, left out or widened, never averaged in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from vision.adjust.network import Network, Sightings
from vision.adjust.reliability import SightingTests, sighting_tests
from vision.adjust.solution import WallAdjustment
from vision.units import FloatArray, IntArray

WRONG_DROP: Final = 18.42
"""Chi-square of two degrees of freedom is past this once in 10,000."""
CLEAR_DROP: Final = 4.6
"""2 ln 10: one culprit is ten times likelier than the next."""
MOST_ROUNDS: Final = 12


@dataclass(frozen=True)
class SetAside:
    """One finding, by index of shot and of mark or sheet.

    ``kind`` is ``mark`` (left out), ``disagree`` (several photos' marks of one point do not fit
    and nothing tells which is wrong: all widened), or ``corner`` (of a card, left out).
    """

    kind: str
    shots: tuple[int, ...]
    thing: int


@dataclass(frozen=True)
class Vetted:
    """The adjustment without what was set aside, and the findings."""

    adjustment: WallAdjustment
    findings: tuple[SetAside, ...]


def vet(adjustment: WallAdjustment, starts_log_f: Sequence[FloatArray]) -> Vetted:
    """Deal with the worst contradiction, adjust again, and so on until nothing is left."""
    findings: list[SetAside] = []
    for _ in range(MOST_ROUNDS):
        step = vet_once(adjustment.network, sighting_tests(adjustment.photo))
        if step is None:
            break
        network, finding = step
        findings.append(finding)
        adjustment = WallAdjustment(network, adjustment.level, starts_log_f)
    return Vetted(adjustment, tuple(findings))


def vet_once(network: Network, tests: SightingTests) -> tuple[Network, SetAside] | None:
    """The network with its worst contradiction dealt with, or None if there is none."""
    worst = int(np.argmax(tests.drop)) if len(tests.drop) else -1
    if worst < 0 or tests.drop[worst] <= WRONG_DROP:
        return None
    seen = network.sightings
    if seen.sheet[worst] >= 0:
        finding = SetAside("corner", (int(seen.shot[worst]),), int(seen.sheet[worst]))
        return _without(network, np.array([worst])), finding
    mark, shot = int(seen.point[worst]), int(seen.shot[worst])
    mates = np.flatnonzero((seen.sheet < 0) & (seen.point == mark))
    near = tests.drop[mates] > tests.drop[worst] - CLEAR_DROP
    doubtful = mates[near]
    if len(doubtful) == 1 and len(mates) > 1:
        return _without(network, doubtful), SetAside("mark", (shot,), mark)
    shots = tuple(sorted(set(seen.shot[doubtful].tolist())))
    widened = _widened(network, doubtful, float(tests.drop[worst]) / 2)
    return widened, SetAside("disagree", shots, mark)


def _without(network: Network, rows: IntArray) -> Network:
    keep = np.ones(len(network.sightings.shot), dtype=bool)
    keep[rows] = False
    fields = Sightings.__dataclass_fields__
    kept = Sightings(*(getattr(network.sightings, name)[keep] for name in fields))
    return replace(network, sightings=kept)


def _widened(network: Network, rows: IntArray, factor: float) -> Network:
    """The same sightings believed so much less that their contradiction is no surprise."""
    covariance: FloatArray = network.sightings.covariance_px2.copy()
    covariance[rows] *= factor
    defined: FloatArray = network.sightings.defined_mm.copy()
    defined[rows] *= np.sqrt(factor)
    sightings = replace(network.sightings, covariance_px2=covariance, defined_mm=defined)
    return replace(network, sightings=sightings)
