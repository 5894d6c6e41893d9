"""One transaction: everything in it is kept, or nothing."""

from __future__ import annotations

from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Protocol

from service.store.event_rows import EventRows
from service.store.job_rows import JobRows
from service.store.kept_rows import KeptRows
from service.store.lens_rows import LensRows
from service.store.photo_rows import PhotoRows
from service.store.revision_rows import RevisionRows
from service.store.task_rows import TaskRows

if TYPE_CHECKING:
    from sqlalchemy import Connection


class Unit:
    """The rows as one transaction sees them.

    Attributes
    ----------
    look_version
        Version of the code that looks at photos.
    """

    def __init__(self, connection: Connection, look_version: int) -> None:
        self.look_version = look_version
        self.jobs = JobRows(connection)
        self.photos = PhotoRows(connection, look_version)
        self.events = EventRows(connection)
        self.tasks = TaskRows(connection)
        self.revisions = RevisionRows(connection)
        self.kept = KeptRows(connection)
        self.lens = LensRows(connection, look_version)

    def bytes_needed(self) -> set[str]:
        """Hashes of all bytes that a fact, or a task still to do, refers to."""
        return self.photos.blobs() | self.tasks.subjects()


class Store(Protocol):
    """Where everything but the photos' bytes is kept."""

    def read(self) -> AbstractContextManager[Unit]:
        """One view of everything at one moment; nothing can be written in it."""
        ...

    def write(self) -> AbstractContextManager[Unit]:
        """A transaction that is kept at its end, or dropped whole if an error leaves it.

        Writers wait for one another from its beginning, so what is read in it stays true.
        """
        ...

    def close(self) -> None:
        """Let go of the database."""
        ...
