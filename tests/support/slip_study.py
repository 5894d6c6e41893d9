"""Simulated alcoves judged: how often w alarms, what power it has, how often a slip is named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.random import Generator
from scipy.stats import norm

from service.lengths import parse_length, round_length
from service.measuring.adjustment import CONFLICT_W, DETECTION_SHIFT
from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.judging import judge_alcove
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import Status
from service.measuring.limits import Limits
from service.measuring.network import Network, build_network
from service.measuring.reading import Reading
from service.measuring.slip_kinds import INSTALLER_RATES, SlipKind
from service.measuring.slips import SlipBook
from tests.support.simulated_alcove import (
    Alcove,
    drawn_alcove,
    exact,
    rectangular_error_mm,
    taped,
)
from tests.support.simulated_slips import BOX, NONE, drawn_kind, slipped

SEEN = ("left", "right", "inner", "outer", "width", "deck", "tub front", "diagonal")
"""Words that begin the names of the sizes that photos show."""


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
        readings = _honest(alcove, rng)
        closures = alcove_closures(alcove.walls(), alcove.truth_mm)
        w = build_network(list(alcove.truth_mm), None, readings, closures).solved.w[: len(readings)]
        checked = np.flatnonzero(np.isfinite(w))
        alarms.add(w[checked], int(rng.integers(checked.size)))
    return alarms


@dataclass
class Naming:
    """What became of slips of each kind."""

    made: Counter[str] = field(default_factory=Counter)
    detected: Counter[str] = field(default_factory=Counter)
    right: Counter[str] = field(default_factory=Counter)
    wrong: Counter[str] = field(default_factory=Counter)
    as_what: Counter[tuple[str, str]] = field(default_factory=Counter)

    def note(self, kind: str, named: str | None, *, seen: bool) -> None:
        self.made[kind] += 1
        if not seen:
            return
        self.detected[kind] += 1
        if named == kind:
            self.right[kind] += 1
        elif named is not None:
            self.wrong[kind] += 1
            self.as_what[kind, named] += 1


def naming_study(
    draws: int,
    seed: int,
    *,
    with_photos: bool,
    kinds: Callable[[Generator], str] = drawn_kind,
    rates_off: float = 1.0,
    limits: Limits | None = None,
) -> Naming:
    """One slip in each alcove; ``rates_off`` multiplies or divides each assumed rate."""
    rng = np.random.default_rng(seed)
    naming = Naming()
    for _ in range(draws):
        alcove = drawn_alcove(rng)
        readings = _honest(alcove, rng)
        kind, at = _slip_one(alcove, readings, kinds(rng), rng)
        photo = photos_of(alcove, rng) if with_photos else None
        book = SlipBook(_rates(rng, rates_off))
        judged = judge_alcove(alcove.walls(), photo, readings, limits, slips=book).judgement
        status = judged.reading(at).status
        suspect = judged.dimension(at).suspect
        named = None
        if suspect is not None and suspect.kind is not SlipKind.TAKE_AGAIN:
            named = suspect.kind.value
        naming.note(kind, named, seen=status is Status.CONFLICTS)
    return naming


def _rates(rng: Generator, off: float) -> Mapping[SlipKind, float]:
    return {k: rate * off ** int(rng.choice([-1, 1])) for k, rate in INSTALLER_RATES.items()}


def _honest(alcove: Alcove, rng: Generator) -> list[Reading]:
    return [
        taped(size, alcove.truth_mm[size.name] + rectangular_error_mm(size, rng))
        for size in alcove.all_sizes()
    ]


def _slip_one(
    alcove: Alcove, readings: list[Reading], kind: str, rng: Generator
) -> tuple[str, str]:
    """Spoil one reading in place; the kind and the reading's id."""
    sizes = list(alcove.all_sizes())
    while True:
        place = int(rng.integers(len(sizes)))
        if kind == BOX:
            other = _other_box(place, len(sizes), rng)
            if readings[other].text == readings[place].text:
                continue
            mine, theirs = readings[place], readings[other]
            readings[place] = _with_text(mine, theirs.text)
            if rng.random() < 0.5:  # the two were swapped
                readings[other] = _with_text(theirs, mine.text)
            return kind, readings[place].id
        text = slipped(kind, round_length(readings[place].mm, 16), sizes[place], rng)
        if text is not None:
            readings[place] = _with_text(readings[place], text)
            return kind, readings[place].id


def _other_box(place: int, count: int, rng: Generator) -> int:
    """Three in four times the box before or after, else any other."""
    if rng.random() < 0.75:
        other = place + int(rng.choice([-1, 1]))
        return other if 0 <= other < count else place + (1 if place == 0 else -1)
    return (place + int(rng.integers(1, count))) % count


def _with_text(reading: Reading, text: str) -> Reading:
    length = parse_length(text, "in")
    return replace(reading, mm=float(length.mm), unit=length.unit, text=text)


def photos_of(alcove: Alcove, rng: Generator, own_mm: float = 1.5) -> PhotoEstimates:
    """What photos with checked cards say: ``own_mm`` for each size alone, 0.1 % in common."""
    seen = [
        s.name for s in alcove.all_sizes() if s.name.removeprefix(f"{s.wall} ").startswith(SEEN)
    ]
    truth = np.array([alcove.truth_mm[name] for name in seen])
    spread = np.outer(truth, truth) * 0.001**2 + np.eye(truth.size) * own_mm**2
    error = 0.001 * rng.normal() * truth + own_mm * rng.normal(size=truth.size)
    return PhotoEstimates(tuple(seen), truth + error, spread)


def shares(naming: Naming, unlisted: str = NONE) -> tuple[float, float, float]:
    """Of all detected: named wrongly, and of those of no listed kind, named at all; of the kinds
    that can be told, the least named rightly."""
    detected = sum(naming.detected.values())
    told = [k for k in ("inch", "foot", "digits swapped", BOX, "units") if naming.detected[k]]
    return (
        sum(naming.wrong.values()) / max(detected, 1),
        naming.wrong[unlisted] / max(naming.detected[unlisted], 1),
        min(naming.right[k] / naming.detected[k] for k in told) if told else 0.0,
    )
