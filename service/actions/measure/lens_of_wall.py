"""Which lens profiles the photos of a stored wall are measured with."""

from __future__ import annotations

from collections.abc import Mapping

from service.files.lens_profile import LensProfileFile
from service.store.rows import LensProfileRow, PhotoRow, WallRow
from service.store.unit import Unit
from vision.camera.prior import LensKey, lens_key
from vision.photo.photograph import Header


def profiles_of(unit: Unit, wall: WallRow, photos: Mapping[str, PhotoRow]) -> list[LensProfileRow]:
    """For each lens on the wall the newest profile that counts there.

    One counts in the job in which it was made, and for photos that were added after it: so making
    one changes no size of another job that was measured before.
    """
    profiles = unit.lens.profiles()
    if not profiles:
        return []
    added = _added_at(wall, photos)
    found: dict[LensKey, LensProfileRow] = {}
    for row in profiles:  # the newest first
        key = LensKey(**LensProfileFile.model_validate_json(row.body).group.model_dump())
        if key not in added or key in found:
            continue
        if row.job_id == wall.job_id or row.at <= added[key]:
            found[key] = row
    return list(found.values())


def _added_at(wall: WallRow, photos: Mapping[str, PhotoRow]) -> dict[LensKey, str]:
    """When the newest photo of each lens came on the wall."""
    newest: dict[LensKey, str] = {}
    for photo_id in wall.facts["photos"]:
        photo = photos[photo_id]
        header = None if photo.found is None else photo.found["sight"]["header"]
        if header is not None:
            key = lens_key(Header(**header))
            newest[key] = max(newest.get(key, ""), photo.added_at)
    return newest
