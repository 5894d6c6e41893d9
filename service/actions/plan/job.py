"""Plan a stored job: its settings, the reports of its walls, and the sheets that are locked."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from pydantic import ValidationError

from service.actions.plan.planning import planned
from service.actions.plan.sheets import sheets_of
from service.actions.plan.stored_release import (
    last_revisions,
    looks_of,
    release_model,
)
from service.actions.plan.usual import usual_plan
from service.errors import FileError, ServiceError
from service.files.api.answers import PlanModel, PlanSettings, Refused
from service.files.api.release_answers import ReleaseModel
from service.files.kept_back import blind_sizes
from service.files.messages import explain
from service.files.panels_values import panels_file
from service.files.plan import PlanFile
from service.files.plan_fields import called_in_words, path_in_plan
from service.files.plan_sizes import report_values
from service.files.price_book import read_price_book
from service.files.report import Report
from service.files.rough_places import NoSuchPlace, put_back
from service.files.shop_practice import practice_of
from service.panels.problem import PlanError
from service.store.changes import change_job
from service.store.rows import Acting, JobRow, WallName

if TYPE_CHECKING:
    from service.actions.plan.planning import Planned
    from service.actions.plan.sheets import Sheets
    from service.files.api.asked import PlanSettingsBody
    from service.measuring.release.facts import NothingChecks
    from service.measuring.release.judged import JudgedReading
    from service.measuring.release.revision import Revision
    from service.panels.model import Plan
    from service.store.unit import Unit

PRACTICE, PRICES, ELEVATION = "practice.toml", "prices.csv", "elevation.svg"
WallReport = Report | ServiceError
"""A wall's report, or why there is none."""


class Reports(Protocol):
    """Reports of stored walls."""

    def of_walls(self, unit: Unit, job: JobRow) -> dict[WallName, WallReport]:
        """Each wall's report or why there is none; held too by what the other walls contradict."""
        ...


@dataclass(frozen=True)
class PlannedJob:
    """A job's plan.

    Attributes
    ----------
    plan
        As its sizes are proved.
    sheets
        Every sheet, by its wall; `sheets.locked` is the plan that documents are made of.
    releases
        The state of each panel's sheet, by the panel's name.
    """

    plan: Plan
    sheets: Sheets
    releases: Mapping[str, ReleaseModel]

    @property
    def locked(self) -> Plan:
        """The same, with every panel whose sheet no person has released marked as an estimate."""
        return self.sheets.locked

    @property
    def revision(self) -> str:
        """The newest letter that a sheet was released under; a dash before the first."""
        return self.sheets.newest_letter

    def wanted(self, panel: str) -> Mapping[NothingChecks, str]:
        """What a panel's sheet asks a second person to look at; nothing where there is none."""
        found = (s for wall, s in self.sheets.states.items() if wall.replace(" ", "-") == panel)
        state = next(found, None)
        return {} if state is None else state.needs.looks


def settings_of(job: JobRow, reports: Mapping[WallName, WallReport]) -> dict[str, Any]:
    """The job's settings, or such as its sizes give."""
    kept: dict[str, Any] | None = job.document["plan"]
    if kept is not None:
        return kept
    found = {wall: report for wall, report in reports.items() if isinstance(report, Report)}
    return {"plan": usual_plan(job, found), "practice": None, "prices": None}


def show_settings(job: JobRow, reports: Mapping[WallName, WallReport]) -> PlanSettings:
    """The job's settings as they are shown."""
    derived = job.document["plan"] is None
    return PlanSettings(revision=job.revision, derived=derived, **settings_of(job, reports))


def put_settings(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    body: PlanSettingsBody,
    reports: Mapping[WallName, WallReport],
) -> JobRow:
    """Keep settings that a plan file could have; places that were told roughly stay as they are.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that will not do.
    """
    value = body.model_dump(mode="json")
    if "release" in value["plan"]:
        detail = "plan.release: expected none: here sheets are released one by one."
        raise ServiceError("invalid", detail, field="plan.release")
    try:
        value["plan"] = put_back(value["plan"], settings_of(job, reports)["plan"])
    except NoSuchPlace as error:
        raise ServiceError("invalid", str(error), field=error.field) from None
    _plan_file(job, value)
    try:
        practice_of(body.practice, PRACTICE, PRACTICE)
        if body.prices is not None:
            read_price_book(body.prices, PRICES)
    except FileError as error:
        raise ServiceError("invalid", str(error), field=error.source.partition(".")[0]) from None
    return change_job(unit, acting, job, ["plan"], value, "plan", "changed the plan's settings")


