"""Photos of a wall: what was found in them, marks, and pictures to look at."""

from __future__ import annotations

import zipfile
from contextlib import suppress
from functools import lru_cache
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Path, Query, Request
from fastapi.responses import Response
from pydantic import Field
from starlette.background import BackgroundTask

from service.actions.look_closer import PointAsked
from service.actions.measure import PhotoPlace, photo_place
from service.actions.set_mark import delete_mark, put_mark, take_photo_off
from service.actions.show_wall import photo_on_wall, show_photo
from service.errors import ServiceError
from service.files.api.answers import PhotoModel, WallModel
from service.files.api.asked import MarkBody
from service.files.api.photo_answers import (
    EdgesModel,
    PhotoPlaceModel,
    SnapsModel,
    SuggestionsModel,
)
from service.routes.edge.answers import (
    Answer,
    file_answer,
    model_answer,
    not_modified,
    respond,
)
from service.routes.edge.asked import AskedDep, IdPath, NamePath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.photo_changes import change_photo
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import PhotoRow

router = APIRouter(tags=["photos"])
_CHANGED = model_answer(WallModel) | problems(*WRITE, "not-found", "no-version", "stale")
_PICTURE = problems(*READ, "not-found", "looking")
_JPEG = file_answer("image/jpeg")


@router.get("/photos/{photo}", responses=model_answer(PhotoModel) | problems(*READ, "not-found"))
def get_photo(tools: ToolsDep, photo: IdPath) -> Response:
    """One photo: whether it can be used, its cards, its marks."""
    with tools.store.read() as unit:
        return respond(Answer(show_photo(unit, unit.photos.get(photo))))


@router.delete("/photos/{photo}", responses=_CHANGED)
def delete_photo(tools: ToolsDep, asked: AskedDep, photo: IdPath) -> Response:
    """Take a photo with its marks off the wall; undo puts it back."""
    return change_photo(
        tools, asked, photo, lambda unit, wall, row: take_photo_off(unit, asked.acting, wall, row)
    )


@router.put(
    "/photos/{photo}/marks/{name:path}",
    responses=_CHANGED,
    openapi_extra=takes(MarkBody, at=[653.49, 191.98], sd_px=1.0, defined_mm=0.5),
)
def put_photo_mark(
    tools: ToolsDep,
    asked: AskedDep,
    photo: IdPath,
    name: NamePath,
    body: Annotated[MarkBody, body_of(MarkBody)],
) -> Response:
    """Set a mark, or move it. The same name in two photos is the same point."""
    return change_photo(
        tools,
        asked,
        photo,
        lambda unit, wall, row: put_mark(unit, asked.acting, wall, row, name, body),
    )


@router.delete("/photos/{photo}/marks/{name:path}", responses=_CHANGED)
def delete_photo_mark(tools: ToolsDep, asked: AskedDep, photo: IdPath, name: NamePath) -> Response:
    """Take a mark out of a photo."""
    return change_photo(
        tools,
        asked,
        photo,
        lambda unit, wall, row: delete_mark(unit, asked.acting, wall, row, name),
    )


@router.get(
    "/photos/{photo}/place",
    responses=model_answer(PhotoPlaceModel) | problems(*READ, "not-found", "nothing-yet"),
)
def get_place(tools: ToolsDep, photo: IdPath) -> Response:
    """Where the wall's measured points and sizes lie in the photo, with their uncertainty."""
    row, place = _placed(tools, photo)
    answer = respond(Answer(PhotoPlaceModel(points={}, sizes=()) if place is None else place.shown))
    if row.state == "ready":
        answer.background = BackgroundTask(_make_ready, tools, row)
    return answer


@router.get(
    "/photos/{photo}/snaps",
    responses=model_answer(SnapsModel) | problems(*READ, "not-found", "looking"),
)
def get_snaps(
    tools: ToolsDep,
    photo: IdPath,
    x: Annotated[float, Query(ge=-0.5, le=100_000, examples=[653.49])],
    y: Annotated[float, Query(ge=-0.5, le=100_000, examples=[191.98])],
    sd_px: Annotated[float, Query(gt=0, le=1000)] = 1.0,
    height_mm: Annotated[float, Query(ge=-1000, le=1000)] = 0.0,
    round_thing: Annotated[bool, Query(description="The middle of a pipe or plate.")] = False,
) -> Response:
    """What a point set here may have meant; asking changes nothing."""
    row, place = _placed(tools, photo)
    point = PointAsked((x, y), sd_px, height_mm, round_thing)
    return respond(Answer(tools.asker.snaps(row, None if place is None else place.view, point)))


_Across = Annotated[float, Field(ge=-0.5, le=100_000)]
_Four = Query(min_length=4, max_length=4)


