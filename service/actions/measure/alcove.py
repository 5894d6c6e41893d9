"""An alcove judged as a whole: every wall's photos and readings check those of the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType

import numpy as np

from service.actions.measure.named_sizes import BACK, renamed, wall_sizes
from service.actions.measure.wall import USUAL_SLIP_MM, LookedWall
from service.measuring.alcove.derived import derived_sizes
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.next_to_tape import ToTape, next_to_tape, to_take_anew
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.cross_check import CrossCheck, WallPart, called_from, cross_check
from service.measuring.estimates import PhotoEstimates, TapeObservation
from service.measuring.judgement import Judgement
from service.measuring.reading import Reading
from service.measuring.reading_words import in_words
from service.measuring.release.facts import Override
from service.measuring.several_walls import together
from service.measuring.slips import INSTALLER_BOOK, SlipBook, Suspect


@dataclass(frozen=True)
class CheckedAlcove:
    """An alcove judged as a whole.

    Attributes
    ----------
    found
        The cross-check, wall by wall.
    judged
        The judgement of each wall's sizes and readings under the names of its own file, by wall.
    listed
        What a wall's sheet still wants taped where it is cut by just these sizes of the wall; None
        is those by which a sheet is usually cut.
    cut
        What a plan tells of that, by wall.
    """

    found: CrossCheck
    judged: Mapping[str, Judgement]
    listed: Callable[[str, frozenset[str] | None], ToTape]
    cut: Mapping[str, frozenset[str]] = field(default_factory=dict)

    @property
    def to_tape(self) -> Mapping[str, ToTape]:
        """What each wall's sheet still wants taped."""
        names = [wall.sizes.wall for wall in self.found.walls]
        return {name: self.listed(name, self.cut.get(name)) for name in names}


def wall_name(looked: LookedWall) -> str:
    """What an alcove calls a wall; one without a name is the back wall."""
    return looked.wall.wall or BACK


def plan_wall(looked: LookedWall) -> str:
    """What a plan calls a wall: ``far end``."""
    return wall_name(looked).replace("-", " ")


def check_alcove(
    walls: Sequence[LookedWall],
    book: SlipBook = INSTALLER_BOOK,
    overrides: Mapping[str, Sequence[Override]] = MappingProxyType({}),
    slip_mm: float = USUAL_SLIP_MM,
) -> CheckedAlcove:
    """Judge one to three walls together; each has a name of its own.

    Parameters
    ----------
    overrides
        By wall as a plan calls it (``far end``), in the words of the wall's file. They are told
        and change no judgement.
    slip_mm
        The slip that a check must be able to catch: the shop's limit.
    """
    placed = _placed(walls)
    readings = [reading for wall in placed for reading in wall.readings]
    photo = together([wall.photo for wall in placed])

    def resolve(tapes: Sequence[TapeObservation]) -> PhotoEstimates:
        found = together([wall.resolve(tapes) for wall in placed])
        return found if found is not None else PhotoEstimates((), np.zeros(0), np.zeros((0, 0)))

    sizes = [wall.part.sizes for wall in placed]
    names = [name for wall in placed for name in wall.part.called]
    resolved = resolve if photo else None
    judged = judge_alcove(sizes, photo, readings, resolve=resolved, slips=book, names=names)
    judgement = judged.judgement.held_to(slip_mm)
    derived = derived_sizes(sizes, judged, photo, readings)
    parts = [wall.part for wall in placed]
    found = cross_check(
        parts,
        judgement,
        readings,
        judged.closings,
        [o for wall in placed for o in wall.overrides(overrides)],
        derived=derived,
    )
    doubted = to_take_anew(judgement, readings, _let_stand(parts, found))

    @cache
    def listed(wall: str, cut: frozenset[str] | None) -> ToTape:
        part = next(part for part in parts if part.sizes.wall == wall)
        needed = [name for name, called in part.called.items() if cut and called in cut]
        needed = needed if cut is not None else list(sheet_needs(part.sizes))
        return _called(
            next_to_tape(sizes, needed, photo, readings, judgement.limits, doubted=doubted), placed
        )

    own = {wall.part.sizes.wall: _own(judgement, wall, placed) for wall in placed}
    return CheckedAlcove(found, own, listed)


def _let_stand(parts: Sequence[WallPart], found: CrossCheck) -> frozenset[str]:
    """Sizes of which somebody lets a conflict stand, by the names they are judged under."""
    names = set()
    for part, wall in zip(parts, found.walls, strict=True):
        stands = {row.name for row in wall.rows if row.let_stand_by}
        names |= {judged for judged, called in part.called.items() if called in stands}
    return frozenset(names)


