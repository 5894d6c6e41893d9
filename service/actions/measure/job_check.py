"""A job's walls judged as one alcove, as it is shown and as it is handed out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from service.actions.measure.check import PAPERS, check_paper
from service.actions.measure.check_file import closure_rows, derived_rows
from service.actions.measure.in_plan import show_from_above
from service.actions.measure.named_sizes import wall_sizes
from service.actions.measure.report import reading_rows, size_rows
from service.actions.measure.stored import JobCheck
from service.documents.wording import DocumentMeta
from service.errors import ServiceError
from service.files.api.answers import Refused
from service.files.api.check_answers import AlcoveModel, SizeToTape, WallInAlcove
from service.files.report import Blocking, Gate
from service.files.shop_practice import least_slip_of
from service.measuring.alcove.next_to_tape import ToTape, next_to_tape
from service.measuring.alcove.placing import Ends, size_ends
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.cross_check import CheckedWall, kept_back
from service.measuring.limits import Limits
from service.store.new_job import wall_around
from service.store.rows import WALL_NAMES, JobRow, WallName, WallRow
from service.store.unit import Unit
from service.store.wall_document import untaken_file


def show_check(unit: Unit, check: JobCheck) -> AlcoveModel:
    """The alcove wall by wall, from left to right."""
    walls = unit.jobs.walls(check.job.id)
    checked = check.checked
    return AlcoveModel(
        walls=tuple(_wall(check, wall) for wall in walls),
        across=() if checked is None else closure_rows(checked.found.across),
        print_scale=None if checked is None else checked.found.print_scale,
        from_above=show_from_above(check, walls),
    )


def cut_as(check: JobCheck, sizes: Mapping[WallName, frozenset[str]]) -> JobCheck:
    """The same, where a plan tells which sizes of its wall each sheet is cut by."""
    if check.checked is None:
        return check
    cut = {str(wall): names for wall, names in sizes.items()}
    return replace(check, checked=replace(check.checked, cut=cut))


def without_expectation(check: JobCheck) -> JobCheck:
    """The same for a paper that tells nothing of a size before it is taped."""
    if check.checked is None:
        return check
    return replace(check, checked=replace(check.checked, found=kept_back(check.checked.found)))


def job_paper(check: JobCheck, name: str, meta: DocumentMeta) -> bytes:
    """check.json, check.csv or check.pdf of a job.

    Raises
    ------
    ServiceError
        ``not-found`` for another name; ``nothing-yet`` where there is nothing to judge.
    """
    if name not in PAPERS:
        raise ServiceError("not-found", f"There is no paper {name!r}; there are {PAPERS}.")
    if check.checked is None:
        raise next(iter(check.refused.values()))
    return check_paper(check.checked, name, check.job.name, meta)


def _wall(check: JobCheck, wall: WallRow) -> WallInAlcove:
    looked, checked = check.looked.get(wall.name), check.checked
    if looked is None or checked is None:
        return _untaken(check, wall)
    judged = checked.judged[wall.name]
    found = next(one for one in checked.found.walls if one.sizes.wall == wall.name)
    to_tape = checked.to_tape[wall.name]
    return WallInAlcove(
        id=wall.id,
        name=wall.name,
        refused=None,
        dimensions=size_rows(judged),
        readings=reading_rows(looked.readings, judged),
        gate=_gate(found),
        let_stand=tuple(row.name for row in found.rows if row.let_stand_by),
        closures=closure_rows(found.closings),
        derived=derived_rows(found.derived),
        places=_places(found),
        tape_next=_on_walls(to_tape.first, wall.name),
        tape_again=_on_walls(to_tape.again, wall.name),
        tape_anew=_on_walls(to_tape.anew, wall.name),
    )


def _gate(wall: CheckedWall) -> Gate:
    """By the rule of release, as papers say it: what two have taped and what somebody lets stand
    holds nothing."""
    blocking = tuple(Blocking(dimension=row.name, why=row.holds) for row in wall.rows if row.holds)
    return Gate(open=bool(wall.rows) and not blocking, blocking=blocking)


def _places(wall: CheckedWall) -> dict[str, Ends]:
    """Where its taped sizes lie, under the names of its own file."""
    taped = [row for row in wall.rows if row.size is not None and row.readings]
    values = {row.size.name: row.mm for row in taped if row.size is not None}
    ends = size_ends(wall.sizes, {name: mm for name, mm in values.items() if mm is not None})
    called = {row.size.name: row.name for row in taped if row.size is not None}
    return {called[name]: places for name, places in ends.items()}


def _on_walls(names: Sequence[str], own: WallName) -> tuple[SizeToTape, ...]:
    """Sizes by their walls: judged with others each is named with its wall."""
    found = []
    for name in names:
        wall = next((wall for wall in WALL_NAMES if name.startswith(f"{wall}: ")), None)
        size = name if wall is None else name.removeprefix(f"{wall}: ")
        found.append(SizeToTape(wall=wall or own, size=size))
    return tuple(found)


def _untaken(check: JobCheck, wall: WallRow) -> WallInAlcove:
    error = check.refused[wall.name]
    to_tape = _all_to_tape(check.job, wall)
    return WallInAlcove(
        id=wall.id,
        name=wall.name,
        refused=Refused(code=error.code, text=error.detail, do=error.do),
        dimensions=(),
        readings=(),
        gate=None,
        closures=(),
        derived=(),
        places={},
        tape_next=_on_walls(to_tape.first, wall.name),
        tape_again=_on_walls(to_tape.again, wall.name),
    )


def _all_to_tape(job: JobRow, wall: WallRow) -> ToTape:
    """What the tape alone would have to prove."""
    sizes = wall_sizes(untaken_file(wall_around(job, wall), wall.facts))
    limits = Limits(slip_mm=least_slip_of(job.practice))
    return next_to_tape((sizes,), sheet_needs(sizes), None, (), limits)
