"""Walls on which something was stated or set wrongly, by how much drawn at random.

A slip is made by drawing the same wall twice, as it is and as it is said to be, or by changing what
is said of it; nothing here knows how slips are looked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.random import Generator

from tests.support.simulated_wall import (
    F_NOMINAL,
    Plan,
    SimulatedWall,
    TrueLens,
    simulate,
)

HALF_WIDTH_MM = 0.25
OPPOSITE = {"left-low": "right-low", "left-top": "right-top", "line-a": "line-b"}
Slip = Callable[[int, Generator, Plan], SimulatedWall]


def nothing(seed: int, _: Generator, plan: Plan) -> SimulatedWall:
    """A wall without a slip."""
    return _wall(seed, plan)


def ruler(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """The ruler check of one card is 2 to 8 mm off, along one bar or both."""
    wall, axes = _wall(seed, plan), rng.choice(["x", "y", "xy"])
    cards, which = list(wall.request.cards), int(rng.integers(2))
    off = float(rng.choice([-1, 1]) * rng.uniform(2, 8))
    checks = tuple(
        replace(check, measured_mm=check.measured_mm + (off if check.axis in axes else 0.0))
        for check in cards[which].checks
    )
    cards[which] = replace(cards[which], checks=checks)
    return replace(wall, request=replace(wall.request, cards=tuple(cards)))


def moved(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """A card hangs 4 to 120 mm elsewhere, and a little turned, in the second photo."""
    x, y, turn = plan.cards[2]
    away, by = rng.uniform(0, 2 * np.pi), rng.uniform(4, 120)
    there = (x + by * np.cos(away), y + by * np.sin(away), turn + 0.02 * rng.standard_normal())
    later = _wall(seed, replace(plan, cards={**plan.cards, 2: there}))
    return with_photo(_wall(seed, plan), later, 1)


def ledge(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """A card hangs 10 to 90 mm before or behind where it is said to."""
    wall, off = _wall(seed, plan), float(rng.choice([-1, 1]) * rng.uniform(10, 90))
    cards = tuple(
        replace(card, standoff_mm=off, standoff_u_mm=1.0) if card.serial == 2 else card
        for card in wall.request.cards
    )
    return replace(wall, request=replace(wall.request, cards=cards))


def zoomed(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """All photos were zoomed 1.15 to 2.6 times, and their files do not say so."""
    times, lens = float(rng.uniform(1.15, 2.6)), _lens(rng)
    return _wall(seed, _from_afar(plan, times), replace(lens, f_px=lens.f_px * times))


def one_zoomed(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """The second photo was zoomed 1.1 to 2 times, and its file does not say so."""
    times, lens = float(rng.uniform(1.1, 2.0)), _lens(rng)
    near = _wall(seed, plan, lens)
    far = _wall(seed, _from_afar(plan, times), replace(lens, f_px=lens.f_px * times))
    return with_photo(near, far, 1)


def mark_off(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """One mark of one photo is 8 to 600 px off."""
    wall = _wall(seed, plan)
    photos = list(wall.request.photos)
    photo = int(rng.integers(len(photos)))
    taps = list(photos[photo].taps)
    which = int(rng.integers(len(taps)))
    by, away = np.exp(rng.uniform(np.log(8), np.log(600))), rng.uniform(0, 2 * np.pi)
    x, y = taps[which].at_px
    there = (float(x + by * np.cos(away)), float(y + by * np.sin(away)))
    taps[which] = replace(taps[which], at_px=there)
    photos[photo] = replace(photos[photo], taps=tuple(taps))
    return replace(wall, request=replace(wall.request, photos=tuple(photos)))


def exchanged(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """Two marks of one photo are under one another's names."""
    wall = _wall(seed, plan)
    photo = int(rng.integers(len(wall.request.photos)))
    names = [tap.name for tap in wall.request.photos[photo].taps]
    one, other = (str(name) for name in rng.choice(names, 2, replace=False))
    return renamed(wall, photo, {one: other, other: one})


def sides_exchanged(seed: int, rng: Generator, plan: Plan) -> SimulatedWall:
    """All marks left and right of one photo are under one another's names."""
    wall = _wall(seed, plan)
    names = {**OPPOSITE, **{b: a for a, b in OPPOSITE.items()}}
    return renamed(wall, int(rng.integers(len(wall.request.photos))), names)


def with_photo(wall: SimulatedWall, other: SimulatedWall, photo: int) -> SimulatedWall:
    """The wall with one photo, cards and marks, of another draw."""
    sights, photos = list(wall.sights), list(wall.request.photos)
    sights[photo], photos[photo] = other.sights[photo], other.request.photos[photo]
    return replace(wall, sights=tuple(sights), request=replace(wall.request, photos=tuple(photos)))


def renamed(wall: SimulatedWall, photo: int, names: dict[str, str]) -> SimulatedWall:
    """The wall with marks of one photo under other names."""
    photos = list(wall.request.photos)
    taps = tuple(replace(tap, name=names.get(tap.name, tap.name)) for tap in photos[photo].taps)
    photos[photo] = replace(photos[photo], taps=taps)
    return replace(wall, request=replace(wall.request, photos=tuple(photos)))


def _wall(seed: int, plan: Plan, lens: TrueLens | None = None) -> SimulatedWall:
    return simulate(np.random.default_rng(seed), plan, None, HALF_WIDTH_MM, lens=lens)


def _lens(rng: Generator) -> TrueLens:
    f_px = float(F_NOMINAL * np.exp(0.0246 * rng.standard_normal()))
    k1, k2 = (0.02 * rng.standard_normal(2)).tolist()
    return TrueLens(f_px, 30 * rng.standard_normal(2), k1, k2)


def _from_afar(plan: Plan, times: float) -> Plan:
    cameras = tuple(((x, y, z * times), target) for (x, y, z), target in plan.cameras)
    return replace(plan, cameras=cameras)
