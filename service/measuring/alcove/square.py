"""How square a back corner is, by the diagonal across the ends of its two legs: one law of cosines
for every figure that is drawn from it.

c² = 2 leg² (1 - cos θ), so cos θ = 1 - c² / (2 leg²), and the far end of a leg is off by
-leg cos θ = c² / (2 leg) - leg, positive where the corner is open.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.measuring.alcove.combination import Combination, known, size


@dataclass(frozen=True, slots=True)
class Corner:
    """A back corner with a diagonal of ``c_mm`` across the ends of two legs of ``leg_mm``."""

    c_mm: float
    leg_mm: float

    @property
    def cosine(self) -> float:
        """Of the angle in the corner."""
        return 1 - self.c_mm**2 / (2 * self.leg_mm**2)

    @property
    def cosine_slope(self) -> float:
        """By how much it changes with the diagonal, per mm."""
        return -self.c_mm / self.leg_mm**2

    @property
    def off_mm(self) -> float:
        """How far the end of a leg is from square."""
        return -self.leg_mm * self.cosine

    @property
    def off_slope(self) -> float:
        """By how much that changes with the diagonal."""
        return -self.leg_mm * self.cosine_slope

    def cosine_of(self, diagonal: str) -> Combination:
        """The cosine in a network, by the name of its diagonal, linear here.

        An adjusted diagonal that is d from here leaves -d² / (2 leg²) out: for a whole inch at 24
        in 1/1150, which is 1/40 in over a depth of 30 in.
        """
        return _tangent(diagonal, self.c_mm, self.cosine, self.cosine_slope)

    def off_of(self, diagonal: str) -> Combination:
        """How far from square in a network, linear here; d² / (2 leg) is left out, for a whole inch
        1/48 in."""
        return _tangent(diagonal, self.c_mm, self.off_mm, self.off_slope)


def _tangent(name: str, at_mm: float, value: float, slope: float) -> Combination:
    return size(name).times(slope).plus(known(value - slope * at_mm))
