"""A second simulator: walls with what the adjustment's model does not have.

Walls bow as a whole (so that heights of neighbouring marks agree), cards curl in a wave, the lens
has tangential terms and a third radial one, taps have heavy tails, and rulers are read to half a
millimetre with a rectangular error.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.random import Generator

from tests.support.simulated_wall import (
    F35,
    F_NOMINAL,
    HEIGHT,
    SIZES,
    WIDTH,
    Plan,
    SimulatedWall,
    TrueLens,
    look_at,
    true_sizes,
)
from vision.card.design import COLUMNS, ROWS, SQUARE_MM, card_design
from vision.card.found import FoundCard
from vision.measure_wall import (
    CardRequest,
    PhotoRequest,
    PrintCheck,
    Sight,
    Tap,
    WallRequest,
)
from vision.photo.photograph import Header
from vision.units import FloatArray

STATED_CORNER_PX = 0.1


@dataclass(frozen=True)
class Harshness:
    """Sizes of what the model lacks.

    Attributes
    ----------
    bow_mm
        Range of the wall's bow, middle against ends, over 1.8 m.
    curl_mm
        Amplitude of a card's wave, one and a half periods along it.
    tangential, k3
        Standard deviations of p1, p2 and of the third radial term.
    tap_px, tap_dof
        Scale and degrees of freedom of Student-t taps.
    """

    bow_mm: tuple[float, float] = (2.0, 6.0)
    curl_mm: float = 0.25
    tangential: float = 3e-4
    k3: float = 0.004
    tap_px: float = 0.8
    tap_dof: float = 4.0
    corner_px: float = 0.06


def simulate_harsher(
    rng: Generator, harshness: Harshness | None = None, plan: Plan | None = None
) -> SimulatedWall:
    """One wall of two cards and two photos, by the second simulator."""
    hard, plan = harshness or Harshness(), plan or Plan()
    bow = rng.uniform(*hard.bow_mm, 2) * rng.choice([-1.0, 1.0], 2)
    points = {name: _on_wall(np.array([xy]), bow)[0] for name, xy in plan.marks.items()}
    scales = {serial: 1 + rng.uniform(-0.008, 0.008, 2) for serial in plan.cards}
    corners = {s: _card(rng, s, plan.cards[s], scales[s], bow, hard) for s in plan.cards}
    f = float(F_NOMINAL * rng.uniform(0.975, 1.025))
    distortion = np.array(
        [
            rng.uniform(-0.02, 0.02),
            rng.uniform(-0.01, 0.01),
            *(hard.tangential * rng.standard_normal(2)),
            hard.k3 * rng.standard_normal(),
        ]
    )
    centre = rng.uniform(-25, 25, 2)
    sights, photos = [], []
    for number, (place, target) in enumerate(plan.cameras):
        place = tuple(np.array(place) + rng.normal(0, 60, 3))
        rotation, shift = look_at(np.array(place), np.array([*target, 0.0]))
        matrix = _matrix(rng, f, centre)

        def project(world: FloatArray) -> FloatArray:
            turn = cv2.Rodrigues(rotation)[0]  # noqa: B023 - used within this turn of the loop
            pixels, _ = cv2.projectPoints(world, turn, shift, matrix, distortion)  # noqa: B023
            return np.asarray(pixels, dtype=np.float64).reshape(-1, 2)

        cards = [_found(rng, s, project(corners[s]), hard) for s in plan.cards]
        taps = _taps(rng, project(np.array(list(points.values()))), list(points), hard)
        sights.append(Sight(Header(WIDTH, HEIGHT, focal_35mm_mm=F35), _kept(cards)))
        photos.append(PhotoRequest(f"{number}.jpg", taps))
    request = WallRequest(
        photos=tuple(photos),
        cards=tuple(CardRequest(s, str(s), checks=_ruler(rng, scales[s])) for s in plan.cards),
        level=("line-a", "line-b"),
        sizes=SIZES,
    )
    lens = TrueLens(f, centre, float(distortion[0]), float(distortion[1]))
    return SimulatedWall(request, tuple(sights), true_sizes(points), points, lens)


def _on_wall(xy: FloatArray, bow: FloatArray) -> FloatArray:
    """Points on a wall that bows by ``bow`` along x and along y."""
    along = ((xy - np.array([600.0, 350.0])) / 900.0) ** 2
    height = (1 - along) @ bow
    return np.column_stack([xy, height])


def _card(
    rng: Generator,
    serial: int,
    place: tuple[float, float, float],
    scale: FloatArray,
    bow: FloatArray,
    hard: Harshness,
) -> FloatArray:
    nominal = card_design(serial).corners_mm
    cos, sin = np.cos(place[2]), np.sin(place[2])
    flat = nominal * scale @ np.array([[cos, sin], [-sin, cos]]) + np.array(place[:2])
    wave = np.sin(3 * np.pi * nominal[:, 1] / (ROWS * SQUARE_MM) + rng.uniform(0, 2 * np.pi))
    tilt = (nominal - np.array([COLUMNS, ROWS]) * SQUARE_MM / 2) @ rng.normal(0, 0.004, 2)
    placed = _on_wall(flat, bow)
    placed[:, 2] += 0.5 + rng.uniform(-0.5, 1.0) + hard.curl_mm * wave + tilt
    return placed


def _matrix(rng: Generator, f: float, centre: FloatArray) -> FloatArray:
    focal = f * (1 + rng.uniform(-0.005, 0.005))
    cx, cy = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2]) + centre + rng.uniform(-15, 15, 2)
    return np.array([[focal, 0, cx], [0, focal, cy], [0, 0, 1.0]])


def _found(rng: Generator, serial: int, pixels: FloatArray, hard: Harshness) -> FoundCard | None:
    inside = np.all((pixels > 5) & (pixels < [WIDTH - 6, HEIGHT - 6]), axis=1)
    ids = np.flatnonzero(inside)
    if len(ids) < 8:
        return None
    noisy = pixels[ids] + hard.corner_px * rng.standard_normal((len(ids), 2))
    covariance = np.tile(np.eye(2) * STATED_CORNER_PX**2, (len(ids), 1, 1))
    return FoundCard(serial, ids, noisy, covariance, 150.0, 0.8, 5.0, 20.0, 0.0)


def _kept(cards: list[FoundCard | None]) -> tuple[FoundCard, ...]:
    return tuple(card for card in cards if card is not None)


def _taps(rng: Generator, pixels: FloatArray, names: list[str], hard: Harshness) -> tuple[Tap, ...]:
    errors = hard.tap_px * rng.standard_t(hard.tap_dof, (len(names), 2))
    return tuple(
        Tap(name, (float(x), float(y)), 1.0)
        for name, (x, y) in zip(names, pixels + errors, strict=True)
        if 5 < x < WIDTH - 6 and 5 < y < HEIGHT - 6
    )


def _ruler(rng: Generator, scale: FloatArray) -> tuple[PrintCheck, ...]:
    x, y = np.round(2 * (np.array([170.0, 240.0]) * scale + rng.uniform(-0.05, 0.05, 2))) / 2
    return (PrintCheck("x", 170.0, float(x), 0.25), PrintCheck("y", 240.0, float(y), 0.25))
