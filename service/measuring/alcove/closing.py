"""Every closure of an alcove as an observation equation, and how each one closes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.alcove.across_walls import room_closures
from service.measuring.alcove.in_wall import wall_closures
from service.measuring.alcove.vocabulary import USUAL_ROOM, Room, WallSizes
from service.measuring.estimates import Closure
from service.measuring.instruments import MM_PER_INCH, Method
from service.measuring.reading import Reading

CLOSES_MM: Final = MM_PER_INCH / 8
"""By rod or mark-and-add (common practice); a bent tape closes within the next."""
CLOSES_BENT_MM: Final = 3 * MM_PER_INCH / 16


@dataclass(frozen=True, slots=True)
class Closing:
    """One closure as read.

    Attributes
    ----------
    out_mm
        What is left over; None where one of its sizes has no value.
    limit_mm
        What the trade lets it be, or the half-width of the equation's own doubt if that is more.
    told
        Whether it closes, where by how much is kept back.
    """

    name: str
    sizes: tuple[str, ...]
    out_mm: float | None
    limit_mm: float
    told: bool | None = None

    @property
    def closes(self) -> bool | None:
        if self.told is not None:
            return self.told
        return None if self.out_mm is None else abs(self.out_mm) <= self.limit_mm + 1e-6


def alcove_closures(
    walls: Sequence[WallSizes], values: Mapping[str, float], room: Room = USUAL_ROOM
) -> tuple[Closure, ...]:
    """What must close in and between these walls.

    Parameters
    ----------
    walls
        The walls with their named sizes.
    values
        Sizes as read or estimated, mm: where diagonals and corners are linearised, and where along
        a deck its corners are. A closure that needs a missing one is left out.
    room
        How far a real alcove keeps to its equations.
    """
    named = [pair for wall in walls for pair in wall_closures(wall, values, room)]
    named += room_closures(walls, values, room)
    found = (combination.closure(name) for name, combination in named)
    return tuple(closure for closure in found if closure is not None)


def closings(
    closures: Sequence[Closure], values: Mapping[str, float], readings: Sequence[Reading] = ()
) -> tuple[Closing, ...]:
    """How each closure closes, against the trade's limit for how its sizes were taken."""
    bent = {r.dimension for r in readings if r.instrument.method is Method.BENT_INSIDE}
    found = []
    for closure in closures:
        names = tuple(closure.coefficients)
        out_mm = None
        if all(name in values for name in names):
            total = sum(c * values[name] for name, c in closure.coefficients.items())
            out_mm = total - closure.constant_mm
        limit = CLOSES_BENT_MM if bent.intersection(names) else CLOSES_MM
        # Where nobody said which surface the tape touched, a step either way is no slip.
        limit = max(limit, math.sqrt(3) * closure.u_mm)
        found.append(Closing(closure.name, names, out_mm, limit))
    return tuple(found)
