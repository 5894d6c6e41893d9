"""Photos of cards with known truth, made without the code under test.

The board's picture comes from OpenCV's own board generator, the truth from ``projectPoints``.
Every pixel of a card is the mean of many exact point samples (the pattern lies on a grid of
3.6 mm, so a sample is a table look-up, without interpolation), blurred and noised in linear
light, put through a tone curve, sharpened and sent through JPEG as a phone does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    GreyImage = NDArray[np.uint8]

CELL_MM: Final = 3.6
BOARD_CELLS: Final = (50, 70)
BOARD_ORIGIN_MM: Final = (15.0, 14.0)
LETTER_MM: Final = (215.9, 279.4)
INK, PAPER, WALL = 0.05, 0.85, 0.45

Texture = Callable[["FloatArray", "FloatArray"], "FloatArray"]
"""Reflectance of the wall at x, y millimetres."""


@dataclass(frozen=True)
class Camera:
    """Pinhole with two radial terms."""

    size: tuple[int, int] = (4032, 3024)
    focal_px: float = 3028.0
    k1: float = 0.0
    k2: float = 0.0

    @property
    def matrix(self) -> FloatArray:
        cx, cy = (self.size[0] - 1) / 2, (self.size[1] - 1) / 2
        return np.array([[self.focal_px, 0, cx], [0, self.focal_px, cy], [0, 0, 1.0]])

    @property
    def distortion(self) -> FloatArray:
        return np.array([self.k1, self.k2, 0.0, 0.0, 0.0])


@dataclass(frozen=True)
class Placed:
    """A card before the camera: rotation and translation take page mm to camera mm."""

    serial: int
    rotation: FloatArray
    translation: FloatArray
    page_mm: tuple[float, float] = LETTER_MM


@dataclass(frozen=True)
class Finish:
    """What the camera does to the light."""

    blur_px: float = 0.8
    motion_px: float = 0.0
    noise_dn: float = 3.0
    gamma: float = 2.2
    exposure: float = 1.0
    sharpen: float = 0.0
    jpeg: int | None = 92
    seed: int = 1


@dataclass(frozen=True)
class Scene:
    """Cards, what they hang on, and what covers them."""

    cards: tuple[Placed, ...]
    camera: Camera = field(default_factory=Camera)
    finish: Finish = field(default_factory=Finish)
    wall: Texture | None = None
    glare: tuple[float, float, float] | None = None
    """x, y, radius in page mm of the first card."""
    cover: tuple[float, float, float, float] | None = None
    """x0, y0, x1, y1 in page mm of the first card, hidden by something grey."""
    samples: int = 6


def place(
    serial: int,
    *,
    distance_mm: float = 1500.0,
    tilt_deg: float = 0.0,
    turn_deg: float = 0.0,
    spin_deg: float = 0.0,
    aside_mm: tuple[float, float] = (0.0, 0.0),
) -> Placed:
    """A card whose middle is at ``distance_mm``; tilt about x, turn about y, spin about z."""
    flip = np.diag([1.0, -1.0, -1.0])
    rotation = _turn(0, tilt_deg) @ _turn(1, turn_deg) @ _turn(2, spin_deg) @ flip
    middle = np.array([*BOARD_ORIGIN_MM, 0.0]) + np.array([90.0, 126.0, 0.0])
    translation = np.array([*aside_mm, distance_mm]) - rotation @ middle
    return Placed(serial, rotation, translation)


def true_corners(card: Placed, camera: Camera) -> FloatArray:
    """(24, 2) pixels of the X-corners in OpenCV's order."""
    corners = np.asarray(opencv_board(card.serial).getChessboardCorners(), dtype=np.float64)
    x0, y0 = BOARD_ORIGIN_MM
    page = np.column_stack([corners[:, 0] + x0, y0 + 252.0 - corners[:, 1], corners[:, 2]])
    return project(page, card, camera)


def project(page_mm: FloatArray, card: Placed, camera: Camera) -> FloatArray:
    """(n, 2) pixels of (n, 3) points in the card's page frame."""
    turn, _ = cv2.Rodrigues(card.rotation)
    pixels, _ = cv2.projectPoints(page_mm, turn, card.translation, camera.matrix, camera.distortion)
    return np.asarray(pixels, dtype=np.float64).reshape(-1, 2)


