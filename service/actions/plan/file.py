"""Plan the panels of one alcove: PLAN.json and its reports in, panels.json and drawings out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, get_args

from service.actions.plan.cut_sizes import cut_by
from service.actions.plan.documents import PANELS_FILE, panel_file_names, plan_documents
from service.actions.plan.evidence import evidence_by
from service.actions.plan.planning import Planned, planned
from service.actions.plan.sheets import sheets_of
from service.documents.wording import Paper
from service.errors import FileError
from service.files.loading import is_there, load_model, named_by, read_text
from service.files.plan import PlanFile
from service.files.plan_fields import plan_fault
from service.files.plan_release import LockedFile, locked_beside, revision_row
from service.files.plan_sizes import report_values
from service.files.price_book import read_price_book
from service.files.report import Report as ReportFile
from service.files.shop_practice import practice_beside
from service.files.writing import (
    folder_held,
    json_text,
    make_folder,
    remove_files,
    write_folder,
    write_whole,
)
from service.measuring.release.revision import NotReleasable, lock
from service.panels.model import WallName
from service.panels.problem import PlanError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from service.actions.plan.sheets import Sheets
    from service.files.plan_parts import PlanWall
    from service.files.plan_release import PlanRelease
    from service.measuring.field_truth import Evidence
    from service.measuring.release.facts import Override, SecondLook
    from service.measuring.release.judged import JudgedWall
    from service.measuring.release.revision import Revision
    from service.panels.model import Plan
    from service.panels.practice import Practice
    from service.panels.price import PriceBook


@dataclass(frozen=True)
class PlannedFiles:
    """The plan, the files that were written, and those of an earlier plan that were taken away."""

    plan: Plan
    written: tuple[Path, ...]
    taken_away: tuple[Path, ...] = ()


@dataclass(frozen=True)
class LockedSheet:
    """The revision that a sheet was locked as, the file it is kept in, and the plan it is of."""

    revision: Revision
    kept: Path
    plan: Plan


def plan_file(
    path: Path, out: Path, *, printed_on: str = "", paper: Paper = "letter", revision: str = "A"
) -> PlannedFiles:
    """Plan PLAN.json and write every document of the plan into a folder.

    Everything is made before anything is written, and each file is replaced whole, so an error
    leaves what was there. Drawings that an earlier plan left there of a panel that this one has
    not are taken away: nobody is to cut by them.

    Parameters
    ----------
    path
        PLAN.json; paths inside it are relative to its folder.
    out
        Folder to write to, made if it is missing.
    printed_on
        The date as printed; default: today.
    revision
        Letter that is printed where the plan locks no sheet.

    Raises
    ------
    FileError
        A file, or a value in one, that cannot be used.
    """
    loaded = _loaded(path)
    plan = loaded.plan
    if loaded.sheets is not None:
        revision = loaded.sheets.newest_letter
    made = plan_documents(plan, revision, printed_on or date.today().isoformat(), paper)
    make_folder(out)
    stale = _stale(out, made)
    written = write_folder(out, made, _sources(path, loaded.file))
    return PlannedFiles(plan, written, remove_files(stale))


def plan_only(path: Path) -> Plan:
    """Plan PLAN.json without writing anything; errors as `plan_file`."""
    return _loaded(path).plan


def cut_by_file(path: Path, judged: Mapping[str, ReportFile]) -> dict[str, frozenset[str]]:
    """The measured sizes that each sheet of PLAN.json hangs on, by its wall.

    Parameters
    ----------
    judged
        Reports of walls as they were judged just now, by wall: each in place of all those that the
        plan names for the wall, which may not be written yet.

    Raises
    ------
    FileError
        As `plan_file`; nothing says what the sheets are cut by.
    """
    file = load_model(path, PlanFile)
    reports: dict[str, tuple[JudgedWall, ...]] = {
        wall.wall: (report_values(str(path), judged[wall.wall]),)
        if wall.wall in judged
        else _reports(path, index, wall)
        for index, wall in enumerate(file.walls)
    }
    practice = practice_beside(path, file.practice)
    return cut_by(_planned(path, file, reports, practice, None).plan)


def lock_sheet(path: Path, sheet: WallName, who: str, at: str) -> LockedSheet:
    """Lock the sheet of a wall as its next revision, in the file that PLAN.json names for it.

    One release at a time: of two that read the same file the second would write over the first, and
    there would be two papers of revision A.

    Parameters
    ----------
    at
        When, ISO 8601.

    Raises
    ------
    FileError
        As `plan_file`; a plan without ``release``; a sheet that something holds back, or whose
        last revision still holds.
    """
    if not who.strip() or not who.isprintable():
        raise FileError("--who", "", "expected the name of the one who releases the sheet")
    with folder_held(path.parent):
        return _locked(path, sheet, who, at)


def _locked(path: Path, sheet: WallName, who: str, at: str) -> LockedSheet:
    loaded = _loaded(path)
    release, sheets = loaded.file.release, loaded.sheets
    if release is None or sheets is None:
        expected = 'expected "release": {} in the plan, beside which the revisions are kept'
        raise FileError(str(path), "release", expected)
    if sheet not in sheets.states:
        known = ", ".join(sheets.states)
        raise FileError(str(path), "walls", f"expected the {sheet} wall; there are {known}")
    if sheets.releases[sheet].state == "released":
        letter = sheets.releases[sheet].revision
        expected = f"the {sheet} sheet is released as revision {letter}, and nothing has changed"
        raise FileError(str(path), "release", expected)
    try:
        evidence = _evidence(path.parent, loaded, sheet)
        new = lock(sheets.states[sheet], loaded.locked, who, at, evidence)
    except NotReleasable as error:
        settle = "tape again, or settle it in release.overrides or release.second_looks"
        raise FileError(str(path), "release", f"{error}; {settle}") from None
    target = path.parent / release.locked
    rows = LockedFile(revisions=tuple(revision_row(found) for found in (*loaded.locked, new)))
    write_whole(target, json_text(rows).encode())
    return LockedSheet(new, target, loaded.plan)


def _evidence(folder: Path, loaded: _Loaded, sheet: WallName) -> Evidence:
    names = [name for wall in loaded.file.walls if wall.wall == sheet for name in wall.reports]
    reports = [load_model(folder / name, ReportFile) for name in names]
    return evidence_by(loaded.plan, sheet, reports)


def _sources(path: Path, file: PlanFile) -> list[Path]:
    """Every file that the plan is read from."""
    reports = [name for wall in file.walls for name in wall.reports]
    named = [name for name in (file.practice, file.prices, *reports) if name is not None]
    return [path, *(path.parent / name for name in named)]


def _stale(out: Path, made: Mapping[str, bytes]) -> list[Path]:
    """Panels' drawings in a folder that an earlier plan was written to, of panels not made now."""
    if not (out / PANELS_FILE).is_file():
        return []
    names = [name for wall in get_args(WallName) for name in panel_file_names(wall)]
    return [out / name for name in names if name not in made and (out / name).is_file()]


