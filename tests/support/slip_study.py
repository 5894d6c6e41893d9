"""Simulated alcoves judged: how often w alarms, and what power it has."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.random import Generator
from scipy.stats import norm

from service.measuring.adjustment import CONFLICT_W, DETECTION_SHIFT
from service.measuring.alcove.closing import alcove_closures
from service.measuring.network import Network, build_network
from tests.support.simulated_alcove import drawn_alcove, exact
from tests.support.slip_naming import honest


def gaussian_network(rng: Generator) -> tuple[Network, np.ndarray]:
    """A tape-only network drawn from the very uncertainties that it states, and its size names.

    Sizes of a straight room are moved, at least, to where every closure is out by a draw of its
    own doubt; each is then read with a normal error.
    """
    alcove = drawn_alcove(rng, bow=0.0)
    names = [size.name for size in alcove.all_sizes()]
    truth = np.array([alcove.truth_mm[name] for name in names])
    closures = alcove_closures(alcove.walls(), alcove.truth_mm)
    design = np.zeros((len(closures), len(names)))
    for row, closure in enumerate(closures):
        for name, coefficient in closure.coefficients.items():
            design[row, names.index(name)] = coefficient
    wanted = np.array([c.constant_mm + c.u_mm * rng.normal() for c in closures])
    truth = truth + np.linalg.lstsq(design, wanted - design @ truth, rcond=None)[0]
    readings = []
    for size, mm in zip(alcove.all_sizes(), truth, strict=True):
        u_mm = exact(size, float(mm)).uncertainty.u_mm
        readings.append(replace(exact(size, float(mm + u_mm * rng.normal())), u_mm=u_mm))
    return build_network(names, None, readings, closures), truth


@dataclass
class Alarms:
    """Counts of |w| past its limit; one reading of each alcove, so that draws are independent."""

    alcoves: int = 0
    past_conflict: int = 0
    past_two: int = 0
    readings: int = 0
    all_past_conflict: int = 0

    def add(self, w: np.ndarray, place: int) -> None:
        self.alcoves += 1
        self.past_conflict += bool(abs(w[place]) > CONFLICT_W)
        self.past_two += bool(abs(w[place]) > 2.0)
        self.readings += w.size
        self.all_past_conflict += int((np.abs(w) > CONFLICT_W).sum())


@dataclass
class Power:
    """Slips of one size in one reading of each alcove: how many passed the limit, how many the
    normal law expects."""

    drawn: int = 0
    found: int = 0
    expected: float = 0.0


def gaussian_study(
    draws: int, seed: int, slips_mm: tuple[float, ...]
) -> tuple[Alarms, dict[float, Power]]:
    """False alarms and power with normal draws. w moves by slip x its own sensitivity."""
    rng = np.random.default_rng(seed)
    alarms, powers = Alarms(), {slip: Power() for slip in slips_mm}
    for _ in range(draws):
        network, _truth = gaussian_network(rng)
        w = network.solved.w
        readings = len(network.readings)
        checked = np.flatnonzero(np.isfinite(w[:readings]))
        place = int(rng.choice(checked))
        alarms.add(w[checked], int(np.searchsorted(checked, place)))
        detectable = float(network.solved.detectable[place])
        for slip, power in powers.items():
            shift = slip / detectable * DETECTION_SHIFT
            moved = _w_with_slip(network, place, slip * float(rng.choice([-1, 1])))
            power.drawn += 1
            power.found += abs(moved) > CONFLICT_W
            power.expected += float(norm.sf(CONFLICT_W - shift) + norm.cdf(-CONFLICT_W - shift))
    return alarms, powers


def _w_with_slip(network: Network, place: int, slip_mm: float) -> float:
    """w of one reading once it has slipped: the network is linear, the judge is run on it."""
    readings = list(network.readings)
    honest = readings[place]
    slipped_mm = honest.mm + slip_mm
    # A tape has no sign: what would come out below zero slips the other way.
    readings[place] = replace(honest, mm=slipped_mm if slipped_mm > 0 else honest.mm - slip_mm)
    again = build_network(network.names, None, readings, network.closures)
    return float(again.solved.w[place])


def rectangular_alarms(draws: int, seed: int) -> Alarms:
    """False alarms of a real tape: bowed edges, rectangular errors, sixteenths."""
    rng = np.random.default_rng(seed)
    alarms = Alarms()
    for _ in range(draws):
        alcove = drawn_alcove(rng)
        readings = honest(alcove, rng)
        closures = alcove_closures(alcove.walls(), alcove.truth_mm)
        w = build_network(list(alcove.truth_mm), None, readings, closures).solved.w[: len(readings)]
        checked = np.flatnonzero(np.isfinite(w))
        alarms.add(w[checked], int(rng.integers(checked.size)))
    return alarms
