"""The program itself: alive, which version; typed lengths said back; cards to print."""

from __future__ import annotations

from importlib.metadata import version
from typing import Annotated, Literal

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response

from service.actions.card import card_page
from service.actions.parse_length import understood_length
from service.actions.photo_kinds import photo_kinds
from service.errors import FileError, ServiceError
from service.files.api.answers import Health, LengthModel, Version
from service.files.api.asked import LengthBody
from service.product import COMMAND, NAME
from service.routes.edge.answers import Answer, bytes_response, file_answer, model_answer, respond
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import ToolsDep

router = APIRouter(tags=["program"])


@router.get("/health", responses=model_answer(Health) | problems(*READ))
def get_health(tools: ToolsDep) -> Response:
    """Whether the program answers and its database does."""
    with tools.store.read() as unit:
        return respond(Answer(Health(status="ok", tasks=unit.tasks.count())))


@router.get("/version", responses=model_answer(Version) | problems("wrong-host"))
def get_version() -> Response:
    """Which program this is, and what photos it reads."""
    told = Version(name=NAME, version=version(COMMAND), photos=photo_kinds())
    return respond(Answer(told))


@router.post(
    "/lengths/parse",
    responses=model_answer(LengthModel) | problems(*WRITE),
    openapi_extra=takes(LengthBody, text="59 7/8", bare_unit="in"),
)
def post_length(body: Annotated[LengthBody, body_of(LengthBody)]) -> Response:
    """What a typed length means; nothing is kept."""
    return respond(Answer(understood_length(body)))


@router.get(
    "/cards/{serial}.pdf",
    responses=file_answer("application/pdf") | problems(*READ, "not-found"),
)
def get_card(
    request: Request,
    serial: Annotated[int, Path(ge=1, le=999)],
    paper: Annotated[Literal["letter", "a4"], Query()] = "letter",
) -> Response:
    """A reference card to print at 100 %."""
    try:
        page = card_page(serial, paper)
    except FileError as error:
        raise ServiceError("not-found", error.expected, field="serial") from None
    shown = {"Content-Disposition": f'inline; filename="card-{serial}.pdf"'}
    return bytes_response(request, page, "application/pdf", shown)
