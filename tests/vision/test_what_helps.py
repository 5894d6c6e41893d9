"""Advice before leaving the room: predicted by the adjustment, and true when it is followed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.support.simulated_wall import Plan, SimulatedWall, simulate
from vision.measure_wall import TapedSize, WallMeasurement, measure_wall

ONE_CARD = replace(Plan(), cards={1: (0.0, 0.0, 0.0)})


def _measure(wall: SimulatedWall) -> WallMeasurement:
    return measure_wall(wall.request, wall.sights)


def _u(measurement: WallMeasurement) -> dict[str, float]:
    found = measurement.estimates()
    return dict(zip(found.names, np.sqrt(np.diag(found.covariance_mm2)).tolist(), strict=True))


def _checked(plan: Plan) -> SimulatedWall:
    return simulate(np.random.default_rng(3), plan, print_check_half_width_mm=0.25)


def test_every_candidate_narrows_every_size() -> None:
    """More information never widens a size."""
    measurement = _measure(simulate(np.random.default_rng(1), ONE_CARD))
    now = _u(measurement)

    for candidate in measurement.what_helps():
        for name, u in candidate.u_mm.items():
            assert u <= now[name] * (1 + 1e-6)


def test_the_predicted_gain_of_a_tape_is_what_the_tape_brings() -> None:
    """Prediction and the adjustment with that tape agree to 2 %."""
    wall = simulate(np.random.default_rng(2), ONE_CARD)
    measurement = _measure(wall)
    candidate = next(c for c in measurement.what_helps() if c.kind == "tape")

    solution = measurement.solve([TapedSize(candidate.place, wall.truth_mm[candidate.place], 0.7)])

    size = next(s for s in measurement.sizes if s.name == "height left")
    _, (gradient,) = solution.problem.size_values([size], solution.state)
    after = float(np.sqrt(gradient @ solution.covariance @ gradient))
    assert abs(candidate.u_mm["height left"] / after - 1) < 0.02


def test_the_predicted_gain_of_a_second_card_is_near_what_one_brings() -> None:
    """A card hung near the advised corner narrows the far width as predicted, within 30 %."""
    measurement = _measure(_checked(ONE_CARD))
    advised = next(
        c for c in measurement.what_helps() if c.kind == "card" and c.place == "lower right"
    )

    both = replace(Plan(), cards={1: (0.0, 0.0, 0.0), 2: (1210.0, -240.0, 0.0)})
    found = _u(_measure(_checked(both)))

    assert abs(advised.u_mm["width low"] / found["width low"] - 1) < 0.3
