"""Tasks are done once, and bytes are kept whole, whatever ends in between."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.actions.look_at_photo import crashed, note_look
from service.blobs.local import LocalBlobs, LocalUploads
from service.store.engine import open_engine
from service.store.migrations import upgrade
from service.store.rows import Acting, TaskRow
from service.store.sql_store import SqlStore

ACTING = Acting("A", "2026-01-01T00:00:00Z")
PHOTO = "ab" * 32


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqlStore]:
    """A store with one task in it."""
    upgrade(tmp_path / "tasks.sqlite3")
    found = SqlStore(open_engine(tmp_path / "tasks.sqlite3"), look_version=1)
    with found.write() as unit:
        unit.tasks.add("look", PHOTO, 1)
        unit.tasks.add("look", PHOTO, 1)
    yield found
    found.close()


def claim(store: SqlStore, now_s: float) -> TaskRow | None:
    with store.write() as unit:
        return unit.tasks.claim(now_s, lease_s=60.0)


def test_a_task_asked_for_twice_is_one(store: SqlStore) -> None:
    """The same task is in the queue once, and one worker at a time holds it."""
    assert claim(store, 0.0) is not None
    assert claim(store, 1.0) is None


def test_a_lease_that_ended_is_taken_over(store: SqlStore) -> None:
    """A task whose worker was lost goes to another, with another token."""
    first, second = claim(store, 0.0), claim(store, 61.0)

    assert first is not None
    assert second is not None
    assert (second.attempts, second.token) == (2, first.token + 1)


def test_a_task_that_was_cut_off_keeps_no_other_waiting(store: SqlStore) -> None:
    """What was tried least comes first, so a photo during which the service was ended waits."""
    claim(store, 0.0)
    with store.write() as unit:
        unit.tasks.free_all()
        unit.tasks.add("look", "cd" * 32, 1)

    first, second = claim(store, 1.0), claim(store, 1.0)

    assert [task.subject for task in (first, second) if task] == ["cd" * 32, PHOTO]


def test_only_the_holder_writes_a_result(store: SqlStore) -> None:
    """A worker that lost its task while it worked writes nothing; the one that holds it does."""
    first, second = claim(store, 0.0), claim(store, 61.0)
    assert first is not None
    assert second is not None

    written = []
    for task in (first, second, second):
        with store.write() as unit:
            written.append(note_look(unit, ACTING, task, crashed("x"), None))

    assert written == [False, True, False]
    with store.read() as unit:
        assert unit.tasks.count() == 0
        assert unit.photos.has_look(PHOTO)


def test_after_a_start_every_task_is_free(store: SqlStore) -> None:
    """What the last run held is given back, and its tokens count no more."""
    held = claim(store, 0.0)
    assert held is not None
    with store.write() as unit:
        assert unit.tasks.free_all() == 1
        assert not unit.tasks.finish(held)

    assert claim(store, 1.0) is not None


def test_bytes_are_kept_by_their_hash(tmp_path: Path) -> None:
    """Bytes are found under their SHA-256, once, and cannot be written over."""
    blobs = LocalBlobs(tmp_path)

    first, again = blobs.put([b"ab", b"c"]), blobs.put([b"abc"])

    assert first == again
    assert first.sha256 == hashlib.sha256(b"abc").hexdigest()
    assert blobs.read(first.sha256) == b"abc"
    with blobs.as_file(first.sha256) as path:
        assert not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    assert len([path for path in tmp_path.rglob("*") if path.is_file()]) == 1


def test_bytes_that_break_off_leave_nothing(tmp_path: Path) -> None:
    """A sender that fails half way leaves no blob and no half file."""
    blobs = LocalBlobs(tmp_path)

    def broken() -> Iterator[bytes]:
        yield b"ab"
        raise OSError("the line broke")

    with pytest.raises(OSError, match="the line broke"):
        blobs.put(broken())

    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_bytes_that_are_not_there_say_so(tmp_path: Path) -> None:
    """Neither reading nor opening makes up what is not kept."""
    blobs = LocalBlobs(tmp_path)

    with pytest.raises(KeyError):
        blobs.read("0" * 64)
    with pytest.raises(KeyError), blobs.as_file("0" * 64):
        pass


def test_bytes_and_their_names_are_synced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is synced before it gets its name, and the folder after it."""
    steps: list[str] = []
    real_sync, real_rename = os.fsync, os.rename

    def sync(handle: int) -> None:
        steps.append("sync")
        real_sync(handle)

    def name(source: str, target: str) -> None:
        steps.append("name")
        real_rename(source, target)

    monkeypatch.setattr("os.fsync", sync)
    monkeypatch.setattr("os.rename", name)

    LocalBlobs(tmp_path).put([b"abc"])

    at = steps.index("name")
    assert "sync" in steps[:at]
    assert "sync" in steps[at:]


def test_old_uploads_are_forgotten(tmp_path: Path) -> None:
    """Parts that nobody came back for go, others stay."""
    uploads = LocalUploads(tmp_path)
    uploads.put("old", 0, b"a")

    assert uploads.drop_older(0.0) == 0
    assert uploads.drop_older(4e9) == 1
    assert uploads.parts("old") == {}
