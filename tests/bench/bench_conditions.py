"""Prints where a card is found, one condition at a time, beside OpenCV's board detector.

Run as ``python -m tests.bench.bench_conditions``. One letter card on mottled tiles, 12 MP, at 1.5 m
and square on unless the line says otherwise; both ways get the same picture, the detector the right
board and its defaults. A card counts as found from eight corners that lie within 1 px of the truth;
``rms`` is of all corners that were returned, gross ones included.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np

from tests.support.board_render import (
    Camera,
    Finish,
    Placed,
    Scene,
    checkered_wall,
    opencv_board,
    photograph,
    place,
    tiled_wall,
    true_corners,
)
from vision.card.search import find_cards
from vision.units import FloatArray, GreyImage, IntArray

SERIAL: Final = 3
LEAST: Final = 8
NEAR_PX: Final = 1.0
PHONE: Final = Finish(blur_px=1.0, sharpen=0.4)
SHEET_MM2: Final = 215.9 * 279.4
_SATURATED: Final = 1.7
"""Radius of what a lamp's image burns out, by the radius that the scene states."""


@dataclass(frozen=True)
class Condition:
    """One picture to search; ``send`` is what happens to it after."""

    name: str
    scene: Scene
    send: Callable[[GreyImage], GreyImage] | None = None


@dataclass(frozen=True)
class Outcome:
    """Corners near the truth, all corners, and their rms, pixels."""

    near: int
    returned: int
    rms_px: float

    @property
    def found(self) -> bool:
        """Whether it counts."""
        return self.near >= LEAST

    def words(self) -> str:
        """For the table."""
        rms = f"{self.rms_px:.3f}" if self.returned else ""
        return f"{'found' if self.found else 'no':>6} {self.returned:>3} {rms:>8}"


def main() -> None:
    """A line for each condition, then what only one of them found."""
    cv2.setNumThreads(1)
    print(
        f"{'condition':34} {'ours':>6} {'n':>3} {'rms px':>8}   {'board':>6} {'n':>3} {'rms px':>8}"
    )
    only: dict[str, list[str]] = {"ours": [], "the board detector's": []}
    for condition in conditions():
        if sys.argv[1:] and not any(word in condition.name for word in sys.argv[1:]):
            continue
        ours, theirs = outcomes(condition)
        print(f"{condition.name:34} {ours.words()}   {theirs.words()}", flush=True)
        if ours.found != theirs.found:
            only["ours" if ours.found else "the board detector's"].append(condition.name)
    for who, names in only.items():
        print(f"only {who}: {', '.join(names) or 'none'}")


def outcomes(condition: Condition) -> tuple[Outcome, Outcome]:
    """Both ways on one picture."""
    grey = photograph(condition.scene)
    truth = true_corners(condition.scene.cards[0], condition.scene.camera)
    if condition.send is not None:
        width = grey.shape[1]
        grey = condition.send(grey)
        truth = (truth + 0.5) * (grey.shape[1] / width) - 0.5
    card = next((c for c in find_cards(grey).cards if c.serial == SERIAL), None)
    ours = _outcome(truth, card.corner_ids, card.pixels) if card else Outcome(0, 0, 0.0)
    corners, ids, _, _ = cv2.aruco.CharucoDetector(opencv_board(SERIAL)).detectBoard(grey)
    if (0 if ids is None else len(ids)) == 0:
        return ours, Outcome(0, 0, 0.0)
    pixels = np.asarray(corners, dtype=np.float64).reshape(-1, 2)
    return ours, _outcome(truth, np.asarray(ids, dtype=np.int64).ravel(), pixels)


def _outcome(truth: FloatArray, ids: IntArray, pixels: FloatArray) -> Outcome:
    misses = np.hypot(*(pixels - truth[ids]).T)
    rms = float(np.sqrt(np.mean(misses**2) / 2))
    return Outcome(int(np.sum(misses < NEAR_PX)), len(misses), rms)


