"""Errors and stated intervals over thousands of simulated walls, by both simulators.

Run by ``python3 -m service.bootstrap bench walls``; prints a table, asserts nothing. The first
simulator draws every nuisance from the prior that the adjustment has for it; the second has
bows, curls, lens terms and taps that the adjustment does not model. Where nuisances are drawn from
their priors, errors and intervals are held against the Cramér-Rao bound as well, which is worked
out without the package (``tests/support/cramer_rao.py``).

Two scenes. *Advised* is what the README tells a person to do: cards in two opposite corners, one
photo of the whole wall from each side. In *cards low* both cards hang low, so that the top is
measured by extrapolation.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from tests.support.cramer_rao import least_u_mm
from tests.support.harsher_wall import Harshness, simulate_harsher
from tests.support.simulated_wall import (
    ADVISED,
    Nuisances,
    Plan,
    SimulatedWall,
    simulate,
    with_sizes,
)
from vision.measure_wall import SizeRequest, TapedSize, measure_wall
from vision.units import FloatArray

WALLS = 2000
HALF_WIDTH_MM = 0.25
SIZES = ("width low", "width top", "height left", "diagonal", "valve down")
TAPED = ("width top", "height left")
MORE = (
    SizeRequest("height right", "distance", "right-low", "right-top"),
    SizeRequest("diagonal down", "distance", "left-top", "right-low"),
)
OTHERS = ("width low", "height right", "diagonal", "diagonal down")
THIRD = ((620.0, 300.0, 1400.0), (620.0, 330.0))
FLAT = replace(Nuisances(), flatness_mm=0.5)
SCENES = {"advised": ADVISED, "cards low": Plan()}
HEADS = (
    ("median", 7),
    ("95th", 6),
    ("rms", 6),
    ("u", 6),
    ("rms z", 6),
    ("held", 6),
    ("NEES/dof", 9),
    ("rms/CRB", 8),
    ("width/CRB", 10),
)
Draw = Callable[[np.random.Generator], SimulatedWall]


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    what: str
    errors_mm: FloatArray
    u_mm: FloatArray
    nees: FloatArray
    bound_mm: FloatArray | None = None


def main(walls: int = WALLS) -> None:
    """Print the table of all draws."""
    print(
        f"{walls} walls each: two letter cards, two 12 MP photos, header only, taps 1 px an axis,"
    )
    print("ruler check +-0.25 mm on both bars of each card; sizes of 1 m to 2 m, photo alone")
    heads = " ".join(f"{head:>{width}}" for head, width in HEADS)
    print(f"{'draw':47} {heads}")
    for scene, plan in SCENES.items():
        bound = least_u_mm(plan, SIZES, HALF_WIDTH_MM)
        for number, (what, draw) in enumerate(_draws(plan)):
            row = _photo_row(f"{scene}: {what}", draw, number, walls)
            print(_line(replace(row, bound_mm=None if number else bound[:-1])), flush=True)
        taped = _taped_row(f"{scene}: priors, one width and one height taped", plan, None, walls)
        bound = least_u_mm(plan, OTHERS, HALF_WIDTH_MM, TAPED, MORE)
        print(_line(replace(taped, bound_mm=bound)), flush=True)
        print(_line(_taped_row(f"{scene}: flat, the same taped", plan, FLAT, walls)), flush=True)
    _print_what_else(walls // 4)


def _print_what_else(walls: int) -> None:
    """What limits the advised scene: the taps' meaning, the taps at all, a third photo."""
    print(f"{walls} walls each:")
    third = replace(ADVISED, cameras=(*ADVISED.cameras, THIRD))
    for what, plan, nuisances in (
        ("advised: flat, taps 1 px as a radius", ADVISED, replace(FLAT, tap_px=1 / sqrt(2))),
        ("advised: flat, taps exact", ADVISED, replace(FLAT, tap_px=0.01)),
        ("advised and a third photo: flat", third, FLAT),
    ):
        print(_line(_photo_row(what, _drawn(plan, nuisances), 1, walls)), flush=True)
    what = "advised and a third photo: flat, the same taped"
    print(_line(_taped_row(what, third, FLAT, walls)), flush=True)


def _draws(plan: Plan) -> list[tuple[str, Draw]]:
    flat = Harshness(bow_mm=(0.0, 0.5))
    return [
        ("nuisances from their priors", _drawn(plan, None)),
        ("flat to 0.5 mm", _drawn(plan, FLAT)),
        ("second simulator, bow 2-6 mm", lambda rng: simulate_harsher(rng, None, plan)),
        ("second simulator, flat", lambda rng: simulate_harsher(rng, flat, plan)),
    ]


def _drawn(plan: Plan, nuisances: Nuisances | None) -> Draw:
    return lambda rng: simulate(rng, plan, nuisances, HALF_WIDTH_MM)


def _photo_row(what: str, draw: Draw, number: int, walls: int) -> Row:
    errors, spreads, nees = [], [], []
    for seed in range(walls):
        wall = draw(np.random.default_rng([number, seed]))
        found = measure_wall(wall.request, wall.sights).estimates()
        index = [found.names.index(name) for name in SIZES]
        error = found.mm[index] - np.array([wall.truth_mm[name] for name in SIZES])
        covariance = found.covariance_mm2[np.ix_(index, index)]
        errors.append(error)
        spreads.append(np.sqrt(np.diag(covariance)))
        nees.append(float(error @ np.linalg.solve(covariance, error)) / len(SIZES))
    long = np.array([name != "valve down" for name in SIZES])
    return Row(what, np.array(errors)[:, long], np.array(spreads)[:, long], np.array(nees))


def _taped_row(what: str, plan: Plan, nuisances: Nuisances | None, walls: int) -> Row:
    """Every size but the taped ones, each tape in error by what it states."""
    errors, spreads = [], []
    for seed in range(walls):
        rng = np.random.default_rng([9, seed])
        wall = with_sizes(simulate(rng, plan, nuisances, HALF_WIDTH_MM), MORE)
        tapes = [
            TapedSize(name, wall.truth_mm[name] + 0.7 * rng.standard_normal(), 0.7)
            for name in TAPED
        ]
        measurement = measure_wall(wall.request, wall.sights)
        solution = measurement.solve(tapes)
        sizes = {size.name: size for size in measurement.sizes}
        wanted = [sizes[name] for name in OTHERS]
        values, slopes = solution.problem.size_values(wanted, solution.state)
        errors.append([v - wall.truth_mm[n] for n, v in zip(OTHERS, values, strict=True)])
        spreads.append([float(np.sqrt(g @ solution.covariance @ g)) for g in slopes])
    return Row(what, np.array(errors), np.array(spreads), np.array([np.nan]))


def _line(row: Row) -> str:
    size = np.abs(row.errors_mm)
    held = np.mean(size < 1.959964 * row.u_mm)
    efficiency = "       -          -"
    if row.bound_mm is not None:
        rms = np.sqrt(np.mean((row.errors_mm / row.bound_mm) ** 2))
        efficiency = f"{rms:8.3f} {np.median(row.u_mm / row.bound_mm):10.3f}"
    return (
        f"{row.what:47} {np.median(size):7.2f} {np.percentile(size, 95):6.2f} "
        f"{np.sqrt(np.mean(size**2)):6.2f} {np.median(row.u_mm):6.2f} "
        f"{np.sqrt(np.mean((row.errors_mm / row.u_mm) ** 2)):6.3f} {held:6.1%} "
        f"{np.mean(row.nees):9.3f} {efficiency}"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else WALLS)
