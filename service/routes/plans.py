"""The plan of a job: settings, panels, documents, releases."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Final, Literal

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response

from service.actions.plan import (
    ELEVATION,
    document_makers,
    elevation_svg,
    plan_stored,
    put_settings,
    show_plan,
    show_settings,
    untaped_sizes,
)
from service.actions.show_practice import show_practice
from service.errors import ServiceError
from service.files.api.answers import PlanModel, PlanSettings, PracticeModel
from service.files.api.asked import PlanSettingsBody, PracticeBody
from service.files.kept_back import plan_kept_back, settings_kept_back
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
from service.routes.edge.expectation import HiddenDep
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import JobRow
from service.store.unit import Unit

router = APIRouter(tags=["plan"])
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
def get_settings(tools: ToolsDep, job: IdPath, hidden: HiddenDep) -> Response:
    """What the plan is made from beside the measured walls."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        return respond(Answer(_shown(tools, unit, row, hidden=hidden), headers=etag(row.revision)))


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
    hidden: HiddenDep,
    job: IdPath,
    body: Annotated[PlanSettingsBody, body_of(PlanSettingsBody)],
) -> Response:
    """Set what the plan is made from."""

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        asked.require(row.revision, lambda: _shown(tools, unit, row, hidden=hidden))
        reports = tools.reports.of_walls(unit, row)
        new = put_settings(unit, asked.acting, row, body, reports)
        return Answer(_shown(tools, unit, new, hidden=hidden), headers=etag(new.revision))

    return perform(tools, asked, change)


def _shown(tools: Tools, unit: Unit, row: JobRow, *, hidden: bool) -> PlanSettings:
    settings = show_settings(row, tools.reports.of_walls(unit, row))
    return (
        settings_kept_back(settings, untaped_sizes(unit, row, tools.reports))
        if hidden
        else settings
    )


@router.post(
    "/practice",
    responses=model_answer(PracticeModel)
    | problems(*READ, "bad-json", "wrong-type", "too-large", "cross-site"),
    openapi_extra=takes(
        PracticeBody,
        practice=None,
        change={"key": "joint.deck", "value": "3/16", "source": "sheet maker"},
    ),
)
def post_practice(body: Annotated[PracticeBody, body_of(PracticeBody)]) -> Response:
    """Every allowance as a practice's text leaves it; with a change, the text with it. Nothing is
    kept."""
    return respond(Answer(show_practice(body)))


@router.get(
    "/jobs/{job}/plan",
    responses=model_answer(PlanModel) | problems(*READ, "not-found", "cannot-plan"),
)
def get_plan(tools: ToolsDep, job: IdPath, hidden: HiddenDep) -> Response:
    """The panels as they would be cut, and which sheets may be."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        model = show_plan(row, plan_stored(unit, row, tools.reports))
        if hidden:
            model = plan_kept_back(model, untaped_sizes(unit, row, tools.reports))
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
        planned = plan_stored(unit, row, tools.reports)
    if name == ELEVATION:
        data = elevation_svg(planned.locked)
    else:
        date = datetime.now().astimezone().date().isoformat()
        makers = document_makers(planned.locked, planned.revision, date, paper)
        if name not in makers:
            listed = ", ".join([*makers, ELEVATION])
            raise ServiceError("not-found", f"There is no document {name!r}; there are {listed}.")
        data = makers[name]()
    shown = {"Content-Disposition": f'inline; filename="{name}"'}
    return bytes_response(request, data, _MEDIA_TYPES[name.rpartition(".")[2]], shown)
