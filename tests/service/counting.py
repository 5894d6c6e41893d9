"""What racing processes run; it loads the store alone, so that they start at once."""

from __future__ import annotations

from pathlib import Path

from service.store.engine import open_engine
from service.store.rows import Acting
from service.store.sql_store import SqlStore

UPDATES = 400
ACTING = Acting("A", "2026-01-01T00:00:00Z")


def count_up(path: Path) -> None:
    """Read a number, and write the next one, again and again."""
    store = SqlStore(open_engine(path), look_version=1)
    for _ in range(UPDATES):
        with store.write() as unit:
            unit.jobs.put(unit.jobs.get("job"), ACTING.at)
    store.close()
