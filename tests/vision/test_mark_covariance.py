"""Marks whose two axes are not known alike: a point on an edge is known across it only."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.support.simulated_wall import SimulatedWall, simulate
from vision.measure_wall import Tap, WallMeasurement, WallRequest, measure_wall
from vision.units import FloatArray

SD_PX = 1.0
SHARP, LOOSE = 0.1, 4.0


def wall() -> SimulatedWall:
    return simulate(np.random.default_rng(11), print_check_half_width_mm=0.25)


def with_covariance(request: WallRequest, xx: float, yy: float) -> WallRequest:
    def told(tap: Tap) -> Tap:
        return replace(tap, sd_px=99.0, covariance_px2=((xx, 0.0), (0.0, yy)))

    photos = [replace(photo, taps=tuple(map(told, photo.taps))) for photo in request.photos]
    return replace(request, photos=tuple(photos))


def point_variances(found: WallMeasurement) -> FloatArray:
    """(n, 2) along the wall and up."""
    variances = np.diag(found.solve().mark_points()[1]).reshape(-1, 3)
    return np.asarray(variances[:, :2])


def test_a_round_covariance_is_a_standard_deviation() -> None:
    """The same spread said either way gives the same numbers, whatever sd_px says beside it."""
    simulated = wall()
    request = simulated.request
    photos = [
        replace(photo, taps=tuple(replace(tap, sd_px=SD_PX) for tap in photo.taps))
        for photo in request.photos
    ]
    plain = measure_wall(replace(request, photos=tuple(photos)), simulated.sights)
    told = measure_wall(with_covariance(request, SD_PX**2, SD_PX**2), simulated.sights)

    assert told.estimates().mm.tolist() == plain.estimates().mm.tolist()


def test_each_axis_counts_for_itself() -> None:
    """Sharp across and loose along, and the other way round, differ in the axis that is loose."""
    simulated = wall()
    sharp, loose = SHARP**2, LOOSE**2
    across = measure_wall(with_covariance(simulated.request, sharp, loose), simulated.sights)
    along = measure_wall(with_covariance(simulated.request, loose, sharp), simulated.sights)
    ratio = np.median(point_variances(along) / point_variances(across), axis=0)

    assert ratio[0] > 3
    assert ratio[1] < 1 / 2
