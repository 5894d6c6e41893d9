"""The schema: from nothing to the newest, the same as the tables, and never over a newer one."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from service.errors import FileError
from service.store.engine import WRITES, open_engine
from service.store.migrations import NEWEST, upgrade
from service.store.tables import metadata

VERSIONS = Path(upgrade.__code__.co_filename).parent


@pytest.fixture
def database(tmp_path: Path) -> Path:
    """A database made from nothing."""
    path = tmp_path / "new.sqlite3"
    upgrade(path)
    return path


def test_migrations_make_the_tables(database: Path) -> None:
    """The migrations lead to just the tables that the program works with."""
    engine = open_engine(database)
    with engine.connect() as connection:
        found = compare_metadata(MigrationContext.configure(connection), metadata)
    engine.dispose()

    assert found == []


def test_the_newest_is_the_last(database: Path) -> None:
    """The number that is upgraded to is that of the last migration, and no two follow on one."""
    script = ScriptDirectory(str(VERSIONS))
    engine = open_engine(database)
    with engine.connect() as connection:
        current = MigrationContext.configure(connection).get_current_revision()
    engine.dispose()

    assert script.get_heads() == [NEWEST] == [current]


def test_every_constraint_has_a_name(database: Path) -> None:
    """A constraint without a name could not be dropped by a later migration."""
    unnamed = [
        f"{table.name}: {constraint}"
        for table in metadata.tables.values()
        for constraint in table.constraints
        if not constraint.name
    ]
    with closing(sqlite3.connect(database)) as file:
        rows = file.execute("SELECT sql FROM sqlite_master WHERE type = 'table'").fetchall()
    foreign = [sql for (sql,) in rows if sql and "REFERENCES" in sql]

    assert unnamed == []
    assert foreign
    assert all(sql.count("REFERENCES") == sql.count("CONSTRAINT fk_") for sql in foreign)


def test_upgrading_again_changes_nothing(database: Path) -> None:
    """A database that is up to date is left alone, and no copy is made of it."""
    before = database.read_bytes()

    upgrade(database)

    assert database.read_bytes() == before
    assert [path.name for path in database.parent.glob("*.before-*")] == []


def test_jobs_of_the_first_schema_are_given_room_for_looks(database: Path) -> None:
    """A job that knows neither looks nor overrides gets them, empty; what it holds stays, and a
    copy of the database lies beside it."""
    old: dict[str, object] = {
        "print_jobs": {"A": []},
        "plan": None,
        "releases": {"back": {"state": "released"}},
    }
    with closing(sqlite3.connect(database)) as file:
        for table in ("revisions", "card_photos", "lens_profiles"):
            file.execute(f"DROP TABLE {table}")
        file.execute("UPDATE alembic_version SET version_num = '0001'")
        values = ("j", "Hall", "left", "in", "over tile", "", 0, 0, 1, "t", "t", json.dumps(old))
        file.execute(f"INSERT INTO jobs VALUES ({', '.join('?' * len(values))})", values)
        file.commit()

    upgrade(database)

    with closing(sqlite3.connect(database)) as file:
        (text,) = file.execute("SELECT document FROM jobs").fetchone()
    sheets: dict[str, dict[str, object]] = {"plumbing": {}, "back": {}, "far-end": {}}
    assert json.loads(text) == {**old, "looks": sheets, "overrides": sheets}
    assert len(list(database.parent.glob("*.before-*"))) == 1


def test_revisions_of_an_older_schema_are_kept_without_evidence(database: Path) -> None:
    """What photos and tape said when a sheet was locked is unknown of one that was locked before it
    was kept; the revision stays, and is still never changed."""
    with closing(sqlite3.connect(database)) as file:
        values = ("j", "Hall", "left", "in", "over tile", "", 0, 0, 1, "t", "t", "{}")
        file.execute(f"INSERT INTO jobs VALUES ({', '.join('?' * len(values))})", values)
        file.execute("ALTER TABLE revisions DROP COLUMN evidence")
        row = ("j", "back", 0, "A", "0" * 64, "R. Fitter", "t", "{}", "{}")
        file.execute(f"INSERT INTO revisions VALUES ({', '.join('?' * len(row))})", row)
        file.execute("UPDATE alembic_version SET version_num = '0003'")
        file.commit()

    upgrade(database)

    with closing(sqlite3.connect(database)) as file:
        assert file.execute("SELECT * FROM revisions").fetchall() == [(*row, None)]
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            file.execute("UPDATE revisions SET evidence = '{}'")


def test_a_newer_database_is_left_alone(database: Path) -> None:
    """A database of a newer version is refused by name and not touched."""
    with closing(sqlite3.connect(database)) as file:
        file.execute("UPDATE alembic_version SET version_num = '9999'")
        file.commit()

    with pytest.raises(FileError, match="newer version"):
        upgrade(database)


def test_writers_hold_what_sqlite_needs(database: Path) -> None:
    """Every connection syncs each commit, keeps foreign keys, and waits for others."""
    engine = open_engine(database)
    with engine.connect() as connection:
        pragmas = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "recursive_triggers")
        }
        waits = connection.exec_driver_sql("PRAGMA busy_timeout").scalar()
    engine.dispose()

    assert pragmas == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "recursive_triggers": 1,
    }
    assert waits == 10_000


def test_a_writer_shuts_other_writers_out_from_the_start(database: Path) -> None:
    """A writer's transaction holds the lock before it has read anything."""
    engine = open_engine(database)
    with (
        engine.execution_options(**{WRITES: True}).begin(),
        closing(sqlite3.connect(database, timeout=0)) as other,
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("BEGIN IMMEDIATE")
    engine.dispose()
