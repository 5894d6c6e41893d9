"""Tasks still to do: claimed for a time, finished only by whoever still holds them.

A task may run more than once (a worker was killed, its lease ended); what it does happens once,
because its one effect is a row with a unique key, written in the transaction that ends the task.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import and_, delete, func, insert, or_, select, update

from service.store.rows import TaskRow
from service.store.tables import tasks

if TYPE_CHECKING:
    from sqlalchemy import Connection


class TaskRows:
    """Tasks of one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, kind: str, subject: str, version: int) -> None:
        """Ask for a task; one that is asked for already stays as it is."""
        known = select(tasks.c.id).where(
            tasks.c.kind == kind, tasks.c.subject == subject, tasks.c.version == version
        )
        if self._connection.execute(known).first() is not None:
            return
        self._connection.execute(
            insert(tasks).values(
                kind=kind,
                subject=subject,
                version=version,
                state="waiting",
                attempts=0,
                token=0,
                lease_until=0.0,
            )
        )

    def claim(self, now_s: float, lease_s: float) -> TaskRow | None:
        """Take a task that waits, or whose holder let its lease end.

        The oldest of those that were tried least: one during which the service was ended again and
        again, which is not its fault, keeps no other waiting.
        """
        free = or_(
            tasks.c.state == "waiting",
            and_(tasks.c.state == "doing", tasks.c.lease_until < now_s),
        )
        order = (tasks.c.attempts, tasks.c.id)
        oldest = select(tasks.c.id).where(free).order_by(*order).limit(1).scalar_subquery()
        row = self._connection.execute(
            update(tasks)
            .where(tasks.c.id == oldest)
            .values(
                state="doing",
                attempts=tasks.c.attempts + 1,
                token=tasks.c.token + 1,
                lease_until=now_s + lease_s,
            )
            .returning(
                tasks.c.id,
                tasks.c.kind,
                tasks.c.subject,
                tasks.c.version,
                tasks.c.attempts,
                tasks.c.token,
            )
        ).first()
        return None if row is None else TaskRow(*row)

    def finish(self, task: TaskRow) -> bool:
        """End a task; False if another has taken it over meanwhile, whose result counts."""
        done = self._connection.execute(
            delete(tasks).where(tasks.c.id == task.id, tasks.c.token == task.token)
        )
        return done.rowcount == 1

    def give_back(self, task: TaskRow) -> None:
        """Let another try."""
        self._connection.execute(
            update(tasks)
            .where(tasks.c.id == task.id, tasks.c.token == task.token)
            .values(state="waiting", lease_until=0.0)
        )

    def drop_other_versions(self, kind: str, version: int) -> None:
        """Forget tasks for code that is not there any more."""
        self._connection.execute(
            delete(tasks).where(tasks.c.kind == kind, tasks.c.version != version)
        )

    def free_all(self) -> int:
        """Give back every task, when no worker of the data folder can be alive; how many."""
        done = self._connection.execute(
            update(tasks)
            .where(tasks.c.state == "doing")
            .values(state="waiting", lease_until=0.0, token=tasks.c.token + 1)
        )
        return int(done.rowcount)

    def subjects(self) -> set[str]:
        """What the tasks still to do are about."""
        return {str(row[0]) for row in self._connection.execute(select(tasks.c.subject))}

    def count(self) -> int:
        """How many are still to do."""
        return int(self._connection.execute(select(func.count()).select_from(tasks)).scalar() or 0)
