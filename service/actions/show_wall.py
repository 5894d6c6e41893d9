"""A wall, and a photo, as they are shown."""

from __future__ import annotations

from typing import Any

from service.errors import ServiceError
from service.files.api.answers import (
    CardInPhoto,
    CardOnWall,
    HeaderModel,
    KnownSize,
    PhotoModel,
    PhotoOnWall,
    ReadingModel,
    Refused,
    Said,
    Seen,
    WallModel,
)
from service.files.api.echo import length_echo
from service.files.wall_parts import Dimension, Instrument, Mark, Rectangle, StraightLine
from service.lengths import parse_station
from service.store.new_job import corner_side, wall_around
from service.store.rows import Facts, PhotoRow, WallRow
from service.store.unit import Unit
from service.store.wall_document import marks_wanted, said_of_size, size_name, sizes_known_by_name


def wall_version(unit: Unit, wall: WallRow) -> str:
    """The version of what is shown: revision of the facts, and how many photos are looked at."""
    photos = unit.photos.of_wall(wall.id)
    ready = sum(photos[photo_id].found is not None for photo_id in wall.facts["photos"])
    return f"{wall.revision}.{ready}"


def show_wall(unit: Unit, wall: WallRow) -> WallModel:
    """The facts of one wall, with the state of its photos."""
    facts = wall.facts
    job = unit.jobs.get(wall.job_id)
    photos = unit.photos.of_wall(wall.id)
    on_wall = [photos[photo_id] for photo_id in facts["photos"]]
    serials = {card["serial"] for photo in on_wall for card in _sight(photo).get("cards", [])}
    return WallModel(
        id=wall.id,
        job=wall.job_id,
        name=wall.name,
        revision=wall.revision,
        bare_unit=job.bare_unit,
        level=facts["level"],
        plumb=facts["plumb"],
        datum_card=facts["datum_card"],
        cards=tuple(
            CardOnWall(
                serial=card["serial"],
                print_job=card.get("print_job"),
                standoff_mm=card["standoff_mm"],
                standoff_u_mm=card["standoff_u_mm"],
            )
            for card in facts["cards"].values()
        ),
        rectangles=tuple(Rectangle.model_validate(row) for row in facts["rectangles"].values()),
        lines=tuple(StraightLine.model_validate(row) for row in facts.get("lines", {}).values()),
        dimensions=tuple(Dimension.model_validate(row) for row in facts["dimensions"].values()),
        readings=tuple(_reading(facts, row, job.bare_unit) for row in facts["readings"].values()),
        photos=tuple(PhotoOnWall(**_common(photo, facts["photos"][photo.id])) for photo in on_wall),
        marks_wanted=tuple(marks_wanted(facts)),
        found_cards=tuple(sorted(serials)),
        corner=corner_side(wall.name, job.plumbing_side),
        known_by_name={
            size.name: KnownSize.model_validate(said_of_size(size))
            for size in sizes_known_by_name(wall_around(job, wall), facts)
        },
    )


def show_photo(unit: Unit, photo: PhotoRow) -> PhotoModel:
    """One photo and what was found in it."""
    wall = unit.jobs.wall(photo.wall_id)
    marked = wall.facts["photos"].get(photo.id)
    sight = _sight(photo)
    header, refusal = sight.get("header"), sight.get("refusal")
    return PhotoModel(
        **_common(photo, marked),
        wall=wall.id,
        job=wall.job_id,
        on_wall=marked is not None,
        cards=tuple(_card(row) for row in sight.get("cards", [])),
        notes=tuple(
            Seen(code=row["code"], text=row["text"], serial=row["serial"], at=tuple(row["at_px"]))
            for row in sight.get("notes", [])
        ),
        advice=tuple(Said(**row) for row in sight.get("advice", [])),
        refusal=None if refusal is None else Refused(**refusal),
        header=None if header is None else HeaderModel.model_validate(header),
    )


def photo_on_wall(unit: Unit, photo_id: str) -> tuple[PhotoRow, WallRow]:
    """A photo and the wall it is on.

    Raises
    ------
    ServiceError
        ``not-found``, also for a photo that was taken off.
    """
    photo = unit.photos.get(photo_id)
    wall = unit.jobs.wall(photo.wall_id)
    if photo.id not in wall.facts["photos"]:
        raise ServiceError("not-found", f"The photo {photo_id!r} was taken off its wall.")
    return photo, wall


def _sight(photo: PhotoRow) -> dict[str, Any]:
    return {} if photo.found is None else dict(photo.found["sight"])


def _common(photo: PhotoRow, marked: dict[str, Any] | None) -> dict[str, Any]:
    """What is shown of a photo wherever it is; ``marked`` is what its wall says of it."""
    header = _sight(photo).get("header")
    marks = {} if marked is None else marked["marks"]
    return {
        "id": photo.id,
        "file": photo.file,
        "filename": photo.filename,
        "sha256": photo.sha256,
        "bytes": photo.bytes,
        "state": photo.state,
        "width": None if header is None else header["width_px"],
        "height": None if header is None else header["height_px"],
        "added_at": photo.added_at,
        "mark_sd_px": 1.0 if marked is None else marked["mark_sd_px"],
        "marks": {name: Mark.model_validate(mark) for name, mark in marks.items()},
    }


def _reading(facts: Facts, row: dict[str, Any], bare_unit: str | None) -> ReadingModel:
    return ReadingModel(
        id=row["id"],
        dimension=size_name(facts, row["dimension"]),
        value=row["value"],
        echo=length_echo(parse_station(row["value"], bare_unit)),
        who=row.get("who"),
        at=row.get("at"),
        instrument=Instrument.model_validate(row.get("instrument", {})),
        u_mm=row.get("u_mm"),
        replaces=row.get("replaces"),
        surface=row.get("surface"),
    )


def _card(row: dict[str, Any]) -> CardInPhoto:
    return CardInPhoto(
        serial=row["serial"],
        corners=len(row["corner_ids"]),
        outline=tuple((x, y) for x, y in row["outline_px"]),
        contrast=row["contrast"],
        blur_px=row["blur_px"],
        tilt_deg=row["tilt_deg"],
        pixels_per_cell=row["pixels_per_cell"],
        saturated=row["saturated"],
    )