@dataclass(frozen=True)
class _Placed:
    """One wall under the names that keep its sizes apart from those of other walls."""

    part: WallPart
    readings: tuple[Reading, ...]
    looked: LookedWall
    photo: PhotoEstimates | None

    def resolve(self, tapes: Sequence[TapeObservation]) -> PhotoEstimates | None:
        """Its photos, linearised at those of the tapes that are its own."""
        if self.photo is None:
            return None
        called = self.part.called
        own = [replace(t, dimension=called[t.dimension]) for t in tapes if t.dimension in called]
        return _renamed(self.looked.resolve(own), _judged_as(self.part))

    def overrides(self, by_wall: Mapping[str, Sequence[Override]]) -> list[Override]:
        """Those of its own sizes, under the names that it is judged by."""
        names = _judged_as(self.part)
        ids = {
            own.id: judged.id
            for own, judged in zip(self.looked.readings, self.readings, strict=True)
        }
        return [
            replace(o, dimension=names[o.dimension], reading=ids.get(o.reading, o.reading))
            for o in by_wall.get(plan_wall(self.looked), ())
            if o.dimension in names
        ]


def _placed(walls: Sequence[LookedWall]) -> list[_Placed]:
    alone = len(walls) == 1
    found = []
    for looked in walls:
        name = wall_name(looked)
        names = {d.name: d.name if alone else f"{name}: {d.name}" for d in looked.wall.dimensions}
        readings = tuple(_reading(reading, names, name, alone) for reading in looked.readings)
        sizes = renamed(wall_sizes(looked.wall), names)
        part = WallPart(sizes, {judged: called for called, judged in names.items()})
        found.append(_Placed(part, readings, looked, _renamed(looked.photo, names)))
    return found


def _reading(reading: Reading, names: Mapping[str, str], wall: str, alone: bool) -> Reading:
    if alone:
        return reading
    replaces = None if reading.replaces is None else f"{wall}: {reading.replaces}"
    return replace(
        reading,
        id=f"{wall}: {reading.id}",
        dimension=names[reading.dimension],
        replaces=replaces,
    )


def _judged_as(part: WallPart) -> dict[str, str]:
    return {called: judged for judged, called in part.called.items()}


def _renamed(photo: PhotoEstimates | None, names: Mapping[str, str]) -> PhotoEstimates | None:
    if photo is None:
        return None
    return replace(photo, names=tuple(names[name] for name in photo.names))


def _called(found: ToTape, walls: Sequence[_Placed]) -> ToTape:
    """In the words of the files; a size of another wall keeps its wall's name."""
    several = len(walls) > 1
    called = {
        judged: f"{wall.part.sizes.wall}: {name}" if several else name
        for wall in walls
        for judged, name in wall.part.called.items()
    }
    return ToTape(
        tuple(called[name] for name in found.first),
        tuple(called[name] for name in found.again),
        tuple(called[name] for name in found.anew),
    )


def _own(judgement: Judgement, wall: _Placed, walls: Sequence[_Placed]) -> Judgement:
    """One wall's part of the judgement in its file's own words; ids of other walls keep theirs."""
    called = wall.part.called
    words = called_from(wall.part, [other.part for other in walls])
    by_id = {reading.id: reading for other in walls for reading in other.readings}
    ids = {
        judged.id: reading.id
        for judged, reading in zip(wall.readings, wall.looked.readings, strict=True)
    }
    dimensions = [found for found in judgement.dimensions if found.name in called]
    readings = [found for found in judgement.readings if found.id in ids]
    return Judgement(
        tuple(
            replace(
                found,
                name=called[found.name],
                suspect=found.suspect and _said_of(in_words(found.suspect, by_id, words), ids),
            )
            for found in dimensions
        ),
        tuple(
            replace(
                found,
                id=ids[found.id],
                dimension=called[found.dimension],
                clashes_with=tuple(ids.get(other, other) for other in found.clashes_with),
            )
            for found in readings
        ),
        judgement.print_scale,
        judgement.limits,
    )


def _said_of(suspect: Suspect, ids: Mapping[str, str]) -> Suspect:
    """The suspect with the wall's own readings by the ids of its file."""
    return replace(
        suspect,
        reading=ids.get(suspect.reading, suspect.reading),
        again=None if suspect.again is None else ids.get(suspect.again, suspect.again),
        rivals=tuple(ids.get(rival, rival) for rival in suspect.rivals),
    )
