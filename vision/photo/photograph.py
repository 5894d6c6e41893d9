"""What decoding yields: pixels in the upright frame and the header's facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from vision.units import GreyImage

Altered: TypeAlias = Literal["screenshot", "cropped", "resized", "edited"]


@dataclass(frozen=True)
class Header:
    """What a photo's metadata says about the camera; every field may be missing.

    ``width_px`` and ``height_px`` are those of the upright picture, ``stated_...`` the sides that
    the camera wrote down. ``altered`` says what was done to the picture since, ``stitched`` that
    it was put together from several.
    """

    width_px: int
    height_px: int
    make: str | None = None
    model: str | None = None
    lens_model: str | None = None
    focal_mm: float | None = None
    focal_35mm_mm: float | None = None
    digital_zoom: float | None = None
    orientation: int = 1
    stated_long_px: int | None = None
    stated_short_px: int | None = None
    altered: Altered | None = None
    stitched: bool = False


@dataclass(frozen=True)
class Photograph:
    """A decoded photo.

    ``grey`` is (height, width) uint8, read-only, with the EXIF orientation applied once. Pixel
    coordinates have their origin at the centre of the top left pixel, x right, y down.
    """

    grey: GreyImage
    header: Header
