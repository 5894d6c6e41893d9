"""A rectangle of the wall as a picture: which millimetre lies in which pixel."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np

from vision.units import FloatArray

LARGEST_PX: Final = 40_000_000
FINEST_MM_PER_PX: Final = 0.2
COARSEST_MM_PER_PX: Final = 20.0


@dataclass(frozen=True)
class PlaneFrame:
    """Where the report's frame lies in the frame of the adjustment.

    ``origin_mm`` (2,) and unit vector ``along`` (2,) of its x axis.
    """

    origin_mm: FloatArray
    along: FloatArray

    def on_wall(self, points_mm: FloatArray) -> FloatArray:
        """Points (n, 2) of the report's frame in the adjustment's."""
        up = np.array([-self.along[1], self.along[0]])
        return np.asarray(self.origin_mm + points_mm[:, :1] * self.along + points_mm[:, 1:2] * up)

    def from_wall(self, points_mm: FloatArray) -> FloatArray:
        """Points (n, 2) of the adjustment's frame in the report's."""
        away = points_mm[:, :2] - self.origin_mm
        up = np.array([-self.along[1], self.along[0]])
        return np.column_stack([away @ self.along, away @ up])


@dataclass(frozen=True)
class Area:
    """A rectangle of the wall, report's frame, mm, and the picture's scale.

    Raises
    ------
    ValueError
        For a scale outside `FINEST_MM_PER_PX` to `COARSEST_MM_PER_PX`, an empty rectangle, or
        a picture of more than `LARGEST_PX`.
    """

    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float
    mm_per_px: float

    def __post_init__(self) -> None:
        check_scale(self.mm_per_px)
        if not (self.right_mm > self.left_mm and self.top_mm > self.bottom_mm):
            raise ValueError("expected an area of the wall that is not empty")
        width, height = self.size_px
        if width * height > LARGEST_PX:
            raise ValueError(
                f"the picture would have {width * height / 1e6:.0f} megapixels: expected more "
                "millimetres for each pixel"
            )

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height."""
        return (
            ceil((self.right_mm - self.left_mm) / self.mm_per_px - 1e-9),
            ceil((self.top_mm - self.bottom_mm) / self.mm_per_px - 1e-9),
        )

    def pixels(self, points_mm: FloatArray) -> FloatArray:
        """Pixels (n, 2) of points (n, 2+); the centre of the top left pixel is (0, 0)."""
        x = (points_mm[:, 0] - self.left_mm) / self.mm_per_px - 0.5
        y = (self.top_mm - points_mm[:, 1]) / self.mm_per_px - 0.5
        return np.column_stack([x, y])

    def points(self, x_px: FloatArray, y_px: FloatArray) -> FloatArray:
        """Points (rows, columns, 2), mm, at picture columns ``x_px`` and rows ``y_px``."""
        x = self.left_mm + (x_px + 0.5) * self.mm_per_px
        y = self.top_mm - (y_px + 0.5) * self.mm_per_px
        return np.stack(np.meshgrid(x, y), axis=-1)


def area_round(points_mm: FloatArray, margin_mm: float, mm_per_px: float) -> Area:
    """The area that holds points (n, 2+) with a margin, on whole millimetres."""
    low = np.floor(points_mm[:, :2].min(axis=0) - margin_mm)
    high = np.ceil(points_mm[:, :2].max(axis=0) + margin_mm)
    return Area(float(low[0]), float(low[1]), float(high[0]), float(high[1]), mm_per_px)


def check_scale(mm_per_px: float) -> None:
    """ValueError for a scale outside `FINEST_MM_PER_PX` to `COARSEST_MM_PER_PX`."""
    if not FINEST_MM_PER_PX <= mm_per_px <= COARSEST_MM_PER_PX:
        raise ValueError(f"expected {FINEST_MM_PER_PX} to {COARSEST_MM_PER_PX} mm for each pixel")
