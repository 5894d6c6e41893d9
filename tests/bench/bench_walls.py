"""Errors and stated intervals over thousands of simulated walls, by both simulators.

Run by ``python3 -m service.bootstrap bench walls``; prints a table, asserts nothing. The first
simulator draws every nuisance from the prior that the adjustment has for it; the second has
bows, curls, lens terms and taps that the adjustment does not model.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from tests.support.harsher_wall import Harshness, simulate_harsher
from tests.support.simulated_wall import Nuisances, SimulatedWall, simulate
from vision.measure_wall import TapedSize, measure_wall
from vision.units import FloatArray

WALLS = 2000
SIZES = ("width low", "width top", "height left", "diagonal", "valve down")
TAPED = ("width top", "height left")
HEADS = (
    ("median", 7),
    ("95th", 6),
    ("rms", 6),
    ("u", 6),
    ("rms z", 6),
    ("held", 6),
    ("NEES/dof", 9),
)


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    what: str
    errors_mm: FloatArray
    u_mm: FloatArray
    nees: FloatArray


def main(walls: int = WALLS) -> None:
    """Print the table of all draws."""
    print(f"{walls} walls each: two letter cards, two 12 MP photos, header only, taps 1 px,")
    print("ruler check +-0.25 mm on both bars of each card; sizes of 1 m to 2 m, photo alone")
    heads = " ".join(f"{head:>{width}}" for head, width in HEADS)
    print(f"{'draw':44} {heads}")
    flat = replace(Nuisances(), flatness_mm=0.5)
    draws: list[tuple[str, Callable[[np.random.Generator], SimulatedWall]]] = [
        ("nuisances from their priors", lambda rng: simulate(rng, print_check_half_width_mm=0.25)),
        ("the same, walls flat to 0.5 mm", lambda rng: simulate(rng, None, flat, 0.25)),
        ("second simulator, bow 2-6 mm", simulate_harsher),
        (
            "second simulator, flat",
            lambda rng: simulate_harsher(rng, Harshness(bow_mm=(0.0, 0.5))),
        ),
    ]
    for number, (what, draw) in enumerate(draws):
        print(_line(_photo_row(what, draw, number, walls)), flush=True)
    print(_line(_taped_row("walls flat, one width and one height taped", flat, walls)))


def _photo_row(
    what: str, draw: Callable[[np.random.Generator], SimulatedWall], number: int, walls: int
) -> Row:
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


def _taped_row(what: str, nuisances: Nuisances, walls: int) -> Row:
    """Every size but the taped ones, each tape in error by what it states."""
    errors, spreads = [], []
    for seed in range(walls):
        rng = np.random.default_rng([9, seed])
        wall = simulate(rng, None, nuisances, 0.25)
        tapes = [
            TapedSize(name, wall.truth_mm[name] + 0.7 * rng.standard_normal(), 0.7)
            for name in TAPED
        ]
        measurement = measure_wall(wall.request, wall.sights)
        solution = measurement.solve(tapes)
        for size in measurement.sizes:
            if size.name in ("width low", "diagonal"):
                value, gradient = solution.problem.size_gradient(size, solution.state)
                errors.append(value - wall.truth_mm[size.name])
                spreads.append(float(np.sqrt(gradient @ solution.covariance @ gradient)))
    return Row(what, np.array(errors), np.array(spreads), np.array([np.nan]))


def _line(row: Row) -> str:
    size = np.abs(row.errors_mm)
    held = np.mean(size < 1.959964 * row.u_mm)
    return (
        f"{row.what:44} {np.median(size):7.2f} {np.percentile(size, 95):6.2f} "
        f"{np.sqrt(np.mean(size**2)):6.2f} {np.median(row.u_mm):6.2f} "
        f"{np.sqrt(np.mean((row.errors_mm / row.u_mm) ** 2)):6.3f} {held:6.1%} "
        f"{np.mean(row.nees):9.3f}"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else WALLS)
