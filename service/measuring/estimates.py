"""What is judged: photo estimates, tape observations, and further equations between sizes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

_K95: Final = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard uncertainty, mm."""

    mm: float
    u_mm: float

    @property
    def interval95_mm(self) -> tuple[float, float]:
        return (self.mm - _K95 * self.u_mm, self.mm + _K95 * self.u_mm)


@dataclass(frozen=True, slots=True)
class KnownScale:
    """A print scale along one axis of the paper, as it was known before any photo.

    The same knowledge of two walls is the same error in both. ``common_u`` is the part of ``u``
    that is one error in all scales of the axis that have such a part.
    """

    name: str
    axis: str
    scale: float
    u: float
    common_u: float = 0.0

    def covariance_with(self, other: KnownScale) -> float:
        if self == other:
            return self.u**2
        return self.common_u * other.common_u if self.axis == other.axis else 0.0


@dataclass(frozen=True, slots=True)
class PhotoEstimates:
    """What the photos alone say of the dimensions they can see: one joint Gaussian.

    Attributes
    ----------
    names
        m dimension names.
    mm
        Values (m,), signed as the dimension is.
    covariance_mm2
        Covariance (m, m); may be singular, since more dimensions can be asked for than points
        were marked.
    scales
        k print scales as they were known beforehand, where other walls may owe to them too.
    by_scale
        (m, k) how far each dimension follows what was known of each, mm per unit of scale.
    """

    names: tuple[str, ...]
    mm: NDArray[np.float64]
    covariance_mm2: NDArray[np.float64]
    scales: tuple[KnownScale, ...] = ()
    by_scale: NDArray[np.float64] | None = None

    def __post_init__(self) -> None:
        count = len(self.names)
        if len(set(self.names)) != count:
            raise ValueError("photo estimates: expected each dimension once")
        if self.mm.shape != (count,) or self.covariance_mm2.shape != (count, count):
            raise ValueError(
                f"photo estimates of {count} dimensions: expected shapes ({count},) and "
                f"({count}, {count}), found {self.mm.shape} and {self.covariance_mm2.shape}"
            )
        if not (np.isfinite(self.mm).all() and np.isfinite(self.covariance_mm2).all()):
            raise ValueError("photo estimates: expected finite values")
        if not np.allclose(self.covariance_mm2, self.covariance_mm2.T, rtol=1e-6, atol=1e-9):
            raise ValueError("photo estimates: expected a symmetric covariance")
        if self.by_scale is not None and self.by_scale.shape != (count, len(self.scales)):
            raise ValueError(
                f"photo estimates of {count} dimensions by {len(self.scales)} scales: found shape "
                f"{self.by_scale.shape}"
            )

    def estimate(self, name: str) -> Estimate | None:
        """The estimate of one dimension, or None where no photo shows it."""
        if name not in self.names:
            return None
        place = self.names.index(name)
        variance = max(float(self.covariance_mm2[place, place]), 0.0)
        return Estimate(float(self.mm[place]), math.sqrt(variance))


@dataclass(frozen=True, slots=True)
class TapeObservation:
    """Readings of one dimension as one observation, signed as the dimension is."""

    dimension: str
    mm: float
    u_mm: float


class Resolve(Protocol):
    """Photo-only estimates, linearised anew at the solution that includes these tapes."""

    def __call__(self, tapes: Sequence[TapeObservation]) -> PhotoEstimates: ...


@dataclass(frozen=True, slots=True)
class Closure:
    """An equation between dimensions: sum of coefficient x dimension = constant, within u.

    Left offset + right offset - width = 0 is one; so is a height against the mean of its two
    neighbours, with the straightness of the wall as its ``u_mm``.
    """

    name: str
    coefficients: Mapping[str, float]
    constant_mm: float = 0.0
    u_mm: float = 0.1

    def __post_init__(self) -> None:
        if not self.coefficients:
            raise ValueError(f"closure {self.name!r}: expected at least one dimension")
        if not (math.isfinite(self.u_mm) and self.u_mm > 0):
            raise ValueError(f"closure {self.name!r}: expected u_mm above 0, found {self.u_mm}")
