"""The store on a SQL engine."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy.exc import OperationalError

from service.errors import ServiceError
from service.store.engine import BUSY_S, WRITES
from service.store.unit import Unit

if TYPE_CHECKING:
    from sqlalchemy import Engine


class SqlStore:
    """A `Store` on an engine whose schema is up to date."""

    def __init__(self, engine: Engine, look_version: int) -> None:
        self._engine = engine
        self._writer = engine.execution_options(**{WRITES: True})
        self._look_version = look_version

    @contextmanager
    def read(self) -> Iterator[Unit]:
        """A reader's transaction."""
        with self._engine.connect() as connection:
            yield Unit(connection, self._look_version)
            connection.rollback()

    @contextmanager
    def write(self) -> Iterator[Unit]:
        """A writer's transaction, committed at its end.

        Raises
        ------
        ServiceError
            ``busy``, if other writers held the database for too long.
        """
        try:
            with self._writer.begin() as connection:
                yield Unit(connection, self._look_version)
        except OperationalError as error:
            if "locked" not in str(error):
                raise
            raise ServiceError(
                "busy", f"Others wrote for more than {BUSY_S} s.", do="Try again."
            ) from error

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()
