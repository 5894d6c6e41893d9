"""Changes of a job: name, scope, notes, on or off the list, ruler checks."""

from __future__ import annotations

from service.files.api.asked import JobChange, PrintJobBody
from service.store.changes import change_job, touch_walls
from service.store.rows import Acting, JobRow
from service.store.unit import Unit


def edit_job(unit: Unit, acting: Acting, job: JobRow, body: JobChange) -> JobRow:
    """Change what the body names; one event for each change."""
    for key in body.model_fields_set:
        value = getattr(body, key)
        if value is None or value == getattr(job, key):
            continue
        what = {
            "hidden": "took the job off the list" if value else "put the job back on the list",
            "notes": "changed the notes",
        }.get(key, f"changed the {key} to {value}")
        job = change_job(unit, acting, job, [key], value, "job", what)
    return job


def hide_job(unit: Unit, acting: Acting, job: JobRow) -> JobRow:
    """Take the job off the list; nothing of it is lost."""
    return edit_job(unit, acting, job, JobChange(hidden=True))


def put_print_job(unit: Unit, acting: Acting, job: JobRow, name: str, body: PrintJobBody) -> JobRow:
    """Set a print job's ruler checks, which count for all its cards.

    Raises
    ------
    ServiceError
        ``invalid``, if a check holds no length.
    """
    checks = [check.model_dump(mode="json") for check in body.checks]
    what = f"ruler checks of print job {name}"
    new = change_job(unit, acting, job, ["print_jobs", name], checks, "print-job", what)
    touch_walls(unit, acting, new)
    return new
