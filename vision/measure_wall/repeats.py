"""One photo given twice, as it is or as somebody sent it on: one observation, counted once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from vision.measure_wall.request import PhotoRequest, Tap, WallRequest
from vision.measure_wall.sight import Sight
from vision.photo.photograph import Header
from vision.units import FloatArray

_SAME_PX: Final = 0.3
"""Root mean square by which a copy's corners are off, in its pixels. Between two exposures out of
the hand the phone moves by more; from a tripod the second one says nothing new."""
_SAME_SHAPE: Final = 0.003
_LEAST_CORNERS: Final = 8


def repeated_sights(sights: Sequence[Sight]) -> dict[int, int]:
    """For each photo that is another one over again, that one.

    A phone's JPEG beside its HEIC, a photo sent on by a messenger that shrank it, the file itself:
    of these the one counts that has its camera's data and most pixels, and the earlier of equals.
    """
    found: dict[int, int] = {}
    kept: list[int] = []
    for index in sorted(range(len(sights)), key=lambda index: _worth(sights[index])):
        same = next((other for other in kept if _is_same(sights[other], sights[index])), None)
        if same is None:
            kept.append(index)
        else:
            found[index] = same
    return found


def with_marks_joined(
    request: WallRequest, repeated: dict[int, int], sights: Sequence[Sight]
) -> WallRequest:
    """The request with marks that only a repeated photo has set in the photo that it repeats."""
    photos = list(request.photos)
    for copy, kept in repeated.items():
        known = {tap.name for tap in photos[kept].taps}
        scale = _scale(sights[copy], sights[kept])
        more = tuple(_scaled(tap, scale) for tap in photos[copy].taps if tap.name not in known)
        photos[kept] = replace(photos[kept], taps=(*photos[kept].taps, *more))
        photos[copy] = PhotoRequest(photos[copy].name)
    return replace(request, photos=tuple(photos))


def _worth(sight: Sight) -> tuple[bool, int]:
    """Small for a photo that is kept rather than its copy."""
    header = sight.header
    return (True, 0) if header is None else (header.focal_35mm_mm is None, -_pixels(header))


def _pixels(header: Header) -> int:
    return header.width_px * header.height_px


def _is_same(one: Sight, other: Sight) -> bool:
    if one.header is None or other.header is None or not one.cards:
        return False
    aspects = [h.width_px / h.height_px for h in (one.header, other.header)]
    if abs(aspects[0] / aspects[1] - 1) > _SAME_SHAPE:
        return False
    scale = _scale(one, other)
    apart = _apart(one, other, scale)
    return len(apart) >= _LEAST_CORNERS and bool(
        np.sqrt(np.mean(apart**2)) < _SAME_PX * max(scale, 1.0)
    )


def _apart(one: Sight, other: Sight, scale: float) -> FloatArray:
    """(n, 2) how far corners of cards in both lie apart, in pixels of the other."""
    found = [np.zeros((0, 2))]
    for card in one.cards:
        for same in (c for c in other.cards if c.serial == card.serial):
            _, here, there = np.intersect1d(card.corner_ids, same.corner_ids, return_indices=True)
            found.append(_to(card.pixels[here], scale) - same.pixels[there])
    return np.concatenate(found)


def _scale(one: Sight, other: Sight) -> float:
    """Width of the other's picture over that of the one."""
    if one.header is None or other.header is None:
        return 1.0
    return other.header.width_px / one.header.width_px


def _to(pixels: FloatArray, scale: float) -> FloatArray:
    """Pixels in a picture so many times as large; a pixel's centre is at an integer."""
    return (pixels + 0.5) * scale - 0.5


def _scaled(tap: Tap, scale: float) -> Tap:
    x, y = _to(np.array(tap.at_px), scale)
    spread = tap.covariance_px2
    if spread is not None:
        (a, b), (c, d) = (np.array(spread) * scale**2).tolist()
        spread = ((a, b), (c, d))
    return replace(tap, at_px=(float(x), float(y)), sd_px=tap.sd_px * scale, covariance_px2=spread)
