"""Prints how well every size of the rendered scenes is measured, against the makers' truth.

Run as ``python -m tests.bench.bench_scenes``; photos that are not in the cache are rendered first,
which takes a minute or two each. Everything goes through the package's door: ``look`` at each
file, ``measure_wall``, and the photos' own estimates, no tape. Taps are the exact pixel and a
normal error of 1 px on each axis, drawn anew for each of several tap seeds.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Final

import cv2
import numpy as np

from fixtures.makers.room.cards import CHECK_BAR_MM
from fixtures.makers.scenes.catalogue import SCENES
from fixtures.makers.scenes.scene import Scene
from fixtures.makers.scenes.truth import (
    LEVEL,
    PLUMB,
    TrueSize,
    true_corners,
    true_pixels,
    true_sizes,
)
from vision.card.design import card_design
from vision.measure_wall import (
    CardRequest,
    PhotoRequest,
    PrintCheck,
    Sight,
    SizeRequest,
    Tap,
    WallRequest,
    look,
    measure_wall,
)
from vision.units import FloatArray

SEEDS: Final = 5
TAP_SD_PX: Final = 1.0
DEFINED_MM: Final = 0.5
RULER_MM: Final = 0.25
WITHIN_95: Final = 1.959964
FINEST_MM: Final = 0.1
HEADS: Final = (
    f"{'scene':32} {'cards':>6} {'corners':>7} {'rms px':>7} {'sizes':>5} {'median':>7} {'95th':>6}"
    f" {'u':>6} {'held':>7} {'NEES/n':>7} {'look ms':>8} {'wall ms':>8}"
)


@dataclass(frozen=True)
class Seen:
    """What the photos of a scene show: sights, and how long one took, processor ms."""

    sights: tuple[Sight, ...]
    look_ms: float


@dataclass(frozen=True)
class Result:
    """Errors and stated standard uncertainties of all sizes over all tap seeds, mm."""

    errors: FloatArray
    u: FloatArray
    nees: float
    wall_ms: float


def main() -> None:
    """A line for each scene, then all together."""
    cv2.setNumThreads(1)
    if find_spec("mitsuba") is None:
        print("The renderer is not installed: run `python3 -m service.bootstrap setup make` first.")
        return
    wanted = [s for s in SCENES if not sys.argv[1:] or any(name in s.name for name in sys.argv[1:])]
    print(f"{SEEDS} draws of the taps for each scene; photos alone, no tape")
    print(HEADS)
    results = []
    for scene in wanted:
        seen = seen_in(scene)
        result = measured(scene, seen)
        results.append(result)
        print(line(scene, seen, result), flush=True)
    errors = np.abs(np.concatenate([r.errors.ravel() for r in results]))
    u = np.concatenate([r.u.ravel() for r in results])
    print(
        f"all: median error {np.median(errors):.2f} mm, 95th {np.percentile(errors, 95):.2f} mm, "
        f"95 % intervals hold {np.mean(errors < WITHIN_95 * u):.1%}, "
        f"NEES/n {np.mean([r.nees for r in results]):.2f}"
    )


def seen_in(scene: Scene) -> Seen:
    """Every photo looked at as the service does."""
    from fixtures.makers.scenes.take import photos  # needs the renderer

    files = [path.read_bytes() for path in photos(scene)]
    start = time.process_time()
    sights = tuple(look(data) for data in files)
    return Seen(sights, (time.process_time() - start) * 1000 / len(files))


def measured(scene: Scene, seen: Seen) -> Result:
    """All sizes of a scene for every draw of the taps."""
    truth = true_sizes(scene)
    errors, spreads, nees, times = [], [], [], []
    for seed in range(SEEDS):
        request = wall_request(scene, truth, seed)
        start = time.process_time()
        found = measure_wall(request, seen.sights).estimates()
        times.append((time.process_time() - start) * 1000)
        error = found.mm - np.array([next(t.mm for t in truth if t.name == n) for n in found.names])
        errors.append(error)
        spreads.append(np.sqrt(np.diag(found.covariance_mm2)))
        nees.append(nees_per_direction(error, found.covariance_mm2))
    return Result(
        np.array(errors), np.array(spreads), float(np.mean(nees)), float(np.median(times))
    )


def nees_per_direction(error: FloatArray, covariance_mm2: FloatArray) -> float:
    """Normalised squared error over the independent combinations of sizes, one if all is as stated.

    Sizes that share marks nearly follow from one another. A combination that is stated to less than
    `FINEST_MM` is left out: the truth of a wall that is not quite flat is not defined to that.
    """
    variances, directions = np.linalg.eigh(covariance_mm2)
    kept = variances > FINEST_MM**2
    along = directions[:, kept].T @ error
    return float(np.mean(along**2 / variances[kept]))


def wall_request(scene: Scene, truth: list[TrueSize], seed: int) -> WallRequest:
    """What a person would have set: taps a pixel off, the ruler read to the half millimetre."""
    rng = np.random.default_rng([seed, len(scene.name), scene.seed])
    shots = []
    for shot in scene.shots:
        exact = true_pixels(scene, shot)
        taps = tuple(
            Tap(name, tuple(at + rng.normal(0, TAP_SD_PX, 2)), TAP_SD_PX, DEFINED_MM)
            for name, at in exact.items()
        )
        shots.append(PhotoRequest(shot.file, taps))
    cards = tuple(
        CardRequest(
            sheet.serial,
            sheet.print_job,
            checks=tuple(
                PrintCheck("x" if axis == 0 else "y", bar, round(bar * scale * 2) / 2, RULER_MM)
                for axis, (bar, scale) in enumerate(zip(CHECK_BAR_MM, sheet.scale, strict=True))
            ),
        )
        for sheet in scene.sheets
    )
    sizes = tuple(
        SizeRequest(t.name, "distance", t.start, end=t.end[0])
        if t.kind == "distance"
        else SizeRequest(t.name, "to_line", t.start, line=(t.end[0], t.end[1]))
        for t in truth
    )
    return WallRequest(tuple(shots), cards, level=LEVEL, plumb=PLUMB, sizes=sizes)


def line(scene: Scene, seen: Seen, result: Result) -> str:
    """One scene."""
    hung = len(scene.sheets) * len(scene.shots)
    found = sum(len(sight.cards) for sight in seen.sights)
    misses = corner_errors(scene, seen)
    size = np.abs(result.errors)
    held = np.mean(size < WITHIN_95 * result.u)
    return (
        f"{scene.name:32} {found:>3}/{hung:<2} {len(misses):7} {np.sqrt(np.mean(misses**2)):7.3f}"
        f" {result.errors.shape[1]:5} {np.median(size):7.2f} {np.percentile(size, 95):6.2f}"
        f" {np.median(result.u):6.2f} {held:7.1%} {result.nees:7.2f} {seen.look_ms:8.0f}"
        f" {result.wall_ms:8.0f}"
    )


def corner_errors(scene: Scene, seen: Seen) -> FloatArray:
    """(n, 2) refined corners less the exact ones, pixels."""
    errors = [np.empty((0, 2))]
    for shot, sight in zip(scene.shots, seen.sights, strict=True):
        for card in sight.cards:
            page = card_design(card.serial).corners_mm[card.corner_ids]
            errors.append(card.pixels - true_corners(scene, shot, card.serial, page))
    return np.concatenate(errors)


if __name__ == "__main__":
    main()
