"""Walls: facts, lines, sizes, cards, readings, undo, report."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from service.actions.change_wall import (
    add_dimensions,
    delete_card,
    delete_dimension,
    delete_rectangle,
    edit_wall,
    put_card,
    put_dimension,
    put_rectangle,
)
from service.actions.measure import stored_wall_file, wall_json
from service.actions.show_wall import show_wall, wall_version
from service.actions.take_reading import take_reading
from service.actions.undo import redo, undo
from service.errors import ServiceError
from service.files.api.answers import WallModel
from service.files.api.asked import (
    CardBody,
    DimensionBody,
    NewReading,
    RectangleBody,
    SizesBody,
    WallChange,
)
from service.files.kept_back import report_kept_back
from service.files.report import Report
from service.files.wall import WallFile
from service.routes.edge.answers import Answer, etag, model_answer, perform, respond
from service.routes.edge.asked import Asked, AskedDep, IdPath, NamePath
from service.routes.edge.bodies import body_of, takes
from service.routes.edge.expectation import HiddenDep
from service.routes.edge.problems import READ, WRITE, problems
from service.routes.edge.tools import Tools, ToolsDep
from service.store.rows import WallRow
from service.store.unit import Unit

router = APIRouter(tags=["walls"])
SerialPath = Annotated[int, Path(ge=1, le=999)]
_CHANGED = model_answer(WallModel) | problems(*WRITE, "not-found", "no-version", "stale")


@router.get("/walls/{wall}", responses=model_answer(WallModel) | problems(*READ, "not-found"))
def get_wall(tools: ToolsDep, wall: IdPath) -> Response:
    """The facts of one wall."""
    with tools.store.read() as unit:
        return respond(_answer(unit, unit.jobs.wall(wall)))


@router.get(
    "/walls/{wall}/wall.json",
    responses=model_answer(WallFile) | problems(*READ, "not-found", "nothing-yet"),
)
def get_wall_file(tools: ToolsDep, wall: IdPath) -> Response:
    """The wall file with which `tapeproof measure` gives the same report."""
    with tools.store.read() as unit:
        row = unit.jobs.wall(wall)
        file = stored_wall_file(unit, row)
        version = wall_version(unit, row)
    if file is None:
        raise ServiceError("nothing-yet", "This wall has no photo and no reading yet.")
    name = f'attachment; filename="{row.name}.json"'
    headers = {**etag(version), "Content-Disposition": name}
    return Response(wall_json(file), headers=headers, media_type="application/json")


@router.get(
    "/walls/{wall}/report",
    responses=model_answer(Report)
    | problems(*READ, "not-found", "nothing-yet", "no-card", "not-observable"),
)
def get_report(tools: ToolsDep, wall: IdPath, hidden: HiddenDep) -> Response:
    """The measure report of the wall as its facts stand."""
    with tools.store.read() as unit:
        row = unit.jobs.wall(wall)
        report = tools.reports.of_wall(unit, row)
        version = wall_version(unit, row)
        overrides = unit.jobs.get(row.job_id).overrides.get(row.name.replace("-", " "), ())
    tools.wake()
    shown = report_kept_back(report, overrides) if hidden else report
    return respond(Answer(shown, headers=etag(version)))


@router.patch(
    "/walls/{wall}",
    responses=_CHANGED,
    openapi_extra=takes(WallChange, level=["level left", "level right"]),
)
def patch_wall(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    body: Annotated[WallChange, body_of(WallChange)],
) -> Response:
    """Set the level line, the plumb line or the datum card; null takes it away."""
    return _changed(tools, asked, wall, lambda unit, row: edit_wall(unit, asked.acting, row, body))


@router.post(
    "/walls/{wall}/dimensions",
    responses=_CHANGED | problems("already-there"),
    openapi_extra=takes(
        SizesBody,
        sizes={
            "corner diagonal left": {"role": "corner diagonal", "side": "left"},
            "depth": {"role": "depth"},
        },
    ),
)
def post_wall_dimensions(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    body: Annotated[SizesBody, body_of(SizesBody)],
) -> Response:
    """Add several sizes in one change."""
    return _changed(
        tools, asked, wall, lambda unit, row: add_dimensions(unit, asked.acting, row, body)
    )


@router.put(
    "/walls/{wall}/dimensions/{name:path}",
    responses=_CHANGED,
    openapi_extra=takes(DimensionBody, **{"kind": "distance", "from": "left 16", "to": "right 16"}),
)
def put_wall_dimension(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    name: NamePath,
    body: Annotated[DimensionBody, body_of(DimensionBody)],
) -> Response:
    """Add a size, or say anew what it is measured between."""
    return _changed(
        tools, asked, wall, lambda unit, row: put_dimension(unit, asked.acting, row, name, body)
    )


@router.delete(
    "/walls/{wall}/dimensions/{name:path}",
    responses=_CHANGED | problems("has-readings"),
)
def delete_wall_dimension(
    tools: ToolsDep, asked: AskedDep, wall: IdPath, name: NamePath
) -> Response:
    """Take a size away that has no readings."""
    return _changed(
        tools, asked, wall, lambda unit, row: delete_dimension(unit, asked.acting, row, name)
    )


@router.put(
    "/walls/{wall}/rectangles/{name:path}",
    responses=_CHANGED,
    openapi_extra=takes(
        RectangleBody,
        size_mm=[85.6, 53.98],
        u_mm=[0.07, 0.03],
        corners={"photo-1": [[812.0, 2210.5], [998.2, 2214.1], [996.0, 2096.7], [810.9, 2093.3]]},
    ),
)
def put_wall_rectangle(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    name: NamePath,
    body: Annotated[RectangleBody, body_of(RectangleBody)],
) -> Response:
    """Say where a plain rectangle of known size is in photos of the wall."""
    return _changed(
        tools, asked, wall, lambda unit, row: put_rectangle(unit, asked.acting, row, name, body)
    )


@router.delete("/walls/{wall}/rectangles/{name:path}", responses=_CHANGED)
def delete_wall_rectangle(
    tools: ToolsDep, asked: AskedDep, wall: IdPath, name: NamePath
) -> Response:
    """Take a rectangle away."""
    return _changed(
        tools, asked, wall, lambda unit, row: delete_rectangle(unit, asked.acting, row, name)
    )


@router.put(
    "/walls/{wall}/cards/{serial}",
    responses=_CHANGED,
    openapi_extra=takes(CardBody, print_job="A", standoff_mm=0.5, standoff_u_mm=1.0),
)
def put_wall_card(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    serial: SerialPath,
    body: Annotated[CardBody, body_of(CardBody)],
) -> Response:
    """Say which print job a card is of, and how far it stands off the wall."""
    return _changed(
        tools, asked, wall, lambda unit, row: put_card(unit, asked.acting, row, serial, body)
    )


@router.delete("/walls/{wall}/cards/{serial}", responses=_CHANGED)
def delete_wall_card(
    tools: ToolsDep, asked: AskedDep, wall: IdPath, serial: SerialPath
) -> Response:
    """Take what was said of a card away."""
    return _changed(
        tools, asked, wall, lambda unit, row: delete_card(unit, asked.acting, row, serial)
    )


@router.post(
    "/walls/{wall}/readings",
    status_code=201,
    responses=model_answer(WallModel, 201) | problems(*WRITE, "not-found", "already-there"),
    openapi_extra=takes(
        NewReading,
        id="5f0e1a52-6a55-4a4b-8d0a-2f2b53a7c0de",
        dimension="width 16",
        value="59 7/8",
        instrument={"kind": "tape", "id": "t1", "class": "II", "method": "hook to mark"},
    ),
)
def post_reading(
    tools: ToolsDep,
    asked: AskedDep,
    wall: IdPath,
    body: Annotated[NewReading, body_of(NewReading)],
) -> Response:
    """Write a reading down; the same one sent again changes nothing."""

    def change(unit: Unit) -> Answer:
        row = take_reading(unit, asked.acting, unit.jobs.wall(wall), body)
        return _answer(unit, row, status=201)

    return perform(tools, asked, change)


@router.post(
    "/walls/{wall}/undo",
    responses=model_answer(WallModel)
    | problems(*WRITE, "not-found", "nothing-to-undo", "changed-since", "has-readings"),
)
def post_undo(tools: ToolsDep, asked: AskedDep, wall: IdPath) -> Response:
    """Take back this person's last change of the wall, readings excepted."""

    def change(unit: Unit) -> Answer:
        row, undone = undo(unit, asked.acting, unit.jobs.wall(wall))
        return _answer(unit, row, headers={"Tapeproof-Undone": str(undone)})

    return perform(tools, asked, change)


@router.post(
    "/walls/{wall}/redo",
    responses=model_answer(WallModel)
    | problems(*WRITE, "not-found", "nothing-to-redo", "changed-since", "has-readings"),
)
def post_redo(tools: ToolsDep, asked: AskedDep, wall: IdPath) -> Response:
    """Do again what this person took back last, if they have changed nothing since."""

    def change(unit: Unit) -> Answer:
        row, redone = redo(unit, asked.acting, unit.jobs.wall(wall))
        return _answer(unit, row, headers={"Tapeproof-Redone": str(redone)})

    return perform(tools, asked, change)


def _changed(
    tools: Tools, asked: Asked, wall: str, change: Callable[[Unit, WallRow], WallRow]
) -> Response:
    def checked(unit: Unit) -> Answer:
        row = unit.jobs.wall(wall)
        asked.require(row.revision, lambda: show_wall(unit, row))
        return _answer(unit, change(unit, row))

    return perform(tools, asked, checked)


def _answer(
    unit: Unit, wall: WallRow, status: int = 200, headers: dict[str, str] | None = None
) -> Answer:
    version = etag(wall_version(unit, wall))
    return Answer(show_wall(unit, wall), status, {**version, **(headers or {})})
