"""The example job, put in place as far as it is wanted: photos, marks, readings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal

from service.blobs import Blobs, StoredBlob
from service.errors import FileError, ServiceError
from service.files.loading import load_model, read_text
from service.files.wall import WallFile
from service.store.changes import change_job, change_wall, touch_walls
from service.store.new_job import add_job
from service.store.rows import WALL_NAMES, Acting, JobRow, PhotoRow, WallName, WallRow
from service.store.unit import Unit

Filled = Literal["photos", "marks", "all"]
_HAND: Final = "seed-1"
_LOOK: Final = "look"


@dataclass(frozen=True)
class ExampleFiles:
    """The example as it lies in its folder; its photos are kept already, by file name."""

    walls: Mapping[WallName, WallFile]
    photos: Mapping[str, StoredBlob]
    plan: Mapping[str, Any]
    practice: str
    prices: str

    def are_kept(self, blobs: Blobs) -> bool:
        """Whether the photos' bytes are still there: nothing needs them before they are noted."""
        return all(blobs.has(stored.sha256) for stored in self.photos.values())


def read_example(folder: Path, blobs: Blobs) -> ExampleFiles:
    """Read the example's files and keep its photos.

    Raises
    ------
    ServiceError
        ``not-found``, if the folder does not hold it.
    """
    try:
        walls = {wall: load_model(folder / _HAND / f"{wall}.json", WallFile) for wall in WALL_NAMES}
        plan = json.loads(read_text(folder / "plan.json"))
        practice = read_text(folder / "practice.toml", "a practice file")
        prices = read_text(folder / "prices.csv", "a price book")
        photos = {
            photo.file: blobs.put([(folder / _HAND / photo.file).read_bytes()])
            for wall in walls.values()
            for photo in wall.photos
        }
    except (FileError, OSError) as error:
        raise ServiceError(
            "not-found",
            f"The example's files are not all there: {error}.",
            do="Start the service in a checkout of the project.",
        ) from None
    return ExampleFiles(walls, photos, plan, practice, prices)


def example_job(unit: Unit) -> JobRow | None:
    """The example that is on the list, if there is one."""
    return next((job for job in unit.jobs.all() if job.example), None)


def load_example(
    unit: Unit, acting: Acting, files: ExampleFiles, filled: Filled, job_id: str
) -> JobRow:
    """A new example job; an earlier one is taken off the list."""
    earlier = example_job(unit)
    if earlier is not None:
        change_job(unit, acting, earlier, ["hidden"], True, "job", "made the example anew")
    job = add_job(
        unit,
        acting,
        job_id=job_id,
        name=files.plan["job"]["name"],
        plumbing_side="left",
        bare_unit="in",
        scope=files.plan["job"]["scope"],
        usual_sizes=False,
        example=True,
    )
    job = _settings(unit, acting, job, files)
    for wall in unit.jobs.walls(job.id):
        _fill(unit, acting, wall, files, filled)
    return unit.jobs.get(job.id)


def _settings(unit: Unit, acting: Acting, job: JobRow, files: ExampleFiles) -> JobRow:
    own = {"job", "practice", "prices"}
    plan = {key: value for key, value in files.plan.items() if key not in own}
    plan["walls"] = [
        {key: value for key, value in wall.items() if key != "reports"} for wall in plan["walls"]
    ]
    settings = {"plan": plan, "practice": files.practice, "prices": files.prices}
    job = change_job(unit, acting, job, ["plan"], settings, "plan", "the example's settings")
    for wall in files.walls.values():
        for card in wall.cards:
            if card.print_job is not None and card.print_check:
                checks = [check.model_dump(mode="json") for check in card.print_check]
                path = ["print_jobs", card.print_job]
                what = f"ruler checks of print job {card.print_job}"
                job = change_job(unit, acting, job, path, checks, "print-job", what)
    touch_walls(unit, acting, job)
    return job


def _fill(unit: Unit, acting: Acting, wall: WallRow, files: ExampleFiles, filled: Filled) -> None:
    file = files.walls[wall.name]
    values: dict[str, Any] = {
        "photos": _photos(unit, acting, wall, files, with_marks=filled != "photos"),
        "cards": {str(card.serial): _card(card) for card in file.cards},
        "dimensions": {size.name: _plain(size) for size in file.dimensions},
        "level": None if file.level is None else list(file.level),
        "plumb": None if file.plumb is None else list(file.plumb),
    }
    if filled == "all":
        values["readings"] = {reading.id: _plain(reading) for reading in file.readings}
    for key, value in values.items():
        what = f"the example's {key}"
        wall, _ = change_wall(unit, acting, wall, [key], value, "example", what)


def _photos(
    unit: Unit, acting: Acting, wall: WallRow, files: ExampleFiles, *, with_marks: bool
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for photo in files.walls[wall.name].photos:
        stored = files.photos[photo.file]
        row = PhotoRow(
            id=f"{wall.id[:12]}-{stored.sha256[:20]}",
            wall_id=wall.id,
            filename=Path(photo.file).name,
            sha256=stored.sha256,
            bytes=stored.bytes,
            kind="jpg",
            added_at=acting.at,
        )
        unit.photos.add(row)
        if not unit.photos.has_look(row.sha256):
            unit.tasks.add(_LOOK, row.sha256, unit.look_version)
        marks = {name: _plain(mark) for name, mark in photo.marks.items()} if with_marks else {}
        found[row.id] = {"mark_sd_px": photo.mark_sd_px, "marks": marks}
    return found


def _card(card: Any) -> dict[str, Any]:
    value = _plain(card)
    value.pop("print_check", None)
    return {"print_job": None, "standoff_mm": 0.5, "standoff_u_mm": 1.0, **value}


def _plain(model: Any) -> dict[str, Any]:
    found: dict[str, Any] = model.model_dump(mode="json", by_alias=True, exclude_unset=True)
    return found