def conditions() -> Iterator[Condition]:
    """Distance, slant, hiding, glare, frame, turn, light, sharpness, sending, surroundings."""
    for metres in (1.0, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0):
        yield _plain(f"{metres} m", place(SERIAL, distance_mm=1000 * metres))
    for metres, slant in ((3.0, 30), (1.5, 45), (1.5, 60), (1.5, 65), (1.5, 70)):
        far = 1000 * metres
        yield _plain(f"{metres} m, {slant} deg up", place(SERIAL, distance_mm=far, tilt_deg=slant))
        yield _plain(
            f"{metres} m, {slant} deg aside", place(SERIAL, distance_mm=far, turn_deg=slant)
        )
    base = Scene(
        (place(SERIAL, tilt_deg=15, turn_deg=10),), finish=PHONE, wall=tiled_wall(), samples=3
    )
    for name, cover in (
        ("right half hidden", (105, 0, 216, 280)),
        ("left half hidden", (0, 0, 105, 280)),
        ("lower half hidden", (0, 0, 216, 140)),
        ("upper half hidden", (0, 140, 216, 280)),
        ("middle hidden", (60, 60, 150, 220)),
        ("two thirds hidden", (75, 0, 216, 280)),
    ):
        yield Condition(name, replace(base, cover=cover))
    for share in (0.1, 0.2, 0.3):
        radius = float(np.sqrt(share * SHEET_MM2 / np.pi)) / _SATURATED
        for name, at in (("in the middle", (105, 140)), ("at a corner", (50, 215))):
            yield Condition(f"glare over {share:.0%} {name}", replace(base, glare=(*at, radius)))
    for name, aside in (
        ("near the left edge", (-860.0, 0.0)),
        ("in the frame's corner", (-850.0, -590.0)),
        ("a third beyond the edge", (-1000.0, 0.0)),
    ):
        yield _plain(name, place(SERIAL, aside_mm=aside))
    for spin in (30, 45, 90, 180):
        yield _plain(f"turned {spin} deg", place(SERIAL, spin_deg=spin, tilt_deg=15))
    yield from _finishes(base)
    yield from _sent(base)


def _finishes(base: Scene) -> Iterator[Condition]:
    for name, finish in (
        ("dim, 1/4 of the light", replace(PHONE, exposure=0.25, noise_dn=5.0)),
        ("dim, 1/10 of the light", replace(PHONE, exposure=0.1, noise_dn=6.0)),
        ("dark, 1/40 of the light", replace(PHONE, exposure=0.025, noise_dn=6.0)),
        ("overexposed 1.6 times", replace(PHONE, exposure=1.6)),
        ("noise 15", replace(PHONE, noise_dn=15.0)),
        ("noise 30", replace(PHONE, noise_dn=30.0)),
        ("blur 2 px", replace(PHONE, blur_px=2.0)),
        ("blur 3 px", replace(PHONE, blur_px=3.0)),
        ("blur 4 px", replace(PHONE, blur_px=4.0)),
        ("motion 5 px", replace(PHONE, motion_px=5.0)),
        ("motion 9 px", replace(PHONE, motion_px=9.0)),
        ("motion 13 px", replace(PHONE, motion_px=13.0)),
        ("JPEG quality 30", replace(PHONE, jpeg=30)),
    ):
        yield Condition(name, replace(base, finish=finish))


def _sent(base: Scene) -> Iterator[Condition]:
    for width in (2016, 1600, 1280, 1024, 800):
        yield Condition(f"shrunk to {width}", base, _shrinker(width))
    yield Condition("on checkered tiles", replace(base, wall=checkered_wall()))
    yield Condition("on plain paint", replace(base, wall=None))
    wide = Camera((4032, 3024), 1500.0, -0.05, 0.01)
    for name, aside in (("middle", (0.0, 0.0)), ("corner", (-1000.0, -720.0))):
        card = place(SERIAL, distance_mm=1000.0, aside_mm=aside)
        yield Condition(f"ultra-wide, in the {name}", replace(base, cards=(card,), camera=wide))
    yield Condition("1.5 m, 48 MP", replace(base, camera=Camera((8064, 6048), 6056.0)))


def _plain(name: str, card: Placed) -> Condition:
    return Condition(name, Scene((card,), finish=PHONE, wall=tiled_wall(), samples=3))


def _shrinker(width: int) -> Callable[[GreyImage], GreyImage]:
    def send(grey: GreyImage) -> GreyImage:
        size = (width, round(grey.shape[0] * width / grey.shape[1]))
        small = cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
        _, data = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, 70])
        return np.asarray(cv2.imdecode(data, cv2.IMREAD_GRAYSCALE), dtype=np.uint8)

    return send


if __name__ == "__main__":
    main()
