"""Photos of card sheets on walls, composed by means of their own: no renderer, no package code.

The sheet is the printed page as a PDF reader draws it; the wall is anybody's photo. Each pixel of
the camera is followed back through its lens (three radial and two tangential terms) and the time at
which its row was read, to the wall or to a sheet on it. What a phone does to the light follows:
blur, shading, colour mosaic and its interpolation, noise, tone curve, local contrast, sharpening.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import cv2
import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Picture = NDArray[np.uint8]
LETTER_MM = (215.9, 279.4)
STRIP = 256
"""Rows that are composed at a time."""
STEP = 4
"""Samples between which places on the wall are interpolated; a thousandth of a pixel is lost."""
OVER = 2
"""Samples a pixel, each way."""


@dataclass(frozen=True)
class Camera:
    """A phone's camera: pose by place and target (mm), roll in degrees.

    ``k`` is (k1, k2, p1, p2, k3) in OpenCV's terms; ``shake_rad`` is the turn of the phone while
    the rows are read, about the camera's x, y and z.
    """

    size: tuple[int, int]
    f_px: float
    place: tuple[float, float, float]
    target: tuple[float, float, float] = (760.0, 780.0, 0.0)
    roll_deg: float = 0.0
    off_centre: tuple[float, float] = (7.0, -11.0)
    k: tuple[float, float, float, float, float] = (0.012, -0.008, 2e-4, -2e-4, 0.003)
    shake_rad: tuple[float, float, float] = (2e-4, -2e-4, 1e-4)

    @property
    def turn(self) -> Floats:
        """(3, 3) wall to camera: x right, y down, z forward."""
        forward = np.subtract(self.target, self.place)
        forward = forward / np.linalg.norm(forward)
        right = np.cross(forward, (0.0, 1.0, 0.0))
        right /= np.linalg.norm(right)
        c, s = cos(radians(self.roll_deg)), sin(radians(self.roll_deg))
        level = np.array([right, np.cross(forward, right), forward])
        return np.asarray(np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ level)

    @property
    def middle(self) -> Floats:
        """Principal point."""
        return (np.array(self.size) - 1) / 2 + self.off_centre

    def rays(self, x: Floats, y: Floats) -> Floats:
        """(..., 3) directions on the wall's axes in which pixels look."""
        seen_x, seen_y = (x - self.middle[0]) / self.f_px, (y - self.middle[1]) / self.f_px
        u, v = seen_x.copy(), seen_y.copy()
        for _ in range(20):
            bent_u, bent_v = self._bend(u, v)
            u, v = u + seen_x - bent_u, v + seen_y - bent_v
        rays = np.stack([u, v, np.ones_like(u)], axis=-1)
        late = (y / self.size[1] - 0.5)[..., None]
        rays = rays + late * np.cross(np.broadcast_to(self.shake_rad, rays.shape), rays)
        return np.asarray(rays @ self.turn)

    def project(self, points: Floats) -> Floats:
        """(n, 2) pixels of points (n, 3); found by following rays, so that it inverts them."""
        seen = (np.atleast_2d(points) - self.place) @ self.turn.T
        pixels = self.middle + self.f_px * seen[:, :2] / seen[:, 2:]
        for _ in range(30):
            rays = self.rays(pixels[:, 0], pixels[:, 1]) @ self.turn.T
            off = seen[:, :2] / seen[:, 2:] - rays[:, :2] / rays[:, 2:]
            pixels = pixels + self.f_px * off
        return np.asarray(pixels)

    def _bend(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        k1, k2, p1, p2, k3 = self.k
        r2 = u * u + v * v
        radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3))
        return (
            u * radial + 2 * p1 * u * v + p2 * (r2 + 2 * u * u),
            v * radial + p1 * (r2 + 2 * v * v) + 2 * p2 * u * v,
        )


@dataclass(frozen=True)
class Hung:
    """A printed page on the wall: lower left corner (mm), turn, height, and true over nominal."""

    page: Floats
    at: tuple[float, float]
    turn_rad: float = 0.0
    height_mm: float = 0.4
    scale: tuple[float, float] = (1.0, 1.0)

    def on_page(self, points: Floats) -> Floats:
        """(..., 2) shares of the page's width and height at points of its plane."""
        c, s = cos(self.turn_rad), sin(self.turn_rad)
        x, y = points[..., 0] - self.at[0], points[..., 1] - self.at[1]
        width, height = np.multiply(LETTER_MM, self.scale)
        return np.stack([(c * x + s * y) / width, (c * y - s * x) / height], axis=-1)


def drawn_page(pdf: bytes, dots_per_mm: float = 5.9) -> Floats:
    """The first page as a PDF reader draws it, 0 black to 1 white."""
    page = pdfium.PdfDocument(pdf)[0]
    picture = page.render(scale=dots_per_mm * 25.4 / 72, grayscale=True).to_numpy()
    return np.asarray(picture.reshape(picture.shape[:2]), dtype=np.float64) / 255


