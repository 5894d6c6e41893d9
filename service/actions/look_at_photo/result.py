"""What was found in a photo, written down once, and told in the history of its wall."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.store.rows import Acting, PhotoRow, TaskRow
from service.store.unit import Unit

PICTURES: Final = "pictures"


def note_look(
    unit: Unit,
    acting: Acting,
    task: TaskRow,
    found: Mapping[str, Any],
    pictures_sha256: str | None,
) -> bool:
    """Write down what was found, if this worker still holds the task; whether it was written."""
    if not unit.tasks.finish(task) or unit.photos.has_look(task.subject):
        return False
    unit.photos.add_look(task.subject, found, pictures_sha256, acting.at)
    for photo in unit.photos.of_bytes(task.subject):
        wall = unit.jobs.wall(photo.wall_id)
        if photo.id in wall.facts["photos"]:
            unit.events.append(acting, wall.job_id, wall.id, "look", _told(photo), (photo.id,))
    return True


def crashed(reason: str) -> dict[str, Any]:
    """What is found in a photo whose decoding ended the process, or went on for too long."""
    refusal = {
        "code": "too-heavy",
        "text": f"The photo could not be decoded within the limits of memory and time ({reason}).",
        "do": "Take the photo again in the phone's normal camera mode and send it as JPEG.",
    }
    return {
        "sight": {"header": None, "cards": [], "advice": [], "notes": [], "refusal": refusal},
    }


def _told(photo: PhotoRow) -> str:
    if photo.found is None:
        return f"looked at {photo.filename}"
    refusal = photo.found["sight"]["refusal"]
    if refusal is not None:
        return f"{photo.filename} cannot be used: {refusal['text']}"
    serials = [str(card["serial"]) for card in photo.found["sight"]["cards"]]
    seen = f"cards {', '.join(serials)}" if serials else "no card"
    return f"looked at {photo.filename}: {seen}"
