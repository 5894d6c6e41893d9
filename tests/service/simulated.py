"""Simulated photos in a service, as if they had been sent and looked at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from fastapi.testclient import TestClient

from service.store.changes import change_wall
from service.store.rows import Acting, CardPhotoRow, PhotoRow
from tests.support.simulated_wall import SimulatedWall
from vision.measure_wall import Sight
from vision.measure_wall.record import sight_record


def seen(client: TestClient, job: str, sights: Sequence[Sight], at: str) -> list[str]:
    """Photos of a card as if they had been sent and looked at."""
    tools = client.app.state.tools  # type: ignore[attr-defined]
    ids = []
    with tools.store.write() as unit:
        for number, sight in enumerate(sights):
            sha256 = tools.blobs.put([f"card {job} {number}".encode()]).sha256
            ids.append(f"card-{job}-{number}")
            unit.lens.add_photo(CardPhotoRow(ids[-1], job, f"{number}.jpg", sha256, 1, at))
            unit.photos.add_look(sha256, {"sight": sight_record(sight)}, None, at)
    return ids


def photographed(client: TestClient, wall: dict[str, Any], of: SimulatedWall, at: str) -> None:
    """The simulated wall's photos, marks and sizes on a stored wall."""
    tools = client.app.state.tools  # type: ignore[attr-defined]
    acting = Acting("A", at)
    with tools.store.write() as unit:
        row = unit.jobs.wall(wall["id"])
        photos: dict[str, Any] = {}
        for photo, sight in zip(of.request.photos, of.sights, strict=True):
            sha256 = tools.blobs.put([photo.name.encode()]).sha256
            photo_id = f"{wall['id'][:20]}-{len(photos)}"
            unit.photos.add(PhotoRow(photo_id, row.id, photo.name, sha256, 1, "jpg", at))
            if not unit.photos.has_look(sha256):
                unit.photos.add_look(sha256, {"sight": sight_record(sight)}, None, at)
            marks = {tap.name: {"at": list(tap.at_px)} for tap in photo.taps}
            photos[photo_id] = {"mark_sd_px": 1.0, "marks": marks}
        row, _ = change_wall(unit, acting, row, ["photos"], photos, "example", "photos")
        sizes = {
            size.name: {
                "name": size.name,
                "kind": size.kind,
                "from": size.start,
                "to": size.end,
                "line": None if size.line is None else list(size.line),
            }
            for size in of.request.sizes
        }
        change_wall(unit, acting, row, ["dimensions"], sizes, "example", "sizes")
