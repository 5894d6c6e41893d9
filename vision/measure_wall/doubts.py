"""What was taken as known and is not so: lens, print check, how a card hangs, where it hangs.

Each is a hypothesis beside those of single marks and corners: that it is wrong, and nothing else.
It is judged by how far the weighted sum of squares would drop if it were freed, and dealt with by
freeing it, so that what it was said to be no longer counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import hypot, log
from typing import Final

import numpy as np
from scipy.stats import chi2

from vision.adjust.network import Lens, Network, ScaleGroup
from vision.adjust.reliability import freed_drops, freed_prior_drops
from vision.adjust.solution import WallSolution
from vision.adjust.state import EXPOSURE, LENS, SCALE, SHEET
from vision.measure_wall.request import UNCHECKED_PRINT_U
from vision.units import FloatArray, IntArray, read_only

FALSE_ALARM: Final = 1e-4
FREED_LENS_U: Final = (0.4, 0.05, 0.05, 0.1, 0.1)
"""Of log f, of the middle as a share of the long side, of k1 and k2: what is left to say of a
lens whose header is wrong. A forgotten doubling of the focal length is 1.7 of these."""
FREED_STARTS: Final = (1.0, 0.5, 0.71, 1.41, 2.0, 2.8)
FREED_HEIGHT_MM: Final = 150.0
FREED_TILT_RAD: Final = 0.1
FREED_PRINT_U: Final = 0.05
"""A page fitted to paper of another size is 3 to 6 % small."""
FREED_SIZE_U: Final = 1.0
"""Of a rectangle that is not what it was said to be."""
FREED_FOCUS_U: Final = 0.3
FEWEST_CORNERS: Final = 8


@dataclass(frozen=True)
class Doubt:
    """A hypothesis: what is wrong, the photos it is about, the drop and its degrees of freedom."""

    kind: str
    thing: int
    shots: tuple[int, ...]
    drop: float
    freedoms: int

    @property
    def excess(self) -> float:
        """The drop over the drop that is past once in 10,000."""
        return self.drop / limit(self.freedoms)


@cache
def limit(freedoms: int) -> float:
    """The drop that is past once in 10,000."""
    return float(chi2.isf(FALSE_ALARM, freedoms))


def doubts(solution: WallSolution) -> list[Doubt]:
    """Every hypothesis on what was taken as known, with its drop."""
    shown = [shots_of_sheet(solution.network, s) for s in range(len(solution.network.sheets))]
    return [
        *_of_lenses(solution),
        *_of_exposures(solution),
        *_of_prints(solution, shown),
        *_of_other_prints(solution, shown),
        *_of_hanging(solution, shown),
        *_of_places(solution, shown),
    ]


def freed(network: Network, doubt: Doubt, spare_lens: Lens | None) -> Network:
    """The network without what is doubted; ``spare_lens`` is what is known without a profile."""
    if doubt.kind == "lens":
        lenses = list(network.lenses)
        lenses[doubt.thing] = spare_lens or _freed_lens(network, doubt.thing)
        return replace(network, lenses=tuple(lenses))
    if doubt.kind == "exposure":
        shots = list(network.shots)
        shot = shots[doubt.thing]
        centre = FREED_LENS_U[1] * max(shot.width_px, shot.height_px)
        shots[doubt.thing] = replace(shot, focus_u=FREED_FOCUS_U, stabiliser_u_px=centre)
        return replace(network, shots=tuple(shots))
    if doubt.kind == "print":
        groups = list(network.scale_groups)
        u = _freed_scale_u(groups[doubt.thing])
        groups[doubt.thing] = replace(groups[doubt.thing], mean=(1.0, 1.0), u=(u, u), common_u=0.0)
        return replace(network, scale_groups=tuple(groups))
    if doubt.kind == "moved":
        return _parted(network, doubt.thing, doubt.shots[0])
    if doubt.kind == "other-print":
        return _of_its_own_print(network, doubt.thing)
    sheets = list(network.sheets)
    sheet = sheets[doubt.thing]
    if doubt.kind == "off-wall":
        sheet = replace(sheet, standoff_u_mm=hypot(sheet.standoff_u_mm, FREED_HEIGHT_MM))
    else:
        sheet = replace(sheet, tilt_u_rad=hypot(sheet.tilt_u_rad, FREED_TILT_RAD))
    sheets[doubt.thing] = sheet
    return replace(network, sheets=tuple(sheets))


def freed_starts(network: Network) -> list[FloatArray]:
    """Focal lengths to start from, those of freed lenses moved together."""
    means = np.array([lens.mean[0] for lens in network.lenses])
    wide = np.array([lens.covariance[0, 0] >= FREED_LENS_U[0] ** 2 for lens in network.lenses])
    tries = FREED_STARTS if np.any(wide) else FREED_STARTS[:1]
    return [means + np.where(wide, log(times), 0.0) for times in tries]


def shots_of_sheet(network: Network, sheet: int) -> tuple[int, ...]:
    """Photos that show a sheet."""
    seen, edges = network.sightings, network.curves
    shown = {*seen.shot[seen.sheet == sheet].tolist(), *edges.shot[edges.sheet == sheet].tolist()}
    return tuple(sorted(shown))


def _of_lenses(solution: WallSolution) -> Iterator[Doubt]:
    count, first = len(solution.network.lenses), solution.layout.lens
    rows = [solution.problem.lens_rows(lens) for lens in range(count)]
    drops = freed_prior_drops(solution, np.array(rows), first + LENS * np.arange(count))
    for lens, drop in enumerate(drops.tolist()):
        shots = tuple(i for i, shot in enumerate(solution.network.shots) if shot.lens == lens)
        yield Doubt("lens", lens, shots, drop, LENS)


def _of_exposures(solution: WallSolution) -> Iterator[Doubt]:
    first = solution.layout.exposure + EXPOSURE * np.arange(len(solution.network.shots))
    for shot, drop in enumerate(_of_unknowns(solution, first, EXPOSURE)):
        yield Doubt("exposure", shot, (shot,), drop, EXPOSURE)


def _of_prints(solution: WallSolution, shown: Sequence[tuple[int, ...]]) -> Iterator[Doubt]:
    network, count = solution.network, len(solution.network.scale_groups)
    columns = solution.layout.scale + np.arange(SCALE * count)
    # a scale whose error is partly others' too stands in their rows as well
    rows = np.array([solution.problem.prior_row(int(column)) for column in columns])
    priors = solution.minimum.jacobian[np.ix_(rows, columns)].reshape(-1, count, SCALE)
    drops = freed_drops(solution, np.tile(rows, (count, 1)), np.swapaxes(priors, 0, 1))
    for group, drop in enumerate(drops.tolist()):
        sheets = [i for i, sheet in enumerate(network.sheets) if sheet.scale_group == group]
        shots = tuple(sorted({shot for sheet in sheets for shot in shown[sheet]}))
        yield Doubt("print", group, shots, drop, SCALE)


def _of_other_prints(solution: WallSolution, shown: Sequence[tuple[int, ...]]) -> Iterator[Doubt]:
    """That a card is not of the print that it is said to share with another."""
    network, seen = solution.network, solution.network.sightings
    names: dict[int, set[str]] = {}
    for sheet in network.sheets:
        names.setdefault(sheet.scale_group, set()).add(sheet.name)
    for index, sheet in enumerate(network.sheets):
        group = sheet.scale_group
        at = np.flatnonzero(seen.sheet == index)
        if network.scale_groups[group].is_size or len(names[group]) < 2 or not len(at):
            continue
        rows = np.column_stack([2 * at, 2 * at + 1]).ravel()
        columns = solution.layout.scale + SCALE * group + np.arange(SCALE)
        errors = solution.minimum.jacobian[np.ix_(rows, columns)]
        (drop,) = freed_drops(solution, rows[None], errors[None]).tolist()
        yield Doubt("other-print", index, shown[index], drop, SCALE)


def _of_hanging(solution: WallSolution, shown: Sequence[tuple[int, ...]]) -> Iterator[Doubt]:
    first = solution.layout.sheet + SHEET * np.arange(len(shown))
    heights = _of_unknowns(solution, first + 3, 1)
    tilts = _of_unknowns(solution, first + 4, 2)
    for sheet, (height, tilt) in enumerate(zip(heights, tilts, strict=True)):
        yield Doubt("off-wall", sheet, shown[sheet], height, 1)
        yield Doubt("tilted", sheet, shown[sheet], tilt, 2)


def _of_places(solution: WallSolution, shown: Sequence[tuple[int, ...]]) -> Iterator[Doubt]:
    """That a sheet hangs elsewhere, or turned, in one photo.

    Of a sheet in two photos nothing tells in which.
    """
    seen = solution.network.sightings
    by_count: dict[int, list[tuple[int, tuple[int, ...], IntArray]]] = {}
    for sheet, shots in enumerate(shown):
        for part in [shots] if len(shots) == 2 else _each_of_three(shots):
            at = np.flatnonzero((seen.shot == part[0]) & (seen.sheet == sheet))
            if len(at) >= FEWEST_CORNERS:
                by_count.setdefault(len(at), []).append((sheet, part, at))
    for alike in by_count.values():
        rows = np.array([np.column_stack([2 * at, 2 * at + 1]).ravel() for _, _, at in alike])
        first = np.array([solution.layout.sheet + SHEET * sheet for sheet, _, _ in alike])
        columns = first[:, None, None] + np.arange(3)
        errors = solution.minimum.jacobian[rows[:, :, None], columns]
        drops = freed_drops(solution, rows, errors).tolist()
        for (sheet, part, _), drop in zip(alike, drops, strict=True):
            yield Doubt("moved", sheet, part, drop, 3)


def _each_of_three(shots: tuple[int, ...]) -> list[tuple[int, ...]]:
    return [(shot,) for shot in shots] if len(shots) > 2 else []


def _of_unknowns(solution: WallSolution, first: IntArray, count: int) -> list[float]:
    """Drops of ``count`` unknowns from each of ``first`` (n,) on."""
    rows = np.array([solution.problem.prior_row(int(unknown)) for unknown in first])
    found: list[float] = freed_prior_drops(
        solution, rows.reshape(-1, 1) + np.arange(count), first
    ).tolist()
    return found


def _freed_lens(network: Network, lens: int) -> Lens:
    known = network.lenses[lens]
    sides = [max(s.width_px, s.height_px) for s in network.shots if s.lens == lens]
    scale = np.array([1.0, max(sides), max(sides), 1.0, 1.0])
    spread = np.array(FREED_LENS_U) * scale
    mean = np.array([known.mean[0], 0.0, 0.0, 0.0, 0.0])
    covariance = np.diag(spread**2)
    return Lens(known.name, f"{known.source} set aside", read_only(mean), read_only(covariance))


def _freed_scale_u(group: ScaleGroup) -> float:
    if group.is_size:
        return FREED_SIZE_U
    return UNCHECKED_PRINT_U if max(group.u) < 0.9 * UNCHECKED_PRINT_U else FREED_PRINT_U


def _of_its_own_print(network: Network, sheet: int) -> Network:
    """The card, wherever it hangs, with a print scale of which nothing is known."""
    name = network.sheets[sheet].name
    unknown = ScaleGroup(name, (1.0, 1.0), (FREED_PRINT_U, FREED_PRINT_U))
    own = len(network.scale_groups)
    sheets = tuple(
        replace(each, scale_group=own) if each.name == name else each for each in network.sheets
    )
    return replace(network, sheets=sheets, scale_groups=(*network.scale_groups, unknown))


def _parted(network: Network, sheet: int, shot: int) -> Network:
    """The sheet of one photo as a sheet of its own, alike in all but its place."""
    seen = network.sightings
    rows: IntArray = np.flatnonzero((seen.shot == shot) & (seen.sheet == sheet))
    of_sheet = seen.sheet.copy()
    of_sheet[rows] = len(network.sheets)
    sheets = (*network.sheets, network.sheets[sheet])
    return replace(network, sheets=sheets, sightings=replace(seen, sheet=of_sheet))
