"""A card found in one photo: identified X-corners with their covariance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vision.units import FloatArray, IntArray


@dataclass(frozen=True)
class FoundCard:
    """X-corners of one card in one photo.

    Attributes
    ----------
    serial
        Which card it is.
    corner_ids
        (n,) indices into ``CardDesign.corners_mm``.
    pixels
        (n, 2) refined positions, pixel centres at integers.
    covariance_px2
        (n, 2, 2) covariance of each position, never less than the a priori floor.
    contrast
        Median local contrast round the corners, grey levels.
    blur_px
        Gaussian edge spread, the worse of the two edge directions, pixels.
    pixels_per_cell
        Size of a marker's cell in the photo as shot, in its most foreshortened direction.
    tilt_deg
        Angle between the line of sight and the sheet's normal, from the homography.
    saturated
        Share of the sheet's pixels at white or black limit.
    """

    serial: int
    corner_ids: IntArray
    pixels: FloatArray
    covariance_px2: FloatArray
    contrast: float
    blur_px: float
    pixels_per_cell: float
    tilt_deg: float
    saturated: float
