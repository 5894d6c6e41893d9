"""Release of each panel's sheet: second looks, overrides, as-hung widths, locked revisions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from service.actions.plan import (
    evidence_now,
    last_revisions,
    plan_stored,
    readings_of,
    settings_of,
    show_plan,
    show_revisions,
    show_unplanned,
    untaped_sizes,
)
from service.actions.release_panel import release_panel, withdraw_panel
from service.actions.tape_as_hung import tape_as_hung
from service.actions.vouch import delete_look, delete_override, put_look, put_override
from service.errors import ServiceError
from service.files.api.answers import PlanModel
from service.files.api.asked import AsHungBody, LookBody, OverrideBody, ReleaseBody
from service.files.api.release_answers import RevisionList
from service.files.kept_back import plan_kept_back
from service.measuring.release.facts import NothingChecks
from service.routes.edge.answers import Answer, etag, model_answer, perform, respond
from service.routes.edge.asked import Asked, AskedDep, IdPath, NamePath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.expectation import HiddenDep
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import JobRow, WallName
from service.store.unit import Unit

router = APIRouter(tags=["release"])
PanelPath = Annotated[WallName, Path(examples=["back"])]
LookPath = Annotated[
    str,
    Path(
        pattern="^(hold-down|agreed-top|face-to-valve|hand|outer-edge)$",
        examples=["agreed-top"],
        description="With - for its spaces.",
    ),
]
_PLAN = model_answer(PlanModel) | problems(*WRITE, "not-found", "cannot-plan")
_LOOKED = {
    "value": "3/4 in above the level line",
    "first": "R. Fitter",
    "second": "S. Mate",
}


@router.post(
    "/jobs/{job}/panels/{panel}/release",
    responses=model_answer(PlanModel)
    | problems(*WRITE, "not-found", "cannot-plan", "not-proved", "stale"),
    openapi_extra=takes(ReleaseBody, who="R. Fitter", looks=[{"what": "agreed top", **_LOOKED}]),
)
def post_release(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    body: Annotated[ReleaseBody, body_of(ReleaseBody)],
) -> Response:
    """Lock a panel's sheet for cutting, as revision A, B and so on."""

    def change(unit: Unit, row: JobRow) -> JobRow:
        planned = plan_stored(unit, row, tools.reports)
        for look in body.looks:
            wanted = planned.wanted(panel)
            row = put_look(unit, asked.acting, row, panel, look.what, look, wanted)
        planned = plan_stored(unit, row, tools.reports)
        found = planned.releases.get(panel)
        return release_panel(
            unit,
            asked.acting,
            row,
            panel,
            planned.sheets.states,
            last_revisions(row, unit.revisions.of_job(row.id)),
            body.who or asked.acting.who,
            locked=found is not None and found.state == "released",
            shown=body.shown,
            evidence=evidence_now(unit, row, tools.reports, panel, planned.plan),
        )

    return _changed(tools, asked, job, change, hidden=hidden)


@router.delete("/jobs/{job}/panels/{panel}/release", responses=_PLAN)
def delete_release(
    tools: ToolsDep, asked: AskedDep, hidden: HiddenDep, job: IdPath, panel: PanelPath
) -> Response:
    """Take a release back: the sheet is not for cutting any more."""
    return _changed(
        tools,
        asked,
        job,
        lambda unit, row: withdraw_panel(unit, asked.acting, row, panel),
        hidden=hidden,
        needs_plan=False,
    )


