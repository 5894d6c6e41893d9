"""What was taken as known and is not so: lens, print check, how a card hangs, where it hangs.

Each is a hypothesis beside those of single marks and corners: that it is wrong, and nothing else.
It is judged by how far the weighted sum of squares would drop if it were freed, and dealt with by
freeing it, so that what it was said to be no longer counts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from math import hypot, log
from typing import Final

import numpy as np
from scipy.stats import chi2

from vision.adjust.network import Lens, Network, ScaleGroup, Sightings
from vision.adjust.reliability import freed_drop
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
    network = solution.network
    found = [_of_lens(solution, lens) for lens in range(len(network.lenses))]
    found += [_of_exposure(solution, shot) for shot in range(len(network.shots))]
    found += [_of_print(solution, group) for group in range(len(network.scale_groups))]
    for sheet in range(len(network.sheets)):
        shots = shots_of_sheet(network, sheet)
        found += _of_hanging(solution, sheet, shots)
        if len(shots) == 2:
            found.append(_of_place(solution, sheet, shots))
        elif len(shots) > 2:
            found += [_of_place(solution, sheet, (shot,)) for shot in shots]
    return found


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
        groups[doubt.thing] = replace(groups[doubt.thing], mean=(1.0, 1.0), u=(u, u))
        return replace(network, scale_groups=tuple(groups))
    if doubt.kind == "moved":
        return _parted(network, doubt.thing, doubt.shots[0])
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


def _of_lens(solution: WallSolution, lens: int) -> Doubt:
    shots = tuple(i for i, shot in enumerate(solution.network.shots) if shot.lens == lens)
    rows = solution.problem.lens_rows(lens)
    return Doubt("lens", lens, shots, freed_drop(solution, rows, np.eye(LENS)), LENS)


def _of_exposure(solution: WallSolution, shot: int) -> Doubt:
    first = solution.layout.exposure + EXPOSURE * shot
    return Doubt("exposure", shot, (shot,), _of_unknowns(solution, first, EXPOSURE), EXPOSURE)


def _of_print(solution: WallSolution, group: int) -> Doubt:
    network = solution.network
    sheets = [i for i, sheet in enumerate(network.sheets) if sheet.scale_group == group]
    shots = tuple(sorted({shot for sheet in sheets for shot in shots_of_sheet(network, sheet)}))
    first = solution.layout.scale + SCALE * group
    return Doubt("print", group, shots, _of_unknowns(solution, first, SCALE), SCALE)


def _of_hanging(solution: WallSolution, sheet: int, shots: tuple[int, ...]) -> list[Doubt]:
    first = solution.layout.sheet + SHEET * sheet
    return [
        Doubt("off-wall", sheet, shots, _of_unknowns(solution, first + 3, 1), 1),
        Doubt("tilted", sheet, shots, _of_unknowns(solution, first + 4, 2), 2),
    ]


def _of_place(solution: WallSolution, sheet: int, shots: tuple[int, ...]) -> Doubt:
    """That a sheet hangs elsewhere, or turned, in the first of these photos."""
    seen = solution.network.sightings
    at = np.flatnonzero((seen.shot == shots[0]) & (seen.sheet == sheet))
    if len(at) < FEWEST_CORNERS:
        return Doubt("moved", sheet, shots, 0.0, 3)
    rows = np.column_stack([2 * at, 2 * at + 1]).ravel()
    first = solution.layout.sheet + SHEET * sheet
    errors = solution.minimum.jacobian[rows, first : first + 3]
    return Doubt("moved", sheet, shots, freed_drop(solution, rows, errors), 3)


def _of_unknowns(solution: WallSolution, first: int, count: int) -> float:
    rows = [solution.problem.prior_row(unknown) for unknown in range(first, first + count)]
    return freed_drop(solution, np.array(rows), np.eye(count))


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


def _parted(network: Network, sheet: int, shot: int) -> Network:
    """The sheet of one photo as a sheet of its own, alike in all but its place."""
    seen = network.sightings
    rows: IntArray = np.flatnonzero((seen.shot == shot) & (seen.sheet == sheet))
    of_sheet = seen.sheet.copy()
    of_sheet[rows] = len(network.sheets)
    kept = {name: getattr(seen, name) for name in Sightings.__dataclass_fields__}
    sightings = Sightings(**{**kept, "sheet": of_sheet})
    return replace(network, sheets=(*network.sheets, network.sheets[sheet]), sightings=sightings)
