"""Changes of a wall's lines, sizes, rectangles and cards."""

from __future__ import annotations

from service.errors import ServiceError
from service.files.api.asked import (
    CardBody,
    DimensionBody,
    RectangleBody,
    SizesBody,
    WallChange,
)
from service.store.changes import change_wall
from service.store.rows import Acting, Json, WallRow
from service.store.unit import Unit
from service.store.wall_document import size_key

_LARGEST_SERIAL = 999


def edit_wall(unit: Unit, acting: Acting, wall: WallRow, body: WallChange) -> WallRow:
    """Set or take away the lines and the datum card that the body names."""
    for key in ("level", "plumb", "datum_card"):
        if key not in body.model_fields_set:
            continue
        value = getattr(body, key)
        value = list(value) if isinstance(value, tuple) else value
        if value == wall.facts[key]:
            continue
        name = key.replace("_", " ")
        what = f"took the {name} away" if value is None else f"set the {name} to {value}"
        wall, _ = change_wall(unit, acting, wall, [key], value, "lines", what)
    return wall


def put_dimension(
    unit: Unit, acting: Acting, wall: WallRow, name: str, body: DimensionBody
) -> WallRow:
    """Add a size, change what it is measured between and what it is of, or name it anew.

    Raises
    ------
    ServiceError
        ``invalid``, naming what does not fit.
    """
    new = body.name or name
    what = f"size {new}" if new == name else f"named the size {name} anew: {new}"
    path = ["dimensions", size_key(wall.facts, name)]
    return change_wall(unit, acting, wall, path, _size(new, body), "dimension", what)[0]


def add_dimensions(unit: Unit, acting: Acting, wall: WallRow, body: SizesBody) -> WallRow:
    """Add several sizes in one change, which is taken back as one.

    Raises
    ------
    ServiceError
        ``already-there``, naming a size that the wall has; ``invalid``, naming what does not fit.
    """
    known = wall.facts["dimensions"]
    taken = next((name for name in body.sizes if size_key(wall.facts, name) in known), None)
    if taken is not None:
        raise ServiceError(
            "already-there", f"This wall has a size {taken!r} already.", field=f"sizes.{taken}"
        )
    value = {**known, **{name: _size(name, size) for name, size in body.sizes.items()}}
    what = f"sizes {', '.join(body.sizes)}"
    return change_wall(unit, acting, wall, ["dimensions"], value, "dimension", what)[0]


def _size(name: str, body: DimensionBody) -> dict[str, Json]:
    """A size as a wall's facts have it; what it is of the alcove only where that is said."""
    said = body.model_dump(mode="json", by_alias=True, exclude={"name"})
    plain = {key: said.pop(key) for key in ("kind", "from", "to", "line")}
    return {
        "name": name,
        **plain,
        **{key: value for key, value in said.items() if value is not None},
    }


def delete_dimension(unit: Unit, acting: Acting, wall: WallRow, name: str) -> WallRow:
    """Take a size away.

    Raises
    ------
    ServiceError
        ``not-found``, or ``has-readings``: a reading is never lost.
    """
    key = size_key(wall.facts, name)
    if key not in wall.facts["dimensions"]:
        raise ServiceError("not-found", f"This wall has no size {name!r}.")
    taken = [row["id"] for row in wall.facts["readings"].values() if row["dimension"] == key]
    if taken:
        raise ServiceError(
            "has-readings",
            f"The size {name!r} has {len(taken)} readings, and a reading is never thrown away.",
            do="Leave the size as it is, or give it another name.",
        )
    what = f"took the size {name} away"
    return change_wall(unit, acting, wall, ["dimensions", key], None, "dimension", what)[0]


def put_rectangle(
    unit: Unit, acting: Acting, wall: WallRow, name: str, body: RectangleBody
) -> WallRow:
    """Say where a rectangle of known size is in the wall's photos.

    Raises
    ------
    ServiceError
        ``invalid``, if a photo is not on the wall, or the corners are not in their order.
    """
    for photo in body.corners:
        if photo not in wall.facts["photos"]:
            detail = f"corners.{photo}: expected a photo of this wall."
            raise ServiceError("invalid", detail, field=f"corners.{photo}")
    value = {"name": name, **body.model_dump(mode="json")}
    path = ["rectangles", name]
    return change_wall(unit, acting, wall, path, value, "rectangle", f"rectangle {name}")[0]


def delete_rectangle(unit: Unit, acting: Acting, wall: WallRow, name: str) -> WallRow:
    """Take a rectangle away.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    if name not in wall.facts["rectangles"]:
        raise ServiceError("not-found", f"This wall has no rectangle {name!r}.")
    what = f"took the rectangle {name} away"
    return change_wall(unit, acting, wall, ["rectangles", name], None, "rectangle", what)[0]


def put_card(unit: Unit, acting: Acting, wall: WallRow, serial: int, body: CardBody) -> WallRow:
    """Say which print job a card is of, and how far it stands off the wall.

    Raises
    ------
    ServiceError
        ``invalid``, if there is no such serial.
    """
    if not 1 <= serial <= _LARGEST_SERIAL:
        detail = f"Expected a serial from 1 to {_LARGEST_SERIAL}, not {serial}."
        raise ServiceError("invalid", detail, field="serial")
    value = {"serial": serial, **body.model_dump(mode="json")}
    path = ["cards", str(serial)]
    return change_wall(unit, acting, wall, path, value, "card", f"card {serial}")[0]


def delete_card(unit: Unit, acting: Acting, wall: WallRow, serial: int) -> WallRow:
    """Take what was said of a card away: it counts at the defaults again.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    if str(serial) not in wall.facts["cards"]:
        raise ServiceError("not-found", f"Nothing was said of card {serial} on this wall.")
    what = f"took what was said of card {serial} away"
    return change_wall(unit, acting, wall, ["cards", str(serial)], None, "card", what)[0]
