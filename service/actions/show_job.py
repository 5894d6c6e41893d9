"""Jobs as they are listed and shown, their history, and their ruler checks."""

from __future__ import annotations

from typing import Protocol

from service.errors import ServiceError
from service.files.api.answers import (
    EventList,
    EventModel,
    JobList,
    JobModel,
    PrintJobs,
    Refused,
    WallInJob,
)
from service.files.plan_sizes import report_values
from service.files.report import Blocking, Gate, Report
from service.files.shop_practice import least_slip_of
from service.files.wall_parts import PrintCheck
from service.measuring.limits import Limits
from service.measuring.release.size import Held, size_proof
from service.store.rows import EventRow, JobRow, WallRow
from service.store.unit import Unit

MOST_EVENTS = 500


class Reports(Protocol):
    """Reports of stored walls."""

    def of_wall(self, unit: Unit, wall: WallRow) -> Report:
        """The wall's report, or a `ServiceError` that says why there is none."""
        ...


def list_jobs(unit: Unit, reports: Reports, *, hidden: bool = False) -> JobList:
    """All jobs, the last changed first."""
    return JobList(jobs=tuple(show_job(unit, job, reports) for job in unit.jobs.all(hidden=hidden)))


def show_job(unit: Unit, job: JobRow, reports: Reports) -> JobModel:
    """One job with its walls in short."""
    return JobModel(
        id=job.id,
        name=job.name,
        plumbing_side="left" if job.plumbing_side == "left" else "right",
        bare_unit=job.bare_unit,
        scope=job.scope,
        notes=job.notes,
        example=job.example,
        hidden=job.hidden,
        revision=job.revision,
        created_at=job.created_at,
        updated_at=job.updated_at,
        walls=tuple(_wall(unit, job, wall, reports) for wall in unit.jobs.walls(job.id)),
        released={
            panel: row["revision"]
            for panel, row in job.document["releases"].items()
            if row["state"] == "released"
        },
    )


def show_print_jobs(job: JobRow) -> PrintJobs:
    """The job's ruler checks."""
    return PrintJobs(
        revision=job.revision,
        print_jobs={
            name: tuple(PrintCheck.model_validate(check) for check in checks)
            for name, checks in job.document["print_jobs"].items()
        },
    )


def show_events(unit: Unit, job_id: str, after: int | None) -> EventList:
    """The job's last changes, the newest first; or those after a number, the oldest first."""
    job = unit.jobs.get(job_id)
    if after is None:
        found = unit.events.newest_of_job(job.id, MOST_EVENTS)
    else:
        found = unit.events.of_job(job.id, after, MOST_EVENTS)
    return EventList(events=tuple(_event(row) for row in found))


def _event(row: EventRow) -> EventModel:
    return EventModel(
        seq=row.seq,
        at=row.at,
        who=row.who,
        device=row.device,
        wall=row.wall_id,
        kind=row.kind,
        what=row.what,
        path=row.path,
        before=row.before,
        after=row.after,
        undoes=row.undoes,
        hash=row.hash,
    )


def _wall(unit: Unit, job: JobRow, wall: WallRow, reports: Reports) -> WallInJob:
    photos = unit.photos.of_wall(wall.id)
    gate: Gate | None = None
    refused: Refused | None = None
    try:
        gate = _gate(job, wall, reports.of_wall(unit, wall))
    except ServiceError as error:
        refused = Refused(code=error.code, text=error.detail, do=error.do)
    return WallInJob(
        id=wall.id,
        name=wall.name,
        revision=wall.revision,
        photos=len(wall.facts["photos"]),
        ready=sum(photos[photo_id].found is not None for photo_id in wall.facts["photos"]),
        readings=len(wall.facts["readings"]),
        dimensions=len(wall.facts["dimensions"]),
        gate=gate,
        refused=refused,
    )


def _gate(job: JobRow, wall: WallRow, report: Report) -> Gate:
    """What the wall's own report leaves unproved, by the rule of release."""
    judged = report_values("", report)
    overrides = job.overrides.get(wall.name.replace("-", " "), ())
    limits = Limits(slip_mm=least_slip_of(job.practice))
    proofs = [size_proof(size, judged, overrides, limits) for size in judged.sizes]
    blocking = tuple(
        Blocking(dimension=proof.what, why=proof.why) for proof in proofs if isinstance(proof, Held)
    )
    return Gate(open=bool(proofs) and not blocking, blocking=blocking)