def wall_from(photo: Picture, size_mm: tuple[int, int] = (2800, 2600)) -> Floats:
    """Anybody's photo as a wall's reflectance, a millimetre a pixel, mirrored on and on."""
    grey = (photo if photo.ndim == 2 else cv2.cvtColor(photo, cv2.COLOR_BGR2GRAY)) / 255.0
    four = np.block([[grey, grey[:, ::-1]], [grey[::-1], grey[::-1, ::-1]]])
    times = -(-size_mm[1] // four.shape[0]), -(-size_mm[0] // four.shape[1])
    return np.asarray(np.tile(four, times)[: size_mm[1], : size_mm[0]] ** 2.2 * 0.9 + 0.01)


def light_of(wall: Floats, sheets: Sequence[Hung], camera: Camera) -> NDArray[np.float32]:
    """(height, width) light on each pixel; the wall's lower left is at (-600, -300) mm."""
    width, height = camera.size
    light = np.empty((height, width), dtype=np.float32)
    for top in range(0, height, STRIP):
        rows = min(STRIP, height - top)
        x, y = np.meshgrid(_samples(0, width), _samples(top, rows))
        rays = camera.rays(x, y)
        fine = _on_wall(wall, rays, camera, (rows, width))
        for sheet in sheets:
            _hang(fine, sheet, rays, camera)
        light[top : top + rows] = cv2.resize(fine, (width, rows), interpolation=cv2.INTER_AREA)
    return light


def photographed(light: NDArray[np.float32], seed: int, blur_px: float = 0.7) -> Picture:
    """(height, width, 3) BGR picture that a phone makes of this light."""
    rng = np.random.default_rng(seed)
    height, width = light.shape
    x, y = np.meshgrid(np.linspace(-1, 1, width), np.linspace(-1, 1, height))
    shaded = cv2.GaussianBlur(light, (0, 0), blur_px) * (1 - 0.2 * (x * x + y * y))
    raw = shaded * 0.8 / np.percentile(shaded[::8, ::8], 98)
    raw = raw + np.sqrt(raw.clip(0)) * 0.012 * rng.standard_normal(raw.shape)
    mosaic = (raw.clip(0, 1) * 65535).astype(np.uint16)
    linear = cv2.cvtColor(mosaic, cv2.COLOR_BayerBG2BGR_EA) / 65535.0
    toned = linear ** (1 / 2.2)
    toned = 0.65 * toned + 0.35 * toned**2 * (3 - 2 * toned)
    picture = cv2.bilateralFilter((toned * 255).astype(np.uint8), 5, 14, 1.5)
    lab = cv2.cvtColor(picture, cv2.COLOR_BGR2LAB)
    local = cv2.createCLAHE(2.0, (8, 6)).apply(np.ascontiguousarray(lab[..., 0]))
    lab[..., 0] = cv2.addWeighted(lab[..., 0], 0.5, local, 0.5, 0)
    picture = cv2.cvtColor(lab, cv2.COLOR_LAB2BGR)
    soft = cv2.GaussianBlur(picture, (0, 0), 1.1)
    return np.asarray(cv2.addWeighted(picture, 1.8, soft, -0.8, 0), dtype=np.uint8)


def _samples(start: int, pixels: int) -> Floats:
    """Places at which rays are followed, with one more beyond the end."""
    return (np.arange(0, pixels * OVER + STEP, STEP) + 0.5) / OVER - 0.5 + start


def _between(coarse: Floats, shape: tuple[int, int]) -> NDArray[np.float32]:
    to_coarse = np.array([[1 / STEP, 0, 0], [0, 1 / STEP, 0]])
    size = (shape[1] * OVER, shape[0] * OVER)
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(cv2.warpAffine(coarse.astype(np.float32), to_coarse, size, flags=how))


def _met(rays: Floats, camera: Camera, height_mm: float) -> Floats:
    along = (height_mm - camera.place[2]) / rays[..., 2]
    return np.asarray(np.array(camera.place) + along[..., None] * rays)


def _on_wall(
    wall: Floats, rays: Floats, camera: Camera, shape: tuple[int, int]
) -> NDArray[np.float32]:
    points = _met(rays, camera, 0.0)
    column = _between(points[..., 0] + 600 - 0.5, shape)
    row = _between(len(wall) - 300 - points[..., 1] - 0.5, shape)
    return np.asarray(
        cv2.remap(
            wall.astype(np.float32), column, row, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
        )
    )


def _hang(fine: NDArray[np.float32], sheet: Hung, rays: Floats, camera: Camera) -> None:
    """Lay a sheet over what the camera sees of the wall."""
    shape = (fine.shape[0] // OVER, fine.shape[1] // OVER)
    place = sheet.on_page(_met(rays, camera, sheet.height_mm))
    if not np.any(np.all((place > -0.05) & (place < 1.05), axis=-1)):
        return
    u, v = _between(place[..., 0], shape), _between(place[..., 1], shape)
    high, wide = sheet.page.shape
    ink = cv2.remap(
        sheet.page.astype(np.float32), u * wide - 0.5, (1 - v) * high - 0.5, cv2.INTER_LINEAR
    )
    on = (u >= 0) & (u <= 1) & (v >= 0) & (v <= 1)
    fine[on] = 0.03 + 0.79 * ink[on]
