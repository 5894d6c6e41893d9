"""The history: one row for every change, appended only, each chained to the one before it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import func, insert, select

from service.store.rows import Acting, EventRow, Json
from service.store.tables import events

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

BEGINNING: Final = "0" * 64
"""What stands for the hash before the first event."""


class EventRows:
    """Events of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def append(
        self,
        acting: Acting,
        job_id: str,
        wall_id: str | None,
        kind: str,
        what: str,
        path: Sequence[str] = (),
        before: Json = None,
        after: Json = None,
        undoes: int | None = None,
    ) -> EventRow:
        """Append one event; only a writer's transaction may, so that the chain has no fork."""
        seq, prev_hash = self._end()
        values = {
            "seq": seq + 1,
            "at": acting.at,
            "who": acting.who,
            "device": acting.device,
            "job_id": job_id,
            "wall_id": wall_id,
            "kind": kind,
            "what": what,
            "path": _text(list(path)),
            "before": _text(before),
            "after": _text(after),
            "undoes": undoes,
            "prev_hash": prev_hash,
        }
        values["hash"] = chain_hash(values)
        self._connection.execute(insert(events).values(**values))
        return _event(values)

    def of_job(self, job_id: str, after: int = 0, most: int = 500) -> list[EventRow]:
        """The job's events after a sequence number, the oldest first."""
        query = (
            select(events)
            .where(events.c.job_id == job_id, events.c.seq > after)
            .order_by(events.c.seq)
            .limit(most)
        )
        return [_event(row) for row in self._connection.execute(query).mappings()]

    def newest_of_job(self, job_id: str, most: int) -> list[EventRow]:
        """The job's last events, the newest first."""
        query = (
            select(events)
            .where(events.c.job_id == job_id)
            .order_by(events.c.seq.desc())
            .limit(most)
        )
        return [_event(row) for row in self._connection.execute(query).mappings()]

    def newest_of_wall(self, wall_id: str, who: str) -> list[EventRow]:
        """One person's events on a wall, the newest first."""
        query = (
            select(events)
            .where(events.c.wall_id == wall_id, events.c.who == who)
            .order_by(events.c.seq.desc())
        )
        return [_event(row) for row in self._connection.execute(query).mappings()]

    def of_wall(self, wall_id: str) -> list[EventRow]:
        """All events of a wall, the oldest first."""
        query = select(events).where(events.c.wall_id == wall_id).order_by(events.c.seq)
        return [_event(row) for row in self._connection.execute(query).mappings()]

    def last_seq(self, job_id: str) -> int:
        """Sequence number of the job's last event, 0 if there is none."""
        query = select(func.max(events.c.seq)).where(events.c.job_id == job_id)
        return int(self._connection.execute(query).scalar() or 0)

    def head(self) -> tuple[int, str]:
        """Number and hash of the last event of all: fixes everything before it."""
        return self._end()

    def first_broken(self) -> int | None:
        """Number of the first event that does not follow from the one before it; None if whole."""
        before = BEGINNING
        query = select(events).order_by(events.c.seq)
        for row in self._connection.execute(query).mappings():
            values = dict(row)
            stated = values.pop("hash")
            if values["prev_hash"] != before or chain_hash(values) != stated:
                return int(values["seq"])
            before = str(stated)
        return None

    def _end(self) -> tuple[int, str]:
        query = select(events.c.seq, events.c.hash).order_by(events.c.seq.desc()).limit(1)
        row = self._connection.execute(query).first()
        return (0, BEGINNING) if row is None else (int(row[0]), str(row[1]))


def chain_hash(values: dict[str, Any]) -> str:
    """SHA-256 of an event's values, among them the hash of the event before it."""
    text = json.dumps(values, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _text(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _event(row: RowMapping | dict[str, Any]) -> EventRow:
    values = dict(row)
    values["path"] = tuple(json.loads(values["path"]))
    values["before"] = json.loads(values["before"])
    values["after"] = json.loads(values["after"])
    return EventRow(**values)
