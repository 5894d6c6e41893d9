"""A simulated wall as it is measured, by the names of its sizes."""

from __future__ import annotations

import numpy as np

from tests.support.simulated_wall import (
    Nuisances,
    SimulatedWall,
)
from vision.measure_wall import (
    WallMeasurement,
    measure_wall,
)

EXACT = Nuisances(*(0.0,) * 11, corner_px=0.0, tap_px=0.0)
"""A wall without any error: flat, lens as its header says, every pixel exact."""


def measured(wall: SimulatedWall) -> WallMeasurement:
    return measure_wall(wall.request, wall.sights)


def sizes_of(wall: WallMeasurement) -> dict[str, float]:
    found = wall.estimates()
    return dict(zip(found.names, found.mm.tolist(), strict=True))


def u_of(wall: WallMeasurement) -> dict[str, float]:
    found = wall.estimates()
    return dict(zip(found.names, np.sqrt(np.diag(found.covariance_mm2)).tolist(), strict=True))
