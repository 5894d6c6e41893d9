"""Rectangles of known size, cards set by hand, and straight lines of the wall, in one photo."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter
from fastapi.responses import Response

from service.actions.outline_in_photo import (
    board_between,
    put_line_in_photo,
    put_rectangle_in_photo,
    refuse_found_card,
    take_out_of_photo,
)
from service.actions.show_wall import photo_on_wall
from service.files.api.answers import WallModel
from service.files.api.asked import LineInPhoto, RectangleInPhoto
from service.routes.edge.answers import model_answer
from service.routes.edge.asked import Asked, AskedDep, IdPath, NamePath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.photo_changes import change_photo
from service.routes.edge.problems import WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep

router = APIRouter(tags=["photos"])
_CHANGED = model_answer(WallModel) | problems(*WRITE, "not-found", "no-version", "stale")
_CORNERS = [[810.9, 2210.5], [998.2, 2214.1], [996.0, 2096.7], [812.0, 2093.3]]


@router.put(
    "/photos/{photo}/rectangles/{name:path}",
    responses=_CHANGED | problems("looking", "nominal-size", "corners-not-seen", "other-serial"),
    openapi_extra=takes(
        RectangleInPhoto, size_mm=[85.6, 53.98], u_mm=[0.07, 0.03], corners=_CORNERS
    ),
)
def put_photo_rectangle(
    tools: ToolsDep,
    asked: AskedDep,
    photo: IdPath,
    name: NamePath,
    body: Annotated[RectangleInPhoto, body_of(RectangleInPhoto)],
) -> Response:
    """Set a rectangle's corners in the photo; of a card, its board's, found between the taps."""
    if body.serial is not None:
        with tools.store.read() as unit:
            row, _ = photo_on_wall(unit, photo)
        refuse_found_card(row, body.serial)
        body = board_between(tools.asker.card(row, body.serial, body.corners), body)
    return change_photo(
        tools,
        asked,
        photo,
        lambda unit, wall, row: put_rectangle_in_photo(unit, asked.acting, wall, row, name, body),
    )


@router.delete("/photos/{photo}/rectangles/{name:path}", responses=_CHANGED)
def delete_photo_rectangle(
    tools: ToolsDep, asked: AskedDep, photo: IdPath, name: NamePath
) -> Response:
    """Take a rectangle out of the photo."""
    return _taken_out(tools, asked, photo, "rectangle", name)


@router.put(
    "/photos/{photo}/lines/{name:path}",
    responses=_CHANGED,
    openapi_extra=takes(
        LineInPhoto, points=[[90.5, 610.2], [1508.0, 604.8], [2930.4, 601.1]], direction="level"
    ),
)
def put_photo_line(
    tools: ToolsDep,
    asked: AskedDep,
    photo: IdPath,
    name: NamePath,
    body: Annotated[LineInPhoto, body_of(LineInPhoto)],
) -> Response:
    """Set the points of a line of the wall that is known to be straight, level or plumb."""
    return change_photo(
        tools,
        asked,
        photo,
        lambda unit, wall, row: put_line_in_photo(unit, asked.acting, wall, row, name, body),
    )


@router.delete("/photos/{photo}/lines/{name:path}", responses=_CHANGED)
def delete_photo_line(tools: ToolsDep, asked: AskedDep, photo: IdPath, name: NamePath) -> Response:
    """Take a line out of the photo."""
    return _taken_out(tools, asked, photo, "line", name)


def _taken_out(tools: Tools, asked: Asked, photo: str, kind: str, name: str) -> Response:
    return change_photo(
        tools,
        asked,
        photo,
        lambda unit, wall, row: take_out_of_photo(unit, asked.acting, wall, row, kind, name),
    )
