"""What the rest contradicts: named, left out or widened, never averaged in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from vision.adjust.network import CurveSightings, Network, Sightings
from vision.adjust.reliability import LineTests, SightingTests, line_tests, sighting_tests
from vision.adjust.solution import WallAdjustment
from vision.units import FloatArray, IntArray

WRONG_DROP: Final = 18.42
"""Chi-square of two degrees of freedom is past this once in 10,000."""
WRONG_LINE: Final = 15.14
"""The same of one degree of freedom."""
CLEAR_DROP: Final = 4.6
"""2 ln 10: one culprit is ten times likelier than the next."""
MOST_ROUNDS: Final = 12
CHI2_MEDIAN: Final = 1.386
"""Of two degrees of freedom."""
UNEVEN: Final = 1.9
"""The median of 24 honest corners is past this multiple of its own once in 1,000."""
FEWEST_CORNERS: Final = 8


@dataclass(frozen=True)
class SetAside:
    """One finding, by index of shot and of mark or sheet.

    ``kind`` is ``mark`` (left out), ``disagree`` (several photos' marks of one point do not fit
    and nothing tells which is wrong: all widened), ``corner`` (of a card, left out), ``uneven`` (a
    card that does not lie as a flat or evenly bowed sheet: all its corners widened). Of a line by
    its index: ``line-point`` (left out), ``direction`` (not level or plumb as stated: left out),
    ``bent`` (less straight than stated: widened). ``edge-point`` is of a sheet's edge and
    ``plumb`` of the plumb marks, by the first of them; both are left out.
    """

    kind: str
    shots: tuple[int, ...]
    thing: int


@dataclass(frozen=True)
class Vetted:
    """The adjustment without what was set aside, and the findings."""

    adjustment: WallAdjustment
    findings: tuple[SetAside, ...]


@dataclass(frozen=True)
class Step:
    """A contradiction dealt with: the network after it, what it was, by how much it was too large.

    ``excess`` is the drop of the weighted sum over the drop that is past once in 10,000.
    """

    network: Network
    finding: SetAside
    excess: float


def vet(adjustment: WallAdjustment) -> Vetted:
    """Deal with the worst contradiction, adjust again, and so on until nothing is left."""
    findings: list[SetAside] = []
    for _ in range(MOST_ROUNDS):
        network = adjustment.network
        step = vet_once(network, sighting_tests(adjustment.photo))
        if network.lines or network.square_corners or len(network.curves.shot):
            step = _worse(network, line_tests(adjustment.photo), step)
        if step is None:
            break
        findings.append(step.finding)
        adjustment = adjustment.revised(step.network, step.finding.shots)
    return Vetted(adjustment, tuple(findings))


def vet_once(network: Network, tests: SightingTests) -> Step | None:
    """The network with its worst contradiction dealt with, or None if there is none.

    A corner is wrong only if it stands out of its own sheet's scatter; a sheet whose corners all
    misfit alike is uneven.
    """
    seen = network.sightings
    scatter = _scatter(seen, tests)
    standing_out = tests.drop / np.maximum(scatter, 1.0)
    worst = int(np.argmax(standing_out)) if len(standing_out) else -1
    if worst >= 0 and standing_out[worst] > WRONG_DROP:
        how = _vet_corner if seen.sheet[worst] >= 0 else _vet_mark
        return Step(*how(network, tests, worst), float(standing_out[worst]) / WRONG_DROP)
    uneven = int(np.argmax(scatter)) if len(scatter) else -1
    if uneven < 0 or scatter[uneven] <= UNEVEN:
        return None
    rows = _same_sheet(seen, uneven)
    finding = SetAside("uneven", (int(seen.shot[uneven]),), int(seen.sheet[uneven]))
    return Step(_widened(network, rows, float(scatter[uneven])), finding, 0.0)


def _worse(network: Network, tests: LineTests, other: Step | None) -> Step | None:
    """What is worst of lines and directions if it is worse than the other contradiction."""
    step = worst_of_lines(network, tests)
    if step is None or (other is not None and other.excess > step.excess):
        return other
    return step


def worst_of_lines(network: Network, tests: LineTests) -> Step | None:
    """The network with the worst contradiction about lines dealt with, or None."""
    found = (tests.directions, tests.points, tests.bows)
    largest = [float(np.max(drops, initial=0.0)) for drops in found]
    kind = int(np.argmax(largest))
    if largest[kind] <= WRONG_LINE:
        return None
    at, excess = int(np.argmax(found[kind])), largest[kind] / WRONG_LINE
    if kind == 0:
        return Step(*_vet_direction(network, at), excess)
    if kind == 1:
        return Step(*_vet_point(network, at), excess)
    lines = list(network.lines)
    widened = lines[at].bow_u_mm * float(np.sqrt(largest[kind]))
    lines[at] = replace(lines[at], bow_u_mm=widened)
    finding = SetAside("bent", _shots_of_line(network, at), at)
    return Step(replace(network, lines=tuple(lines)), finding, excess)


def _vet_direction(network: Network, at: int) -> tuple[Network, SetAside]:
    corners, directions = network.square_corners, network.directions
    if at < len(corners):
        mark = corners[at].plumb[0]
        seen = network.sightings
        shots = tuple(sorted(set(seen.shot[(seen.sheet < 0) & (seen.point == mark)].tolist())))
        kept = corners[:at] + corners[at + 1 :]
        return replace(network, square_corners=kept), SetAside("plumb", shots, mark)
    at -= len(corners)
    line = directions[at].line
    kept_directions = directions[:at] + directions[at + 1 :]
    finding = SetAside("direction", _shots_of_line(network, line), line)
    return replace(network, directions=kept_directions), finding


def _vet_point(network: Network, at: int) -> tuple[Network, SetAside]:
    seen, shots = network.curves, (int(network.curves.shot[at]),)
    line, sheet = int(seen.line[at]), int(seen.sheet[at])
    finding = (
        SetAside("line-point", shots, line) if line >= 0 else SetAside("edge-point", shots, sheet)
    )
    keep = np.arange(len(seen.shot)) != at
    kept = CurveSightings(*(getattr(seen, name)[keep] for name in seen.__dataclass_fields__))
    return replace(network, curves=kept), finding


def _shots_of_line(network: Network, line: int) -> tuple[int, ...]:
    return tuple(sorted(set(network.curves.shot[network.curves.line == line].tolist())))


def _scatter(seen: Sightings, tests: SightingTests) -> FloatArray:
    """(n,) misfit of each sighting's sheet in its photo against what is stated; 0 for marks.

    Paper that bubbles or curls misfits by some tenths of a pixel all over. The median keeps one
    bad corner from making its sheet uneven.
    """
    scatter = np.zeros(len(seen.shot))
    for row in np.flatnonzero(seen.sheet >= 0):
        if scatter[row] == 0.0:
            rows = _same_sheet(seen, int(row))
            scatter[rows] = np.median(tests.drop[rows]) / CHI2_MEDIAN
    return scatter


def _same_sheet(seen: Sightings, row: int) -> IntArray:
    """Rows of the same sheet in the same photo."""
    return np.flatnonzero((seen.shot == seen.shot[row]) & (seen.sheet == seen.sheet[row]))


def _vet_corner(network: Network, tests: SightingTests, worst: int) -> tuple[Network, SetAside]:
    seen = network.sightings
    rows = _same_sheet(seen, worst)
    shots, sheet = (int(seen.shot[worst]),), int(seen.sheet[worst])
    if len(rows) <= FEWEST_CORNERS:
        widened = _widened(network, rows, float(tests.drop[worst]) / 2)
        return widened, SetAside("uneven", shots, sheet)
    return _without(network, np.array([worst])), SetAside("corner", shots, sheet)


def _vet_mark(network: Network, tests: SightingTests, worst: int) -> tuple[Network, SetAside]:
    seen = network.sightings
    mark, shot = int(seen.point[worst]), int(seen.shot[worst])
    mates = np.flatnonzero((seen.sheet < 0) & (seen.point == mark))
    doubtful = mates[tests.drop[mates] > tests.drop[worst] - CLEAR_DROP]
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