def plan_job(
    job: JobRow,
    reports: Mapping[WallName, WallReport],
    revisions: Sequence[Revision] = (),
    photos: Collection[str] = (),
) -> PlannedJob:
    """Plan the job from its settings, the reports of its walls and its locked revisions.

    Parameters
    ----------
    photos
        Ids of those on its walls: one that was taken off vouches for nothing any more.

    Raises
    ------
    ServiceError
        ``cannot-plan``, naming the wall without a report, or the value that the plan fails by.
    """
    settings = settings_of(job, reports)
    if not any(isinstance(report, Report) for report in reports.values()):
        raise ServiceError(
            "cannot-plan",
            "None of the walls has a size yet.",
            do="Add photos that show a card and mark them, or take readings.",
        )
    try:
        file = _plan_file(job, settings)
    except ServiceError as error:
        raise ServiceError("cannot-plan", error.detail, field=error.field) from None
    _need_reports(file, reports)
    values = {
        wall.replace("-", " "): (report_values(_report_name(wall), report),)
        for wall, report in reports.items()
        if isinstance(report, Report)
    }
    try:
        practice = practice_of(settings["practice"], PRACTICE, PRACTICE)
        prices = settings["prices"]
        book = None if prices is None else read_price_book(prices, PRICES)
        found = planned(file, values, practice, book, job.overrides)
    except PlanError as error:
        detail = f"{called_in_words(file, error.field)}: {error.expected}"
        field = f"plan.{path_in_plan(file, error.field)}"
        raise ServiceError("cannot-plan", detail, field=field) from None
    except FileError as error:
        detail = f"{error.field}: {error.expected}" if error.field else error.expected
        raise ServiceError("cannot-plan", detail, field=error.field) from None
    return _with_sheets(job, found, revisions, photos)


def plan_stored(unit: Unit, job: JobRow, reports: Reports) -> PlannedJob:
    """Plan a stored job as its facts stand; errors as `plan_job`."""
    photos = {photo for wall in unit.jobs.walls(job.id) for photo in wall.facts["photos"]}
    return plan_job(job, reports.of_walls(unit, job), unit.revisions.of_job(job.id), photos)


def untaped_sizes(unit: Unit, job: JobRow, reports: Reports) -> dict[str, frozenset[str]]:
    """Sizes of each wall that are to be taped, or taped again, with nothing told of what would fit;
    no wall of which nothing is known."""
    overrides = job.overrides
    return {
        wall: blind_sizes(one, overrides.get(wall.replace("-", " "), ()))
        for wall, one in reports.of_walls(unit, job).items()
        if isinstance(one, Report)
    }


def readings_of(
    unit: Unit, job: JobRow, reports: Reports, panel: WallName
) -> dict[str, JudgedReading]:
    """The readings of a panel's wall by id, as its report has them.

    Raises
    ------
    ServiceError
        Why there is no report.
    """
    report = reports.of_walls(unit, job)[panel]
    if isinstance(report, ServiceError):
        raise ServiceError(report.code, report.detail, do=report.do)
    return {found.id: found for found in report_values(_report_name(panel), report).readings}


def show_plan(job: JobRow, planned: PlannedJob) -> PlanModel:
    """The plan as it is shown."""
    return PlanModel(
        revision=job.revision,
        plan=panels_file(planned.plan),
        releases=dict(planned.releases),
        elevation_svg=f"/api/jobs/{job.id}/documents/{ELEVATION}",
    )


def show_unplanned(job: JobRow, why: ServiceError) -> PlanModel:
    """In place of a plan that cannot be made: why, for what was changed holds without it."""
    return PlanModel(
        revision=job.revision,
        plan=None,
        cannot_plan=Refused(code=why.code, text=why.detail, do=why.do or ""),
        releases={},
        elevation_svg=f"/api/jobs/{job.id}/documents/{ELEVATION}",
    )


def _plan_file(job: JobRow, settings: Mapping[str, Any]) -> PlanFile:
    """The settings as PLAN.json, with the job's own name, reports, practice and prices."""
    document = {
        **settings["plan"],
        "job": {**_own_job(settings["plan"]), "name": job.name, "scope": job.scope},
        "practice": None if settings["practice"] is None else PRACTICE,
        "prices": None if settings["prices"] is None else PRICES,
    }
    walls = document.get("walls")
    if isinstance(walls, list):
        document["walls"] = [_with_report(wall) for wall in walls]
    try:
        return PlanFile.model_validate(document)
    except ValidationError as error:
        field, expected = explain(error, PlanFile)
        raise ServiceError("invalid", f"{field}: {expected}", field=f"plan.{field}") from None


def _own_job(plan: Mapping[str, Any]) -> Mapping[str, Any]:
    """What the settings say of the job itself: tub, bonding, bars."""
    said = plan.get("job")
    return said if isinstance(said, dict) else {}


def _with_report(wall: Any) -> Any:
    if not isinstance(wall, dict) or not isinstance(wall.get("wall"), str):
        return wall
    return {**wall, "reports": [_report_name(wall["wall"])]}


def _report_name(wall: str) -> str:
    return f"{wall.replace(' ', '-')}-report.json"


def _need_reports(file: PlanFile, reports: Mapping[WallName, WallReport]) -> None:
    for wall in file.walls:
        for name, report in reports.items():
            if name.replace("-", " ") == wall.wall and isinstance(report, ServiceError):
                detail = f"The {wall.wall} wall has no sizes yet: {report.detail}"
                raise ServiceError("cannot-plan", detail, do=report.do, field=wall.wall)


def _with_sheets(
    job: JobRow, found: Planned, revisions: Sequence[Revision], photos: Collection[str]
) -> PlannedJob:
    kept = job.document["releases"]
    withdrawn = frozenset(
        panel.replace("-", " ") for panel, row in kept.items() if row["state"] == "withdrawn"
    )
    sheets = sheets_of(found, looks_of(job, photos), last_revisions(job, revisions), withdrawn)
    releases = {wall.replace(" ", "-"): release_model(job, sheets, wall) for wall in sheets.states}
    return PlannedJob(found.plan, sheets, releases)
