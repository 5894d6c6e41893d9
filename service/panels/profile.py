"""Straight lines through stations: how a wall's edge runs between and beyond its readings."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.problem import PlanError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

_SAME_PLACE_MM = 1e-6


@dataclass(frozen=True)
class Profile:
    """A value over a position: straight between stations, end segments extended, mm.

    Attributes
    ----------
    knots : tuple of (position, value)
        In rising order of position. One knot makes a constant.
    """

    knots: tuple[tuple[float, float], ...]

    @classmethod
    def through(cls, name: str, knots: Iterable[tuple[float, float]]) -> Profile:
        """The profile through these stations.

        Raises
        ------
        PlanError
            Without stations. That no two are at one place is not checked here.
        """
        ordered = tuple(sorted(knots))
        if not ordered:
            raise PlanError(name, "expected a reading at one or more stations, found none")
        return cls(ordered)

    def at(self, position: float) -> float:
        """The value at a position, mm."""
        if len(self.knots) == 1:
            return self.knots[0][1]
        (x0, y0), (x1, y1) = self._around(position)
        return y0 + (y1 - y0) * (position - x0) / (x1 - x0)

    def weights(self, position: float) -> tuple[tuple[float, float], ...]:
        """The share of each station (place, weight) in the value at a position."""
        if len(self.knots) == 1:
            return ((self.knots[0][0], 1.0),)
        (x0, _), (x1, _) = self._around(position)
        share = (position - x0) / (x1 - x0)
        return ((x0, 1.0 - share), (x1, share))

    def _around(self, position: float) -> tuple[tuple[float, float], tuple[float, float]]:
        places = [place for place, _ in self.knots]
        k = min(max(bisect_right(places, position), 1), len(places) - 1)
        return self.knots[k - 1], self.knots[k]

    def between(self, low: float, high: float) -> tuple[float, ...]:
        """Station positions strictly inside an interval."""
        return tuple(p for p, _ in self.knots if low + _SAME_PLACE_MM < p < high - _SAME_PLACE_MM)

    def map(self, place: Callable[[float], float], value: Callable[[float], float]) -> Profile:
        """The same line in another frame; `place` may turn the direction round."""
        return Profile(tuple(sorted((place(p), value(v)) for p, v in self.knots)))


def meet(wall: str, side: Profile, bottom: Profile, start: float) -> tuple[float, float]:
    """Where an upright edge x = side(y) meets a lying edge y = bottom(x), mm.

    Both slopes are small on any wall that can be panelled, so plain repetition converges.

    Raises
    ------
    PlanError
        When the two edges lean so much that they do not meet.
    """
    y = bottom.at(start)
    for _ in range(100):
        x = side.at(y)
        nearer = bottom.at(x)
        if abs(nearer - y) < 1e-9:
            return x, nearer
        y = nearer
    raise PlanError(
        f"{wall}.outline", "expected side and bottom edge to meet: check offsets and heights"
    )
