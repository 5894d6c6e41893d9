"""Locked revisions of sheets: added, read, never changed."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import func, insert, select

from service.store.rows import RevisionRow, WallName
from service.store.tables import revisions

if TYPE_CHECKING:
    from sqlalchemy import Connection


class RevisionRows:
    """Revisions of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, row: RevisionRow) -> None:
        """Keep a revision after the sheet's earlier ones."""
        places = select(func.count()).where(
            revisions.c.job_id == row.job_id, revisions.c.sheet == row.sheet
        )
        self._connection.execute(
            insert(revisions).values(
                job_id=row.job_id,
                sheet=row.sheet,
                place=int(self._connection.execute(places).scalar() or 0),
                letter=row.letter,
                fingerprint=row.fingerprint,
                who=row.who,
                at=row.at,
                content=json.dumps(dict(row.content), ensure_ascii=False),
                sizes=json.dumps(dict(row.sizes_mm), ensure_ascii=False),
            )
        )

    def of_job(self, job_id: str, sheet: WallName | None = None) -> list[RevisionRow]:
        """The revisions of a job, or of one of its sheets, the oldest first."""
        query = select(revisions).where(revisions.c.job_id == job_id)
        if sheet is not None:
            query = query.where(revisions.c.sheet == sheet)
        query = query.order_by(revisions.c.sheet, revisions.c.place)
        return [
            RevisionRow(
                job_id=row["job_id"],
                sheet=row["sheet"],
                letter=row["letter"],
                fingerprint=row["fingerprint"],
                who=row["who"],
                at=row["at"],
                content=json.loads(row["content"]),
                sizes_mm=json.loads(row["sizes"]),
            )
            for row in self._connection.execute(query).mappings()
        ]
