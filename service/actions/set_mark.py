"""Marks: points set in a photo, moved, and taken away."""

from __future__ import annotations

from service.errors import ServiceError
from service.files.api.asked import MarkBody
from service.store.changes import change_wall
from service.store.rows import Acting, Json, PhotoRow, WallRow
from service.store.unit import Unit


def put_mark(
    unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow, name: str, body: MarkBody
) -> WallRow:
    """Set a mark in a photo, or move it; what it is said to lie on holds in all photos.

    Raises
    ------
    ServiceError
        ``invalid``, if it lies outside the photo.
    """
    _inside(photo, body.at)
    value = body.model_dump(mode="json", exclude={"snapped_to"})
    if body.cov_px2 is None:
        del value["cov_px2"]
    known = wall.facts["photos"][photo.id]["marks"].get(name)
    what = f"{'set' if known is None else 'moved'} the mark {name} in {photo.filename}"
    if body.snapped_to is not None:
        what += f" to the {body.snapped_to} found there"
    elsewhere = _lying_alike(wall, photo, name, body)
    if elsewhere:
        photos = {**wall.facts["photos"], **elsewhere}
        photos[photo.id] = _with_mark(photos[photo.id], name, value)
        what += ", and what it lies on in every photo"
        return change_wall(unit, acting, wall, ["photos"], photos, "mark", what)[0]
    path = ["photos", photo.id, "marks", name]
    return change_wall(unit, acting, wall, path, value, "mark", what)[0]


def delete_mark(unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow, name: str) -> WallRow:
    """Take a mark out of a photo.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    if name not in wall.facts["photos"][photo.id]["marks"]:
        raise ServiceError("not-found", f"This photo has no mark {name!r}.")
    what = f"took the mark {name} out of {photo.filename}"
    path = ["photos", photo.id, "marks", name]
    return change_wall(unit, acting, wall, path, None, "mark", what)[0]


def take_photo_off(unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow) -> WallRow:
    """Take a photo with its marks off the wall; its bytes are kept, and undo puts it back."""
    what = f"took the photo {photo.filename} off the wall"
    return change_wall(unit, acting, wall, ["photos", photo.id], None, "photo", what)[0]


def _lying_alike(wall: WallRow, photo: PhotoRow, name: str, body: MarkBody) -> dict[str, Json]:
    """Other photos whose mark of this name lay on something else, with it on what is said now."""
    if body.standoff_mm is None:
        return {}
    said = {"standoff_mm": body.standoff_mm, "standoff_u_mm": body.standoff_u_mm}
    found = {}
    for other, row in wall.facts["photos"].items():
        mark = row["marks"].get(name)
        if other == photo.id or mark is None:
            continue
        if {key: mark.get(key) for key in said} != said:
            found[other] = _with_mark(row, name, {**mark, **said})
    return found


def _with_mark(row: Json, name: str, mark: Json) -> Json:
    return {**row, "marks": {**row["marks"], name: mark}}


def _inside(photo: PhotoRow, at: tuple[float, float]) -> None:
    header = None if photo.found is None else photo.found["sight"]["header"]
    if header is None:
        if photo.found is not None:
            raise ServiceError("invalid", "This photo cannot be used, so nothing can be marked.")
        return
    limits = (header["width_px"], header["height_px"])
    if not all(-0.5 <= value <= limit - 0.5 for value, limit in zip(at, limits, strict=True)):
        raise ServiceError(
            "invalid",
            f"at: expected a point inside the photo of {limits[0]} x {limits[1]} pixels, "
            f"not {at[0]:g}, {at[1]:g}.",
            field="at",
        )
