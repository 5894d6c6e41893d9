"""Pictures that are not a photo as its camera kept it: what they are by header and pixels."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from vision.errors import Refusal
from vision.photo.photograph import Header, Photograph
from vision.units import BoolArray, GreyImage

WIDEST_ASPECT: Final = 2.2
"""Wider than any frame a phone takes at once: screens' 21:9 is 2.33, but no sensor's."""
SCREEN_ASPECT: Final = 1.7
"""Screens are longer than this; a photo's 4:3 and 3:2 are not."""
_LEAST_BAR: Final = 0.03
"""Share of the picture's side that a bar must fill, on both ends."""
_FLAT_DN: Final = 1
_MEMORY_STEP: Final = 4


def judged(photo: Photograph) -> Photograph:
    """The photo, marked as a screenshot where its pixels show it.

    Raises
    ------
    Refusal
        ``panorama``.
    """
    header = photo.header
    long_px = max(header.width_px, header.height_px)
    short_px = min(header.width_px, header.height_px)
    if header.stitched or long_px > WIDEST_ASPECT * short_px:
        raise Refusal(
            "panorama",
            "The photo is a panorama or a strip: put together from many, or cut from one, so that "
            "no one place of the camera fits all of it.",
            "Take normal photos instead, from two places, each with a whole card in it.",
            {"width_px": header.width_px, "height_px": header.height_px},
        )
    if header.altered is None and _may_be_screen(header) and has_flat_bars(photo.grey):
        return replace(photo, header=replace(header, altered="screenshot"))
    return photo


def has_flat_bars(grey: GreyImage) -> bool:
    """Whether two opposite ends of a picture are bars of one even grey, as no camera makes."""
    return _ends_flat(grey) or _ends_flat(grey.T)


def _may_be_screen(header: Header) -> bool:
    """No camera data, and as long as a screen: a photo stripped by a messenger is 4:3 or 3:2."""
    told = (header.make, header.model, header.focal_mm, header.focal_35mm_mm)
    long_px = max(header.width_px, header.height_px)
    return not any(told) and long_px > SCREEN_ASPECT * min(header.width_px, header.height_px)


def _ends_flat(grey: GreyImage) -> bool:
    flat = _flat_rows(grey[:, ::_MEMORY_STEP])
    return all(_run(ends) >= max(2, _LEAST_BAR * len(flat)) for ends in (flat, flat[::-1]))


def _flat_rows(grey: GreyImage) -> BoolArray:
    return np.asarray(grey.max(axis=1) - grey.min(axis=1) <= _FLAT_DN)


def _run(flat: BoolArray) -> int:
    """How many of the first rows are flat, one after another."""
    return int(len(flat) if flat.all() else np.argmin(flat))
