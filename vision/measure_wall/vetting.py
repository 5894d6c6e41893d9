"""What the rest contradicts: named, left out or widened, never averaged in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import log1p
from typing import Final

import numpy as np
from scipy.stats import beta

from vision.adjust.network import CurveSightings, Lens, Network, Sightings
from vision.adjust.reliability import LineTests, SightingTests, line_tests, sighting_tests
from vision.adjust.solution import WallAdjustment
from vision.adjust.solver import NotObservable
from vision.adjust.start import mark_places
from vision.measure_wall.apart import as_good_as_unseen, widened_to_gap
from vision.measure_wall.doubts import Doubt, doubts, freed, freed_starts, limit
from vision.units import FloatArray, IntArray

WRONG_DROP: Final = 18.42
"""Chi-square of two degrees of freedom is past this once in 10,000."""
WRONG_LINE: Final = 15.14
"""The same of one degree of freedom."""
CLEAR_DROP: Final = 4.6
"""2 ln 10: one culprit is ten times likelier than the next."""
MOST_ROUNDS: Final = 40
FAR_MORE: Final = 2.0
"""A sighting that explains this many times as much as any hypothesis needs no trial."""
MOST_TRIALS: Final = 8
"""Hypotheses that are solved; those further down explain less."""
CHI2_MEDIAN: Final = 1.386
"""Of two degrees of freedom."""
UNEVEN_ALARM: Final = 1e-3
"""How often the median of a card's honest corners may be called uneven."""
FEWEST_CORNERS: Final = 8


@dataclass(frozen=True)
class SetAside:
    """One finding, by index of shot and of mark or sheet.

    ``kind`` is ``mark`` (left out), ``disagree`` (several photos' marks of one point do not fit
    and nothing tells which is wrong: all widened), ``corner`` (of a card, left out), ``uneven`` (a
    card that does not lie as a flat or evenly bowed sheet: all its corners widened). Of a line by
    its index: ``line-point`` (left out), ``direction`` (not level or plumb as stated: left out),
    ``bent`` (less straight than stated: widened). ``edge-point`` is of a sheet's edge and
    ``plumb`` of the plumb marks, by the first of them; both are left out. Of what was taken as
    known: ``lens`` by its index, ``exposure`` by that of its shot, ``print`` by that of its scale,
    ``off-wall``, ``tilted``, ``moved`` and ``other-print`` by that of the sheet. ``exchanged``
    are two marks under one another's names.
    """

    kind: str
    shots: tuple[int, ...]
    thing: int
    other: int | None = None

    @property
    def marks(self) -> tuple[int, ...]:
        """The things that it is about."""
        return (self.thing,) if self.other is None else (self.thing, self.other)


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


def vet(adjustment: WallAdjustment, spare_lenses: Sequence[Lens | None] = ()) -> Vetted:
    """Deal with the worst contradiction, adjust again, and so on until nothing is left.

    ``spare_lenses`` holds for each lens with a profile what is known of it without.

    Raises
    ------
    NotObservable
        If what is left when all contradictions are dealt with does not determine the wall.
    """
    findings: list[SetAside] = []
    adjustment = adjustment.followed()
    for _ in range(MOST_ROUNDS):
        network = adjustment.network
        step = vet_once(network, sighting_tests(adjustment.photo))
        if network.lines or network.square_corners or len(network.curves.shot):
            step = _worse(network, line_tests(adjustment.photo), step)
        freed_of = _less_known(adjustment, step, spare_lenses)
        if freed_of is not None:
            adjustment, doubted = freed_of
            findings += [SetAside(d.kind, d.shots, d.thing) for d in doubted]
            continue
        if step is None:
            break
        findings.append(step.finding)
        if step.finding.kind == "disagree":
            adjustment = _put_apart(adjustment, step.finding)
        else:
            adjustment = adjustment.revised(step.network, step.finding.shots)
    return Vetted(adjustment, tuple(findings))


