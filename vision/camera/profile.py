"""The profile of one phone's lens, as a value."""

from __future__ import annotations

from dataclasses import dataclass

from vision.camera.prior import LensKey
from vision.units import FloatArray


@dataclass(frozen=True)
class LensProfile:
    """Lens constants with their covariance.

    ``mean`` is (log f, cx, cy, k1, k2), the centre relative to the picture's, sensor frame;
    ``covariance`` (5, 5) of the same. What differs from one exposure to the next (focus,
    stabiliser) is not in it.
    """

    key: LensKey
    mean: FloatArray
    covariance: FloatArray
    photos: int