def opencv_board(serial: int) -> cv2.aruco.CharucoBoard:
    """OpenCV's board with the markers of ``serial``."""
    marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_1000)
    ids = np.arange((serial - 1) * 17, serial * 17)
    return cv2.aruco.CharucoBoard((5, 7), 36.0, 21.6, marks, ids)


def photograph(scene: Scene) -> GreyImage:
    """The picture a phone would keep."""
    light = _light(scene)
    return _develop(light, scene.finish)


def tiled_wall(joint_mm: float = 3.0, tile_mm: float = 150.0) -> Texture:
    """Square tiles with dark joints and a mottled glaze."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        joint = (np.mod(x, tile_mm) < joint_mm) | (np.mod(y, tile_mm) < joint_mm)
        glaze = 0.6 + 0.08 * np.sin(x / 9.0) * np.sin(y / 7.0) + 0.03 * np.sin(x / 2.3 + y / 3.1)
        return np.where(joint, 0.2, glaze)

    return reflectance


def checkered_wall(tile_mm: float = 36.0) -> Texture:
    """Black and white tiles of the card's own square size: the worst background."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        odd = (np.floor(x / tile_mm) + np.floor(y / tile_mm)) % 2
        return np.where(odd > 0, 0.8, 0.08)

    return reflectance


def _turn(axis: int, degrees: float) -> FloatArray:
    vector = np.zeros(3)
    vector[axis] = np.deg2rad(degrees)
    rotation, _ = cv2.Rodrigues(vector)
    return np.asarray(rotation, dtype=np.float64)


def _light(scene: Scene) -> FloatArray:
    width, height = scene.camera.size
    light = np.full((height, width), WALL)
    if scene.wall is not None:
        frame = scene.cards[0] if scene.cards else place(1)
        for top in range(0, height, 256):
            rows = slice(top, min(top + 256, height))
            x, y = _page_points(frame, scene.camera, (0, rows.start, width, rows.stop), 1)
            light[rows] = np.nan_to_num(scene.wall(x, y), nan=WALL)  # above the horizon
    for number, card in enumerate(scene.cards):
        _draw(light, scene, card, first=number == 0)
    return light


