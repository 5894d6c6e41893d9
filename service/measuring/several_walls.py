"""What the photos of several walls say together, where the same print is on more than one.

Walls have photos of their own and err apart, but for the print scale of their cards: cards carried
from wall to wall, or printed in one go, are out alike. Two walls that see one corner are then not
two witnesses to its height.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

from service.measuring.estimates import PhotoEstimates


def together(photos: Sequence[PhotoEstimates | None]) -> PhotoEstimates | None:
    """Walls as one Gaussian, in their order; None if no photo shows anything.

    Each wall's estimate moves with what was known of its prints beforehand by ``by_scale``, so two
    that owe to the same knowledge have the covariance G1 C G2', C being that of the knowledge.
    """
    there = [photo for photo in photos if photo is not None]
    if not there:
        return None
    names = tuple(name for photo in there for name in photo.names)
    ends = np.cumsum([0, *(len(photo.names) for photo in there)])
    covariance = np.zeros((len(names), len(names)))
    places = [slice(start, end) for start, end in pairwise(ends.tolist())]
    for place, photo in zip(places, there, strict=True):
        covariance[place, place] = photo.covariance_mm2
    for (at, one), (beside, other) in combinations(zip(places, there, strict=True), 2):
        shared = _shared_mm2(one, other)
        covariance[at, beside], covariance[beside, at] = shared, shared.T
    return PhotoEstimates(names, np.concatenate([photo.mm for photo in there]), covariance)


def _shared_mm2(one: PhotoEstimates, other: PhotoEstimates) -> NDArray[np.float64]:
    """(m, n) covariance of two walls' sizes."""
    if one.by_scale is None or other.by_scale is None:
        return np.zeros((len(one.names), len(other.names)))
    known = np.array([[a.covariance_with(b) for b in other.scales] for a in one.scales])
    return np.asarray(one.by_scale @ known @ other.by_scale.T)