def _put_apart(adjustment: WallAdjustment, finding: SetAside) -> WallAdjustment:
    """A mark as uncertain as its photos put it apart, found where it strains nothing."""
    network, seen = adjustment.network, adjustment.network.sightings
    of_mark = (seen.sheet < 0) & (seen.point == finding.thing)
    rows = np.flatnonzero(of_mark & np.isin(seen.shot, finding.shots))
    calm = adjustment.revised(as_good_as_unseen(network, rows), finding.shots)
    start = replace(calm.start, state=calm.photo.state)
    wide = widened_to_gap(network, rows, start, mark_places(network, start))
    return calm.revised(wide, ())


@dataclass(frozen=True)
class _Trial:
    """The wall with a hypothesis freed; ``price`` adds to its cost what a free hypothesis may."""

    doubt: Doubt
    adjustment: WallAdjustment
    price: float


def _less_known(
    adjustment: WallAdjustment, step: Step | None, spare_lenses: Sequence[Lens | None]
) -> tuple[WallAdjustment, list[Doubt]] | None:
    """The wall without what was taken as known and explains more than any single sighting.

    What a hypothesis explains is found by solving the wall with it, since what is far off is
    beyond what derivatives tell. Several that explain alike are all freed.
    """
    found = doubts(adjustment.photo)
    past = sorted((d for d in found if d.excess > 1), key=lambda d: d.excess, reverse=True)
    by_sighting = 0.0 if step is None else (step.excess - 1) * WRONG_DROP
    if not past or by_sighting > FAR_MORE * max(doubt.drop for doubt in past):
        return None
    trials = _trials(adjustment, past[:MOST_TRIALS], spare_lenses)
    if not any(_fits(trial.adjustment, adjustment) for trial in trials):
        lenses = [d for d in found if d.kind == "lens" and d not in past[:MOST_TRIALS]]
        trials += _trials(adjustment, lenses, spare_lenses)
    if not trials:
        return None
    best = min(trials, key=lambda trial: trial.price)
    if best.price > min(_cost(adjustment), _price(adjustment, step)):
        return None
    alike = [t.doubt for t in trials if t.price < best.price + CLEAR_DROP]
    alike = [best.doubt, *(d for d in alike if _is_apart(d, best.doubt))]
    together = _freed(adjustment, alike, spare_lenses) if len(alike) > 1 else None
    return (best.adjustment, [best.doubt]) if together is None else (together, alike)


def _trials(
    adjustment: WallAdjustment, doubted: Sequence[Doubt], spare_lenses: Sequence[Lens | None]
) -> list[_Trial]:
    pairs = [(doubt, _freed(adjustment, [doubt], spare_lenses)) for doubt in doubted]
    return [
        _Trial(doubt, freer, _cost(freer) + limit(doubt.freedoms))
        for doubt, freer in pairs
        if freer is not None
    ]


def _fits(freer: WallAdjustment, before: WallAdjustment) -> bool:
    """Whether a hypothesis explains nine tenths of what is too much."""
    freedoms = freer.photo.degrees_of_freedom
    return _cost(freer) <= freedoms + 0.1 * max(_cost(before) - freedoms, 0.0)


def _cost(adjustment: WallAdjustment) -> float:
    return adjustment.photo.minimum.cost


def _price(adjustment: WallAdjustment, step: Step | None) -> float:
    """Of the wall without its worst sighting."""
    if step is None or step.excess <= 1:
        return np.inf
    try:
        return _cost(adjustment.revised(step.network, step.finding.shots)) + WRONG_DROP
    except NotObservable:
        return np.inf


def _is_apart(doubt: Doubt, best: Doubt) -> bool:
    """Whether both may be freed: a sheet that is elsewhere in one photo of two is so in both."""
    if doubt is best or "moved" in (doubt.kind, best.kind):
        return False
    return {doubt.kind, best.kind} != {"lens", "exposure"}


