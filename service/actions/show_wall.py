"""A wall, and a photo, as they are shown."""

from __future__ import annotations

from typing import Any

from service.errors import ServiceError
from service.files.api.answers import (
    CardInPhoto,
    CardOnWall,
    HeaderModel,
    PhotoModel,
    PhotoOnWall,
    ReadingModel,
    Refused,
    Said,
    Seen,
    WallModel,
)
from service.files.api.echo import length_echo
from service.files.wall_parts import Dimension, Instrument, Mark, Rectangle
from service.lengths import parse_station
from service.store.rows import PhotoRow, WallRow
from service.store.unit import Unit
from service.store.wall_document import marks_wanted


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
        dimensions=tuple(Dimension.model_validate(row) for row in facts["dimensions"].values()),
        readings=tuple(_reading(row, job.bare_unit) for row in facts["readings"].values()),
        photos=tuple(_on_wall(photo, facts["photos"][photo.id]) for photo in on_wall),
        marks_wanted=tuple(marks_wanted(facts)),
        found_cards=tuple(sorted(serials)),
    )


def show_photo(unit: Unit, photo: PhotoRow) -> PhotoModel:
    """One photo and what was found in it."""
    wall = unit.jobs.wall(photo.wall_id)
    marked = wall.facts["photos"].get(photo.id)
    sight = _sight(photo)
    header, refusal = sight.get("header"), sight.get("refusal")
    width, height = _size(photo)
    return PhotoModel(
        id=photo.id,
        wall=wall.id,
        job=wall.job_id,
        file=photo.file,
        filename=photo.filename,
        sha256=photo.sha256,
        bytes=photo.bytes,
        state=photo.state,
        width=width,
        height=height,
        added_at=photo.added_at,
        on_wall=marked is not None,
        cards=tuple(_card(row) for row in sight.get("cards", [])),
        notes=tuple(
            Seen(code=row["code"], text=row["text"], serial=row["serial"], at=tuple(row["at_px"]))
            for row in sight.get("notes", [])
        ),
        advice=tuple(Said(**row) for row in sight.get("advice", [])),
        refusal=None if refusal is None else Refused(**refusal),
        header=None if header is None else HeaderModel.model_validate(header),
        mark_sd_px=1.0 if marked is None else marked["mark_sd_px"],
        marks={} if marked is None else _marks(marked),
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


def _size(photo: PhotoRow) -> tuple[int | None, int | None]:
    header = _sight(photo).get("header")
    return (None, None) if header is None else (header["width_px"], header["height_px"])


def _marks(marked: dict[str, Any]) -> dict[str, Mark]:
    return {name: Mark.model_validate(mark) for name, mark in marked["marks"].items()}


def _on_wall(photo: PhotoRow, marked: dict[str, Any]) -> PhotoOnWall:
    width, height = _size(photo)
    return PhotoOnWall(
        id=photo.id,
        file=photo.file,
        filename=photo.filename,
        sha256=photo.sha256,
        bytes=photo.bytes,
        state=photo.state,
        width=width,
        height=height,
        added_at=photo.added_at,
        mark_sd_px=marked["mark_sd_px"],
        marks=_marks(marked),
    )


def _reading(row: dict[str, Any], bare_unit: str | None) -> ReadingModel:
    return ReadingModel(
        id=row["id"],
        dimension=row["dimension"],
        value=row["value"],
        echo=length_echo(parse_station(row["value"], bare_unit)),
        who=row.get("who"),
        at=row.get("at"),
        instrument=Instrument.model_validate(row.get("instrument", {})),
        u_mm=row.get("u_mm"),
        replaces=row.get("replaces"),
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
