"""Locked revisions of sheets: added, read, never changed."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from pydantic import ValidationError
from sqlalchemy import func, insert, select

from service.files.field_truth import EvidenceRow, evidence_row
from service.measuring.release.revision import Revision
from service.store.tables import revisions

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from service.measuring.field_truth import Evidence
    from service.store.rows import WallName


class RevisionRows:
    """Revisions of one transaction, their sheets called as a plan calls its walls: ``far end``."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, job_id: str, revision: Revision) -> None:
        """Keep a revision after the sheet's earlier ones."""
        sheet = revision.sheet.replace(" ", "-")
        places = select(func.count()).where(
            revisions.c.job_id == job_id, revisions.c.sheet == sheet
        )
        self._connection.execute(
            insert(revisions).values(
                job_id=job_id,
                sheet=sheet,
                place=int(self._connection.execute(places).scalar() or 0),
                letter=revision.letter,
                fingerprint=revision.fingerprint,
                who=revision.who,
                at=revision.at,
                content=json.dumps(dict(revision.content), ensure_ascii=False),
                sizes=json.dumps(dict(revision.sizes_mm), ensure_ascii=False),
                evidence=None if revision.evidence is None else _text(revision.evidence),
            )
        )

    def of_job(self, job_id: str, sheet: WallName | None = None) -> list[Revision]:
        """The revisions of a job, or of one of its sheets, the oldest first."""
        query = select(revisions).where(revisions.c.job_id == job_id)
        if sheet is not None:
            query = query.where(revisions.c.sheet == sheet)
        query = query.order_by(revisions.c.sheet, revisions.c.place)
        return [
            Revision(
                sheet=row["sheet"].replace("-", " "),
                letter=row["letter"],
                fingerprint=row["fingerprint"],
                who=row["who"],
                at=row["at"],
                content=json.loads(row["content"]),
                sizes_mm=json.loads(row["sizes"]),
                evidence=None if row["evidence"] is None else _evidence(row["evidence"]),
            )
            for row in self._connection.execute(query).mappings()
        ]


def _text(evidence: Evidence) -> str:
    return evidence_row(evidence).model_dump_json()


def _evidence(text: str) -> Evidence | None:
    """None of a text that was altered so that it is no evidence: its revision is not intact."""
    try:
        return EvidenceRow.model_validate_json(text).evidence()
    except ValidationError:
        return None
