"""Judging a whole alcove: its closures are observations like any other."""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.agreement import judge
from service.measuring.alcove.closing import Closing, alcove_closures, closings
from service.measuring.alcove.in_photos import contradicted, holding, oriented
from service.measuring.alcove.slip_places import alcove_book
from service.measuring.alcove.vocabulary import USUAL_ROOM, Role, Room, WallSizes
from service.measuring.believable import middle_mm
from service.measuring.estimates import Closure, PhotoEstimates, Resolve
from service.measuring.instruments import MM_PER_INCH
from service.measuring.judgement import Judgement
from service.measuring.limits import Limits
from service.measuring.reading import Reading, effective_readings
from service.measuring.slips import INSTALLER_BOOK, SlipBook

_MOST_TIMES: Final = 4
"""Closures are linearised no more often: from a foot out, the third time is within 0.1 mm."""
_USUAL_FRONT_MM: Final = 20 * MM_PER_INCH
"""From an end wall's plumb line to the tub's front (common practice)."""
_WELL_KNOWN_MM: Final = MM_PER_INCH
_NO_ROOM: Final = 6.0
"""Spreads from what is regular at which a size is rather misread, to begin with."""


@dataclass(frozen=True, slots=True)
class AlcoveJudgement:
    """All readings of an alcove judged together.

    ``closures`` are the equations used; ``closings`` how all of them close as read, slips and all.
    """

    judgement: Judgement
    closures: tuple[Closure, ...]
    closings: tuple[Closing, ...]


def judge_alcove(
    walls: Sequence[WallSizes],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    limits: Limits | None = None,
    resolve: Resolve | None = None,
    slips: SlipBook = INSTALLER_BOOK,
    room: Room = USUAL_ROOM,
    names: Sequence[str] = (),
) -> AlcoveJudgement:
    """Judge the readings of an alcove, or of one wall, against photos and one another.

    Diagonals, corners and heights are put in the equations at the readings, then at what was found
    best until that stays where it is, so that a slip of a foot bends no closure and a size that was
    not taped is found by those that need it. A closure that the photos contradict by themselves is
    not used.

    Parameters
    ----------
    walls
        The walls with their named sizes.
    room
        How far a real alcove keeps to its equations.
    names
        All dimensions in the order wanted, where some are no named size; default: the sizes.

    See `judge` for the rest.
    """
    limits = limits if limits is not None else Limits()
    names = names or [size.name for wall in walls for size in wall.sizes]
    known = as_read(photo, readings)
    slips = alcove_book(walls, known, slips, room)
    at = {**_usual(walls, room), **known, **_misread(slips, known)}
    closures = alcove_closures(walls, at, room)
    doubted = contradicted(walls, photo, room)
    for _ in range(_MOST_TIMES):
        told = oriented(holding(closures, doubted), photo)
        judged = judge(names, photo, readings, limits, resolve, told, slips)
        best = {**known, **well_known(judged)}
        before, closures = closures, alcove_closures(walls, best, room)
        moved = any(abs(best.get(name, mm) - mm) > 2 * limits.slip_mm for name, mm in at.items())
        if not moved and len(closures) == len(before):
            break
        at = best
    used = holding(closures, doubted)
    return AlcoveJudgement(judged, used, closings(closures, known, readings))


def _usual(walls: Sequence[WallSizes], room: Room) -> dict[str, float]:
    """About what the sizes are that a closure must be linearised at to be found by it, mm."""
    usual = {Role.TUB_FRONT: _USUAL_FRONT_MM, Role.CORNER_DIAGONAL: math.sqrt(2) * room.leg_mm}
    sizes = (size for wall in walls for size in wall.sizes)
    return {size.name: usual[size.role] for size in sizes if size.role in usual}


def _misread(slips: SlipBook, known: Mapping[str, float]) -> dict[str, float]:
    """In place of what no room has, what a regular one has, mm: an equation that is linear at a
    height of 14 in for 74 says nothing of the wall at 74."""
    found = {}
    for name, of in slips.regular.items():
        middle = middle_mm(of, known)
        if middle is None or name not in known:
            continue
        if abs(known[name] - middle) > _NO_ROOM * of.spread_mm:
            found[name] = middle
    return found


def well_known(judged: Judgement) -> dict[str, float]:
    """Magnitudes at best, mm, of what is known to about an inch: no equation is bent at less.

    Of a size whose only reading is accused it is what the rest says: a pipe's height that is a
    foot out, or in the wrong box, would have its other sizes expected from the wrong stations.
    """
    accused = {d.name: d.suspect.truth for d in judged.dimensions if d.suspect is not None}
    pairs = ((d.name, d.best or accused.get(d.name)) for d in judged.dimensions)
    return {n: abs(of.mm) for n, of in pairs if of is not None and of.u_mm <= _WELL_KNOWN_MM}


def as_read(photo: PhotoEstimates | None, readings: Sequence[Reading]) -> dict[str, float]:
    """Each size by its standing readings, else by the photos; magnitudes, mm."""
    taken: dict[str, list[float]] = {}
    for reading in effective_readings(readings):
        taken.setdefault(reading.dimension, []).append(reading.mm)
    values = {name: statistics.median(mm) for name, mm in taken.items()}
    if photo is not None:
        seen = zip(photo.names, photo.mm, strict=True)
        values = {**{name: abs(float(mm)) for name, mm in seen}, **values}
    return values
