"""A new job: its three walls, with the lines and sizes that a plan needs."""

from __future__ import annotations

from service.errors import ServiceError
from service.files.api.asked import NewJob
from service.store.new_job import add_job
from service.store.rows import Acting, JobRow
from service.store.unit import Unit


def start_job(unit: Unit, acting: Acting, body: NewJob, new_id: str) -> JobRow:
    """Start a job under the client's id, or ``new_id``.

    Raises
    ------
    ServiceError
        ``already-there``, if a job has the client's id.
    """
    job_id = body.id or new_id
    if unit.jobs.find(job_id) is not None:
        raise ServiceError("already-there", f"There is a job {job_id!r} already.", field="id")
    return add_job(
        unit,
        acting,
        job_id=job_id,
        name=body.name,
        plumbing_side=body.plumbing_side,
        bare_unit=body.bare_unit,
        scope=body.scope,
        usual_sizes=body.sizes == "usual",
    )
