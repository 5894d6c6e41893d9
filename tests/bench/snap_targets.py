"""What can be tapped in the rendered scenes, and where it exactly is, by their makers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from fixtures.makers.room.cards import PAGE_MM
from fixtures.makers.scenes.handsets import HandsetShot
from fixtures.makers.scenes.lining import Tiling
from fixtures.makers.scenes.scene import Scene
from fixtures.makers.scenes.truth import true_corners, true_pixel, true_pixels
from vision.plane.view import WallView
from vision.units import FloatArray

JOINTS_A_PHOTO: Final = 16
TAPS_A_PLATE: Final = 3
MARGIN_PX: Final = 40.0
JOINT_OUT_MM: Final = -0.6
"""Half way down the joint, whose grout lies 1.2 mm behind the face."""
CLEAR_MM: Final = 25.0
LOW_MM: Final = 450.0
HIGH_MM: Final = 2350.0


@dataclass(frozen=True)
class Target:
    """Kind and exact pixel of what can be tapped; ``height_mm`` is how far it stands off."""

    kind: str
    pixel: FloatArray
    height_mm: float = 0.0


def scene_targets(scene: Scene, shot: HandsetShot, rng: np.random.Generator) -> Iterator[Target]:
    """Crosses, paper corners, some joints and all plates in a photo."""
    for pixel in true_pixels(scene, shot).values():
        yield Target("pencil cross", pixel)
    for sheet in scene.sheets:
        wide, high = PAGE_MM
        page = np.array([(0, 0), (wide, 0), (wide, high), (0, high)]) / sheet.scale
        for at, pixel in zip(
            sheet.on_page(page, scene.wall),
            true_corners(scene, shot, sheet.serial, page),
            strict=True,
        ):
            if true_pixel(scene, shot, at, MARGIN_PX) is not None and not _hidden(scene, *at[:2]):
                yield Target("paper corner", pixel)
    joints = list(_joints(scene, shot))
    for index in rng.permutation(len(joints))[:JOINTS_A_PHOTO]:
        yield joints[index]
    for plate in scene.plates:
        middle = true_pixel(scene, shot, plate.middle(scene.wall), MARGIN_PX)
        if middle is not None:
            yield from [Target("plate", middle, plate.proud_mm)] * TAPS_A_PLATE


def scene_view(shot: HandsetShot) -> WallView:
    """The photo's true place before the wall, whose frame is the room's."""
    k = shot.intrinsics
    return WallView(
        (k.width, k.height),
        np.array([k.f, k.cx, k.cy, k.k1, k.k2]),
        shot.rotation,
        -shot.rotation @ np.array(shot.position, dtype=float),
    )


def _joints(scene: Scene, shot: HandsetShot) -> Iterator[Target]:
    """Middles of the crosses of two joints, or of the Ts where courses are moved."""
    lining = scene.lining
    if not isinstance(lining, Tiling):
        return
    across, up = (side + lining.joint_mm for side in lining.tile_mm)
    kind = "joint T" if lining.shift else "joint crossing"
    for row in range(int(LOW_MM / up) + 1, int(HIGH_MM / up)):
        for column in range(1, int(scene.wall.width_mm / across) + 1):
            x, y = (column - row * lining.shift % 1.0) * across, row * up
            point = scene.wall.at(x, y, JOINT_OUT_MM)
            pixel = true_pixel(scene, shot, point, MARGIN_PX)
            inside = CLEAR_MM < x < scene.wall.width_mm - CLEAR_MM
            if inside and pixel is not None and not _covered(scene, x, y):
                yield Target(kind, pixel)


def _covered(scene: Scene, x: float, y: float) -> bool:
    """Whether a sheet, a plate or what stands before the wall is over a place, or near it."""
    reach = float(np.hypot(*PAGE_MM)) / 2 + CLEAR_MM
    return (
        _hidden(scene, x, y)
        or any(np.hypot(x - s.x_mm, y - s.y_mm) < reach for s in scene.sheets)
        or any(
            np.hypot(x - p.x_mm, y - p.y_mm) < p.radius_mm + p.proud_mm + CLEAR_MM
            for p in scene.plates
        )
        or any(np.hypot(x - a, y - b) < CLEAR_MM for a, b in scene.marks_mm.values())
    )


def _hidden(scene: Scene, x: float, y: float) -> bool:
    return any(
        block.low[0] - CLEAR_MM < x < block.high[0] + CLEAR_MM
        and block.low[1] - CLEAR_MM < y < block.high[1] + CLEAR_MM
        for block in scene.blocks
    )
