"""Whatever is read on a wall, the judgement holds together."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.random import Generator

from service.measuring.agreement import judge
from service.measuring.estimates import Closure, Estimate, PhotoEstimates
from service.measuring.gate import release_gate
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.judgement import Judgement, Status
from service.measuring.reading import Reading
from tests.measuring.wall import random_wall

INSTRUMENTS = (
    Instrument(),
    Instrument(id="t1"),
    Instrument(id="t1", method=Method.BENT_INSIDE),
    Instrument(id="t2", method=Method.MARK_AND_ADD),
    Instrument(InstrumentKind.LASER, id="l", method=Method.LASER_REAR),
    Instrument(InstrumentKind.ROD, id="r", method=Method.ROD),
)
SLIPS_MM = (0.0, 0.0, 0.0, 0.0, 25.4, -25.4, 304.8)


def _scene(
    rng: Generator,
) -> tuple[tuple[str, ...], PhotoEstimates | None, list[Reading], list[Closure]]:
    """Sizes seen and not seen, read none to three times, with slips, tied by closures."""
    wall = random_wall(rng, 8, shared_mm=float(rng.choice([0.5, 3.0, 30.0])))
    seen = int(rng.integers(0, 9))
    photo = None
    if seen:
        covariance = wall.photo.covariance_mm2[:seen, :seen]
        if rng.random() < 0.3:  # one size asked for twice over
            covariance = np.array(covariance)
            covariance[-1], covariance[:, -1] = covariance[0], covariance[:, 0]
            covariance[-1, -1] = covariance[0, 0]
        photo = PhotoEstimates(wall.names[:seen], wall.photo.mm[:seen], covariance)
    readings = []
    for name, truth in zip(wall.names, wall.truth_mm, strict=True):
        for repeat in range(int(rng.integers(0, 4))):
            mm = float(truth + rng.choice(SLIPS_MM) + 0.7 * rng.normal())
            u_mm = float(rng.choice([0.05, 0.7])) if rng.random() < 0.3 else None
            instrument = INSTRUMENTS[rng.integers(len(INSTRUMENTS))]
            readings.append(Reading(f"{name}.{repeat}", name, mm, instrument=instrument, u_mm=u_mm))
    closures = []
    for number in range(int(rng.integers(0, 3))):
        a, b = rng.choice(8, 2, replace=False)
        difference = float(wall.truth_mm[a] - wall.truth_mm[b])
        pair = {wall.names[a]: 1.0, wall.names[b]: -1.0}
        closures.append(Closure(f"c{number}", pair, difference, u_mm=1.0))
    return wall.names, photo, readings, closures


@pytest.mark.parametrize("seed", range(60))
def test_best_is_what_the_readings_that_count_would_say_alone(seed: int) -> None:
    """Best is the same when the readings that were set aside had never been taken."""
    names, photo, readings, closures = _scene(np.random.default_rng(seed))
    found = judge(names, photo, readings, closures=closures)
    assert found.print_scale is None
    aside = {r.id for r in found.readings if r.status is Status.CONFLICTS}
    counted = [r for r in readings if r.id not in aside]
    alone = judge(names, photo, counted, closures=closures)
    for name in names:
        best, again = found.dimension(name).best, alone.dimension(name).best
        _assert_same(best, again)
        _assert_same(found.dimension(name).expected, alone.dimension(name).expected)


def _assert_same(one: Estimate | None, other: Estimate | None) -> None:
    if one is None or other is None:
        assert one is other
        return
    assert one.mm == pytest.approx(other.mm, abs=1e-6)
    assert one.u_mm == pytest.approx(other.u_mm, rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("seed", range(100, 160))
def test_every_judgement_holds_together(seed: int) -> None:
    """Each reading is judged once, nothing is surer for less, and the gate follows the statuses."""
    names, photo, readings, closures = _scene(np.random.default_rng(seed))
    found = judge(names, photo, readings, closures=closures)
    assert found.print_scale is None
    assert [r.id for r in found.readings] == [r.id for r in readings]
    for of in found.dimensions:
        if of.expected is not None and of.best is not None:
            assert of.best.u_mm <= of.expected.u_mm + 1e-6
        if of.photo is not None and of.best is not None:
            assert of.best.u_mm <= of.photo.u_mm + 1e-6
        if of.checked:
            assert of.mdb_mm is not None
            assert of.mdb_mm <= 6.35
    _assert_gate_follows(found)


def _assert_gate_follows(found: Judgement) -> None:
    blocked = {block.dimension for block in release_gate(found).blocking}
    for of in found.dimensions:
        good = of.status is Status.AGREES and of.checked and of.tape is not None
        assert good or of.name in blocked
