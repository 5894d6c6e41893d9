"""The chance that a sheet suffices while the sizes of the wall are uncertain.

A panel's box is a sum of greatest values: the farthest point of one side and the farthest of the
other. Each point is a straight combination of one or two readings. The error of a reading is a sum
of normal parts: one of its own, and parts that it has in common with others, such as a tape's hook
or the scale of a printed card; they do not average out. Where one point of a side is the farthest
beyond doubt the chance is the normal distribution's, else it is an average over an evenly spread
set of errors, the same in every run.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from service.panels.errors import Cause

_POINTS: Final = 2048
_SURE: Final = 5.0
"""Standard deviations beyond which a doubt is none: 3e-7."""
_NORMAL: Final = NormalDist()


@dataclass(frozen=True)
class Term:
    """One candidate of a greatest value: nominal, and what each cause of error adds to it.

    `shares` are (cause, weight times standard uncertainty), mm.
    """

    mm: float
    shares: tuple[tuple[Cause, float], ...] = ()

    @property
    def u_mm(self) -> float:
        """Standard uncertainty, mm."""
        return math.sqrt(sum(share**2 for _, share in self.shares))


Side = tuple[Term, ...]


def chance_within(
    sides: Sequence[Side], limit_mm: float, drawn: Callable[[], Sequence[float]] | None = None
) -> float:
    """The chance that the sum over the sides of each side's greatest term is within a limit, mm.

    ``drawn`` gives the sum in draws, asked for only where they are needed; without it the sum is
    drawn by itself.
    """
    sure = surely_within(sides, limit_mm)
    if sure is not None:
        return sure
    totals = draws([sides])[0] if drawn is None else drawn()
    return sum(total <= limit_mm for total in totals) / len(totals)


def surely_within(sides: Sequence[Side], limit_mm: float) -> float | None:
    """The chance where no draw is needed: 0, 1 or a normal's; None where it must be averaged."""
    kept = [possible(side) for side in sides]
    nominal = sum(max(term.mm for term in side) for side in kept)
    # Errors that sides have in common may add up in full.
    spread = sum(max(term.u_mm for term in side) for side in kept)
    sure = _SURE + math.log(max(1, sum(len(side) for side in kept)))
    if nominal + sure * spread <= limit_mm:
        return 1.0
    if nominal - sure * spread > limit_mm:
        return 0.0
    if all(len(side) == 1 for side in kept):
        u = _summed([side[0] for side in kept])
        if u == 0.0:
            return 1.0 if nominal <= limit_mm else 0.0
        return _NORMAL.cdf((limit_mm - nominal) / u)
    return None


def draws(sums: Sequence[Sequence[Side]]) -> list[list[float]]:
    """Values of several such sums in the same draws of all errors, mm."""
    kept = [[possible(side) for side in sides] for sides in sums]
    # In the order of their first use, so that the same plan has the same chances in every run.
    causes = dict.fromkeys(
        c for sides in kept for side in sides for term in side for c, _ in term.shares
    )
    columns = dict(zip(causes, _spread_normals(len(causes)), strict=True))
    return [_total([_greatest(side, columns) for side in sides]) for sides in kept]


def _greatest(side: Side, columns: Mapping[Cause, tuple[float, ...]]) -> list[float]:
    """The greatest of a side's terms in every draw."""
    found = []
    for term in side:
        values = [term.mm] * _POINTS
        for cause, share in term.shares:
            values = [v + share * z for v, z in zip(values, columns[cause], strict=True)]
        found.append(values)
    return found[0] if len(found) == 1 else list(map(max, *found))


def _total(sides: Sequence[list[float]]) -> list[float]:
    return list(map(sum, zip(*sides, strict=True)))


def possible(side: Side) -> Side:
    """The terms that can be the greatest: none is left out that might be."""
    top = max(side, key=lambda term: term.mm)
    found = [t for t in side if t is top or t.mm + _SURE * _apart(t, top) > top.mm]
    return tuple(dict.fromkeys(found))


def _summed(terms: Sequence[Term]) -> float:
    """Standard uncertainty of a sum of terms: what is common adds up, the rest by squares."""
    shares: dict[Cause, float] = {}
    for term in terms:
        for cause, share in term.shares:
            shares[cause] = shares.get(cause, 0.0) + share
    return math.sqrt(sum(share**2 for share in shares.values()))


def _apart(a: Term, b: Term) -> float:
    """Standard uncertainty of the difference of two terms."""
    return _summed([a, Term(-b.mm, tuple((cause, -share) for cause, share in b.shares))])


@lru_cache(maxsize=64)
def _spread_normals(dimensions: int) -> tuple[tuple[float, ...], ...]:
    """Evenly spread normal variables, one column for each dimension.

    An additive recurrence on the generalised golden ratio, folded to normal variables.
    """
    ratio = 2.0
    for _ in range(40):
        ratio = (1.0 + ratio) ** (1.0 / (dimensions + 1.0))
    inverse = _NORMAL.inv_cdf
    steps = [(1.0 / ratio ** (k + 1)) % 1.0 for k in range(dimensions)]
    return tuple(
        tuple(
            inverse(min(max((0.5 + n * step) % 1.0, 1e-9), 1 - 1e-9)) for n in range(_POINTS)
        )
        for step in steps
    )  # fmt: skip
