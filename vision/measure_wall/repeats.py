"""The same photo given twice, under two names: it is one observation, and counts as one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from vision.measure_wall.request import PhotoRequest, WallRequest
from vision.measure_wall.sight import Sight


def repeated_sights(sights: Sequence[Sight]) -> dict[int, int]:
    """For each photo that shows just what an earlier one does, to the last digit, that earlier one.

    No two exposures put the corners of a card at the same places to a billionth of a pixel.
    """
    found: dict[int, int] = {}
    for later in range(len(sights)):
        for earlier in range(later):
            if earlier not in found and _is_same(sights[earlier], sights[later]):
                found[later] = earlier
                break
    return found


def with_marks_joined(request: WallRequest, repeated: dict[int, int]) -> WallRequest:
    """The request with marks that only a repeated photo has set in the photo that it repeats."""
    if not repeated:
        return request
    photos = list(request.photos)
    for later, earlier in repeated.items():
        known = {tap.name for tap in photos[earlier].taps}
        more = tuple(tap for tap in photos[later].taps if tap.name not in known)
        photos[earlier] = replace(photos[earlier], taps=(*photos[earlier].taps, *more))
        photos[later] = PhotoRequest(photos[later].name)
    return replace(request, photos=tuple(photos))


def _is_same(one: Sight, other: Sight) -> bool:
    if not one.cards or one.header != other.header or len(one.cards) != len(other.cards):
        return False
    return all(
        a.serial == b.serial
        and np.array_equal(a.corner_ids, b.corner_ids)
        and np.array_equal(a.pixels, b.pixels)
        for a, b in zip(one.cards, other.cards, strict=True)
    )
