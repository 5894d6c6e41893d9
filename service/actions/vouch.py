"""What people say for a sheet beside its readings: second looks, and overrides of conflicts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.errors import ServiceError
from service.files.api.asked import LookBody, OverrideBody
from service.measuring.release.facts import NothingChecks, Override, is_named, same_person
from service.measuring.release.judged import JudgedReading
from service.measuring.release.size import override_refused
from service.store.changes import change_job
from service.store.rows import Acting, JobRow, WallName
from service.store.unit import Unit


def put_look(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    panel: WallName,
    what: NothingChecks,
    body: LookBody,
    wanted: Mapping[NothingChecks, str],
) -> JobRow:
    """Note that a second person, or a photo, vouches for what nothing checks.

    Parameters
    ----------
    wanted
        What the panel's sheet asks to be looked at, with what it is now.

    Raises
    ------
    ServiceError
        ``not-found``, if the sheet does not ask for it; ``invalid``, if the plan has another value
        by now, one person stands for both, or the photo is not of this job.
    """
    if what not in wanted:
        raise ServiceError("not-found", f"The {panel} panel's sheet does not ask for {what}.")
    if body.value != wanted[what]:
        detail = f"value: expected what the plan has now, {wanted[what]}, not {body.value}."
        raise ServiceError("invalid", detail, field="value")
    if body.photo is None:
        _two_people(body)
    elif body.photo not in _photos(unit, job):
        detail = f"photo: expected a photo of this job, not {body.photo}."
        raise ServiceError("invalid", detail, field="photo")
    value = body.model_dump(mode="json", include={"value", "first", "second", "photo"})
    if job.document["looks"][panel].get(str(what)) == value:
        return job
    told = f"looked at the {_called(panel)} panel's {what}: {body.value}"
    return change_job(unit, acting, job, ["looks", panel, str(what)], value, "look", told)


def delete_look(
    unit: Unit, acting: Acting, job: JobRow, panel: WallName, what: NothingChecks
) -> JobRow:
    """Take a second look back; one at what is common to the alcove, at every sheet it was noted at.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    noted = [
        sheet
        for sheet, rows in job.document["looks"].items()
        if str(what) in rows and (what.common or sheet == panel)
    ]
    if not noted:
        raise ServiceError("not-found", f"Nobody looked at the {panel} panel's {what}.")
    for sheet in noted:
        told = f"took back the look at the {_called(sheet)} panel's {what}"
        job = change_job(unit, acting, job, ["looks", sheet, str(what)], None, "look", told)
    return job


def put_override(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    panel: WallName,
    dimension: str,
    body: OverrideBody,
    readings: Mapping[str, JudgedReading],
) -> JobRow:
    """Let a reading stand that is in conflict: someone other than the taper, with a reason.

    Parameters
    ----------
    readings
        The readings of the panel's wall, by id.

    Raises
    ------
    ServiceError
        ``invalid``, if the reading is not a standing one of the size, or it was taken by the same
        person.
    """
    who = body.who or acting.who
    reading = readings.get(body.reading)
    if reading is None or reading.dimension != dimension:
        detail = f"reading: expected a reading of {dimension}, not {body.reading}."
        raise ServiceError("invalid", detail, field="reading")
    own = [one for one in readings.values() if one.dimension == dimension]
    refused = override_refused(Override(dimension, body.reading, who, body.reason), own)
    if refused is not None:
        field = _refused_field(refused[0], reading)
        raise ServiceError("invalid", f"{field}: {refused[0]}; {refused[1]}.", field=field)
    value: dict[str, Any] = {
        "reading": body.reading, "who": who, "reason": body.reason, "at": acting.at
    }  # fmt: skip
    told = f"{who} overrode {dimension} of the {_called(panel)} wall: {body.reason}"
    return change_job(unit, acting, job, ["overrides", panel, dimension], value, "override", told)


def delete_override(
    unit: Unit, acting: Acting, job: JobRow, panel: WallName, dimension: str
) -> JobRow:
    """Take an override back.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    if dimension not in job.document["overrides"][panel]:
        raise ServiceError("not-found", f"{dimension} of the {panel} wall is not overridden.")
    told = f"took back the override of {dimension} on the {_called(panel)} wall"
    return change_job(unit, acting, job, ["overrides", panel, dimension], None, "override", told)


def _refused_field(why: str, reading: JudgedReading) -> str:
    if not reading.stands or not is_named(reading.who):
        return "reading"
    return "reason" if "reason" in why else "who"


def _two_people(body: LookBody) -> None:
    if not is_named(body.first) or not is_named(body.second):
        field = "second" if is_named(body.first) else "first"
        detail = f"{field}: expected who stated it and who looked at it, or a photo."
        raise ServiceError("invalid", detail, field=field)
    if same_person(body.first or "", body.second or ""):
        detail = (
            f"second: expected someone other than {body.first}, who stated it; if they are two "
            "people, type both names in full."
        )
        raise ServiceError("invalid", detail, field="second")


def _photos(unit: Unit, job: JobRow) -> set[str]:
    return {photo for wall in unit.jobs.walls(job.id) for photo in wall.facts["photos"]}


def _called(wall: str) -> str:
    """As people say it: ``far end``."""
    return wall.replace("-", " ")
