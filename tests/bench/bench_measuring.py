"""How long a changed reading among 200 takes to judge, on one core.

Run as ``python -m tests.bench.bench_measuring``. One reading is an inch short, the photos show
all sizes and are linearised once anew, so that everything is judged twice. The figure is processor
time, which does not depend on what else the machine is doing.
"""

from __future__ import annotations

import statistics
import time
from dataclasses import replace

import numpy as np

from service.measuring.agreement import judge
from service.measuring.alcove.judging import judge_alcove
from service.measuring.estimates import PhotoEstimates
from service.measuring.reading import Reading
from tests.support.simulated_alcove import Alcove, drawn_alcove, rectangular_error_mm, taped
from tests.support.slip_naming import photos_of

SIZES = 200
RUNS = 20
LIMIT_MS = 50.0


def alcove(seed: int = 200) -> tuple[PhotoEstimates, list[Reading]]:
    """200 sizes of one alcove that 60 causes move together, each read once, one an inch short."""
    rng = np.random.default_rng(seed)
    causes = rng.normal(size=(SIZES, 60)) * 0.25
    covariance = causes @ causes.T + np.eye(SIZES) * 0.25
    truth = rng.uniform(300, 1600, SIZES)
    names = tuple(f"size {place}" for place in range(SIZES))
    error = causes @ rng.normal(size=60) + 0.5 * rng.normal(size=SIZES)
    taped = truth + 0.7 * rng.normal(size=SIZES)
    taped[7] -= 25.4
    readings = [
        Reading(f"r{place}", name, float(mm), text=f"{mm:.0f} mm")
        for place, (name, mm) in enumerate(zip(names, taped, strict=True))
    ]
    return PhotoEstimates(names, truth + error, covariance), readings


def taped_alcove(seed: int = 201) -> tuple[Alcove, PhotoEstimates, list[Reading]]:
    """A whole alcove taped nearly three times over: 200 readings, one an inch short."""
    rng = np.random.default_rng(seed)
    drawn = drawn_alcove(rng)
    readings = [
        replace(
            taped(size, drawn.truth_mm[size.name] + rectangular_error_mm(size, rng)),
            id=f"{size.name} {turn}",
        )
        for turn in range(3)
        for size in drawn.all_sizes()
    ][:SIZES]
    readings[7] = replace(readings[7], mm=readings[7].mm - 25.4)
    return drawn, photos_of(drawn, rng), readings


def milliseconds_per_alcove(runs: int = RUNS) -> float:
    """Median processor time of judging that alcove with all its closures, ms."""
    drawn, photo, readings = taped_alcove()
    walls = drawn.walls()
    times = []
    for _ in range(runs):
        start = time.process_time()
        judge_alcove(walls, photo, readings, resolve=lambda _tapes: photo)
        times.append(time.process_time() - start)
    return statistics.median(times) * 1000


def milliseconds_per_judgement(runs: int = RUNS) -> float:
    """Median processor time of a whole judgement, ms."""
    photo, readings = alcove()
    times = []
    for _ in range(runs):
        start = time.process_time()
        judge(photo.names, photo, readings, resolve=lambda _tapes: photo)
        times.append(time.process_time() - start)
    return statistics.median(times) * 1000


if __name__ == "__main__":
    for what, milliseconds in (
        (f"{SIZES} readings", milliseconds_per_judgement()),
        ("an alcove with closures", milliseconds_per_alcove()),
    ):
        print(f"{what} judged in {milliseconds:.1f} ms (limit {LIMIT_MS} ms)")