@router.get(
    "/jobs/{job}/panels/{panel}/revisions",
    responses=model_answer(RevisionList) | problems(*READ, "not-found"),
)
def get_revisions(tools: ToolsDep, job: IdPath, panel: PanelPath) -> Response:
    """Every locked revision of a panel's sheet, and what changed from one to the next."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        return respond(Answer(show_revisions(unit.revisions.of_job(row.id, panel))))


@router.put(
    "/jobs/{job}/panels/{panel}/looks/{what}",
    responses=_PLAN,
    openapi_extra=takes(LookBody, **_LOOKED),
)
def put_second_look(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    what: LookPath,
    body: Annotated[LookBody, body_of(LookBody)],
) -> Response:
    """Note a second person, or a photo with the tape in it, for what nothing checks."""

    def change(unit: Unit, row: JobRow) -> JobRow:
        wanted = plan_stored(unit, row, tools.reports).wanted(panel)
        return put_look(unit, asked.acting, row, panel, _what(what), body, wanted)

    return _changed(tools, asked, job, change, hidden=hidden)


@router.delete("/jobs/{job}/panels/{panel}/looks/{what}", responses=_PLAN)
def delete_second_look(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    what: LookPath,
) -> Response:
    """Take a second look back."""
    return _changed(
        tools,
        asked,
        job,
        lambda unit, row: delete_look(unit, asked.acting, row, panel, _what(what)),
        hidden=hidden,
        needs_plan=False,
    )


@router.put(
    "/jobs/{job}/panels/{panel}/overrides/{dimension}",
    responses=_PLAN,
    openapi_extra=takes(
        OverrideBody,
        reading="0b7c2f0e",
        who="S. Office",
        reason="looked at it on site: the mark in the photo is on the trim",
    ),
)
def put_named_override(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    dimension: NamePath,
    body: Annotated[OverrideBody, body_of(OverrideBody)],
) -> Response:
    """Let a reading stand that is in conflict: someone other than the taper, with a reason."""

    def change(unit: Unit, row: JobRow) -> JobRow:
        readings = readings_of(unit, row, tools.reports, panel)
        return put_override(unit, asked.acting, row, panel, dimension, body, readings)

    return _changed(tools, asked, job, change, hidden=hidden, needs_plan=False)


@router.delete("/jobs/{job}/panels/{panel}/overrides/{dimension}", responses=_PLAN)
def delete_named_override(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    dimension: NamePath,
) -> Response:
    """Take an override back."""
    return _changed(
        tools,
        asked,
        job,
        lambda unit, row: delete_override(unit, asked.acting, row, panel, dimension),
        hidden=hidden,
        needs_plan=False,
    )


@router.post(
    "/jobs/{job}/panels/{panel}/as-hung",
    responses=model_answer(PlanModel)
    | problems(*WRITE, "not-found", "cannot-plan", "already-there"),
    openapi_extra=takes(AsHungBody, id="0b7c2f0e", down="40", value="11 1/8", who="R. Fitter"),
)
def post_as_hung(
    tools: ToolsDep,
    asked: AskedDep,
    hidden: HiddenDep,
    job: IdPath,
    panel: PanelPath,
    body: Annotated[AsHungBody, body_of(AsHungBody)],
) -> Response:
    """Take a width of an end sheet from the face of the hung back panel; the sheet is then cut by
    it, in place of the reading to the wall and the computed build-up."""

    def change(unit: Unit, row: JobRow) -> JobRow:
        settings = settings_of(row, tools.reports.of_walls(unit, row))
        wall = next(found for found in unit.jobs.walls(row.id) if found.name == panel)
        return tape_as_hung(unit, asked.acting, row, wall, settings, body)

    return _changed(tools, asked, job, change, hidden=hidden)


def _changed(
    tools: Tools,
    asked: Asked,
    job: str,
    change: Callable[[Unit, JobRow], JobRow],
    *,
    hidden: bool,
    needs_plan: bool = True,
) -> Response:
    """Do a change and answer with the plan as it is then.

    A change that needs no plan is kept though there is none, and the answer says why.
    """

    def done(unit: Unit) -> Answer:
        new = change(unit, unit.jobs.get(job))
        try:
            model = show_plan(new, plan_stored(unit, new, tools.reports))
            if hidden:
                model = plan_kept_back(model, untaped_sizes(unit, new, tools.reports))
        except ServiceError as error:
            if needs_plan or error.code != "cannot-plan":
                raise
            model = show_unplanned(new, error)
        return Answer(model, headers=etag(new.revision))

    return perform(tools, asked, done)


def _what(slug: str) -> NothingChecks:
    return next(what for what in NothingChecks if str(what).replace(" ", "-") == slug)
