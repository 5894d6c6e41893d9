"""Jobs and their walls: read, add, and replace with the next revision."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select, update

from service.errors import ServiceError
from service.store.rows import Facts, JobRow, WallRow
from service.store.tables import jobs, walls

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping


class JobRows:
    """Jobs and walls of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def all(self, *, hidden: bool = False) -> list[JobRow]:
        """Jobs, the last changed first."""
        query = select(jobs).order_by(jobs.c.updated_at.desc(), jobs.c.id)
        if not hidden:
            query = query.where(jobs.c.hidden.is_(False))
        return [_job(row) for row in self._connection.execute(query).mappings()]

    def find(self, job_id: str) -> JobRow | None:
        """The job, or None."""
        query = select(jobs).where(jobs.c.id == job_id)
        row = self._connection.execute(query).mappings().first()
        return None if row is None else _job(row)

    def get(self, job_id: str) -> JobRow:
        """The job.

        Raises
        ------
        ServiceError
            ``not-found``.
        """
        job = self.find(job_id)
        if job is None:
            raise ServiceError("not-found", f"There is no job {job_id!r}.")
        return job

    def add(self, job: JobRow, of_job: Sequence[WallRow]) -> None:
        """A new job with its walls."""
        values = {column.name: getattr(job, column.name) for column in jobs.columns}
        values["document"] = _text(job.document)
        self._connection.execute(insert(jobs).values(**values))
        for wall in of_job:
            self._connection.execute(
                insert(walls).values(
                    id=wall.id,
                    job_id=wall.job_id,
                    name=wall.name,
                    place=wall.place,
                    revision=wall.revision,
                    facts=_text(wall.facts),
                )
            )

    def put(self, job: JobRow, at: str) -> JobRow:
        """The job with its next revision, written."""
        new = replace(job, revision=job.revision + 1, updated_at=at)
        self._connection.execute(
            update(jobs)
            .where(jobs.c.id == job.id)
            .values(
                name=new.name,
                bare_unit=new.bare_unit,
                scope=new.scope,
                notes=new.notes,
                hidden=new.hidden,
                revision=new.revision,
                updated_at=at,
                document=_text(new.document),
            )
        )
        return new

    def walls(self, job_id: str) -> list[WallRow]:
        """The job's walls as they unfold, from left to right."""
        query = select(walls).where(walls.c.job_id == job_id).order_by(walls.c.place)
        return [_wall(row) for row in self._connection.execute(query).mappings()]

    def wall(self, wall_id: str) -> WallRow:
        """One wall.

        Raises
        ------
        ServiceError
            ``not-found``.
        """
        query = select(walls).where(walls.c.id == wall_id)
        row = self._connection.execute(query).mappings().first()
        if row is None:
            raise ServiceError("not-found", f"There is no wall {wall_id!r}.")
        return _wall(row)

    def put_wall(self, wall: WallRow, facts: Facts, at: str) -> WallRow:
        """The wall with new facts and its next revision, written; its job is marked as changed."""
        new = replace(wall, facts=facts, revision=wall.revision + 1)
        self._connection.execute(
            update(walls)
            .where(walls.c.id == wall.id)
            .values(facts=_text(facts), revision=new.revision)
        )
        self._connection.execute(update(jobs).where(jobs.c.id == wall.job_id).values(updated_at=at))
        return new


def _text(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _job(row: RowMapping) -> JobRow:
    return JobRow(**{**row, "document": json.loads(row["document"])})


def _wall(row: RowMapping) -> WallRow:
    return WallRow(**{**row, "facts": json.loads(row["facts"])})
