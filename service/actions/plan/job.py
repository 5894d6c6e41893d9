"""Plan a stored job: its settings, the reports of its walls, and the sheets that are locked."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from pydantic import ValidationError

from service.actions.plan.planning import planned, practice_of
from service.actions.plan.usual import usual_plan
from service.errors import FileError, ServiceError
from service.files.api.answers import PlanSettings, ReleaseModel
from service.files.messages import explain
from service.files.panels import PanelRow
from service.files.panels_values import panels_file
from service.files.plan import PlanFile
from service.files.plan_values import report_values
from service.files.price_book import read_price_book
from service.files.report import Report
from service.store.changes import change_job
from service.store.rows import Acting, JobRow, WallName

if TYPE_CHECKING:
    from service.files.api.asked import PlanSettingsBody
    from service.panels.model import Plan
    from service.store.unit import Unit

PRACTICE, PRICES = "practice.toml", "prices.csv"
_NOT_CUT: Final = frozenset(
    {"price", "chance", "chance_fits", "others", "shared", "tried", "mm", "released", "why_not"}
)
WallReport = Report | ServiceError
"""A wall's report, or why there is none."""


@dataclass(frozen=True)
class PlannedJob:
    """A job's plan.

    Attributes
    ----------
    plan
        As its sizes are proved.
    locked
        The same, with every panel whose sheet no person has released marked as an estimate: what
        documents are made of.
    releases
        The state of each panel's sheet.
    fingerprints
        Of each panel, as `releases` remembers it.
    """

    plan: Plan
    locked: Plan
    releases: Mapping[str, ReleaseModel]
    fingerprints: Mapping[str, str]

    @property
    def revision(self) -> str:
        """The newest letter that a sheet was released under; a dash before the first."""
        letters = [found.revision for found in self.releases.values() if found.revision]
        return max(letters, key=lambda letter: (len(letter), letter), default="–")


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


def put_settings(unit: Unit, acting: Acting, job: JobRow, body: PlanSettingsBody) -> JobRow:
    """Keep settings that a plan file could have.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that will not do.
    """
    value = body.model_dump(mode="json")
    _plan_file(job, value)
    try:
        practice_of(body.practice, PRACTICE, PRACTICE)
        if body.prices is not None:
            read_price_book(body.prices, PRICES)
    except FileError as error:
        raise ServiceError("invalid", str(error), field=error.source.partition(".")[0]) from None
    return change_job(unit, acting, job, ["plan"], value, "plan", "changed the plan's settings")


def plan_job(job: JobRow, reports: Mapping[WallName, WallReport]) -> PlannedJob:
    """Plan the job from its settings and the reports of its walls.

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
        plan = planned(file, values, practice, book, "plan")
    except FileError as error:
        detail = f"{error.field}: {error.expected}" if error.field else error.expected
        raise ServiceError("cannot-plan", detail, field=error.field) from None
    return _with_releases(job, plan)


def _plan_file(job: JobRow, settings: Mapping[str, Any]) -> PlanFile:
    """The settings as PLAN.json, with the job's own name, reports, practice and prices."""
    document = {
        **settings["plan"],
        "job": {"name": job.name, "scope": job.scope},
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


def _with_releases(job: JobRow, plan: Plan) -> PlannedJob:
    rows = {row.wall.replace(" ", "-"): row for row in panels_file(plan).panels}
    fingerprints = {name: _fingerprint(row) for name, row in rows.items()}
    kept = job.document["releases"]
    releases = {
        name: _release(row, kept.get(name), fingerprints[name]) for name, row in rows.items()
    }
    panels = tuple(
        panel
        if releases[name].state == "released"
        else replace(panel, released=False, why_not=releases[name].why_not)
        for panel, name in zip(plan.panels, rows, strict=True)
    )
    released = plan.released and all(panel.released for panel in panels)
    locked = replace(plan, panels=panels, released=released)
    return PlannedJob(plan, locked, releases, fingerprints)


def _fingerprint(row: PanelRow) -> str:
    """Hash of all that the sheet says of cutting and drilling, as it is printed.

    Sizes count by their printed text: a change too small to be printed is none. Price, and the
    chance that a sheet is wide enough, are not cut.
    """
    text = json.dumps(_printed(row.model_dump(mode="json", by_alias=True)), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _printed(value: Any) -> Any:
    if isinstance(value, dict):
        return {
            key: _printed(child)
            for key, child in value.items()
            if key not in _NOT_CUT and not key.endswith(("_mm", "_mm2"))
        }
    return [_printed(child) for child in value] if isinstance(value, list) else value


def _release(row: PanelRow, kept: Mapping[str, Any] | None, fingerprint: str) -> ReleaseModel:
    locked = kept is not None and kept["state"] == "released"
    told = {key: None if kept is None else kept[key] for key in ("revision", "who", "at")}
    if locked and kept is not None and row.released and kept["fingerprint"] == fingerprint:
        return ReleaseModel(state="released", why_not=(), **told)
    if locked:
        why = f"a size has changed since revision {told['revision']} was released"
        return ReleaseModel(state="reopened", why_not=(why, *row.why_not), **told)
    if row.released:
        why = "every size is proved, but nobody has released the sheet yet"
        return ReleaseModel(state="open", why_not=(why,), **told)
    return ReleaseModel(state="shut", why_not=row.why_not, **told)
