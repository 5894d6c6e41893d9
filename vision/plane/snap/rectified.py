"""Part of a photo laid flat into the wall's plane, and how its grey changes along spokes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from vision.units import FloatArray, FloatImage, GreyImage

SMOOTH_PX: Final = 1.2
_ROWS: Final = 64


@dataclass(frozen=True)
class Patch:
    """Part of the photo laid into the plane, about as fine as the photo is there.

    ``to_pixel`` (3, 3) maps patch pixels to the photo's, ``to_mm`` to the plane's millimetres.
    """

    gx: FloatImage
    gy: FloatImage
    middle: int
    px_per_mm: float
    to_pixel: FloatArray
    to_mm: FloatArray

    @classmethod
    def around(
        cls, grey: GreyImage, homography: FloatArray, tap: FloatArray, reach_mm: float
    ) -> Patch:
        """The patch ``reach_mm`` each way round a tap (2,), px; ``homography`` is mm to px."""
        at_mm = mapped(np.asarray(np.linalg.inv(homography), np.float64), tap[None])[0]
        step = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
        at, x, y = mapped(homography, np.asarray(at_mm + step))
        scale = float(np.sqrt(abs(np.linalg.det(np.column_stack([x - at, y - at])))))
        middle = int(np.ceil(reach_mm * scale))
        to_mm = np.array(
            [
                [1 / scale, 0, at_mm[0] - middle / scale],
                [0, -1 / scale, at_mm[1] + middle / scale],
                [0, 0, 1],
            ]
        )
        to_pixel = homography @ to_mm
        flat = cv2.warpPerspective(
            grey,
            to_pixel,
            (2 * middle + 1, 2 * middle + 1),
            flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )
        smooth = cv2.GaussianBlur(flat.astype(np.float32), (0, 0), SMOOTH_PX)
        central = np.array([[-0.5, 0, 0.5]], dtype=np.float32)
        gx, gy = cv2.filter2D(smooth, -1, central), cv2.filter2D(smooth, -1, central.T)
        return cls(
            np.asarray(gx, np.float32), np.asarray(gy, np.float32), middle, scale, to_pixel, to_mm
        )

    def outward(self, places: FloatArray, spokes: FloatArray) -> FloatArray:
        """Change of grey along ``spokes`` (..., 2) at patch ``places`` (..., 2)."""
        shape = places.shape[:-1]
        flat = places.reshape(-1, 2).astype(np.float32)
        # cv2.remap takes no map longer than a signed 16-bit count on a side
        pad = -len(flat) % _ROWS
        flat = np.pad(flat, ((0, pad), (0, 0)))
        x, y = flat[:, 0].reshape(_ROWS, -1), flat[:, 1].reshape(_ROWS, -1)
        count = int(np.prod(shape))
        along_x, along_y = (
            cv2.remap(slope, x, y, cv2.INTER_LINEAR).ravel()[:count].reshape(shape)
            for slope in (self.gx, self.gy)
        )
        return np.asarray(along_x * spokes[..., 0] + along_y * spokes[..., 1], dtype=np.float64)


def mapped(homography: FloatArray, points: FloatArray) -> FloatArray:
    """Points (n, 2) through a homography (3, 3), in the units of its other side."""
    lifted = np.column_stack([points, np.ones(len(points))]) @ homography.T
    return np.asarray(lifted[:, :2] / lifted[:, 2:])
