"""What to tape next: the shortest list of readings that would release a sheet.

What a reading would check does not depend on what it will say, only on the adjustment's
covariance. So each list is tried as if it had been taped already.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.judging import as_read, oriented
from service.measuring.alcove.sheet_needs import walking_order
from service.measuring.alcove.vocabulary import (
    USUAL_ROOM,
    Role,
    Room,
    Side,
    Size,
    WallSizes,
)
from service.measuring.estimates import PhotoEstimates
from service.measuring.figures import dimension_figures
from service.measuring.instruments import MM_PER_INCH, Instrument, InstrumentKind, Method
from service.measuring.limits import Limits
from service.measuring.network import build_network
from service.measuring.reading import Reading, effective_readings
from service.measuring.snooping import Snooping

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
        Sizes that nothing can check well enough: by another person or with another instrument.
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
    """The shortest list found that would release the sizes ``needed``, if all readings agree.

    Greedy: as long as a size is unchecked, the reading that checks most of them is added; then
    each one that turns out to be needless is left out. Not proved shortest.

    Parameters
    ----------
    walls, photo, readings
        As of `judge_alcove`.
    needed
        Names of the sizes that a sheet is cut by.
    taped_twice
        Sizes that were taped by two persons or two methods already.
    """
    planner = _Planner(walls, photo, readings, limits or Limits(), room)
    twice = set(taped_twice)
    taped = {reading.dimension for reading in effective_readings(readings)}
    first = [name for name in needed if name not in taped]
    weak = planner.unchecked(first, needed) - twice
    further: list[str] = []
    while weak:
        best, left = planner.best_reading([*first, *further], needed, weak - twice)
        if best is None or len(weak) - len(left) < 1:
            break
        further.append(best)
        weak = left - twice
    for name in list(further):
        without = [other for other in further if other != name]
        if planner.unchecked([*first, *without], needed) - twice <= weak:
            further = without
    return ToTape(walking_order(walls, [*first, *further]), walking_order(walls, weak))


class _Planner:
    """The network as it would be with further readings."""

    def __init__(
        self,
        walls: Sequence[WallSizes],
        photo: PhotoEstimates | None,
        readings: Sequence[Reading],
        limits: Limits,
        room: Room,
    ) -> None:
        self._sizes = {size.name: size for wall in walls for size in wall.sizes}
        known = as_read(photo, readings)
        self._values = {
            name: known.get(name, _rough_mm(size)) for name, size in self._sizes.items()
        }
        self._photo, self._limits = photo, limits
        self._readings = list(effective_readings(readings))
        self._closures = oriented(alcove_closures(walls, self._values, room), photo)

    def unchecked(self, further: Sequence[str], needed: Sequence[str]) -> set[str]:
        """Those needed sizes whose check would miss a slip of the shop's limit."""
        planned = [self._reading(name) for name in further]
        names = list(self._sizes)
        network = build_network(names, self._photo, [*self._readings, *planned], self._closures)
        figures = dimension_figures(network, Snooping((), network.solved, None))
        weak = {
            name
            for name, of in zip(names, figures, strict=True)
            if of.mdb_mm is None or of.mdb_mm > self._limits.slip_mm
        }
        return weak.intersection(needed)

    def best_reading(
        self, further: Sequence[str], needed: Sequence[str], weak: set[str]
    ) -> tuple[str | None, set[str]]:
        """The size whose reading would leave fewest unchecked, and those it would leave."""
        best, left = None, weak
        for name in (n for n in self._related(weak) if n not in further):
            remaining = self.unchecked([*further, name], needed) & weak
            if len(remaining) < len(left):
                best, left = name, remaining
        return best, left

    def _related(self, weak: set[str]) -> list[str]:
        """Untaped sizes that stand in a closure with an unchecked one."""
        taped = {reading.dimension for reading in self._readings}
        near = {
            name
            for closure in self._closures
            if weak.intersection(closure.coefficients)
            for name in closure.coefficients
        }
        return [name for name in self._sizes if name in near and name not in taped]

    def _reading(self, name: str) -> Reading:
        size: Size = self._sizes[name]
        instrument = _ROD if size.role in _RODDED else Instrument()
        return Reading(f"planned {name}", name, self._values[name], instrument=instrument)


def _rough_mm(size: Size) -> float:
    rough = _ROUGH_IN[size.role]
    if size.role is Role.OFFSET and size.side is not None:
        rough = _ROUGH_END_IN.get(size.side, rough)
    return rough * MM_PER_INCH
