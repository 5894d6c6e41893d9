"""Cross-check the walls of an alcove from their files, and write the report."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from service.actions.measure.across import judged_across
from service.actions.measure.alcove import CheckedAlcove, check_alcove, plan_wall, wall_name
from service.actions.measure.check_file import check_file
from service.actions.measure.wall import USUAL_SLIP_MM, LookedWall, looked_wall, report_on
from service.documents.cross_check import cross_check_csv
from service.documents.pdf.cross_check import cross_check_pdf
from service.documents.pdf.faces import boxed_letters
from service.documents.wording import DocumentMeta, Paper
from service.errors import FileError
from service.files.loading import load_model, read_text
from service.files.plan import PlanFile
from service.files.plan_release import PlanRelease, locked_beside
from service.files.report import Report
from service.files.shop_practice import least_slip_mm, practice_beside
from service.files.slip_book import read_slip_book
from service.files.writing import json_text, name_of_words, write_folder
from service.measuring.alcove.next_to_tape import ToTape
from service.measuring.cross_check import CrossCheck
from service.measuring.release.facts import Override
from service.measuring.release.revision import newest_letter
from service.measuring.slips import INSTALLER_BOOK, SlipBook

PAPERS = ("check.json", "check.csv", "check.pdf")
_MOST_WALLS: Final = 3
CutBy = Callable[[Mapping[str, Report]], Mapping[str, frozenset[str]]]
"""What each sheet is cut by, from the reports of the walls; both by wall as a plan calls it."""


@dataclass(frozen=True)
class CheckedFiles:
    """The cross-check, what each wall's sheet still wants taped, and the files written.

    Attributes
    ----------
    unplanned
        Why it is listed by what a sheet is usually cut by, though there is a plan; else None.
    boxed
        Letters that check.pdf shows as empty boxes.
    beside
        Walls of the plan that were not given, so that nothing was judged by them.
    """

    found: CrossCheck
    to_tape: Mapping[str, ToTape]
    written: tuple[Path, ...]
    unplanned: str | None = None
    boxed: str = ""
    beside: tuple[str, ...] = ()


def check_files(
    paths: Sequence[Path],
    folder: Path,
    *,
    slips: Path | None = None,
    plan: Path | None = None,
    cut_by: CutBy | None = None,
    job: str = "",
    printed_on: str = "",
    paper: Paper = "letter",
) -> CheckedFiles:
    """Judge one to three walls together and write check.json, check.csv and check.pdf.

    Readings of one wall check those of the next where the two meet, and each wall's report as the
    others judge it is written beside them, for a plan. Everything is made before anything is
    written.

    Parameters
    ----------
    slips
        SLIPS.toml with the shop's own rates; None takes the trade's for an installer.
    plan
        PLAN.json whose overrides are told beside the conflicts that they let stand, and by whose
        practice a size counts as checked.
    cut_by
        What that plan cuts each sheet by, which is then what is listed to be taped.
    job
        What the report calls the job; default: as the plan calls it.

    Raises
    ------
    FileError
        A file, or a value in one, that cannot be used; the same wall twice.
    Refusal
        Photos that do not determine their wall.
    """
    if not job.isprintable():
        raise FileError("--job", "", "expected the job's name on one line")
    if len(paths) > _MOST_WALLS:
        expected = f"expected one to {_MOST_WALLS} walls, those of one alcove, not {len(paths)}"
        raise FileError("WALL.json...", "", expected)
    walls = [looked_wall(path) for path in paths]
    _refuse_twice(walls, paths)
    book = INSTALLER_BOOK if slips is None else _book(slips)
    planned = None if plan is None else load_model(plan, PlanFile)
    overrides = {} if plan is None or planned is None else _overrides(planned.release, plan, walls)
    slip_mm = USUAL_SLIP_MM
    if plan is not None and planned is not None:
        slip_mm = least_slip_mm(practice_beside(plan, planned.practice)[0])
    checked = check_alcove(walls, book, overrides, slip_mm)
    own = {wall_name(wall): report_on(wall, slip_mm) for wall in walls}
    reports = judged_across(own, walls, checked)
    unplanned = None
    if cut_by is not None:
        try:
            checked = _cut_by(checked, cut_by, reports)
        except FileError as error:
            unplanned = str(error)
    revision = "–" if plan is None or planned is None else _newest_letter(planned, plan)
    meta = DocumentMeta(revision, printed_on or date.today().isoformat(), paper)
    if planned is not None:
        job = job.strip() or planned.job.name
    made = {name: check_paper(checked, name, job, meta) for name in PAPERS}
    for name, report in reports.items():
        made[_report_name(name)] = json_text(report).encode()
    beside = () if planned is None else _beside(planned, walls)
    sources = [*paths, *(path for path in (slips, plan) if path is not None)]
    written = write_folder(folder, made, sources)
    boxed = boxed_letters(f"{job}{made['check.json'].decode()}")
    return CheckedFiles(checked.found, checked.to_tape, written, unplanned, boxed, beside)


def check_paper(checked: CheckedAlcove, name: str, job: str, meta: DocumentMeta) -> bytes:
    """One of `PAPERS`; table and pages carry a short hash of the check.json that they tell."""
    text = json_text(check_file(checked.found, checked.to_tape)).encode()
    if name.endswith(".json"):
        return text
    meta = replace(meta, fingerprint=hashlib.sha256(text).hexdigest()[:12])
    if name.endswith(".csv"):
        return cross_check_csv(checked.found, job, meta)
    called = job or ", ".join(wall.sizes.wall for wall in checked.found.walls)
    return cross_check_pdf(checked.found, called, meta, checked.to_tape)


def _cut_by(checked: CheckedAlcove, cut_by: CutBy, reports: Mapping[str, Report]) -> CheckedAlcove:
    names = {name: name.replace("-", " ") for name in reports}
    cut = cut_by({names[name]: report for name, report in reports.items()})
    known = {name: cut[called] for name, called in names.items() if called in cut}
    return replace(checked, cut=known)


def _book(path: Path) -> SlipBook:
    return read_slip_book(read_text(path, "a TOML file"), str(path))


def _newest_letter(plan: PlanFile, path: Path) -> str:
    """The newest letter that one of its sheets is locked under."""
    locked = () if plan.release is None else locked_beside(path, plan.release)
    return newest_letter(revision.letter for revision in locked)


def _beside(plan: PlanFile, walls: Sequence[LookedWall]) -> tuple[str, ...]:
    given = {plan_wall(looked) for looked in walls}
    return tuple(wall.wall for wall in plan.walls if wall.wall not in given)


def _overrides(
    release: PlanRelease | None, plan: Path, walls: Sequence[LookedWall]
) -> dict[str, list[Override]]:
    """A plan's overrides by wall, each of a size and a reading that its wall's file has."""
    by_name = {plan_wall(looked): looked for looked in walls}
    found: dict[str, list[Override]] = {name: [] for name in by_name}
    for index, row in enumerate(() if release is None else release.overrides):
        if row.wall in by_name:
            field = f"release.overrides[{index}]"
            _expect_known(by_name[row.wall], row.override(), field, str(plan))
            found[row.wall].append(row.override())
    return found


def _expect_known(looked: LookedWall, override: Override, field: str, plan: str) -> None:
    known = {
        "dimension": (override.dimension, [size.name for size in looked.wall.dimensions]),
        "reading": (override.reading, [reading.id for reading in looked.readings]),
    }
    for key, (given, names) in known.items():
        if given not in names:
            there = ", ".join(names) or "none"
            raise FileError(
                plan,
                f"{field}.{key}",
                f"expected one of the {wall_name(looked)} wall's {key}s: {there}",
            )


def _refuse_twice(walls: Sequence[LookedWall], paths: Sequence[Path]) -> None:
    taken: dict[str, Path] = {}
    for looked, path in zip(walls, paths, strict=True):
        # As their reports are called, for "far end" and "far-end" are one wall.
        name = _report_name(wall_name(looked)).casefold()
        if name in taken:
            expected = (
                f"expected another wall: {taken[name]} is the {wall_name(looked)} wall as well"
            )
            raise FileError(str(path), "wall", expected)
        taken[name] = path


def _report_name(wall: str) -> str:
    return f"{name_of_words(wall)}-report.json"
