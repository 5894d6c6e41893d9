"""The fewest further readings that leave the fewest sizes unchecked: found, and proved fewest.

A size is checked or not, whatever the readings will say; and a further reading never unchecks one.
So for each size that stays unchecked some set of readings, its *cut*, of which at least one must be
taken, or else the size has to be taped again. The least choice that meets all cuts known so far is
an integer program. Where it still leaves a size unchecked, that yields another cut; where it does
not, no shorter list exists, since every list has to meet those cuts (the implicit hitting set
method: Chandrasekaran, Karp, Moreno-Centeno and Vempala 2011).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from service.measuring.adjustment import DETECTION_SHIFT
from service.measuring.estimates import Closure, PhotoEstimates

FloatArray: TypeAlias = NDArray[np.float64]

_UNKNOWN_MM: Final = 1e4
"""What is known of a size before anything says something of it: it is in the room."""
_AGAIN_COSTS: Final = 1.01
"""A repeat against a check: of two lists as long, the one with more checks. With the order it costs
less than a reading in any list of up to 99 repeats, so that it never makes one longer."""
_ORDER_COSTS: Final = 1e-3
"""Of two lists alike, the one that stands earlier in walking order."""


@dataclass(frozen=True, slots=True)
class Known:
    """Covariance (d, d) of all sizes, mm², with these readings."""

    covariance: FloatArray
    taped: frozenset[str]


@dataclass(frozen=True, slots=True)
class TapingPlan:
    """An alcove's sizes, what else is known of them, and how well each would be taped.

    Attributes
    ----------
    closures, needs
        What must close, and per closure the sizes that have to be taped before it can be used: it
        is linear only near a value.
    doubts
        Standard uncertainties of the readings taken or planned, by size.
    """

    names: tuple[str, ...]
    photo: PhotoEstimates | None
    closures: Sequence[Closure]
    needs: Sequence[frozenset[str]]
    doubts: Mapping[str, float]

    def known(self, taped: Sequence[str], but: str) -> Known:
        """From photos, closures and these readings; one of them may be used only as a place."""
        covariance = np.diag(np.full(len(self.names), _UNKNOWN_MM**2))
        if self.photo is not None:
            place = {name: at for at, name in enumerate(self.names)}
            seen = np.array([place[name] for name in self.photo.names], dtype=np.intp)
            covariance[np.ix_(seen, seen)] = self.photo.covariance_mm2
        for closure, needs in zip(self.closures, self.needs, strict=True):
            if needs <= {but}:
                covariance = self._closed(covariance, closure)
        known = Known(covariance, frozenset({but}))
        for name in taped:
            if name != but:
                known = self.with_reading(known, name)
        return known

    def with_reading(self, known: Known, name: str) -> Known:
        """What is known with one more reading, and with the closures that it makes usable."""
        at = self.names.index(name)
        row = np.zeros(len(self.names))
        row[at] = 1.0
        taped = known.taped | {name}
        covariance = _told(known.covariance, known.covariance[:, at], row, self.doubts[name])
        for closure, needs in zip(self.closures, self.needs, strict=True):
            if name in needs and needs <= taped:
                covariance = self._closed(covariance, closure)
        return Known(covariance, taped)

    def checked(self, known: Known, name: str, slip_mm: float) -> bool:
        """Whether a slip in this size would show; what is ``known`` holds no reading of it."""
        at = self.names.index(name)
        enough = (slip_mm / DETECTION_SHIFT) ** 2 - self.doubts[name] ** 2
        return float(known.covariance[at, at]) <= enough

    def _closed(self, covariance: FloatArray, closure: Closure) -> FloatArray:
        row = np.zeros(len(self.names))
        for name, coefficient in closure.coefficients.items():
            row[self.names.index(name)] = coefficient
        return _told(covariance, covariance @ row, row, closure.u_mm)


def shortest_list(
    plan: TapingPlan,
    taped: Sequence[str],
    needed: Sequence[str],
    candidates: Sequence[str],
    slip_mm: float,
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Further readings, and needed sizes to be taped again: together as few as can be.

    Parameters
    ----------
    taped
        Sizes that have a reading already, or will have one in any case.
    needed
        Those of them that must be checked.
    candidates
        What else may be taped, the sooner the better.
    slip_mm
        The slip that a check must be able to catch.
    """
    bases = {name: plan.known(taped, but=name) for name in needed}
    weak = [name for name in needed if not plan.checked(bases[name], name, slip_mm)]
    cuts: list[tuple[str, frozenset[str]]] = []
    while True:
        further, again = _least(candidates, weak, cuts)
        new = []
        for name in weak:
            if name not in again:
                cut = _cut(plan, bases[name], name, further, candidates, slip_mm)
                if cut is not None:
                    new.append((name, cut))
        if not new:
            return further, again
        cuts += new


def _cut(
    plan: TapingPlan,
    known: Known,
    name: str,
    further: Sequence[str],
    candidates: Sequence[str],
    slip_mm: float,
) -> frozenset[str] | None:
    """None if these readings check the size; else a least set that holds one more it needs.

    Whatever can be added without checking the size is added; what is left over is the cut.
    """
    for one in further:
        known = plan.with_reading(known, one)
    if plan.checked(known, name, slip_mm):
        return None
    cut = []
    for one in candidates:
        if one not in further:
            more = plan.with_reading(known, one)
            if plan.checked(more, name, slip_mm):
                cut.append(one)
            else:
                known = more
    return frozenset(cut)


def _least(
    candidates: Sequence[str], weak: Sequence[str], cuts: Sequence[tuple[str, frozenset[str]]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The least choice of readings and repeats that meets every cut."""
    if not cuts:
        return (), ()
    count = len(candidates)
    place = {name: at for at, name in enumerate((*candidates, *weak))}
    costs = np.concatenate(
        [1 + _ORDER_COSTS * np.arange(count) / count, np.full(len(weak), _AGAIN_COSTS)]
    )
    rows = np.zeros((len(cuts), costs.size))
    for row, (name, cut) in enumerate(cuts):
        rows[row, [count + weak.index(name), *(place[one] for one in cut)]] = 1.0
    found = milp(
        costs,
        constraints=LinearConstraint(rows, lb=1.0),
        integrality=np.ones(costs.size, dtype=np.int64),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise RuntimeError(f"no choice of readings was found: {found.message}")
    chosen = np.asarray(np.round(found.x) > 0)
    further = tuple(name for at, name in enumerate(candidates) if chosen[at])
    return further, tuple(name for at, name in enumerate(weak) if chosen[count + at])


def _told(covariance: FloatArray, reach: FloatArray, row: FloatArray, u_mm: float) -> FloatArray:
    """What is known once one more combination is told within ``u_mm``; ``reach`` is P · row."""
    spread = float(row @ reach) + u_mm**2
    return np.asarray(covariance - np.outer(reach, reach / spread))
