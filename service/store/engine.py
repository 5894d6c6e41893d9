"""The SQLite engine, with the transactions that SQLite needs.

Left alone, the driver begins a transaction at the first write, on data that was read before it:
two writers then lose updates without an error. So every transaction is begun here: BEGIN IMMEDIATE
for writers, who wait for one another from the start, plain BEGIN for readers, who wait for nobody.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import URL, create_engine, event

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

BUSY_S: Final = 10
WRITES: Final = "tapeproof_writes"
"""Execution option that marks a connection as a writer's."""
_PRAGMAS: Final = (
    "journal_mode=WAL",
    "synchronous=FULL",  # an acknowledged fact outlives a power cut
    f"busy_timeout={BUSY_S * 1000}",
    "foreign_keys=ON",
    "recursive_triggers=ON",  # else INSERT OR REPLACE slips past the append-only triggers
)


def open_engine(path: Path) -> Engine:
    """An engine on the SQLite file, made if it is missing; its folder must be there."""
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        connect_args={"timeout": BUSY_S, "check_same_thread": False},
        pool_size=8,
        max_overflow=40,
    )
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself
    for pragma in _PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
