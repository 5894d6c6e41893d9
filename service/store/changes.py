"""The one way in which a job or a wall is changed: new value, next revision, one event."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import replace

from service.errors import ServiceError
from service.store.new_job import wall_around
from service.store.rows import Acting, EventRow, Facts, JobRow, Json, WallRow
from service.store.unit import Unit
from service.store.wall_document import check_facts, value_at, with_value

JOB_FIELDS = ("name", "bare_unit", "scope", "notes", "hidden")
_LISTS = ("dimensions", "readings")
"""Facts by name or id that a wall file has in a list, in the same order."""


def change_wall(
    unit: Unit,
    acting: Acting,
    wall: WallRow,
    path: Sequence[str],
    value: Json,
    kind: str,
    what: str,
    undoes: int | None = None,
) -> tuple[WallRow, EventRow]:
    """Set one value of a wall's facts, checked against all the others.

    Raises
    ------
    ServiceError
        ``invalid``, if the facts would not hang together; what is wrong inside the new size or
        reading itself is placed in it, as whoever sent it knows it.
    """
    job = unit.jobs.get(wall.job_id)
    facts = with_value(wall.facts, path, value)
    try:
        check_facts(wall_around(job, wall), facts, unit.photos.of_wall(wall.id))
    except ServiceError as error:
        raise _in_what_was_sent(error, facts, path) from None
    new = unit.jobs.put_wall(wall, facts, acting.at)
    event = unit.events.append(
        acting,
        wall.job_id,
        wall.id,
        kind,
        what,
        path,
        before=value_at(wall.facts, path),
        after=value,
        undoes=undoes,
    )
    return new, event


def change_job(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    path: Sequence[str],
    value: Json,
    kind: str,
    what: str,
) -> JobRow:
    """Set one field of a job, or one value of its document."""
    if path[0] in JOB_FIELDS:
        before = getattr(job, path[0])
        new = replace(job, **{path[0]: value})
    else:
        document = copy.deepcopy(dict(job.document))
        before = value_at(document, path)
        new = replace(job, document=with_value(document, path, value))
    unit.events.append(acting, job.id, None, kind, what, path, before, value)
    return unit.jobs.put(new, acting.at)


def touch_walls(unit: Unit, acting: Acting, job: JobRow) -> None:
    """Give every wall its next revision: what they share has changed."""
    for wall in unit.jobs.walls(job.id):
        check_facts(wall_around(job, wall), wall.facts, unit.photos.of_wall(wall.id))
        unit.jobs.put_wall(wall, wall.facts, acting.at)


def _in_what_was_sent(error: ServiceError, facts: Facts, path: Sequence[str]) -> ServiceError:
    group, name = path[0], path[-1]
    if group not in _LISTS or len(path) != 2 or name not in facts[group]:
        return error
    start = f"{group}[{list(facts[group]).index(name)}]."
    if not error.field.startswith(start):
        return error
    field = error.field.removeprefix(start)
    return ServiceError(error.code, error.detail.replace(error.field, field, 1), field=field)
