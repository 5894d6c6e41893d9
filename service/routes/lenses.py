"""Lens profiles: photos of cards arriving, and profiles made from them."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from service.actions.lens import (
    add_card_photo,
    delete_card_photo,
    keep_profile,
    make_stored_profile,
    profile_text,
    show_lenses,
)
from service.blobs import StoredBlob
from service.files.api.lens_answers import CardPhotoDone, Lenses, ProfileBody
from service.files.lens_profile import LensProfileFile
from service.routes.edge.answers import Answer, model_answer, perform, respond
from service.routes.edge.asked import AskedDep, IdPath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import ToolsDep
from service.routes.edge.whole_uploads import note_whole
from service.store.unit import Unit

router = APIRouter(tags=["lenses"])
_REFUSED = ("looking", "too-few-photos", "mixed-lenses", "no-card", "lens-not-determined")


@router.get("/jobs/{job}/lenses", responses=model_answer(Lenses) | problems(*READ, "not-found"))
def get_lenses(tools: ToolsDep, job: IdPath) -> Response:
    """The job's photos of cards, and the shop's lens profiles."""
    with tools.store.read() as unit:
        return respond(Answer(show_lenses(unit, unit.jobs.get(job))))


@router.post(
    "/uploads/{upload}/card-photo",
    status_code=201,
    responses=model_answer(Lenses, 201)
    | problems(*WRITE, "not-found", "already-there", "parts-missing", "digest-mismatch"),
    openapi_extra=takes(
        CardPhotoDone, job="2f1c7a", filename="IMG_0412.jpg", parts=3, sha256="9f" + "0" * 62
    ),
)
def post_card_photo(
    tools: ToolsDep,
    asked: AskedDep,
    upload: IdPath,
    body: Annotated[CardPhotoDone, body_of(CardPhotoDone)],
) -> Response:
    """Put a photo of a card together; it is looked at next."""
    with tools.store.read() as unit:
        unit.jobs.get(body.job)

    def note(unit: Unit, stored: StoredBlob, _kind: str) -> Answer:
        job = unit.jobs.get(body.job)
        add_card_photo(unit, asked.acting, job, upload, body.filename, stored)
        return Answer(show_lenses(unit, job), 201)

    return note_whole(tools, asked, upload, body, note)


@router.delete(
    "/card-photos/{photo}", responses=model_answer(Lenses) | problems(*WRITE, "not-found")
)
def delete_photo_of_card(tools: ToolsDep, asked: AskedDep, photo: IdPath) -> Response:
    """Take a photo of a card away; profiles made from it stay."""

    def change(unit: Unit) -> Answer:
        return Answer(show_lenses(unit, delete_card_photo(unit, asked.acting, photo)))

    return perform(tools, asked, change)


@router.post(
    "/jobs/{job}/lens-profiles",
    status_code=201,
    responses=model_answer(Lenses, 201) | problems(*WRITE, "not-found", *_REFUSED),
    openapi_extra=takes(ProfileBody, photos=["photo-1", "photo-2"]),
)
def post_profile(
    tools: ToolsDep,
    asked: AskedDep,
    job: IdPath,
    body: Annotated[ProfileBody, body_of(ProfileBody)],
) -> Response:
    """Make the lens profile of one phone from six or more photos of a card."""
    with tools.store.read() as unit:  # reckoned before the transaction: it keeps no writer waiting
        made = make_stored_profile(unit, unit.jobs.get(job), body.photos)

    def change(unit: Unit) -> Answer:
        row = unit.jobs.get(job)
        keep_profile(unit, asked.acting, row, made)
        return Answer(show_lenses(unit, unit.jobs.get(job)), 201)

    return perform(tools, asked, change)


@router.get(
    "/lens-profiles/{file}",
    responses=model_answer(LensProfileFile) | problems(*READ, "not-found"),
)
def get_profile(
    tools: ToolsDep,
    file: Annotated[str, Path(pattern=r"^lens-[0-9a-f]{20}\.json$")],
) -> Response:
    """A lens profile, as `wall.json` names it."""
    with tools.store.read() as unit:
        text = profile_text(unit, file)
    headers = {"Content-Disposition": f'attachment; filename="{file}"'}
    return Response(text, headers=headers, media_type="application/json")