def _freed(
    adjustment: WallAdjustment, doubted: Sequence[Doubt], spare_lenses: Sequence[Lens | None]
) -> WallAdjustment | None:
    """The wall without what is doubted, the better of adjusted anew and from where it stood; None
    if that leaves it undetermined."""
    network = adjustment.network
    for doubt in doubted:
        is_profile = doubt.kind == "lens" and network.lenses[doubt.thing].source == "profile"
        spare = spare_lenses[doubt.thing] if is_profile and spare_lenses else None
        network = freed(network, doubt, spare)
    found = [_anew(network, adjustment.level)]
    if _unknowns(network) == _unknowns(adjustment.network):
        found.append(_from_here(adjustment, network))
    return min((freer for freer in found if freer is not None), key=_cost, default=None)


def _unknowns(network: Network) -> tuple[int, int]:
    """Of what a hypothesis may add to: sheets and print scales."""
    return len(network.sheets), len(network.scale_groups)


def _anew(network: Network, level: tuple[int, int] | None) -> WallAdjustment | None:
    try:
        freer = WallAdjustment(network, level, freed_starts(network))
    except NotObservable:
        return None
    return None if freer.start.unplaced_shots or freer.start.clashing_sheets else freer


def _from_here(adjustment: WallAdjustment, network: Network) -> WallAdjustment | None:
    try:
        return adjustment.revised(network, ())
    except NotObservable:
        return None


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
    if uneven < 0 or scatter[uneven] <= _uneven_limit(len(_same_sheet(seen, uneven))):
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


def without_sightings(network: Network, rows: IntArray) -> Network:
    """The network without some rows of its sightings."""
    keep = np.ones(len(network.sightings.shot), dtype=bool)
    keep[rows] = False
    fields = Sightings.__dataclass_fields__
    kept = Sightings(*(getattr(network.sightings, name)[keep] for name in fields))
    return replace(network, sightings=kept)


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


@cache
def _uneven_limit(corners: int) -> float:
    """The median misfit that this many honest corners are past once in 1,000, over its usual one.

    A middle order statistic of uniform numbers follows a beta law.
    """
    share = float(beta.isf(UNEVEN_ALARM, (corners + 1) / 2, (corners + 1) / 2))
    return -2 * log1p(-share) / CHI2_MEDIAN


def _scatter(seen: Sightings, tests: SightingTests) -> FloatArray:
    """(n,) misfit of each sighting's sheet in its photo against what is stated; 0 for marks.

    Paper that bubbles or curls misfits by some tenths of a pixel all over. The median keeps one
    bad corner from making its sheet uneven.
    """
    scatter = np.zeros(len(seen.shot))
    waiting = seen.sheet >= 0
    while waiting.any():
        rows = _same_sheet(seen, int(np.argmax(waiting)))
        scatter[rows] = np.median(tests.drop[rows]) / CHI2_MEDIAN
        waiting[rows] = False
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
    return without_sightings(network, np.array([worst])), SetAside("corner", shots, sheet)


def _vet_mark(network: Network, tests: SightingTests, worst: int) -> tuple[Network, SetAside]:
    seen = network.sightings
    mark, shot = int(seen.point[worst]), int(seen.shot[worst])
    mates = np.flatnonzero((seen.sheet < 0) & (seen.point == mark))
    doubtful = mates[tests.drop[mates] > tests.drop[worst] - CLEAR_DROP]
    if len(mates) == 2:
        # either alone fits anything; drops differ only by how far the strained wall was linearised
        doubtful = mates
    if len(doubtful) == 1 and len(mates) > 1:
        return without_sightings(network, doubtful), SetAside("mark", (shot,), mark)
    shots = tuple(sorted(set(seen.shot[doubtful].tolist())))
    widened = _widened(network, doubtful, float(tests.drop[worst]) / 2)
    return widened, SetAside("disagree", shots, mark)


def _widened(network: Network, rows: IntArray, factor: float) -> Network:
    """The same sightings believed so much less that their contradiction is no surprise."""
    covariance: FloatArray = network.sightings.covariance_px2.copy()
    covariance[rows] *= factor
    defined: FloatArray = network.sightings.defined_mm.copy()
    defined[rows] *= np.sqrt(factor)
    sightings = replace(network.sightings, covariance_px2=covariance, defined_mm=defined)
    return replace(network, sightings=sightings)