@router.get(
    "/photos/{photo}/edges",
    responses=model_answer(EdgesModel) | problems(*READ, "not-found", "looking"),
)
def get_edges(
    tools: ToolsDep,
    photo: IdPath,
    x: Annotated[list[_Across], _Four],
    y: Annotated[list[_Across], _Four],
    sd_px: Annotated[float, Query(gt=0, le=1000)] = 1.0,
) -> Response:
    """Points along the edges of a rectangle, from its four corners; asking changes nothing."""
    row = _photo(tools, photo)
    return respond(Answer(tools.asker.edges(row, list(zip(x, y, strict=True)), sd_px)))


@router.get(
    "/photos/{photo}/suggestions",
    responses=model_answer(SuggestionsModel)
    | problems(*READ, "not-found", "looking", "nothing-yet"),
)
def get_suggestions(tools: ToolsDep, photo: IdPath) -> Response:
    """Deck line, side edges, corners and round fittings that may be marked in the photo."""
    row, place = _placed(tools, photo)
    if place is None:
        raise ServiceError(
            "nothing-yet",
            "Nothing is suggested in a photo that shows no card: it cannot be laid flat.",
            do="Set points by hand, or add a photo that shows a card.",
        )
    return respond(Answer(tools.asker.suggestions(row, place.view, place.frame, place.area)))


@router.get(
    "/photos/{photo}/original", responses=file_answer("application/octet-stream") | _PICTURE
)
def get_original(tools: ToolsDep, photo: IdPath) -> Response:
    """The bytes as they came, to keep beside wall.json; never shown in a page."""
    row = _photo(tools, photo)
    headers = {
        "Content-Disposition": f"attachment; filename*=UTF-8''{quote(row.file)}",
        "Content-Security-Policy": "sandbox",
        "Cache-Control": "private, max-age=31536000, immutable",
        "ETag": f'"{row.sha256}"',
    }
    data = tools.blobs.read(row.sha256)
    return Response(data, headers=headers, media_type="application/octet-stream")


@router.get("/photos/{photo}/preview.jpg", responses=_JPEG | _PICTURE)
def get_preview(request: Request, tools: ToolsDep, photo: IdPath) -> Response:
    """The whole photo, small, upright, without metadata."""
    return _picture(request, tools, photo, "preview.jpg")


@router.get("/photos/{photo}/tiles/{level}/{tile}.jpg", responses=_JPEG | _PICTURE)
def get_tile(
    request: Request,
    tools: ToolsDep,
    photo: IdPath,
    level: Annotated[int, Path(ge=0, le=20)],
    tile: Annotated[str, Path(pattern=r"^[0-9]{1,4}_[0-9]{1,4}$", examples=["0_0"])],
) -> Response:
    """One tile, 510 pixels wide and high with one more on inner sides.

    Level n is half as large as level n + 1; the largest has the photo's own size.
    """
    return _picture(request, tools, photo, f"{level}/{tile}.jpg")


def _placed(tools: Tools, photo: str) -> tuple[PhotoRow, PhotoPlace | None]:
    with tools.store.read() as unit:
        row, wall = photo_on_wall(unit, photo)
        return row, photo_place(tools.reports, unit, wall, row)


def _make_ready(tools: Tools, photo: PhotoRow) -> None:
    with suppress(ServiceError):  # the first question tells
        tools.asker.make_ready(photo)


def _photo(tools: Tools, photo: str) -> PhotoRow:
    with tools.store.read() as unit:
        return unit.photos.get(photo)


def _ready(photo: PhotoRow) -> str:
    """Hash of the photo's archive of pictures."""
    if photo.state == "looking":
        raise ServiceError("looking", f"{photo.filename} is still being looked at.", do="Wait.")
    if photo.views_sha256 is None:
        raise ServiceError("not-found", f"{photo.filename} cannot be used, so it has no pictures.")
    return photo.views_sha256


def _picture(request: Request, tools: Tools, photo: str, name: str) -> Response:
    archive = _ready(_photo(tools, photo))
    # The archive never changes: its hash and the name say which bytes these are, for ever.
    tag = f'"{archive[:32]}-{name}"'
    headers = {"ETag": tag, "Cache-Control": "private, max-age=31536000, immutable"}
    if not_modified(request, tag):
        return Response(status_code=304, headers=headers)
    with tools.blobs.as_file(archive) as path:
        place = _places(str(path)).get(name)
        if place is None:
            raise ServiceError("not-found", f"There is no picture {name} of this photo.")
        with path.open("rb") as stream:
            stream.seek(place[0])
            data = stream.read(place[1])
    return Response(data, headers=headers, media_type="image/jpeg")


@lru_cache(maxsize=64)
def _places(path: str) -> dict[str, tuple[int, int]]:
    """Where each picture's bytes lie in an archive that is not compressed."""
    with zipfile.ZipFile(path) as archive:
        return {
            entry.filename: (_data_start(path, entry.header_offset), entry.file_size)
            for entry in archive.infolist()
        }


def _data_start(path: str, header: int) -> int:
    """Behind the local header: 30 bytes, name, extra field (APPNOTE 4.3.7)."""
    with open(path, "rb") as stream:
        stream.seek(header + 26)
        name, extra = (int.from_bytes(stream.read(2), "little") for _ in range(2))
    return header + 30 + name + extra
