"""What to tape next: the shortest list of readings that would release a sheet.

What a reading would check does not depend on what it will say, only on the adjustment's
covariance. So each list can be judged as if it had been taped already.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.judging import as_read, oriented
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
from service.measuring.limits import Limits
from service.measuring.reading import Reading, combine, effective_readings

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
    """

    first: tuple[str, ...]
    again: tuple[str, ...]

    @property
    def count(self) -> int:
        return len(self.first) + len(self.again)


def next_to_tape(
    walls: Sequence[WallSizes],
    needed: Sequence[str],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    limits: Limits | None = None,
    room: Room = USUAL_ROOM,
    taped_twice: Iterable[str] = (),
) -> ToTape:
    """The shortest list that would release the sizes ``needed``, if all readings agree.

    Every needed size without a reading is on it. Of what may be taped besides, the fewest are
    chosen that leave the fewest to be taped again (`shortest.shortest_list`, which proves it); as
    many of one as of the other, a check is preferred to a repeat.

    Parameters
    ----------
    walls, photo, readings
        As of `judge_alcove`.
    needed
        Names of the sizes that a sheet is cut by.
    taped_twice
        Sizes that were taped by two persons or two methods already.
    """
    limits = limits or Limits()
    sizes = {size.name: size for wall in walls for size in wall.sizes}
    known = as_read(photo, readings)
    values = {name: known.get(name, rough_mm(size)) for name, size in sizes.items()}
    taken: dict[str, list[Reading]] = {}
    for reading in effective_readings(readings):
        taken.setdefault(reading.dimension, []).append(reading)
    first = [name for name in needed if name not in taken]
    doubts = {name: _planned(size, values[name]).uncertainty.u_mm for name, size in sizes.items()}
    doubts |= {name: combine(own).u_mm for name, own in taken.items() if name in sizes}
    closures = oriented(alcove_closures(walls, values, room), photo)
    ordered = walking_order(walls, sizes)
    free = [name for name in ordered if name not in known and name not in needed]
    needs = _needs(walls, values, free, room, closures)
    plan = TapingPlan(tuple(sizes), photo, closures, needs, doubts)
    further, again = shortest_list(
        plan,
        [*(name for name in taken if name in sizes), *first],
        [name for name in needed if name not in set(taped_twice)],
        [name for name in ordered if name not in taken and name not in needed],
        limits.slip_mm,
    )
    return ToTape(walking_order(walls, [*first, *further]), walking_order(walls, again))


def rough_mm(size: Size) -> float:
    """About what a size is where nothing shows it yet."""
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


def _planned(size: Size, mm: float) -> Reading:
    instrument = _ROD if size.role in _RODDED else Instrument()
    return Reading(f"planned {size.name}", size.name, mm, instrument=instrument)
