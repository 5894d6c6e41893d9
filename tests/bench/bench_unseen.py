"""Slips of the kinds that people make, and photos composed by means of their own.

Run by ``python3 -m service.bootstrap bench unseen``; prints two tables, asserts nothing. The first
is of simulated walls on which one thing is stated or set wrongly: whether that is named, how often
intervals hold all the same, and how far a size was off where nothing was said. The second is of
photos composed by ``tests/support/composed_photo.py`` of other people's photos and the card's own
PDF, under one condition at a time.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from io import BytesIO
from math import hypot

import cv2
import numpy as np
from PIL import ExifTags, Image

from service.actions.card import card_page
from tests.support import stated_wrong as slips
from tests.support.composed_photo import (
    Camera,
    Hung,
    Picture,
    drawn_page,
    light_of,
    photographed,
    wall_from,
)
from tests.support.outside import find_outside
from tests.support.simulated_wall import ADVISED
from vision.errors import Refusal
from vision.measure_wall import (
    CardRequest,
    PhotoRequest,
    PrintCheck,
    SizeRequest,
    Tap,
    WallMeasurement,
    WallRequest,
    look,
    measure_wall,
)
from vision.units import FloatArray

WALLS = 100
DRAWS = 10
THIRD = ((650.0, 500.0, 1600.0), (620.0, 330.0))
PLANS = {"2": ADVISED, "3": replace(ADVISED, cameras=(*ADVISED.cameras, THIRD))}
MARK = {"mark", "disagree", "exchanged"}
SLIPS: dict[str, tuple[slips.Slip, set[str]]] = {
    "no slip": (slips.nothing, set()),
    "ruler 2 to 8 mm off": (slips.ruler, {"print"}),
    "card moved 4 to 120 mm": (slips.moved, {"moved"}),
    "card 10 to 90 mm off the wall": (slips.ledge, {"off-wall", "tilted"}),
    "zoomed 1.15 to 2.6 times": (slips.zoomed, {"lens", "exposure"}),
    "one photo zoomed 1.1 to 2 times": (slips.one_zoomed, {"lens", "exposure"}),
    "a mark 8 to 600 px off": (slips.mark_off, MARK),
    "two marks exchanged": (slips.exchanged, MARK),
    "left and right exchanged": (slips.sides_exchanged, MARK),
}


@dataclass
class Tally:
    """What came of the walls of one row."""

    named: int = 0
    silent: int = 0
    refused: int = 0
    z: list[float] = field(default_factory=list)
    silent_z: list[float] = field(default_factory=list)

    def row(self, walls: int) -> str:
        z = np.abs(self.z)
        worst = max(self.silent_z, default=0.0)
        return (
            f"{self.named:5d} {walls - self.named - self.silent - self.refused:6d}"
            f" {self.silent:8d} {self.refused:8d} {np.mean(z < 1.96):7.1%} {np.mean(z > 4):7.2%}"
            f" {worst:9.1f}"
        )


def tallied(slip: str, plan: str, walls: int) -> Tally:
    make, kinds = SLIPS[slip]
    tally = Tally()
    for index in range(walls):
        wall = make(5000 + index, np.random.default_rng([77, index]), PLANS[plan])
        try:
            measured = measure_wall(wall.request, wall.sights)
        except Refusal:
            tally.refused += 1
            continue
        found = {finding.kind for finding in measured.set_aside}
        tally.named += bool(found & kinds)
        tally.silent += not found
        z = errors_over_u(measured, wall.truth_mm)
        tally.z += z.tolist()
        tally.silent_z += [] if found else [float(np.max(np.abs(z)))]
    return tally


def errors_over_u(measured: WallMeasurement, truth_mm: dict[str, float]) -> FloatArray:
    found = measured.estimates()
    truth = np.array([truth_mm[name] for name in found.names])
    return np.asarray((found.mm - truth) / np.sqrt(np.diag(found.covariance_mm2)))


SIZE = (2016, 1512)
MARKS = {
    "left-low": (20.0, 60.0),
    "right-low": (1500.0, 40.0),
    "left-top": (10.0, 1420.0),
    "right-top": (1490.0, 1430.0),
    "valve": (420.0, 700.0),
}
PAIRS = (
    ("width low", "left-low", "right-low"),
    ("width top", "left-top", "right-top"),
    ("height left", "left-low", "left-top"),
    ("diagonal", "left-low", "right-top"),
    ("valve", "left-low", "valve"),
)
TRUTH = {name: hypot(*np.subtract(MARKS[a], MARKS[b])) for name, a, b in PAIRS}


@dataclass(frozen=True)
class Condition:
    """How a pair of photos was taken and what was done to them."""

    wall: str = "graf1.png"
    f35: int = 26
    stated_f35: int | None = 26
    away_mm: float = 1750.0
    aside_mm: float = 500.0
    k: tuple[float, float, float, float, float] = (0.012, -0.008, 2e-4, -2e-4, 0.003)
    shake_rad: tuple[float, float, float] = (2e-4, -2e-4, 1e-4)
    scale: tuple[float, float] = (0.9985, 1.001)
    blur_px: float = 0.7
    sent_px: int | None = None
    orientation: int = 1


CONDITIONS = {
    "as advised": Condition(),
    "another painted wall": Condition("graf3.png"),
    "a chessboard on the wall": Condition("left01.jpg"),
    "mosaic of 36 mm squares": Condition("mosaic 36"),
    "mosaic of 100 mm squares": Condition("mosaic 100"),
    "page 3 % small, checked": Condition(scale=(0.97, 0.97)),
    "blurred, 1.5 px": Condition(blur_px=1.5),
    "shaken while read out": Condition(shake_rad=(1.5e-3, -1e-3, 1e-3)),
    "strong lens, k1 0.06": Condition(k=(0.06, -0.03, 5e-4, 5e-4, 0.01)),
    "ultra-wide": Condition(f35=13, stated_f35=13, away_mm=1000, aside_mm=350),
    "tele": Condition(f35=77, stated_f35=77, away_mm=4200, aside_mm=1100),
    "nothing in the file": Condition(stated_f35=None),
    "half the zoom in the file": Condition(f35=52, away_mm=3200, aside_mm=900),
    "twice the zoom in the file": Condition(stated_f35=52),
    "sent by messenger": Condition(stated_f35=None, sent_px=1600),
    "stored on its side": Condition(orientation=6),
}


def photos(condition: Condition) -> tuple[list[Camera], list[bytes]]:
    f_px = condition.f35 * hypot(*SIZE) / hypot(36, 24) * 1.01
    cameras = [
        Camera(
            SIZE,
            f_px,
            (760.0 + side * condition.aside_mm, 820.0 - side * 120, condition.away_mm),
            roll_deg=2.5 * side,
            k=condition.k,
            shake_rad=condition.shake_rad,
        )
        for side in (-1, 1)
    ]
    cards = (
        Hung(drawn_page(card_page(1, "letter")), (150.0, 180.0), 0.02, scale=condition.scale),
        Hung(drawn_page(card_page(2, "letter")), (1130.0, 1130.0), -0.04, scale=condition.scale),
    )
    wall = surface(condition.wall)
    made = [
        stored(photographed(light_of(wall, cards, camera), i, condition.blur_px), condition)
        for i, camera in enumerate(cameras)
    ]
    return cameras, made


def surface(name: str) -> FloatArray:
    if name.startswith("mosaic"):
        cell = int(name.split()[1])
        row, column = np.indices((2600, 2800)) // cell
        return np.where((row + column) % 2, 0.05, 0.8)
    return wall_from(np.asarray(cv2.imread(str(find_outside(name))), dtype=np.uint8))


def stored(picture: Picture, condition: Condition) -> bytes:
    exif = Image.Exif()
    if condition.stated_f35 is not None:
        exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = "Alpenglow", "A7"
        exif[ExifTags.Base.Orientation] = condition.orientation
        camera = exif.get_ifd(ExifTags.IFD.Exif)
        camera[ExifTags.Base.FocalLengthIn35mmFilm] = condition.stated_f35
    image = Image.fromarray(picture[..., ::-1])
    if condition.orientation == 6:
        image = image.transpose(Image.Transpose.ROTATE_90)
    if condition.sent_px is not None:
        image = image.resize(
            (condition.sent_px, condition.sent_px * SIZE[1] // SIZE[0]), Image.Resampling.BOX
        )
    stream = BytesIO()
    image.save(stream, "JPEG", exif=exif, quality=70 if condition.sent_px else 90)
    return stream.getvalue()


def measured_draws(condition: Condition) -> Iterable[WallMeasurement]:
    cameras, files = photos(condition)
    sights = [look(data) for data in files]
    shrunk = (condition.sent_px or SIZE[0]) / SIZE[0]
    exact = [c.project(np.array([[*xy, 0.0] for xy in MARKS.values()])) for c in cameras]
    sizes = tuple(SizeRequest(name, "distance", a, b) for name, a, b in PAIRS)
    for draw in range(DRAWS):
        rng = np.random.default_rng(draw)
        taken = tuple(
            PhotoRequest(f"{i}.jpg", taps((at + 0.5) * shrunk - 0.5, rng, shrunk))
            for i, at in enumerate(exact)
        )
        off = rng.uniform(-0.25, 0.25, 2).tolist()
        along, up = condition.scale
        checks = (
            PrintCheck("x", 170.0, 170.0 * along + off[0], 0.25),
            PrintCheck("y", 240.0, 240.0 * up + off[1], 0.25),
        )
        cards = tuple(CardRequest(serial, "A", checks=checks) for serial in (1, 2))
        yield measure_wall(WallRequest(taken, cards, sizes=sizes), sights)


def taps(pixels: FloatArray, rng: np.random.Generator, shrunk: float) -> tuple[Tap, ...]:
    width, height = SIZE[0] * shrunk, SIZE[1] * shrunk
    off = pixels + rng.standard_normal(pixels.shape)
    return tuple(
        Tap(name, (float(x), float(y)), 1.0)
        for name, (x, y) in zip(MARKS, off, strict=True)
        if 3 < x < width - 4 and 3 < y < height - 4
    )


def composed_row(condition: Condition) -> str:
    z: list[float] = []
    error: list[float] = []
    u: list[float] = []
    found: set[str] = set()
    for measured in measured_draws(condition):
        estimates = measured.estimates()
        spread = np.sqrt(np.diag(estimates.covariance_mm2))
        off = estimates.mm - np.array([TRUTH[name] for name in estimates.names])
        error, u, z = error + off.tolist(), u + spread.tolist(), z + (off / spread).tolist()
        found |= {finding.kind for finding in measured.set_aside}
    sizes = np.abs(error)
    return (
        f"{np.median(sizes):6.2f} {np.quantile(sizes, 0.95):6.2f} {np.median(u):6.2f}"
        f" {np.mean(np.abs(z) < 1.96):7.1%} {np.max(np.abs(z)):6.1f}  {', '.join(sorted(found))}"
    )


def main(arguments: list[str]) -> int:
    walls = int(arguments[0]) if arguments else WALLS
    print(f"{walls} walls each, photos alone")
    print(f"{'slip':32s} photos named  other  nothing  refused    held past 4u  silent z")
    for slip in SLIPS:
        for plan in PLANS:
            print(f"{slip:32s} {plan:6s} {tallied(slip, plan, walls).row(walls)}", flush=True)
    print(f"\n{'condition':30s} median   95th      u    held  max z  found")
    for name, condition in CONDITIONS.items():
        print(f"{name:30s} {composed_row(condition)}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
