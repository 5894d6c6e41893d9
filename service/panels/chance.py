"""The chance that a sheet suffices while the sizes of the wall are uncertain.

A panel's box is a sum of greatest values: the farthest point of one side and the farthest of the
other. Each point is a straight combination of one or two readings, with normal errors that are
independent of one another; what readings of one report share is left out. Where one point of a
side is the farthest beyond doubt the chance is the normal distribution's, else it is an average
over an evenly spread set of errors, the same in every run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_POINTS: Final = 2048
_SURE: Final = 5.0
"""Standard deviations beyond which a doubt is none: 3e-7."""
_NORMAL: Final = NormalDist()


@dataclass(frozen=True)
class Term:
    """One candidate of a greatest value: nominal, and the share of each uncertain reading in it.

    `shares` are (reading's number, weight times standard uncertainty), mm.
    """

    mm: float
    shares: tuple[tuple[int, float], ...] = ()

    @property
    def u_mm(self) -> float:
        """Standard uncertainty, mm."""
        return math.sqrt(sum(share**2 for _, share in self.shares))


Side = tuple[Term, ...]


def chance_within(sides: Sequence[Side], limit_mm: float) -> float:
    """The chance that the sum over the sides of each side's greatest term is within a limit."""
    kept = [_possible(side) for side in sides]
    nominal = sum(max(term.mm for term in side) for side in kept)
    spread = math.sqrt(sum(max(term.u_mm for term in side) ** 2 for side in kept))
    many = max(1, sum(len(side) for side in kept))
    sure = _SURE + math.log(many)
    if nominal + sure * spread <= limit_mm:
        return 1.0
    if nominal - sure * spread > limit_mm:
        return 0.0
    if all(len(side) == 1 for side in kept):
        if spread == 0.0:
            return 1.0 if nominal <= limit_mm else 0.0
        return _NORMAL.cdf((limit_mm - nominal) / spread)
    return _averaged(kept, limit_mm)


def _possible(side: Side) -> Side:
    """The terms that can be the greatest: none is left out that might be."""
    top = max(side, key=lambda term: term.mm)
    found = [t for t in side if t is top or t.mm + _SURE * _apart(t, top) > top.mm]
    return tuple(dict.fromkeys(found))


def _apart(a: Term, b: Term) -> float:
    """Standard uncertainty of the difference of two terms."""
    shares = dict(a.shares)
    for number, share in b.shares:
        shares[number] = shares.get(number, 0.0) - share
    return math.sqrt(sum(share**2 for share in shares.values()))


def _averaged(sides: Sequence[Side], limit_mm: float) -> float:
    numbers = sorted({n for side in sides for term in side for n, _ in term.shares})
    place = {number: k for k, number in enumerate(numbers)}
    within = 0
    for z in _spread_normals(len(numbers)):
        total = 0.0
        for side in sides:
            total += max(t.mm + sum(s * z[place[n]] for n, s in t.shares) for t in side)
        within += total <= limit_mm
    return within / _POINTS


def _spread_normals(dimensions: int) -> Iterator[tuple[float, ...]]:
    """An additive recurrence on the generalised golden ratio, folded to normal variables."""
    ratio = 2.0
    for _ in range(40):
        ratio = (1.0 + ratio) ** (1.0 / (dimensions + 1.0))
    steps = [(1.0 / ratio ** (k + 1)) % 1.0 for k in range(dimensions)]
    inverse = _NORMAL.inv_cdf
    for n in range(_POINTS):
        yield tuple(inverse(min(max((0.5 + n * s) % 1.0, 1e-9), 1 - 1e-9)) for s in steps)
