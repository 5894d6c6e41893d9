"""The part of a photo round a tap, and how its grey changes there.

Offsets are pixels from the tap's nearest whole pixel, x right, y down.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

import cv2
import numpy as np

from vision.units import FloatArray, FloatImage, GreyImage, IntArray

HALF_PX: Final = 30
"""How far a line is followed on either side of the tap."""
STEP_SCALE_PX: Final = 1.0
LINE_SCALES_PX: Final = (1.2, 2.4)
"""Gaussian scales at which steps and lines are looked for: pencil, then joints."""
LEAST_STEP_DN: Final = 5.0
LEAST_LINE_DN: Final = 5.0
"""Contrasts below which a change of grey is taken for the wall's own mottling."""
_NOISE_FACTOR: Final = 1.5
"""A compressed photo's noise is smooth: pixel differences show less of it than there is."""
_SIGNIFICANT: Final = 3.0
_MARGIN: Final = 10


@dataclass(frozen=True)
class Field:
    """Derivatives of the smoothed grey over the window, and what counts as a change.

    Attributes
    ----------
    kind
        ``step`` (first derivative) or ``line`` (second derivative).
    parts
        Maps (h, w): gx, gy for steps, hxx, hxy, hyy for lines.
    slopes
        Maps (h, w): gx, gy at the same scale.
    scale_px
        Gaussian scale.
    least
        Response below which nothing is there: noise or contrast, whichever is more.
    noise
        Standard deviation of the response from noise alone.
    """

    kind: str
    parts: tuple[FloatImage, ...]
    slopes: tuple[FloatImage, FloatImage]
    scale_px: float
    least: float
    noise: float

    @property
    def dn_per_response(self) -> float:
        """Contrast of a step, or of a line about as wide as the scale, for a response of one."""
        return sqrt(2 * pi) * self.scale_px ** (1 if self.kind == "step" else 2)

    def along(self, normal: FloatArray, places: tuple[FloatImage, FloatImage]) -> FloatArray:
        """Response across lines of unit ``normal`` at map ``places`` (x, y), window pixels."""
        got = [cv2.remap(p, *places, cv2.INTER_LINEAR) for p in self.parts]
        if self.kind == "step":
            return np.asarray(normal[0] * got[0] + normal[1] * got[1], dtype=np.float64)
        xx, xy, yy = got
        x, y = normal
        return np.asarray(x * x * xx + 2 * x * y * xy + y * y * yy, dtype=np.float64)

    def slope(self, normal: FloatArray, places: tuple[FloatImage, FloatImage]) -> FloatArray:
        """First derivative along ``normal`` at map ``places``."""
        gx, gy = (cv2.remap(p, *places, cv2.INTER_LINEAR) for p in self.slopes)
        return np.asarray(normal[0] * gx + normal[1] * gy, dtype=np.float64)


@dataclass(frozen=True)
class Window:
    """Square cut from the photo.

    Attributes
    ----------
    origin
        (2,) photo pixel of the offset (0, 0).
    centre
        Index of that pixel in the maps.
    grey
        The photo's own, (h, w).
    fields
        One for steps, one for lines at each scale.
    """

    origin: FloatArray
    centre: int
    grey: FloatImage
    fields: tuple[Field, ...]

    def places(self, offsets: FloatArray) -> tuple[FloatImage, FloatImage]:
        """Map coordinates of ``offsets`` (..., 2)."""
        x = np.asarray(offsets[..., 0] + self.centre, dtype=np.float32)
        y = np.asarray(offsets[..., 1] + self.centre, dtype=np.float32)
        return x, y


def cut_window(grey: GreyImage, tap: FloatArray) -> Window:
    """The window round ``tap``; beyond the photo's frame its rim is mirrored."""
    origin = np.rint(tap).astype(int)
    reach = HALF_PX + _MARGIN
    low = origin - reach
    rows = _mirrored(np.arange(low[1], low[1] + 2 * reach + 1), grey.shape[0])
    columns = _mirrored(np.arange(low[0], low[0] + 2 * reach + 1), grey.shape[1])
    patch = grey[np.ix_(rows, columns)].astype(np.float32)
    noise = _noise_dn(patch)
    fields = (_steps(patch, noise), *(_lines(patch, noise, s) for s in LINE_SCALES_PX))
    return Window(origin.astype(np.float64), reach, patch, fields)


def _mirrored(index: IntArray, size: int) -> IntArray:
    folded = np.abs(index) % max(2 * size - 2, 1)
    return np.asarray(np.minimum(folded, 2 * size - 2 - folded), dtype=np.int64)


def _noise_dn(patch: FloatImage) -> float:
    """From second differences, of which edges touch only a few."""
    second = patch[:, 2:] - 2 * patch[:, 1:-1] + patch[:, :-2]
    return _NOISE_FACTOR * float(np.median(np.abs(second))) / (0.6745 * sqrt(6.0))


def _steps(patch: FloatImage, noise_dn: float) -> Field:
    slopes = _slopes(_f32(cv2.GaussianBlur(patch, (0, 0), STEP_SCALE_PX)))
    noise = noise_dn / (sqrt(8 * pi) * STEP_SCALE_PX**2)
    peak = LEAST_STEP_DN / (sqrt(2 * pi) * STEP_SCALE_PX)
    return Field("step", slopes, slopes, STEP_SCALE_PX, max(peak, _SIGNIFICANT * noise), noise)


def _lines(patch: FloatImage, noise_dn: float, scale: float) -> Field:
    slopes = _slopes(_f32(cv2.GaussianBlur(patch, (0, 0), scale)))
    (xx, xy), (_, yy) = _slopes(slopes[0]), _slopes(slopes[1])
    noise = noise_dn * sqrt(3 / (16 * pi)) / scale**3
    # a band as wide as the scale, so deep, has this second derivative in its middle
    peak = LEAST_LINE_DN / (sqrt(2 * pi) * scale**2)
    least = max(peak, _SIGNIFICANT * noise)
    return Field("line", (xx, xy, yy), slopes, scale, least, noise)


def _slopes(smooth: FloatImage) -> tuple[FloatImage, FloatImage]:
    central = np.array([[-0.5, 0, 0.5]], dtype=np.float32)
    return _f32(cv2.filter2D(smooth, -1, central)), _f32(cv2.filter2D(smooth, -1, central.T))


def _f32(values: object) -> FloatImage:
    return np.asarray(values, dtype=np.float32)
