"""Bringing a database up to date, with a copy of it beside it before anything is changed."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Final

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from service.errors import FileError
from service.store.engine import WRITES, open_engine

if TYPE_CHECKING:
    from sqlalchemy import Engine

NEWEST: Final = "0004"


def upgrade(path: Path) -> None:
    """Bring the database file up to date, made if it is missing.

    Raises
    ------
    FileError
        If it was written by a newer version of this program.
    """
    engine = open_engine(path)
    try:
        found = _revision(engine)
        if found == NEWEST:
            return
        if found is not None:
            _refuse_unknown(path, found)
            _copy(path, path.with_name(f"{path.name}.before-{NEWEST}"))
        config = _config()
        with engine.connect() as connection:
            # Altering a table on SQLite drops and remakes it; with foreign keys on, that deletes
            # every row that points at it. The pragma does nothing inside a transaction.
            raw = connection.connection.driver_connection
            if raw is None:
                raise FileError(str(path), "", "the database could not be opened")
            raw.execute("PRAGMA foreign_keys=OFF")
            config.attributes["connection"] = connection.execution_options(**{WRITES: True})
            command.upgrade(config, NEWEST)
            connection.commit()
            _check_keys(path, raw)
            raw.execute("PRAGMA foreign_keys=ON")
    finally:
        engine.dispose()


def _revision(engine: Engine) -> str | None:
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def _refuse_unknown(path: Path, found: str) -> None:
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    if found not in known:
        raise FileError(
            str(path),
            "",
            f"was written by a newer version of this program (schema {found}, this one knows "
            f"{NEWEST}); use that version",
        )


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent).replace("%", "%%"))
    return config


def _copy(path: Path, target: Path) -> None:
    """A whole copy, taken through the database: the file alone lacks what is in its log."""
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(target)) as copy:
        source.backup(copy)


def _check_keys(path: Path, raw: sqlite3.Connection) -> None:
    lost = raw.execute("PRAGMA foreign_key_check").fetchall()
    if lost:
        expected = f"after the upgrade {len(lost)} rows point at rows that are not there"
        raise FileError(str(path), "", f"{expected}; the copy beside it is whole")
