"""How much of one core one wall's adjustment takes: three photos, two cards, 24 marks, 12 tapes.

Run by ``python3 -m service.bootstrap bench``; prints, asserts nothing.
"""

from __future__ import annotations

from statistics import median
from time import process_time

import numpy as np

from tests.support.simulated_wall import Plan, simulate
from vision.measure_wall import SizeRequest, TapedSize, measure_wall

ROUNDS = 40


def _plan(photos: int) -> Plan:
    marks = {f"m{i}": (-150.0 + 310.0 * (i % 6), -250.0 + 280.0 * (i // 6)) for i in range(17)}
    cameras = tuple(
        ((200.0 + 900.0 * i / max(photos - 1, 1), 250.0 + 90.0 * (i % 3), 1500.0), (620.0, 330.0))
        for i in range(photos)
    )
    return Plan(marks=dict(Plan().marks) | marks, cameras=cameras)


def _seconds(photos: int) -> tuple[float, float]:
    wall = simulate(np.random.default_rng(1), _plan(photos), print_check_half_width_mm=0.25)
    sizes = [SizeRequest(f"s{i}", "distance", f"m{i}", f"m{i + 5}") for i in range(12)]
    request = wall.request.__class__(**{**wall.request.__dict__, "sizes": tuple(sizes)})
    tapes = [
        TapedSize(
            s.name, float(np.linalg.norm(wall.points_mm[s.start] - wall.points_mm[s.end])), 0.7
        )
        for s in sizes
        if s.end is not None
    ]
    start, solve = [], []
    for _ in range(ROUNDS):
        begin = process_time()
        measurement = measure_wall(request, wall.sights)
        middle = process_time()
        measurement.estimates(tapes)
        measurement.solve(tapes)
        start.append(middle - begin)
        solve.append(process_time() - middle)
    return median(start), median(solve)


def main() -> None:
    """From sights to a photo solution, and from there to sizes and covariance with tapes."""
    for photos in (3, 10):
        start, solve = _seconds(photos)
        print(
            f"{photos} photos: photo-only from scratch {start * 1e3:.1f} ms, "
            f"with 12 tapes and full covariance from there {solve * 1e3:.1f} ms"
        )


if __name__ == "__main__":
    main()
