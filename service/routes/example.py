"""The example job: loaded, or made anew."""

from __future__ import annotations

from typing import Annotated
from uuid import uuid4

from fastapi import APIRouter, Query
from fastapi.responses import Response

from service.actions.load_example import Filled, example_job, load_example, read_example
from service.actions.show_job import show_job
from service.files.api.answers import JobModel
from service.routes.edge.answers import Answer, etag, model_answer, perform
from service.routes.edge.asked import Asked, AskedDep
from service.routes.edge.problems import WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import JobRow
from service.store.unit import Unit

router = APIRouter(tags=["example"])
FilledQuery = Annotated[
    Filled, Query(alias="with", description="How far it is filled: photos, with marks, or all.")
]


@router.post(
    "/example",
    status_code=201,
    responses=model_answer(JobModel, 201)
    | model_answer(JobModel, 200, "It is there already.")
    | problems(*WRITE, "not-found"),
)
def post_example(tools: ToolsDep, asked: AskedDep, filled: FilledQuery = "all") -> Response:
    """Load the example job; one that is there already stays as it is."""
    return _example(tools, asked, filled, anew=False)


@router.post(
    "/example/reset",
    status_code=201,
    responses=model_answer(JobModel, 201) | problems(*WRITE, "not-found"),
)
def post_example_reset(tools: ToolsDep, asked: AskedDep, filled: FilledQuery = "all") -> Response:
    """Make the example job anew; the one that was there is taken off the list."""
    return _example(tools, asked, filled, anew=True)


def _example(tools: Tools, asked: Asked, filled: Filled, *, anew: bool) -> Response:
    with tools.store.read() as unit:
        loads = anew or example_job(unit) is None
    # Read and kept before the transaction: writing photos would keep other writers waiting.
    files = read_example(tools.example_folder, tools.blobs) if loads else None
    new_id = str(uuid4())

    def change(unit: Unit) -> Answer:
        there = None if anew else example_job(unit)
        if there is not None:
            return _answer(tools, unit, there, 200)
        found = files if files is not None and files.are_kept(tools.blobs) else None
        found = found or read_example(tools.example_folder, tools.blobs)
        return _answer(tools, unit, load_example(unit, asked.acting, found, filled, new_id), 201)

    return perform(tools, asked, change)


def _answer(tools: Tools, unit: Unit, job: JobRow, status: int) -> Answer:
    return Answer(show_job(unit, job, tools.reports), status, etag(job.revision))