@dataclass(frozen=True)
class _Loaded:
    """A plan file with all that it names; `sheets` where it says how they are released."""

    file: PlanFile
    plan: Plan
    sheets: Sheets | None
    locked: tuple[Revision, ...]


def _loaded(path: Path) -> _Loaded:
    file = load_model(path, PlanFile)
    practice = practice_beside(path, file.practice)
    book = _prices(path, file.prices)
    reports: dict[str, tuple[JudgedWall, ...]] = {
        wall.wall: _reports(path, index, wall) for index, wall in enumerate(file.walls)
    }
    release = file.release
    if release is None:
        found = _planned(path, file, reports, practice, book)
        return _Loaded(file, found.plan, None, ())
    _need_photos(path, release)
    locked = locked_beside(path, release)
    overrides: dict[str, list[Override]] = {
        wall.wall: [row.override() for row in release.overrides if row.wall == wall.wall]
        for wall in file.walls
    }
    looks: dict[str, list[SecondLook]] = {
        wall.wall: [row.look() for row in release.second_looks if row.wall == wall.wall]
        for wall in file.walls
    }
    found = _planned(path, file, reports, practice, book, overrides)
    sheets = sheets_of(found, looks, {revision.sheet: revision for revision in locked})
    return _Loaded(file, sheets.locked, sheets, locked)


def _planned(
    path: Path,
    file: PlanFile,
    reports: Mapping[str, Sequence[JudgedWall]],
    practice: tuple[Practice, str],
    book: PriceBook | None,
    overrides: Mapping[str, Sequence[Override]] = MappingProxyType({}),
) -> Planned:
    """The plan, its faults told by their paths in the file that they stand in."""
    try:
        return planned(file, reports, practice, book, overrides)
    except PlanError as error:
        allowance = error.field.removeprefix("practice ")
        if allowance != error.field and file.practice is not None:
            where = str(path.parent / file.practice)
            raise FileError(where, allowance, error.expected) from error
        raise plan_fault(str(path), file, error) from error


def _need_photos(path: Path, release: PlanRelease) -> None:
    """A photo that is not there vouches for nothing."""
    for index, look in enumerate(release.second_looks):
        field = f"release.second_looks[{index}].photo"
        if look.photo is not None and not is_there(path.parent / look.photo, str(path), field):
            expected = f"expected a photo with the tape in it; there is no file {look.photo}"
            raise FileError(str(path), field, expected)


def _prices(path: Path, name: str | None) -> PriceBook | None:
    if name is None:
        return None
    with named_by(str(path), "prices"):
        text = read_text(path.parent / name, "a price book")
    return read_price_book(text, str(path.parent / name))


def _reports(path: Path, at: int, wall: PlanWall) -> tuple[JudgedWall, ...]:
    folder, found = path.parent, []
    for index, name in enumerate(wall.reports):
        with named_by(str(path), f"walls[{at}].reports[{index}]"):
            report = load_model(folder / name, ReportFile)
        theirs = (report.wall or "").replace("-", " ")
        if theirs in get_args(WallName) and theirs != wall.wall:
            expected = f"expected a report of the {wall.wall} wall, this one is of {theirs}"
            raise FileError(str(folder / name), "wall", expected)
        found.append(report_values(name, report))
    return tuple(found)
