"""What to tape next: the shortest list of readings that would release a sheet.

What a reading would check does not depend on what it will say, only on the adjustment's
covariance. So each list can be judged as if it had been taped already. A reading that does not fit
counts for nothing until it is taken anew.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.in_photos import contradicted, holding, oriented
from service.measuring.alcove.judging import as_read
from service.measuring.alcove.sheet_needs import walking_order
from service.measuring.alcove.shortest import TapingPlan, shortest_list
from service.measuring.alcove.vocabulary import (
    USUAL_ROOM,
    Role,
    Room,
    Side,
    Size,
    WallSizes,
)
from service.measuring.estimates import Closure, PhotoEstimates
from service.measuring.instruments import MM_PER_INCH, Instrument, InstrumentKind, Method
from service.measuring.judgement import DimensionJudgement, Judgement, Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading, combine, effective_readings
from service.measuring.release.size import as_taken, taped_twice
from service.measuring.slip_kinds import SlipKind

_ROUGH_IN: Final[Mapping[Role, float]] = {
    Role.OFFSET: 29,
    Role.WIDTH: 58,
    Role.HEIGHT: 66,
    Role.DIAGONAL: 77,
    Role.FIXTURE_FROM_PLUMB: 4,
    Role.FIXTURE_FROM_CORNER: 14,
    Role.FIXTURE_DOWN: 48,
    Role.FIXTURE_ABOVE_DECK: 15,
    Role.TUB_FRONT: 19,
    Role.LINE_TO_FLOOR: 81,
    Role.DECK_TO_FLOOR: 15,
    Role.LINE_TO_CEILING: 15,
    Role.FLOOR_TO_CEILING: 96,
    Role.CORNER_DIAGONAL: 33.94,
    Role.OPENING: 58,
    Role.DEPTH: 29,
    Role.PLAN_DIAGONAL: 65,
    Role.TILE_TOP: 15,
    Role.COURSES: 47,
    Role.CUT_ROW: 4,
    Role.STEP: 0.375,
}
"""About what a size is where nothing shows it yet; closures are linearised there."""
_ROUGH_END_IN: Final = {Side.INNER: 10.0, Side.OUTER: 20.5}
_ROUGH_OTHER_IN: Final = 48.0
_RODDED: Final = (Role.WIDTH, Role.DIAGONAL, Role.OPENING, Role.PLAN_DIAGONAL)
_ROD: Final = Instrument(InstrumentKind.ROD, method=Method.ROD)


@dataclass(frozen=True, slots=True)
class ToTape:
    """What is to be taped, in walking order.

    Attributes
    ----------
    first
        Sizes that have no reading yet.
    again
        Sizes to be taped by another person or with another instrument: nothing checks them well
        enough, or not in so few readings.
    anew
        Sizes whose reading does not fit: taken again, by whomever, in place of it.
    """

    first: tuple[str, ...]
    again: tuple[str, ...]
    anew: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        return len(self.first) + len(self.again) + len(self.anew)


def next_to_tape(
    walls: Sequence[WallSizes],
    needed: Sequence[str],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    limits: Limits | None = None,
    room: Room = USUAL_ROOM,
    doubted: Collection[str] = (),
) -> ToTape:
    """The shortest list that would release the sizes ``needed``, if all readings agree.

    Every needed size without a reading that counts is on it. Of what may be taped besides, the
    fewest are chosen that leave the fewest to be taped again (`shortest.shortest_list`, which
    proves it); as many of one as of the other, a check is preferred to a repeat. Sizes that two
    persons or two methods have taped need no check.

    Parameters
    ----------
    walls, photo, readings
        As of `judge_alcove`.
    needed
        Names of the sizes that a sheet is cut by.
    doubted
        Sizes whose readings do not count until they are taken anew (`to_take_anew`).
    """
    limits = limits or Limits()
    sizes = {size.name: size for wall in walls for size in wall.sizes}
    written = _by_size(readings)
    taken = {name: own for name, own in written.items() if name not in doubted}
    known = as_read(photo, [replace(r, replaces=None) for own in taken.values() for r in own])
    names = tuple(dict.fromkeys((*sizes, *known, *written, *needed)))
    values = {name: known.get(name, rough_mm(sizes.get(name))) for name in names}
    open_ = [name for name in needed if name not in taken]
    doubts = {name: _planned_u_mm(sizes.get(name), values[name]) for name in names}
    doubts |= {name: combine(own).u_mm for name, own in taken.items()}
    hold = holding(alcove_closures(walls, values, room), contradicted(walls, photo, room))
    closures = oriented(hold, photo)
    ordered = walking_order(walls, names)
    free = [name for name in ordered if name not in known and name not in needed]
    needs = _needs(walls, values, free, room, closures)
    plan = TapingPlan(names, photo, closures, needs, doubts)
    further, again = shortest_list(
        plan,
        [*taken, *open_],
        [name for name in needed if not _by_two(taken.get(name, ()), limits)],
        [name for name in ordered if name not in taken and name not in needed],
        limits.slip_mm,
    )
    listed = walking_order(walls, [*open_, *further])
    return ToTape(
        tuple(name for name in listed if name not in written),
        walking_order(walls, again),
        tuple(name for name in listed if name in written),
    )


def to_take_anew(
    judgement: Judgement,
    readings: Sequence[Reading],
    let_stand: Collection[str] = (),
) -> frozenset[str]:
    """Sizes whose readings hold a sheet until they are taken again.

    Where readings contradict one another it is the one whose repeat tells most; what somebody lets
    stand holds nothing, nor does an unsure size that two persons or two methods have taped. Where
    the card's print is what does not fit it is the card that is measured again, and no size.
    """
    of_reading = {reading.id: reading.dimension for reading in judgement.readings}
    clashing = {reading.dimension for reading in judgement.readings if reading.clashes_with}
    written = _by_size(readings)

    def stands(found: DimensionJudgement) -> bool:
        if found.name in let_stand or _by_print_scale(found):
            return True
        if found.status is Status.CONFLICTS or found.name in clashing:
            return False
        own = written.get(found.name, ())
        return found.status is not Status.UNSURE or _by_two(own, judgement.limits)

    held = [found for found in judgement.dimensions if not stands(found)]
    tells = [found.suspect.again if found.suspect else None for found in held]
    return frozenset(
        of_reading.get(again or "", found.name) for found, again in zip(held, tells, strict=True)
    )


def _by_print_scale(found: DimensionJudgement) -> bool:
    return found.suspect is not None and found.suspect.kind is SlipKind.PRINT_SCALE


def _by_size(readings: Sequence[Reading]) -> dict[str, list[Reading]]:
    found: dict[str, list[Reading]] = {}
    for reading in effective_readings(readings):
        found.setdefault(reading.dimension, []).append(reading)
    return found


def _by_two(readings: Sequence[Reading], limits: Limits) -> bool:
    """Whether two persons or two methods have taped it, as its release will have it."""
    return taped_twice([as_taken(one) for one in readings], limits) is not None


def rough_mm(size: Size | None) -> float:
    """About what a size is where nothing shows it yet; None is one of no wall's usual sizes."""
    if size is None:
        return _ROUGH_OTHER_IN * MM_PER_INCH
    rough = _ROUGH_IN[size.role]
    if size.role is Role.OFFSET and size.side is not None:
        rough = _ROUGH_END_IN.get(size.side, rough)
    return rough * MM_PER_INCH


def _needs(
    walls: Sequence[WallSizes],
    values: Mapping[str, float],
    unknown: Sequence[str],
    room: Room,
    closures: Sequence[Closure],
) -> list[frozenset[str]]:
    """Per closure, those of the sizes nothing shows yet whose value it cannot do without."""
    found: dict[str, set[str]] = {closure.name: set() for closure in closures}
    for name in unknown:
        others = {other: mm for other, mm in values.items() if other != name}
        left = {closure.name for closure in alcove_closures(walls, others, room)}
        for closure in found.keys() - left:
            found[closure].add(name)
    return [frozenset(found[closure.name]) for closure in closures]


def _planned_u_mm(size: Size | None, mm: float) -> float:
    instrument = _ROD if size is not None and size.role in _RODDED else Instrument()
    return Reading("planned", "planned", mm, instrument=instrument).uncertainty.u_mm
