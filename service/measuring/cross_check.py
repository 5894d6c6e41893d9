"""The cross-check of an alcove: each size by photo, tape and all else, and what became of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from service.measuring.alcove.closing import Closing
from service.measuring.alcove.derived import Derived
from service.measuring.alcove.vocabulary import Size, WallSizes
from service.measuring.blind import is_blind
from service.measuring.estimates import Estimate
from service.measuring.gate import why_shut
from service.measuring.judgement import DimensionJudgement, Judgement, Status
from service.measuring.reading import Reading, effective_readings
from service.measuring.reading_words import in_words
from service.measuring.release.facts import Override
from service.measuring.release.size import as_taken, override_refused, taped_twice
from service.measuring.slip_kinds import question
from service.measuring.slips import Suspect
from service.measuring.taken import Taken, reading_said


@dataclass(frozen=True, slots=True)
class CheckedSize:
    """One size of the cross-check; absent figures are None, lengths mm.

    Attributes
    ----------
    name
        As its wall's file calls it.
    size
        Which size of an alcove it is, where that is known.
    readings
        The standing readings, as written, with who took them.
    holds
        What still keeps it from the saw; empty if nothing does.
    suspect
        The likeliest slip, as a colleague would say it; empty without a conflict.
    done
        What was done about each conflict: taken again, let stand, why an override does not
        count, or that it is still open.
    let_stand_by, let_stand_why
        Who lets the conflict stand, so that it holds nothing any more, and the reason; empty if
        nobody does.
    taken_again
        Whether one of its readings replaced another.
    kept_back
        Whether what is expected of it is not told until it is taped.
    en, w, mdb_mm, birge
        The figures of its check; see `DimensionJudgement`.
    question
        What is asked of the reading in doubt, without the value that would fit.
    """

    name: str
    size: Size | None
    status: Status
    checked: bool
    photo: Estimate | None
    tape: Estimate | None
    expected: Estimate | None
    best: Estimate | None
    readings: tuple[str, ...]
    holds: str
    suspect: str
    done: tuple[str, ...]
    let_stand_by: str = ""
    let_stand_why: str = ""
    taken_again: bool = False
    kept_back: bool = False
    en: float | None = None
    w: float | None = None
    mdb_mm: float | None = None
    birge: float | None = None
    question: str = ""

    @property
    def blind(self) -> bool:
        """Whether it is to be taped, or taped again, without knowing what is expected."""
        taken = len(self.readings) + self.taken_again
        accused, let_stand = bool(self.suspect), bool(self.let_stand_by)
        return is_blind(self.status, taken, accused=accused, let_stand=let_stand)

    @property
    def untaped(self) -> bool:
        """Whether no tape and no photo says it; what is best of it, others alone say."""
        return self.status is Status.TAPE_ONLY and not self.readings

    @property
    def mm(self) -> float | None:
        """The value to draw it by: the best there is."""
        for estimate in (self.best, self.tape, self.expected, self.photo):
            if estimate is not None:
                return abs(estimate.mm)
        return None


@dataclass(frozen=True, slots=True)
class CheckedWall:
    """One wall, with what must close in it and what follows from its sizes."""

    sizes: WallSizes
    rows: tuple[CheckedSize, ...]
    closings: tuple[Closing, ...]
    derived: tuple[Derived, ...] = ()


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """A whole alcove, or one wall, as read.

    ``across`` is what must close between its walls, ``slip_mm`` the slip that a check must be able
    to catch.
    """

    walls: tuple[CheckedWall, ...]
    across: tuple[Closing, ...]
    slip_mm: float
    print_scale: float | None = None

    @property
    def rows(self) -> tuple[CheckedSize, ...]:
        return tuple(row for wall in self.walls for row in wall.rows)

    def count(self, status: Status) -> int:
        return sum(row.status is status and not row.untaped for row in self.rows)

    @property
    def untaped(self) -> int:
        """Sizes that no tape and no photo says."""
        return sum(row.untaped for row in self.rows)


@dataclass(frozen=True, slots=True)
class WallPart:
    """A wall of the alcove: what its file calls each dimension, by the name it was judged under."""

    sizes: WallSizes
    called: dict[str, str]


def called_from(part: WallPart, parts: Sequence[WallPart]) -> dict[str, str]:
    """What each dimension is called beside one wall: by its own file, and of another wall by that
    wall as well."""
    return {
        judged: name
        if other is part
        else f"{name} on the {other.sizes.wall.replace('-', ' ')} wall"
        for other in parts
        for judged, name in other.called.items()
    }


def cross_check(
    parts: Sequence[WallPart],
    judgement: Judgement,
    readings: Sequence[Reading],
    closings: Sequence[Closing],
    overrides: Sequence[Override] = (),
    derived: Sequence[Derived] = (),
) -> CrossCheck:
    """Put the judgement of an alcove together wall by wall.

    A closure belongs to the wall that all its sizes are on; the others are across walls. Overrides
    name size and reading as they were judged.
    """
    walls = []
    inside: set[str] = set()
    stand = frozenset(reading.id for reading in effective_readings(readings))
    by_id = {reading.id: reading for reading in readings}
    for part in parts:
        taken = Taken(by_id, stand, called_from(part, parts))
        rows = tuple(
            _row(found, part, judgement, taken, overrides)
            for found in judgement.dimensions
            if found.name in part.called
        )
        own = tuple(c for c in closings if all(name in part.called for name in c.sizes))
        inside.update(closing.name for closing in own)
        follows = tuple(found for found in derived if found.wall == part.sizes.wall)
        walls.append(CheckedWall(part.sizes, rows, own, follows))
    across = tuple(closing for closing in closings if closing.name not in inside)
    scale = None if judgement.print_scale is None else judgement.print_scale.factor
    return CrossCheck(tuple(walls), across, judgement.limits.slip_mm, scale)


def kept_back(found: CrossCheck) -> CrossCheck:
    """The same without what is expected of sizes that have no reading yet, or whose one reading is
    to be taken again, and without all that follows from such a size: a paper for whoever is to tape
    them."""
    blind = {
        row.size.name: bool(row.readings)
        for row in found.rows
        if row.blind and row.size is not None
    }
    walls = tuple(
        replace(
            wall,
            rows=tuple(_unsaid(row) for row in wall.rows),
            closings=tuple(_not_taken(closing, blind) for closing in wall.closings),
            derived=() if any(row.blind for row in wall.rows) else wall.derived,
        )
        for wall in found.walls
    )
    return replace(found, walls=walls, across=tuple(_not_taken(one, blind) for one in found.across))


def _unsaid(row: CheckedSize) -> CheckedSize:
    if not row.blind:
        return row
    unsaid = replace(row, photo=None, expected=None, best=None, kept_back=True)
    return replace(unsaid, suspect=row.question, en=None, w=None)


def _not_taken(closing: Closing, blind: Mapping[str, bool]) -> Closing:
    """Without by how much it is out where a size is blind; whether it closes is told where all
    are read at least (``blind`` says which have a reading)."""
    if not any(name in blind for name in closing.sizes):
        return closing
    read = all(blind.get(name, True) for name in closing.sizes)
    return replace(closing, out_mm=None, told=closing.closes if read else None)


def _row(
    found: DimensionJudgement,
    part: WallPart,
    judgement: Judgement,
    taken: Taken,
    overrides: Sequence[Override],
) -> CheckedSize:
    standing = taken.standing(found.name)
    suspect = found.suspect and in_words(found.suspect, taken.by_id, taken.called)
    conflict = _is_conflict(found, judgement)
    given = _newest_override(found, overrides) if conflict else None
    refused = None if given is None else _override_refused(given, taken)
    let_stand_by = given.who if given is not None and refused is None else ""
    taken_as = [as_taken(one) for one in standing]
    twice = None if conflict else taped_twice(taken_as, judgement.limits)
    held = "" if let_stand_by or twice else why_shut(found, judgement) or ""
    again = taken.again(found.name)
    still_open = ["still open"] if conflict and not let_stand_by else []
    return CheckedSize(
        name=part.called[found.name],
        size=next((size for size in part.sizes.sizes if size.name == found.name), None),
        status=found.status,
        checked=found.checked,
        photo=found.photo,
        tape=found.tape,
        expected=found.expected,
        best=found.best,
        readings=tuple(reading_said(reading) for reading in standing),
        holds=held,
        suspect=suspect.text if suspect is not None else "",
        done=(*again, *taken.moved(found.name), *_overridden(given, refused), *still_open),
        let_stand_by=let_stand_by,
        let_stand_why=given.reason if given is not None and let_stand_by else "",
        taken_again=bool(again),
        en=found.en,
        w=found.w,
        mdb_mm=found.mdb_mm,
        birge=found.birge,
        question=_question(suspect),
    )


def _question(suspect: Suspect | None) -> str:
    return "" if suspect is None else question(suspect.kind, suspect.meant, suspect.text)


def _is_conflict(found: DimensionJudgement, judgement: Judgement) -> bool:
    """Whether it conflicts, or one of its readings contradicts another; where nothing does any
    more no override is needed."""
    if found.status is Status.CONFLICTS:
        return True
    return any(r.clashes_with for r in judgement.readings if r.dimension == found.name)


def _newest_override(found: DimensionJudgement, overrides: Sequence[Override]) -> Override | None:
    return next((o for o in reversed(overrides) if o.dimension == found.name), None)


def _override_refused(override: Override, taken: Taken) -> tuple[str, str] | None:
    """By the rule of release: why it does not count, and what to do."""
    own = [
        as_taken(one) if one.id in taken.stand else replace(as_taken(one), status="replaced")
        for one in taken.of(override.dimension)
    ]
    return override_refused(override, own)


def _overridden(given: Override | None, refused: tuple[str, str] | None) -> list[str]:
    if given is None:
        return []
    if refused is None:
        return [f"let stand by {given.who}: {given.reason}"]
    why, do = refused
    return [f"{why} ({given.who}: {given.reason}): {do}"]
