"""Jobs: list, start, change, hide; ruler checks; history."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from typing import Annotated, Final
from uuid import uuid4

from fastapi import APIRouter, Depends, Query
from fastapi.responses import Response
from fastapi.sse import EventSourceResponse, ServerSentEvent
from starlette.concurrency import run_in_threadpool

from service.actions.change_job import edit_job, hide_job, put_print_job
from service.actions.show_job import list_jobs, show_events, show_job, show_print_jobs
from service.actions.start_job import start_job
from service.files.api.answers import EventList, JobList, JobModel, PrintJobs
from service.files.api.asked import JobChange, NewJob, PrintJobBody
from service.routes.edge.answers import Answer, etag, model_answer, perform, respond
from service.routes.edge.asked import Asked, AskedDep, IdPath, NamePath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import JobRow
from service.store.unit import Unit

router = APIRouter(tags=["jobs"])
_LOOK_AGAIN_S: Final = 0.4


def known_job(tools: ToolsDep, job: IdPath) -> str:
    """The job's id, refused before an answer has begun if there is none."""
    with tools.store.read() as unit:
        return unit.jobs.get(job).id


@router.get("/jobs", responses=model_answer(JobList) | problems(*READ))
def get_jobs(
    tools: ToolsDep,
    hidden: Annotated[bool, Query(description="Also those taken off the list.")] = False,
) -> Response:
    """All jobs, the last changed first."""
    with tools.store.read() as unit:
        return respond(Answer(list_jobs(unit, tools.reports, hidden=hidden)))


@router.post(
    "/jobs",
    status_code=201,
    responses=model_answer(JobModel, 201) | problems(*WRITE, "already-there"),
    openapi_extra=takes(NewJob, name="Hall bath", plumbing_side="left", bare_unit="in"),
)
def post_job(
    tools: ToolsDep, asked: AskedDep, body: Annotated[NewJob, body_of(NewJob)]
) -> Response:
    """Start a job with its three walls."""
    new_id = str(uuid4())

    def change(unit: Unit) -> Answer:
        job = start_job(unit, asked.acting, body, new_id)
        return _answer(tools, unit, job, status=201)

    return perform(tools, asked, change)


@router.get("/jobs/{job}", responses=model_answer(JobModel) | problems(*READ, "not-found"))
def get_job(tools: ToolsDep, job: IdPath) -> Response:
    """One job with its walls in short."""
    with tools.store.read() as unit:
        return respond(_answer(tools, unit, unit.jobs.get(job)))


@router.patch(
    "/jobs/{job}",
    responses=model_answer(JobModel) | problems(*WRITE, "not-found", "no-version", "stale"),
    openapi_extra=takes(JobChange, name="Hall bath, first floor"),
)
def patch_job(
    tools: ToolsDep, asked: AskedDep, job: IdPath, body: Annotated[JobChange, body_of(JobChange)]
) -> Response:
    """Change name, scope or notes; take the job off the list, or put it back."""
    return _changed(tools, asked, job, lambda unit, row: edit_job(unit, asked.acting, row, body))


@router.delete(
    "/jobs/{job}",
    responses=model_answer(JobModel) | problems(*WRITE, "not-found", "no-version", "stale"),
)
def delete_job(tools: ToolsDep, asked: AskedDep, job: IdPath) -> Response:
    """Take the job off the list; PATCH {"hidden": false} puts it back."""
    return _changed(tools, asked, job, lambda unit, row: hide_job(unit, asked.acting, row))


@router.get(
    "/jobs/{job}/print-jobs", responses=model_answer(PrintJobs) | problems(*READ, "not-found")
)
def get_print_jobs(tools: ToolsDep, job: IdPath) -> Response:
    """The ruler checks of the job's cards, by print job."""
    with tools.store.read() as unit:
        row = unit.jobs.get(job)
        return respond(Answer(show_print_jobs(row), headers=etag(row.revision)))


@router.put(
    "/jobs/{job}/print-jobs/{name:path}",
    responses=model_answer(PrintJobs) | problems(*WRITE, "not-found", "no-version", "stale"),
    openapi_extra=takes(
        PrintJobBody,
        checks=[
            {"axis": "x", "nominal_mm": 170, "measured": "169.5 mm", "half_width_mm": 0.25},
            {"axis": "y", "nominal_mm": 240, "measured": "239.5 mm", "half_width_mm": 0.25},
        ],
    ),
)
def put_print_job_checks(
    tools: ToolsDep,
    asked: AskedDep,
    job: IdPath,
    name: NamePath,
    body: Annotated[PrintJobBody, body_of(PrintJobBody)],
) -> Response:
    """Set the ruler checks of one print job; they count for all cards of it."""

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        asked.require(row.revision, lambda: show_print_jobs(row))
        new = put_print_job(unit, asked.acting, row, name, body)
        return Answer(show_print_jobs(new), headers=etag(new.revision))

    return perform(tools, asked, change)


@router.get("/jobs/{job}/events", responses=model_answer(EventList) | problems(*READ, "not-found"))
def get_events(
    tools: ToolsDep,
    job: IdPath,
    after: Annotated[
        int | None,
        Query(ge=0, le=2**53, description="Those after this number; default: the newest."),
    ] = None,
) -> Response:
    """What was changed, by whom and when; the newest first, or from ``after`` on."""
    with tools.store.read() as unit:
        return respond(Answer(show_events(unit, job, after)))


@router.get(
    "/jobs/{job}/stream",
    response_class=EventSourceResponse,
    responses=problems(*READ, "not-found"),
)
async def get_stream(
    tools: ToolsDep,
    job: Annotated[str, Depends(known_job)],
    after: Annotated[int | None, Query(ge=0, le=2**53)] = None,
) -> AsyncIterator[ServerSentEvent]:
    """Server-sent events, one for each change from now on (or after a number)."""
    last = await run_in_threadpool(_last_seq, tools, job) if after is None else after
    while True:
        for seq, message in await run_in_threadpool(_since, tools, job, last):
            last = seq
            yield message
        await asyncio.sleep(_LOOK_AGAIN_S)


def changes_after(unit: Unit, job: str, last: int) -> list[tuple[int, ServerSentEvent]]:
    """The messages of a job's changes after a number, with the versions they led to."""
    events = unit.events.of_job(job, last)
    if not events:
        return []
    revision = unit.jobs.get(job).revision
    walls = {wall.id: wall.revision for wall in unit.jobs.walls(job)}
    found = []
    for event in events:
        wall = event.wall_id
        data = {
            "seq": event.seq,
            "wall": wall,
            "revision": revision if wall is None else walls[wall],
            "kind": event.kind,
        }
        found.append((event.seq, ServerSentEvent(data=data, event="change", id=str(event.seq))))
    return found


def _changed(
    tools: Tools, asked: Asked, job: str, change: Callable[[Unit, JobRow], JobRow]
) -> Response:
    """Do the change in one transaction, if it was made on the job as it is."""

    def checked(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        asked.require(row.revision, lambda: show_job(unit, row, tools.reports))
        return _answer(tools, unit, change(unit, row))

    return perform(tools, asked, checked)


def _answer(tools: Tools, unit: Unit, job: JobRow, status: int = 200) -> Answer:
    return Answer(show_job(unit, job, tools.reports), status, etag(job.revision))


def _last_seq(tools: Tools, job: str) -> int:
    with tools.store.read() as unit:
        return unit.events.last_seq(unit.jobs.get(job).id)


def _since(tools: Tools, job: str, last: int) -> list[tuple[int, ServerSentEvent]]:
    with tools.store.read() as unit:
        return changes_after(unit, job, last)
