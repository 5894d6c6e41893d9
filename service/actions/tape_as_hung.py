"""A width of an end sheet taped from the hung back panel: its size, its reading, its place."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from datetime import UTC
from typing import Any

from service.errors import ServiceError
from service.files.api.asked import AsHungBody
from service.lengths import LengthError, inches_text, parse_station
from service.store.changes import change_job, change_wall
from service.store.rows import Acting, JobRow, WallName, WallRow
from service.store.unit import Unit
from service.store.wall_document import size_key


def tape_as_hung(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    wall: WallRow,
    settings: Mapping[str, Any],
    body: AsHungBody,
) -> JobRow:
    """Write the reading down and let the plan cut by it at its height; all or nothing.

    Parameters
    ----------
    settings
        The plan settings in force, those that nobody set included.

    Raises
    ------
    ServiceError
        ``invalid``: the back wall, no length, a wall that is not planned; ``already-there``.
    """
    if wall.name == "back":
        detail = "expected an end wall: only an end sheet meets the hung back panel."
        raise ServiceError("invalid", detail, field="panel")
    down_mm = _down_mm(body, job)
    name = f"hung {inches_text(down_mm, 16)}"
    known = wall.facts["readings"].get(body.id)
    reading = _reading(body, acting, size_key(wall.facts, name))
    if known is not None:
        if {**known, "at": None} == {**reading, "at": None}:
            return job
        detail = f"The reading {body.id!r} is written down already, with other values."
        raise ServiceError("already-there", detail, field="id")
    key = size_key(wall.facts, name)
    if key not in wall.facts["dimensions"]:
        path = ["dimensions", key]
        wall, _ = change_wall(
            unit, acting, wall, path, _size(name, body), "as-hung", f"size {name}"
        )
    told = f"took {name} from the hung back panel: {body.value}"
    change_wall(unit, acting, wall, ["readings", body.id], reading, "reading", told)
    plan = _with_station(settings["plan"], wall.name, name, body.down)
    if plan == settings["plan"]:
        return job
    value = {**settings, "plan": plan}
    return change_job(
        unit, acting, job, ["plan"], value, "plan", f"cuts the {wall.name} sheet by {name}"
    )


def _down_mm(body: AsHungBody, job: JobRow) -> float:
    try:
        return float(parse_station(body.down, job.bare_unit or "in").mm)
    except LengthError as error:
        raise ServiceError("invalid", f"down: {error}", field="down") from None


def _size(name: str, body: AsHungBody) -> dict[str, Any]:
    """A size that is in no photo: plumb line to the hung face."""
    return {
        "name": name,
        "kind": "distance",
        "from": None,
        "role": "offset",
        "side": "inner",
        "down": body.down,
        "surface": "hung",
    }


def _reading(body: AsHungBody, acting: Acting, key: str) -> dict[str, Any]:
    value = body.model_dump(mode="json", by_alias=True, exclude_unset=True, exclude={"down"})
    at = acting.at
    if body.at is not None:
        stated = body.at if body.at.tzinfo is not None else body.at.replace(tzinfo=UTC)
        at = stated.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return {**value, "dimension": key, "who": body.who or acting.who, "at": at}


def _with_station(plan: Mapping[str, Any], wall: WallName, name: str, down: str) -> dict[str, Any]:
    """The plan's settings with a hung station on the wall's corner side."""
    new = copy.deepcopy(dict(plan))
    found = [one for one in new.get("walls", ()) if one.get("wall") == wall.replace("-", " ")]
    if not found:
        raise ServiceError("invalid", f"The {wall} wall is not planned.", field="panel")
    own = found[0]
    side = own.get("corner") or ("left" if own.get("left") and not own.get("right") else "right")
    stations = list(own.get(side) or ())
    if not any(one.get("dimension") == name for one in stations):
        stations.append({"down": down, "dimension": name, "surface": "hung"})
    return new | {"walls": [{**one, side: stations} if one is own else one for one in new["walls"]]}
