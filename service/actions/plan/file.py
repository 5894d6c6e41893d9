"""Plan the panels of one alcove: PLAN.json and its reports in, panels.json and drawings out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, get_args

from service.actions.plan.documents import plan_documents
from service.actions.plan.planning import planned, practice_of
from service.documents.wording import Paper
from service.errors import FileError
from service.files.loading import load_model
from service.files.plan import PlanFile
from service.files.plan_values import report_values
from service.files.price_book import read_price_book
from service.files.report import Report as ReportFile
from service.files.writing import write_whole
from service.panels.model import WallName

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.plan_parts import PlanWall
    from service.panels.model import Plan
    from service.panels.practice import Practice
    from service.panels.price import PriceBook
    from service.panels.release import Report

_LARGEST_TEXT = 4 * 1024 * 1024


@dataclass(frozen=True)
class PlannedFiles:
    """The plan, and the files that were written."""

    plan: Plan
    written: tuple[Path, ...]


def plan_file(
    path: Path, out: Path, *, printed_on: str = "", paper: Paper = "letter", revision: str = "A"
) -> PlannedFiles:
    """Plan PLAN.json and write every document of the plan into a folder.

    Everything is made before anything is written, and each file is replaced whole, so an error
    leaves what was there.

    Parameters
    ----------
    path
        PLAN.json; paths inside it are relative to its folder.
    out
        Folder to write to, made if it is missing.
    printed_on
        The date as printed; default: today.

    Raises
    ------
    FileError
        A file, or a value in one, that cannot be used.
    """
    plan = plan_only(path)
    made = plan_documents(plan, revision, printed_on or date.today().isoformat(), paper)
    return PlannedFiles(plan, _write(out, made))


def plan_only(path: Path) -> Plan:
    """Plan PLAN.json without writing anything; errors as `plan_file`."""
    file = load_model(path, PlanFile)
    folder = path.parent
    practice = _practice(folder, file.practice)
    book = _prices(folder, file.prices)
    reports: dict[str, tuple[Report, ...]] = {
        wall.wall: _reports(folder, wall) for wall in file.walls
    }
    return planned(file, reports, practice, book, str(path))


def _practice(folder: Path, name: str | None) -> tuple[Practice, str]:
    if name is None:
        return practice_of(None, "", "")
    return practice_of(_text(folder / name), name, str(folder / name))


def _prices(folder: Path, name: str | None) -> PriceBook | None:
    return None if name is None else read_price_book(_text(folder / name), str(folder / name))


def _reports(folder: Path, wall: PlanWall) -> tuple[Report, ...]:
    found = []
    for name in wall.reports:
        report = load_model(folder / name, ReportFile)
        theirs = (report.wall or "").replace("-", " ")
        if theirs in get_args(WallName) and theirs != wall.wall:
            expected = f"expected a report of the {wall.wall} wall, this one is of {theirs}"
            raise FileError(str(folder / name), "wall", expected)
        found.append(report_values(name, report))
    return tuple(found)


def _text(path: Path) -> str:
    try:
        with path.open("rb") as stream:
            data = stream.read(_LARGEST_TEXT + 1)
    except OSError as error:
        raise FileError(str(path), "", f"cannot be read: {error.strerror}") from None
    if len(data) > _LARGEST_TEXT:
        raise FileError(str(path), "", f"expected at most {_LARGEST_TEXT // 2**20} MiB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(str(path), "", f"expected UTF-8 text; byte {error.start} is not") from None


def _write(out: Path, made: dict[str, bytes]) -> tuple[Path, ...]:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(str(out), "", f"cannot be made: {error.strerror}") from None
    for name, data in made.items():
        write_whole(out / name, data)
    return tuple(out / name for name in made)
