"""Judging a whole alcove: its closures are observations like any other."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.measuring.agreement import judge
from service.measuring.alcove.closing import Closing, alcove_closures, closings
from service.measuring.alcove.slip_places import alcove_book
from service.measuring.alcove.vocabulary import USUAL_ROOM, Room, WallSizes
from service.measuring.estimates import Closure, PhotoEstimates, Resolve
from service.measuring.judgement import Judgement
from service.measuring.limits import Limits
from service.measuring.reading import Reading, effective_readings
from service.measuring.slips import INSTALLER_BOOK, SlipBook


@dataclass(frozen=True, slots=True)
class AlcoveJudgement:
    """All readings of an alcove judged together.

    ``closures`` are the equations used; ``closings`` how they close as read, slips and all.
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

    Diagonals and corners are linearised twice: at the readings, then at what was found best, so
    that a slip of a foot bends no closure.

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
    first = oriented(alcove_closures(walls, known, room), photo)
    judged = judge(names, photo, readings, limits, resolve, first, slips)
    best = {**known, **{d.name: abs(d.best.mm) for d in judged.dimensions if d.best is not None}}
    closures = alcove_closures(walls, best, room)
    if any(abs(best[name] - known[name]) > 2 * limits.slip_mm for name in known):
        judged = judge(names, photo, readings, limits, resolve, oriented(closures, photo), slips)
    return AlcoveJudgement(judged, closures, closings(closures, known, readings))


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


def oriented(closures: Sequence[Closure], photo: PhotoEstimates | None) -> tuple[Closure, ...]:
    """The same closures where photos count a size negative: a line drawn the other way."""
    negative = _negative(photo)
    return tuple(
        Closure(
            closure.name,
            {n: -c if n in negative else c for n, c in closure.coefficients.items()},
            closure.constant_mm,
            closure.u_mm,
        )
        for closure in closures
    )


def _negative(photo: PhotoEstimates | None) -> Mapping[str, float]:
    if photo is None:
        return {}
    return {name: mm for name, mm in zip(photo.names, photo.mm, strict=True) if mm < 0}
