"""A job's walls judged as one alcove: agreement, what to tape next, the cross-check report."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response

from service.actions.measure import show_field_truth
from service.actions.measure.job_check import (
    cut_as,
    job_paper,
    show_check,
    without_expectation,
)
from service.actions.measure.stored import JobCheck
from service.actions.plan import planned_faces
from service.documents.wording import DocumentMeta
from service.files.api.check_answers import AlcoveModel, FieldTruth
from service.files.cross_check import CheckFile
from service.files.kept_back import alcove_kept_back
from service.measuring.release.revision import newest_letter
from service.routes.edge.answers import (
    Answer,
    bytes_response,
    model_answer,
    respond,
)
from service.routes.edge.asked import IdPath
from service.routes.edge.expectation import HiddenDep
from service.routes.edge.problems import READ, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.unit import Unit

router = APIRouter(tags=["check"])
_MEDIA_TYPES: Final = {
    "json": "application/json",
    "csv": "text/csv; charset=utf-8",
    "pdf": "application/pdf",
}
_BINARY: Final = {"schema": {"type": "string", "format": "binary"}}
_PAPERS: Final[dict[int | str, dict[str, Any]]] = {
    **model_answer(CheckFile),
    304: {"description": "As you have it."},
}
_PAPERS[200]["content"] = {_MEDIA_TYPES["csv"]: _BINARY, _MEDIA_TYPES["pdf"]: _BINARY}


@router.get("/jobs/{job}/check", responses=model_answer(AlcoveModel) | problems(*READ, "not-found"))
def get_check(tools: ToolsDep, job: IdPath, hidden: HiddenDep) -> Response:
    """The alcove's agreement, and what to tape next."""
    with tools.store.read() as unit:
        shown = show_check(unit, _check(tools, unit, job))
        faces = planned_faces(unit.jobs.get(job))
    walls = tuple(w.model_copy(update={"face": faces.get(w.name)}) for w in shown.walls)
    shown = shown.model_copy(update={"walls": walls})
    return respond(Answer(alcove_kept_back(shown) if hidden else shown))


@router.get(
    "/jobs/{job}/check/{name}",
    responses=_PAPERS | problems(*READ, "not-found", "nothing-yet", "no-card", "not-observable"),
)
def get_check_paper(
    request: Request,
    tools: ToolsDep,
    job: IdPath,
    hidden: HiddenDep,
    name: Annotated[str, Path(pattern=r"^check\.(json|csv|pdf)$", examples=["check.json"])],
    paper: Annotated[Literal["letter", "a4"], Query(description="For PDF.")] = "letter",
) -> Response:
    """The cross-check report: the file that `tapeproof check` writes for the same walls."""
    with tools.store.read() as unit:
        check = _check(tools, unit, job)
        letter = newest_letter(row.letter for row in unit.revisions.of_job(job))
    date = datetime.now().astimezone().date().isoformat()
    meta = DocumentMeta(letter, date, paper)
    data = job_paper(without_expectation(check) if hidden else check, name, meta)
    shown = {"Content-Disposition": f'inline; filename="{name}"'}
    return bytes_response(request, data, _MEDIA_TYPES[name.rpartition(".")[2]], shown)


@router.get("/field-truth", responses=model_answer(FieldTruth) | problems(*READ))
def get_field_truth(tools: ToolsDep) -> Response:
    """How often each phone's photo intervals held what the tape of released sheets proved."""
    with tools.store.read() as unit:
        return respond(Answer(show_field_truth(unit, tools.reports, tools.shop)))


def _check(tools: Tools, unit: Unit, job: str) -> JobCheck:
    """The alcove judged, with what the plan's sheets want taped next, where there is a plan."""
    row = unit.jobs.get(job)
    check = tools.reports.of_job(unit, row)
    if check.checked is None:
        return check
    sizes = {
        wall.sizes.wall: [size.name for size in wall.rows if size.mm is not None]
        for wall in check.checked.found.walls
    }
    return cut_as(check, tools.cut_sizes.of_job(unit, row, tools.reports, sizes))
