"""Linear combinations of sizes: what closures are put together from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from service.measuring.estimates import Closure


@dataclass(frozen=True, slots=True)
class Combination:
    """Sum of coefficient x size, plus a constant known within ``u_mm``."""

    terms: Mapping[str, float] = field(default_factory=dict)
    constant_mm: float = 0.0
    u_mm: float = 0.0

    def plus(self, other: Combination, factor: float = 1.0) -> Combination:
        """This and ``factor`` times the other; their doubts are taken as independent."""
        terms = dict(self.terms)
        for name, coefficient in other.terms.items():
            terms[name] = terms.get(name, 0.0) + factor * coefficient
        return Combination(
            {name: coefficient for name, coefficient in terms.items() if coefficient != 0.0},
            self.constant_mm + factor * other.constant_mm,
            math.hypot(self.u_mm, factor * other.u_mm),
        )

    def minus(self, other: Combination) -> Combination:
        return self.plus(other, -1.0)

    def times(self, factor: float) -> Combination:
        return Combination().plus(self, factor)

    def within(self, u_mm: float) -> Combination:
        """The same, in further doubt."""
        return Combination(self.terms, self.constant_mm, math.hypot(self.u_mm, u_mm))

    def at(self, values: Mapping[str, float]) -> float | None:
        """Its value, mm; None where a size has none."""
        if any(name not in values for name in self.terms):
            return None
        return self.constant_mm + sum(c * values[name] for name, c in self.terms.items())

    def closure(self, name: str) -> Closure | None:
        """The equation that it is zero; None where nothing is left of it."""
        if len(self.terms) < 2:
            return None
        return Closure(name, dict(self.terms), -self.constant_mm, max(self.u_mm, 0.05))


def size(name: str) -> Combination:
    """One size by itself."""
    return Combination({name: 1.0})


def known(mm: float, u_mm: float = 0.0) -> Combination:
    """A figure that is no size of the network."""
    return Combination({}, mm, u_mm)
