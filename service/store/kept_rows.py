"""Answers kept so that the same question is not done, or worked out, twice."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import delete, insert, select

from service.store.rows import KeptAnswer
from service.store.tables import keys, reports

if TYPE_CHECKING:
    from sqlalchemy import Connection


class KeptRows:
    """Kept answers of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def answer(self, key: str) -> KeptAnswer | None:
        """The answer that was given to a request with this idempotency key."""
        row = self._connection.execute(select(keys).where(keys.c.key == key)).mappings().first()
        if row is None:
            return None
        headers = json.loads(row["headers"])
        return KeptAnswer(row["fingerprint"], row["status"], headers, row["body"])

    def keep_answer(self, key: str, answer: KeptAnswer, at: str) -> None:
        """Keep the answer to a request with this idempotency key."""
        self._connection.execute(
            insert(keys).values(
                key=key,
                fingerprint=answer.fingerprint,
                status=answer.status,
                headers=json.dumps(dict(answer.headers)),
                body=answer.body,
                at=at,
            )
        )

    def forget_answers(self, before: str) -> None:
        """Drop answers from before a time."""
        self._connection.execute(delete(keys).where(keys.c.at < before))

    def report(self, fingerprint: str) -> str | None:
        """The report that was worked out from facts with this fingerprint."""
        query = select(reports.c.body).where(reports.c.fingerprint == fingerprint)
        found = self._connection.execute(query).scalar()
        return None if found is None else str(found)

    def keep_report(self, fingerprint: str, wall_id: str, body: str, at: str) -> None:
        """Keep a report, in place of the wall's earlier ones."""
        self._connection.execute(delete(reports).where(reports.c.wall_id == wall_id))
        self._connection.execute(delete(reports).where(reports.c.fingerprint == fingerprint))
        self._connection.execute(
            insert(reports).values(fingerprint=fingerprint, wall_id=wall_id, body=body, at=at)
        )
