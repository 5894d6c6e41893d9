"""The plan of a job: settings, panels, documents, releases."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Final, Literal

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response

from service.actions.plan import (
    PlannedJob,
    WallReport,
    document_makers,
    elevation_svg,
    plan_job,
    put_settings,
    show_settings,
)
from service.actions.release_panel import release_panel, withdraw_panel
from service.errors import ServiceError
from service.files.api.answers import PlanModel, PlanSettings
from service.files.api.asked import PlanSettingsBody, ReleaseBody
from service.files.panels_values import panels_file
from service.routes.edge.answers import (
    Answer,
    bytes_response,
    etag,
    file_answer,
    model_answer,
    perform,
    respond,
)
from service.routes.edge.asked import AskedDep, IdPath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import JobRow, WallName
from service.store.unit import Unit

router = APIRouter(tags=["plan"])
PanelPath = Annotated[str, Path(pattern=r"^(plumbing|back|far-end)$", examples=["back"])]
_ELEVATION: Final = "elevation.svg"
_MEDIA_TYPES: Final = {
    "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
}


@router.get(
    "/jobs/{job}/plan-settings", responses=model_answer(PlanSettings) | problems(*READ, "not-found")
)
def get_settings(tools: ToolsDep, job: IdPath) -> Response:
    """What the plan is made from beside the measured walls."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        settings = show_settings(row, _reports(tools, unit, row))
        return respond(Answer(settings, headers=etag(row.revision)))


@router.put(
    "/jobs/{job}/plan-settings",
    responses=model_answer(PlanSettings) | problems(*WRITE, "not-found", "no-version", "stale"),
    openapi_extra=takes(
        PlanSettingsBody,
        plan={"walls": [{"wall": "back", "hold_down": "3/4"}], "top": {"above_line": "3/4"}},
        practice=None,
        prices=None,
    ),
)
def put_plan_settings(
    tools: ToolsDep,
    asked: AskedDep,
    job: IdPath,
    body: Annotated[PlanSettingsBody, body_of(PlanSettingsBody)],
) -> Response:
    """Set what the plan is made from."""

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        asked.require(row.revision, lambda: show_settings(row, _reports(tools, unit, row)))
        new = put_settings(unit, asked.acting, row, body)
        return Answer(show_settings(new, {}), headers=etag(new.revision))

    return perform(tools, asked, change)


@router.get(
    "/jobs/{job}/plan",
    responses=model_answer(PlanModel) | problems(*READ, "not-found", "cannot-plan"),
)
def get_plan(tools: ToolsDep, job: IdPath) -> Response:
    """The panels as they would be cut, and which sheets may be."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        model = _shown(row, plan_job(row, _reports(tools, unit, row)))
        return respond(Answer(model, headers=etag(row.revision)))


@router.get(
    "/jobs/{job}/documents/{name}",
    responses=file_answer(*_MEDIA_TYPES.values()) | problems(*READ, "not-found", "cannot-plan"),
)
def get_document(
    request: Request,
    tools: ToolsDep,
    job: IdPath,
    name: Annotated[
        str, Path(pattern=r"^[a-z-]{1,40}\.(pdf|csv|json|svg|dxf)$", examples=["estimate.pdf"])
    ],
    paper: Annotated[Literal["letter", "a4"], Query(description="For PDF.")] = "letter",
) -> Response:
    """cutting-sheets.pdf, order.csv, estimate.pdf, panels.json, elevation.svg, back.svg ..."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        planned = plan_job(row, _reports(tools, unit, row))
    if name == _ELEVATION:
        data = elevation_svg(planned.locked)
    else:
        date = datetime.now().astimezone().date().isoformat()
        makers = document_makers(planned.locked, planned.revision, date, paper)
        if name not in makers:
            listed = ", ".join([*makers, _ELEVATION])
            raise ServiceError("not-found", f"There is no document {name!r}; there are {listed}.")
        data = makers[name]()
    shown = {"Content-Disposition": f'inline; filename="{name}"'}
    return bytes_response(request, data, _MEDIA_TYPES[name.rpartition(".")[2]], shown)


@router.post(
    "/jobs/{job}/panels/{panel}/release",
    responses=model_answer(PlanModel) | problems(*WRITE, "not-found", "cannot-plan", "not-proved"),
    openapi_extra=takes(ReleaseBody, who="R. Fitter"),
)
def post_release(
    tools: ToolsDep,
    asked: AskedDep,
    job: IdPath,
    panel: PanelPath,
    body: Annotated[ReleaseBody, body_of(ReleaseBody)],
) -> Response:
    """Lock a panel's sheet for cutting, as revision A, B and so on."""

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        reports = _reports(tools, unit, row)
        planned = plan_job(row, reports)
        who = body.who or asked.acting.who
        new = release_panel(
            unit, asked.acting, row, panel, planned.releases, planned.fingerprints, who
        )
        return Answer(_shown(new, plan_job(new, reports)), headers=etag(new.revision))

    return perform(tools, asked, change)


@router.delete(
    "/jobs/{job}/panels/{panel}/release",
    responses=model_answer(PlanModel) | problems(*WRITE, "not-found", "cannot-plan"),
)
def delete_release(tools: ToolsDep, asked: AskedDep, job: IdPath, panel: PanelPath) -> Response:
    """Take a release back: the sheet is not for cutting any more."""

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        reports = _reports(tools, unit, row)
        releases = plan_job(row, reports).releases
        new = withdraw_panel(unit, asked.acting, row, panel, releases)
        return Answer(_shown(new, plan_job(new, reports)), headers=etag(new.revision))

    return perform(tools, asked, change)


def _reports(tools: Tools, unit: Unit, job: JobRow) -> dict[WallName, WallReport]:
    found: dict[WallName, WallReport] = {}
    for wall in unit.jobs.walls(job.id):
        try:
            found[wall.name] = tools.reports.of_wall(unit, wall)
        except ServiceError as error:
            found[wall.name] = error
    return found


def _shown(job: JobRow, planned: PlannedJob) -> PlanModel:
    return PlanModel(
        revision=job.revision,
        plan=panels_file(planned.plan),
        releases=dict(planned.releases),
        elevation_svg=f"/api/jobs/{job.id}/documents/{_ELEVATION}",
    )
