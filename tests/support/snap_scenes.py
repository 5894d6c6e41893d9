"""Small grey pictures with exact truth: bands, edges and discs, integrated over every pixel.

Shapes are functions of a place; each pixel is the mean over a fine grid of places, then blurred,
toned, given noise and rounded. Nothing of the package is used.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

import cv2
import numpy as np

from vision.units import FloatArray, GreyImage

Shape: TypeAlias = Callable[[FloatArray, FloatArray], FloatArray]
_SAMPLES: Final = 8


def picture(
    shape: Shape, size: int = 161, *, blur_px: float = 0.9, noise_dn: float = 2.0, seed: int = 0
) -> GreyImage:
    """The reflectance ``shape(x, y)`` seen by a camera with a 1/2.2 tone curve."""
    fine = (np.arange(size * _SAMPLES) + 0.5) / _SAMPLES - 0.5
    x, y = np.meshgrid(fine, fine)
    light = shape(x, y).reshape(size, _SAMPLES, size, _SAMPLES).mean(axis=(1, 3))
    light = cv2.GaussianBlur(light, (0, 0), blur_px)
    toned = 255 * np.clip(light, 0, 1) ** (1 / 2.2)
    toned += np.random.default_rng(seed).normal(0, noise_dn, toned.shape)
    return np.asarray(np.clip(np.rint(toned), 0, 255), dtype=np.uint8)


def bands(
    at: FloatArray, turns_deg: tuple[float, ...], width_px: float, wall: float = 0.5
) -> Shape:
    """Dark bands through ``at``, each turned from the x axis."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        value = np.full(x.shape, wall)
        for turn in np.deg2rad(turns_deg):
            across = (y - at[1]) * np.cos(turn) - (x - at[0]) * np.sin(turn)
            value[np.abs(across) < width_px / 2] = 0.12
        return value

    return reflectance


def lit_joints(at: FloatArray, turn_deg: float, width_px: float, rim_px: float) -> Shape:
    """Two joints that cross at ``at`` between rounded rims: one lit, one in the shade.

    The rims are as wide on both sides; what the one gains in light the other loses.
    """

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        value = np.full(x.shape, 0.55)
        for turn in np.deg2rad([turn_deg, turn_deg + 90.0]):
            across = (y - at[1]) * np.cos(turn) - (x - at[0]) * np.sin(turn)
            beyond = np.abs(across) - width_px / 2
            rim = (beyond > 0) & (beyond < rim_px)
            value[rim] = np.where(across[rim] > 0, 0.70, 0.40)
        for turn in np.deg2rad([turn_deg, turn_deg + 90.0]):
            across = (y - at[1]) * np.cos(turn) - (x - at[0]) * np.sin(turn)
            value[np.abs(across) < width_px / 2] = 0.2
        return value

    return reflectance


def quadrant(at: FloatArray, turn_deg: float, opening_deg: float) -> Shape:
    """A light wedge with its tip at ``at`` on a darker ground."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        angle = np.rad2deg(np.arctan2(y - at[1], x - at[0])) - turn_deg
        return np.where(np.mod(angle, 360.0) < opening_deg, 0.62, 0.40)

    return reflectance


def plain(wall: float = 0.5) -> Shape:
    """A painted wall with nothing on it."""
    return lambda x, y: np.full(x.shape, wall) + 0.004 * np.sin(x / 23.0) * np.sin(y / 17.0)


def disc(to_plane: FloatArray, centre_mm: FloatArray, radius_mm: float) -> Shape:
    """A grey disc on a plane; ``to_plane`` (3, 3) takes pixels to its millimetres."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        u, v, w = (row[0] * x + row[1] * y + row[2] for row in to_plane)
        inside = np.hypot(u / w - centre_mm[0], v / w - centre_mm[1]) < radius_mm
        return np.where(inside, 0.25, 0.6)

    return reflectance
