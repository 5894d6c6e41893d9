"""Cutting lengths from stock lengths: the least number, proved by a bound."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

_GRAIN_MM: Final = 1e-6
_MOST_PATTERNS: Final = 400
"""Beyond this many ways to cut one stock length the area bound is used: no alcove comes near."""
_MOST_STEPS: Final = 200_000


@dataclass(frozen=True)
class Lengths:
    """How many stock lengths are needed; `bound` is a number that no cutting goes below."""

    count: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no cutting needs fewer."""
        return self.count == self.bound


def lengths_needed(pieces_mm: Iterable[float], stock_mm: float, kerf_mm: float) -> int:
    """How many stock lengths yield these pieces; see `least_lengths`."""
    return least_lengths(pieces_mm, stock_mm, kerf_mm).count


def least_lengths(pieces_mm: Iterable[float], stock_mm: float, kerf_mm: float) -> Lengths:
    """The least number of stock lengths that yield these pieces.

    A piece longer than the stock is made of whole lengths and a rest. The kerf between pieces is
    counted by lengthening stock and pieces alike. The bound is that of the linear programme over
    all ways to cut one length, solved in exact fractions by its dual (Gilmore and Gomory 1961);
    the search goes on until it meets the bound or has tried every way.
    """
    whole, rests = 0, []
    for piece in pieces_mm:
        count, rest = divmod(piece, stock_mm)
        if rest > stock_mm - _GRAIN_MM:
            count, rest = count + 1, 0.0
        whole += int(count)
        if rest > _GRAIN_MM:
            rests.append(rest)
    if not rests:
        return Lengths(whole, whole)
    kinds = sorted(Counter(round(rest, 6) for rest in rests).items(), reverse=True)
    sizes = [size + kerf_mm for size, _ in kinds]
    demand = [number for _, number in kinds]
    room = stock_mm + kerf_mm
    upper = _best_fit(sizes, demand, room)
    ways = ways_to_cut(sizes, demand, room)
    area = math.ceil(sum(s * d for s, d in zip(sizes, demand, strict=True)) / room - 1e-9)
    bound = max(area, math.ceil(linear_bound(ways, demand))) if ways else area
    if ways and upper > bound:
        upper, bound = _searched(sizes, demand, ways, bound, upper, room)
    return Lengths(whole + upper, whole + bound)


def _best_fit(sizes: Sequence[float], demand: Sequence[int], room: float) -> int:
    """Longest first into the fullest length that holds it."""
    free: list[float] = []
    for size, number in zip(sizes, demand, strict=True):
        for _ in range(number):
            fitting = [left for left in free if left >= size - _GRAIN_MM]
            left = min(fitting, default=room)
            if fitting:
                free.remove(left)
            free.append(left - size)
    return len(free)


def ways_to_cut(
    sizes: Sequence[float], demand: Sequence[int], room: float
) -> tuple[tuple[int, ...], ...]:
    """Every maximal way to cut one length; empty when they are too many."""
    found: list[tuple[int, ...]] = []
    for way in _fill(sizes, demand, room, 0):
        found.append(way)
        if len(found) > _MOST_PATTERNS:
            return ()
    return tuple(found)


def _fill(
    sizes: Sequence[float], demand: Sequence[int], room: float, k: int
) -> Iterator[tuple[int, ...]]:
    if k == len(sizes):
        yield ()
        return
    most = min(demand[k], int((room + _GRAIN_MM) // sizes[k]))
    for number in range(most, -1, -1):
        left = room - number * sizes[k]
        for rest in _fill(sizes, demand, left, k + 1):
            used = sum(c * s for c, s in zip(rest, sizes[k + 1 :], strict=True))
            if number < most and left - used >= sizes[k] - _GRAIN_MM:
                continue  # not maximal: one more of these would go in
            yield (number, *rest)


def linear_bound(ways: Sequence[tuple[int, ...]], demand: Sequence[int]) -> Fraction:
    """Stock lengths if they could be cut in parts: a bound that no whole number goes below.

    max d.y with way.y <= 1 for every way and y >= 0, by the simplex method from y = 0, least index
    first, in exact fractions.

    Parameters
    ----------
    ways
        How many of each kind one length yields, for every way to cut it.
    demand
        How many of each kind are needed.
    """
    n = len(demand)
    rows = [
        [Fraction(c) for c in way] + [Fraction(int(k == r)) for k in range(len(ways))]
        + [Fraction(1)]
        for r, way in enumerate(ways)
    ]  # fmt: skip
    goal = [Fraction(-d) for d in demand] + [Fraction(0)] * (len(ways) + 1)
    basis = [n + r for r in range(len(ways))]
    while True:
        column = next((k for k in range(len(goal) - 1) if goal[k] < 0), None)
        if column is None:
            return goal[-1]
        ratios = [
            (row[-1] / row[column], basis[r], r)
            for r, row in enumerate(rows)
            if row[column] > 0
        ]  # fmt: skip
        _, _, r = min(ratios)
        pivot = rows[r][column]
        rows[r] = [value / pivot for value in rows[r]]
        for k, row in enumerate(rows):
            if k != r and row[column]:
                factor = row[column]
                rows[k] = [a - factor * b for a, b in zip(row, rows[r], strict=True)]
        factor = goal[column]
        goal = [a - factor * b for a, b in zip(goal, rows[r], strict=True)]
        basis[r] = column


def _searched(
    sizes: Sequence[float],
    demand: Sequence[int],
    ways: Sequence[tuple[int, ...]],
    bound: int,
    upper: int,
    room: float,
) -> tuple[int, int]:
    """Fewer lengths than `upper` if there is a way, and the bound raised where there is none."""
    budget = [_MOST_STEPS]
    while bound < upper:
        found = _covers(sizes, tuple(demand), ways, bound, room, set(), budget)
        if found:
            return bound, bound
        if budget[0] <= 0:
            return upper, bound
        bound += 1
    return upper, upper


def _covers(
    sizes: Sequence[float],
    left: tuple[int, ...],
    ways: Sequence[tuple[int, ...]],
    lengths: int,
    room: float,
    dead: set[tuple[int, tuple[int, ...]]],
    budget: list[int],
) -> bool:
    """Whether this many lengths yield what is left; the longest piece left is cut first."""
    first = next((k for k, number in enumerate(left) if number), None)
    if first is None:
        return True
    short = sum(s * d for s, d in zip(sizes, left, strict=True)) > lengths * room + _GRAIN_MM
    if not lengths or short or (lengths, left) in dead or budget[0] <= 0:
        return False
    budget[0] -= 1
    for way in ways:
        if way[first]:
            rest = tuple(max(d - c, 0) for d, c in zip(left, way, strict=True))
            if _covers(sizes, rest, ways, lengths - 1, room, dead, budget):
                return True
    dead.add((lengths, left))
    return False
