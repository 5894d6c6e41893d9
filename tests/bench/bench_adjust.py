"""How much of one core one wall's adjustment takes: three photos, two cards, 24 marks, 12 tapes.

Run by ``python3 -m service.bootstrap bench adjust``; prints, asserts nothing. Processor time, so
that it depends little on what else the machine does.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import median
from time import process_time

import numpy as np

from service.measuring.agreement import judge
from service.measuring.estimates import PhotoEstimates
from service.measuring.reading import Reading
from tests.support.simulated_wall import Plan, SimulatedWall, simulate
from vision.adjust.reliability import sighting_tests
from vision.measure_wall import SizeRequest, TapedSize, measure_wall

ROUNDS = 40
STAGES = (
    "from sights to the photo solution, every sighting tested",
    "with 12 tapes: estimates, solution, covariance",
    "reliability of every sighting",
    "every reading judged by deletion",
)


def _plan(photos: int) -> Plan:
    marks = {f"m{i}": (-150.0 + 310.0 * (i % 6), -250.0 + 280.0 * (i // 6)) for i in range(17)}
    cameras = tuple(
        ((200.0 + 900.0 * i / max(photos - 1, 1), 250.0 + 90.0 * (i % 3), 1500.0), (620.0, 330.0))
        for i in range(photos)
    )
    return Plan(marks=dict(Plan().marks) | marks, cameras=cameras)


def _scene(photos: int) -> tuple[SimulatedWall, list[TapedSize]]:
    wall = simulate(np.random.default_rng(1), _plan(photos), print_check_half_width_mm=0.25)
    sizes = tuple(SizeRequest(f"s{i}", "distance", f"m{i}", f"m{i + 5}") for i in range(12))
    tapes = [
        TapedSize(
            f"s{i}",
            float(np.linalg.norm(wall.points_mm[f"m{i}"] - wall.points_mm[f"m{i + 5}"])),
            0.7,
        )
        for i in range(12)
    ]
    return replace(wall, request=replace(wall.request, sizes=sizes)), tapes


def _milliseconds(photos: int) -> list[float]:
    """Median of each stage."""
    wall, tapes = _scene(photos)
    readings = [Reading(f"r{t.name}", t.name, t.value_mm, u_mm=t.u_mm) for t in tapes]
    rounds = []
    for _ in range(ROUNDS):
        times = [process_time()]
        measurement = measure_wall(wall.request, wall.sights)
        times.append(process_time())
        found = measurement.estimates(tapes)
        solution = measurement.solve(tapes)
        times.append(process_time())
        sighting_tests(solution)
        times.append(process_time())
        judge(found.names, PhotoEstimates(found.names, found.mm, found.covariance_mm2), readings)
        times.append(process_time())
        rounds.append(np.diff(times) * 1e3)
    return [float(median(stage)) for stage in np.array(rounds).T]


def main() -> None:
    """Print the stages for three and for ten photos."""
    for photos in (3, 10):
        stages = _milliseconds(photos)
        print(f"{photos} photos, ms of one core, median of {ROUNDS}")
        for what, milliseconds in zip(STAGES, stages, strict=True):
            print(f"  {what:58} {milliseconds:6.1f}")
        print(f"  {'the last three together':58} {sum(stages[1:]):6.1f}")


if __name__ == "__main__":
    main()
