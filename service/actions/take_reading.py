"""A reading, as it was taken: never changed, only replaced by a later one."""

from __future__ import annotations

from datetime import UTC
from typing import Any

from service.errors import ServiceError
from service.files.api.asked import NewReading
from service.store.changes import change_wall
from service.store.rows import Acting, WallRow
from service.store.unit import Unit
from service.store.wall_document import size_key


def take_reading(unit: Unit, acting: Acting, wall: WallRow, body: NewReading) -> WallRow:
    """Write a reading down; the same one sent again changes nothing.

    Raises
    ------
    ServiceError
        ``already-there``, if the id is that of another reading; ``invalid``, if it is no length,
        or of a size that this wall does not have.
    """
    value = {**_reading(body, acting), "dimension": size_key(wall.facts, body.dimension)}
    known = wall.facts["readings"].get(body.id)
    if known is not None:
        if _as_sent(known, body) == _as_sent(value, body):
            return wall
        raise ServiceError(
            "already-there",
            f"The reading {body.id!r} is written down already, with other values.",
            do="Send a new reading with a new id that replaces it.",
            field="id",
        )
    path, what = ["readings", body.id], _told(wall, value, body, acting)
    return change_wall(unit, acting, wall, path, value, "reading", what)[0]


def _told(wall: WallRow, value: dict[str, Any], body: NewReading, acting: Acting) -> str:
    """For the history: what it took the place of, and who taped it where somebody else typed it."""
    old = wall.facts["readings"].get(body.replaces)
    what = f"took {body.dimension}: {body.value}"
    if old is not None:
        by = f" by {old['who']}" if old.get("who") else ""
        what = f"took {body.dimension} again: {body.value}, in place of {old['value']}{by}"
    return what if value["who"] == acting.who else f"{what}; taped by {value['who']}"


def _reading(body: NewReading, acting: Acting) -> dict[str, Any]:
    value = body.model_dump(mode="json", by_alias=True, exclude_unset=True)
    value["who"] = body.who or acting.who
    if body.at is None:
        value["at"] = acting.at
    else:
        at = body.at if body.at.tzinfo is not None else body.at.replace(tzinfo=UTC)
        value["at"] = at.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return value


def _as_sent(value: dict[str, Any], body: NewReading) -> dict[str, Any]:
    """What the sender said, without what was filled in when it arrived."""
    filled = {"who"} if body.who is None else set()
    filled |= {"at"} if body.at is None else set()
    return {key: found for key, found in value.items() if key not in filled}
