"""What a shop expects to go wrong, how often, and where."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from service.measuring.instruments import MM_PER_INCH
from service.measuring.slip_kinds import INSTALLER_RATES, SlipKind

_USUAL_RATE: Final = 3.0
_TRUST: Final = 1 / 3
"""How far a rate is believed. Rates are known to a factor of three or so, and themselves differ by
little more: the best guess at each lies a third of the way, as a factor, from the usual one to it.
So a rate three times out moves the odds by half as much again, and sizes decide."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What a reading would be if it was taken elsewhere: a step from the right value, mm."""

    kind: SlipKind
    step_mm: float
    share: float = 1.0
    spread_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Regular:
    """About what a size is in a room as rooms are built: a number, and the middle of its like.

    Attributes
    ----------
    spread_mm
        Mean of a two-sided exponential.
    mm
        The number, or what is added to the middle.
    like
        Names of sizes that are much the same; none of them known, nothing is expected.
    """

    spread_mm: float
    mm: float = 0.0
    like: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SlipBook:
    """What a shop expects to go wrong, and where.

    Attributes
    ----------
    rates
        Slips per 1,000 readings by kind; a kind left out does not happen.
    hold_down_mm
        From the finished top down to the level line: 3/4 in.
    step_mm
        How far the tile stands proud of the plaster: 3/8 in.
    case_mm
        Length of the tape's case, or of the meter, as it is printed on it; None: 2 3/4 to 5 in.
    heights
        Names of the dimensions that a forgotten hold-down can be in.
    elsewhere
        Per dimension, where else its tape may have been: the other side of the plumb line, a
        sheet's edge.
    next_heights
        Per dimension, the same size at the next heights up and down.
    beside
        Per dimension, the boxes that a value is likeliest put into or taken from by mistake.
    cannot
        Per dimension, kinds that cannot happen in it: no wall is met, so no plaster behind it.
    regular
        Per dimension, about what it is in a regular room. No reading is judged by it; of the
        slips that may be behind a conflict, those are likelier that leave a believable room.
    """

    rates: Mapping[SlipKind, float]
    hold_down_mm: float = 0.75 * MM_PER_INCH
    step_mm: float = 0.375 * MM_PER_INCH
    case_mm: float | None = None
    heights: frozenset[str] = frozenset()
    elsewhere: Mapping[str, Sequence[Elsewhere]] = field(default_factory=dict)
    next_heights: Mapping[str, Sequence[str]] = field(default_factory=dict)
    beside: Mapping[str, Collection[str]] = field(default_factory=dict)
    cannot: Mapping[str, frozenset[SlipKind]] = field(default_factory=dict)
    regular: Mapping[str, Regular] = field(default_factory=dict)

    def weight(self, kind: SlipKind) -> float:
        """Slips per 1,000 readings that it is sensible to reckon with."""
        rate = self.rates.get(kind, 0.0)
        return math.pow(rate, _TRUST) * math.pow(_USUAL_RATE, 1 - _TRUST) if rate > 0 else 0.0


INSTALLER_BOOK: Final = SlipBook(INSTALLER_RATES)
