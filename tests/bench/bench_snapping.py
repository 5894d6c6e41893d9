"""Prints how well taps on rendered photos snap, kind by kind, against the exact truth.

Run as ``python -m tests.bench.bench_snapping``: first the example's photos, then the scenes'. Taps
are the true pixel and a normal error of 1 px on each axis (4 px for the middle of a plate); what is
offered first is taken as accepted. Truth comes from the makers: pencil marks from the example's
file, all else from the walls that were rendered.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final, TypeAlias

import cv2
import numpy as np
from scipy.stats import beta

from fixtures.makers.render.handset import Shot
from fixtures.makers.render.shots import SHOTS
from fixtures.makers.room.fixtures import FIXTURES
from fixtures.makers.room.numbers import JOINT_MM, TILE_EDGE_MM, TILE_MM, WIDTH_MM
from fixtures.makers.room.walls import BACK, WALLS, Wall, tile_edge_along, tile_top_up
from fixtures.makers.scenes.catalogue import SCENES
from tests.bench.snap_targets import JOINTS_A_PHOTO, Target, scene_targets, scene_view
from tests.fixtures.example_files import EXAMPLE
from vision.plane.snap import SnapOffer, offer_plates, offer_snaps
from vision.plane.view import WallView
from vision.units import FloatArray, GreyImage

SEED: Final = 71
TAP_SD: Final = 1.0
PLATE_TAP_SD: Final = 4.0
WRONG_PX: Final = 3.0
"""What is accepted this far from the truth was another thing."""
PITCH_MM: Final = TILE_MM + JOINT_MM
PAGE_MM: Final = (215.9, 279.4)
PLATE_OUT_MM: Final = 3.0
"""How far the example's valve plate stands off."""
POINTS: Final = ("corner", "crossing", "line end", "plate")
Tapped: TypeAlias = tuple[GreyImage, WallView, list[Target]]
"""A photo, its true place, and what is tapped in it."""


@dataclass
class Tally:
    """Outcomes of one kind of target."""

    taps: list[FloatArray]
    errors: list[FloatArray]
    fits: list[float]
    left: Counter[str]

    @property
    def wrong(self) -> int:
        """How many were another thing."""
        return sum(float(np.hypot(*error)) > WRONG_PX for error in self.errors)

    def add(self, offer: SnapOffer, at: FloatArray) -> None:
        """Take what is offered first, if it is a point."""
        self.taps.append(offer.tap - at)
        best = offer.best
        if best is None or best.kind not in POINTS:
            self.left[best.kind if best else str(offer.doubt and offer.doubt.code)] += 1
            return
        error = best.pixel - at
        self.errors.append(error)
        self.fits.append(float(error @ np.linalg.solve(best.covariance_px2, error)))


def main() -> None:
    """One line a kind of target, for the example and for the scenes."""
    print("the example")
    table(example_photos(np.random.default_rng(SEED)))
    if find_spec("mitsuba") is None:
        print("The renderer is not installed: run `python3 -m service.bootstrap setup make` first.")
        return
    print("the scenes")
    table(scene_photos(np.random.default_rng(SEED)))


