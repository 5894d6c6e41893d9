"""Lens profiles in the service: made on a job's page, used wherever that phone's photos are."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.actions.lens.made import profile_of
from service.blobs import StoredBlob
from service.errors import ServiceError
from service.files.api.answers import PhotoState, Refused
from service.files.api.lens_answers import CardPhotoModel, Lenses, LensProfileModel
from service.files.lens_profile import LensGroup, LensProfileFile, LensReport
from service.files.writing import json_text
from service.store.changes import touch_walls
from service.store.rows import Acting, CardPhotoRow, JobRow, LensProfileRow
from service.store.unit import Unit
from vision.errors import Refusal
from vision.measure_wall.record import sight_from_record

_LOOK = "look"


@dataclass(frozen=True)
class StoredProfile:
    """A profile that was made and is to be kept."""

    body: str
    report: str
    lens: str
    photos: int


def add_card_photo(
    unit: Unit, acting: Acting, job: JobRow, photo_id: str, filename: str, stored: StoredBlob
) -> CardPhotoRow:
    """Keep a photo of a card, and ask for it to be looked at.

    Raises
    ------
    ServiceError
        ``already-there``, if the id is another photo's.
    """
    known = unit.lens.find_photo(photo_id)
    if known is not None:
        if (known.job_id, known.sha256) == (job.id, stored.sha256):
            return known
        raise ServiceError("already-there", f"The id {photo_id!r} is another photo's.")
    photo = CardPhotoRow(photo_id, job.id, filename, stored.sha256, stored.bytes, acting.at)
    unit.lens.add_photo(photo)
    if not unit.photos.has_look(photo.sha256):
        unit.tasks.add(_LOOK, photo.sha256, unit.look_version)
    what = f"added the photo of a card {filename}"
    unit.events.append(acting, job.id, None, "card-photo", what, (), None, photo_id)
    return photo


def delete_card_photo(unit: Unit, acting: Acting, photo_id: str) -> JobRow:
    """Take a photo of a card away; profiles made from it stay.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    photo = unit.lens.find_photo(photo_id)
    if photo is None:
        raise ServiceError("not-found", f"There is no photo of a card {photo_id!r}.")
    unit.lens.drop_photo(photo_id)
    what = f"took the photo of a card {photo.filename} away"
    unit.events.append(acting, photo.job_id, None, "card-photo", what, (), photo_id, None)
    return unit.jobs.get(photo.job_id)


def make_stored_profile(unit: Unit, job: JobRow, wanted: tuple[str, ...] | None) -> StoredProfile:
    """The profile from photos that are looked at, to be kept by `keep_profile`.

    Raises
    ------
    ServiceError
        ``looking`` while one is not looked at; the code of the refusal: too few photos, several
        lenses, no card, all straight on.
    """
    photos = [one for one in unit.lens.photos_of(job.id) if wanted is None or one.id in wanted]
    waiting = [one.filename for one in photos if one.found is None]
    if waiting:
        raise ServiceError("looking", f"{waiting[0]} is still being looked at.", do="Wait.")
    sights = [sight_from_record(one.found["sight"]) for one in photos if one.found is not None]
    try:
        file, report = profile_of([one.filename for one in photos], sights)
    except Refusal as refusal:
        raise ServiceError(refusal.code, refusal.text, do=refusal.do) from None
    return StoredProfile(json_text(file), json_text(report), _lens_words(file.group), file.photos)


def keep_profile(unit: Unit, acting: Acting, job: JobRow, made: StoredProfile) -> None:
    """Keep a profile: from now on the job's photos, and photos added anywhere, go by it."""
    profile_id = hashlib.sha256(made.body.encode()).hexdigest()
    row = LensProfileRow(profile_id, job.id, made.body, made.report, acting.who, acting.at)
    unit.lens.add_profile(row)
    what = f"made the lens profile of {made.lens} from {made.photos} photos of a card"
    unit.events.append(acting, job.id, None, "lens", what, (), None, profile_id)
    touch_walls(unit, acting, job)


def show_lenses(unit: Unit, job: JobRow) -> Lenses:
    """The job's photos of cards, and every profile."""
    return Lenses(
        photos=tuple(_photo(row) for row in unit.lens.photos_of(job.id)),
        profiles=tuple(_profile(row, job) for row in unit.lens.profiles()),
    )


def profile_text(unit: Unit, file: str) -> str:
    """The profile's file, for beside a wall file.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    return unit.lens.by_file(file).body


def _photo(row: CardPhotoRow) -> CardPhotoModel:
    sight: Mapping[str, Any] = {} if row.found is None else row.found["sight"]
    header, refusal, cards = sight.get("header"), sight.get("refusal"), sight.get("cards", [])
    state: PhotoState = (
        "looking" if row.found is None else "ready" if refusal is None else "refused"
    )
    return CardPhotoModel(
        id=row.id,
        filename=row.filename,
        state=state,
        lens=None if header is None else _words(header["make"], header["model"]),
        cards=len(cards),
        tilt_deg=max((card["tilt_deg"] for card in cards), default=None),
        refusal=None if refusal is None else Refused(**refusal),
    )


def _profile(row: LensProfileRow, job: JobRow) -> LensProfileModel:
    file = LensProfileFile.model_validate_json(row.body)
    return LensProfileModel(
        file=row.file,
        lens=_lens_words(file.group),
        photos=file.photos,
        report=LensReport.model_validate(json.loads(row.report)),
        who=row.who,
        at=row.at,
        here=row.job_id == job.id,
    )


def _lens_words(group: LensGroup) -> str:
    phone = _words(group.make, group.model) or "a phone that does not say its name"
    focal = "" if group.focal_35mm_mm is None else f", {group.focal_35mm_mm:g} mm"
    return f"{phone}{focal}, {group.long_px} x {group.short_px} px"


def _words(make: str | None, model: str | None) -> str | None:
    return " ".join(part for part in (make, model) if part) or None