def _draw(light: FloatArray, scene: Scene, card: Placed, *, first: bool) -> None:
    width, height = scene.camera.size
    page = np.array([[x, y, 0] for x in (0, card.page_mm[0]) for y in (0, card.page_mm[1])], float)
    pixels = project(page, card, scene.camera)
    low = np.maximum(np.floor(pixels.min(axis=0)).astype(int) - 3, 0)
    high = np.minimum(np.ceil(pixels.max(axis=0)).astype(int) + 4, (width, height))
    if np.any(high <= low):
        return
    strip = max(1, 2_000_000 // ((high[0] - low[0]) * scene.samples**2))
    for top in range(low[1], high[1], strip):
        bottom = min(top + strip, high[1])
        box = (int(low[0]), int(top), int(high[0]), int(bottom))
        x, y = _page_points(card, scene.camera, box, scene.samples)
        under = np.repeat(
            np.repeat(light[box[1] : box[3], box[0] : box[2]], scene.samples, 0), scene.samples, 1
        )
        value = _reflectance(x, y, card, under)
        if first:
            value = _cover(x, y, value, scene)
        shape = (bottom - top, scene.samples, high[0] - low[0], scene.samples)
        light[box[1] : box[3], box[0] : box[2]] = value.reshape(shape).mean(axis=(1, 3))


def _page_points(
    card: Placed, camera: Camera, box: tuple[int, int, int, int], samples: int
) -> tuple[FloatArray, FloatArray]:
    """Page millimetres of every sample in a box of pixels."""
    left, top, right, bottom = box
    columns = np.arange((right - left) * samples)[None, :]
    rows = np.arange((bottom - top) * samples)[:, None]
    # Each row of samples is shifted against the next, so that an edge along the pixel grid is
    # sampled at samples**2 places, not at samples.
    across = (columns + (rows % samples + 0.5) / samples) / samples
    down = (rows + (columns % samples + 0.5) / samples) / samples
    matrix = camera.matrix
    x = (left - 0.5 + across - matrix[0, 2]) / matrix[0, 0]
    y = (top - 0.5 + down - matrix[1, 2]) / matrix[1, 1]
    x, y = _undistort(x, y, camera)
    to_plane = np.linalg.inv(
        np.column_stack([card.rotation[:, 0], card.rotation[:, 1], card.translation])
    )
    u, v, w = (row[0] * x + row[1] * y + row[2] for row in to_plane)
    w = np.where(w > 0, w, np.nan)
    return np.asarray(u / w), np.asarray(v / w)


def _undistort(x: FloatArray, y: FloatArray, camera: Camera) -> tuple[FloatArray, FloatArray]:
    if camera.k1 == 0.0 and camera.k2 == 0.0:
        return x, y
    ideal_x, ideal_y = x, y
    for _ in range(25):
        squared = ideal_x**2 + ideal_y**2
        stretch = 1 + camera.k1 * squared + camera.k2 * squared**2
        ideal_x, ideal_y = x / stretch, y / stretch
    return ideal_x, ideal_y


def _reflectance(x: FloatArray, y: FloatArray, card: Placed, under: FloatArray) -> FloatArray:
    pattern = _pattern(card.serial)
    x0, y0 = BOARD_ORIGIN_MM
    with np.errstate(invalid="ignore"):
        column = np.floor((x - x0) / CELL_MM)
        row = np.floor((y0 + 252.0 - y) / CELL_MM)
        on_board = (column >= 0) & (column < 50) & (row >= 0) & (row < 70)
        on_page = (x >= 0) & (x < card.page_mm[0]) & (y >= 0) & (y < card.page_mm[1])
    value = np.where(on_page, PAPER, under)
    cells = pattern[row[on_board].astype(int), column[on_board].astype(int)]
    value[on_board] = np.where(cells, PAPER, INK)
    return value


def _cover(x: FloatArray, y: FloatArray, value: FloatArray, scene: Scene) -> FloatArray:
    if scene.cover is not None:
        x0, y0, x1, y1 = scene.cover
        value = np.where((x > x0) & (x < x1) & (y > y0) & (y < y1), 0.35, value)
    if scene.glare is not None:
        cx, cy, radius = scene.glare
        fade = np.clip(2.0 - np.hypot(x - cx, y - cy) / radius, 0.0, 1.0)
        value = value + 3.0 * fade
    return value


def _pattern(serial: int) -> NDArray[np.bool_]:
    picture = opencv_board(serial).generateImage(BOARD_CELLS, None, 0, 1)
    return np.asarray(picture) > 127


def _develop(light: FloatArray, finish: Finish) -> GreyImage:
    if finish.blur_px > 0:
        light = np.asarray(cv2.GaussianBlur(light, (0, 0), finish.blur_px), dtype=np.float64)
    if finish.motion_px > 0:
        count = 2 * int(np.ceil(finish.motion_px / 2)) + 1
        reach = np.abs(np.arange(count) - count // 2)
        kernel = np.clip(finish.motion_px / 2 - reach + 0.5, 0, 1)
        motion = (kernel / kernel.sum())[None, :]
        light = np.asarray(cv2.filter2D(light, -1, motion), dtype=np.float64)
    toned = np.clip(light * finish.exposure, 0, 1) ** (1 / finish.gamma) * 255
    noise = np.random.default_rng(finish.seed).standard_normal(toned.shape, dtype=np.float32)
    toned = toned + finish.noise_dn * noise
    if finish.sharpen > 0:
        toned = toned + finish.sharpen * (toned - cv2.GaussianBlur(toned, (0, 0), 1.5))
    grey = np.clip(np.rint(toned), 0, 255).astype(np.uint8)
    if finish.jpeg is None:
        return grey
    _, data = cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, finish.jpeg])
    return np.asarray(cv2.imdecode(data, cv2.IMREAD_GRAYSCALE), dtype=np.uint8)