def table(photos: Iterator[Tapped]) -> None:
    """Tap everything in the photos and print how that went."""
    rng = np.random.default_rng(SEED + 1)
    tallies: dict[str, Tally] = {}
    for grey, view, targets in photos:
        for target in targets:
            tally = tallies.setdefault(target.kind, Tally([], [], [], Counter()))
            tally.add(offered(target, grey, view, rng), target.pixel)
    print("| target | taps | tap rms px | snapped | rms px | ratio | > 3 px | within 95 % | left |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for kind, tally in tallies.items():
        print(row(kind, tally))
    taken = sum(len(tally.errors) for tally in tallies.values())
    wrong = sum(tally.wrong for tally in tallies.values())
    most = 100 * float(beta.ppf(0.95, wrong + 1, max(taken - wrong, 1)))
    print(f"{wrong} of {taken} accepted were another thing (95 % bound: {most:.1f} %)")


def example_photos(rng: np.random.Generator) -> Iterator[Tapped]:
    """The example's photos."""
    truth = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
    for shot in SHOTS:
        grey = grey_of(EXAMPLE / "photos" / shot.file.split("/")[-1])
        yield grey, true_view(shot, truth), list(targets(shot, truth, rng))


def scene_photos(rng: np.random.Generator) -> Iterator[Tapped]:
    """All scenes' photos, rendered first where they are not there yet."""
    from fixtures.makers.scenes.take import photos

    for scene in SCENES:
        for shot, path in zip(scene.shots, photos(scene), strict=True):
            yield grey_of(path), scene_view(shot), list(scene_targets(scene, shot, rng))


def grey_of(path: Path) -> GreyImage:
    """The upright photo."""
    return np.asarray(cv2.imread(str(path), cv2.IMREAD_GRAYSCALE), dtype=np.uint8)


def row(name: str, tally: Tally) -> str:
    """A line of the table; rms per axis."""
    raw, errors = np.array(tally.taps), np.array(tally.errors).reshape(-1, 2)
    raw_rms, rms = (float(np.sqrt(np.mean(e**2))) for e in (raw, errors))
    held = float(np.mean(np.array(tally.fits) < 5.991))
    left = ", ".join(f"{count} {why}" for why, count in tally.left.items()) or "none"
    return (
        f"| {name} | {len(raw)} | {raw_rms:.2f} | {len(errors)} | {rms:.2f} "
        f"| {rms / TAP_SD:.2f} | {tally.wrong} | {100 * held:.0f} % | {left} |"
    )


def offered(target: Target, grey: GreyImage, view: WallView, rng: np.random.Generator) -> SnapOffer:
    """The offer for a tap that misses the target by chance."""
    if target.kind == "plate":
        tap = target.pixel + rng.normal(0, PLATE_TAP_SD, 2)
        return offer_plates(grey, view, tap, PLATE_TAP_SD, target.height_mm)
    return offer_snaps(grey, target.pixel + rng.normal(0, TAP_SD, 2), TAP_SD)


def targets(shot: Shot, truth: dict[str, Any], rng: np.random.Generator) -> Iterator[Target]:
    """Kind and exact pixel of what can be tapped in a photo."""
    entry = next(p for p in truth["photos"] if p["file"].endswith(shot.file.split("/")[-1]))
    for name, at in entry["marks_px"].items():
        if name.startswith(("level", "plumb")):
            yield Target("pencil cross", np.array(at))
        elif name not in ("arm", "valve", "spout"):
            yield Target("tick at an edge", np.array(at))
    pages = page_corners(shot, truth)
    for corner in pages.reshape(-1, 2):
        if in_picture(shot, corner):
            yield Target("paper corner", corner)
    joints = [p for p in joint_crossings(shot, WALLS[shot.wall]) if not covered(p, pages)]
    for index in rng.permutation(len(joints))[:JOINTS_A_PHOTO]:
        yield Target("joint crossing", joints[index])
    if shot.wall == "plumbing":
        valve = next(f for f in FIXTURES if f.name == "valve")
        origin, rotation = valve.frame()
        middle = np.array(shot.project(origin + PLATE_OUT_MM * rotation[:, 2])[0])
        yield from [Target("plate", middle, PLATE_OUT_MM)] * 10


def joint_crossings(shot: Shot, wall: Wall) -> list[FloatArray]:
    """Exact pixels of the middles of the crosses of two joints, clear of the fixtures."""
    first = WIDTH_MM / 2 if wall is BACK else TILE_EDGE_MM - TILE_MM - JOINT_MM / 2
    places = first + np.arange(-16, 17) * PITCH_MM
    found = []
    for s in places[(places > 25) & (places < (WIDTH_MM - 25 if wall is BACK else 780))]:
        for number in range(1, 12):
            up = float(tile_top_up(wall, s)) - number * PITCH_MM + JOINT_MM / 2
            along = s if wall is BACK else s + float(tile_edge_along(wall, up)) - TILE_EDGE_MM
            point = wall.at(along, up, -0.6)
            pixel = np.array(shot.project(point)[0])
            if in_picture(shot, pixel) and clear_of_fixtures(shot, point) and up > 400:
                found.append(pixel)
    return found


def clear_of_fixtures(shot: Shot, point: FloatArray) -> bool:
    """Whether a point of the plumbing wall is far from what stands off it."""
    if shot.wall != "plumbing":
        return True
    return all(np.hypot(*(f.frame()[0] - point)[1:]) > 190 for f in FIXTURES)


def page_corners(shot: Shot, truth: dict[str, Any]) -> FloatArray:
    """(cards, 4, 2) exact pixels of the corners of the sheets on the shot's wall."""
    entry = truth["walls"][shot.wall]
    frame = entry["frame_in_room"]
    axes = np.array([frame["x"], frame["y"], frame["z"]])
    pages = []
    for card in entry["cards"]:
        right, up = np.array(card["right"]), np.array(card["up"])
        corners = [
            np.array(card["page_origin_mm"]) + x * right + y * up
            for x, y in ((0, 0), (PAGE_MM[0], 0), PAGE_MM, (0, PAGE_MM[1]))
        ]
        pages.append(shot.project(np.array(corners) @ axes + np.array(frame["origin_mm"])))
    return np.array(pages)


def covered(pixel: FloatArray, pages: FloatArray) -> bool:
    """Whether a page or its tape hides a pixel."""
    return any(
        cv2.pointPolygonTest(page.astype(np.float32), tuple(map(float, pixel)), True) > -90
        for page in pages
    )


def in_picture(shot: Shot, pixel: FloatArray) -> bool:
    """Whether a pixel is well inside the photo."""
    k = shot.intrinsics
    return bool(40 < pixel[0] < k.width - 40 and 40 < pixel[1] < k.height - 40)


def true_view(shot: Shot, truth: dict[str, Any]) -> WallView:
    """The photo's true place before its wall."""
    frame = truth["walls"][shot.wall]["frame_in_room"]
    axes = np.array([frame["x"], frame["y"], frame["z"]])
    k = shot.intrinsics
    return WallView(
        (k.width, k.height),
        np.array([k.f, k.cx, k.cy, k.k1, k.k2]),
        shot.rotation @ axes.T,
        shot.rotation @ (np.array(frame["origin_mm"]) - np.array(shot.position, dtype=float)),
    )


if __name__ == "__main__":
    main()
