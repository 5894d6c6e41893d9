"""Photos on their way: parts that are whole or not there, then the photo from all of them."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Header, Path, Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from service.actions.receive_photo import MOST_PARTS, add_photo, put_part, show_upload
from service.actions.show_wall import show_photo
from service.blobs import StoredBlob
from service.errors import ServiceError
from service.files.api.answers import PhotoModel
from service.files.api.asked import UploadDone
from service.files.api.upload_answers import UploadModel
from service.routes.edge.answers import Answer, model_answer, respond
from service.routes.edge.asked import AskedDep, IdPath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import ToolsDep
from service.routes.edge.whole_uploads import note_whole
from service.store.unit import Unit

router = APIRouter(tags=["uploads"])
OCTETS: Final = "application/octet-stream"


@router.put(
    "/uploads/{upload}/parts/{part}",
    status_code=204,
    responses=problems(*WRITE, "digest-missing", "digest-mismatch", "part-differs"),
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {OCTETS: {"schema": {"type": "string", "format": "binary"}}},
        }
    },
)
async def put_upload_part(
    request: Request,
    tools: ToolsDep,
    upload: IdPath,
    part: Annotated[int, Path(ge=0, lt=MOST_PARTS)],
    content_digest: Annotated[
        str | None, Header(description="sha-256=:BASE64: over the part (RFC 9530).")
    ] = None,
) -> Response:
    """Send one part of up to 4 MiB; sending the same again is well."""
    kind = request.headers.get("Content-Type", OCTETS).partition(";")[0].strip().lower()
    if kind != OCTETS:
        raise ServiceError("wrong-type", f"Expected Content-Type: {OCTETS}.")
    data = await request.body()
    await run_in_threadpool(put_part, tools.uploads, upload, part, data, content_digest)
    return Response(status_code=204)


@router.get("/uploads/{upload}", responses=model_answer(UploadModel) | problems(*READ))
def get_upload(tools: ToolsDep, upload: IdPath) -> Response:
    """The parts that have arrived; none of an upload that nothing is known of."""
    return respond(Answer(show_upload(tools.uploads, upload)))


@router.post(
    "/uploads/{upload}/complete",
    status_code=201,
    responses=model_answer(PhotoModel, 201)
    | model_answer(PhotoModel, 200, "The same photo is on this wall already.")
    | problems(*WRITE, "not-found", "already-there", "parts-missing", "digest-mismatch"),
    openapi_extra=takes(
        UploadDone, wall="2f1c7a", filename="IMG_0412.jpg", parts=3, sha256="9f" + "0" * 62
    ),
)
def post_complete(
    tools: ToolsDep,
    asked: AskedDep,
    upload: IdPath,
    body: Annotated[UploadDone, body_of(UploadDone)],
) -> Response:
    """Put the photo together and on its wall; it is looked at next."""
    with tools.store.read() as unit:
        unit.jobs.wall(body.wall)

    def note(unit: Unit, stored: StoredBlob, kind: str) -> Answer:
        photo, new = add_photo(unit, asked.acting, body.wall, upload, body.filename, stored, kind)
        return Answer(show_photo(unit, photo), 201 if new else 200)

    return note_whole(tools, asked, upload, body, note)
