"""Bytes that nothing refers to go after their time; bytes that something needs never do."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.actions.collect_blobs import UNFINISHED_S, SpareBytes
from service.actions.receive_photo import assemble
from service.blobs.local import LocalBlobs, LocalUploads
from service.files.api.asked import UploadDone
from service.store.engine import open_engine
from service.store.migrations import upgrade
from service.store.sql_store import SqlStore
from tests.service.running import new_job, plain_jpeg, send_photo, service_on, wall_of

KEPT_S = 100.0


class Clock:
    """A clock that is put forward by hand."""

    now_s = 1_000_000.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def store(tmp_path: Path) -> Iterator[SqlStore]:
    """An empty store."""
    upgrade(tmp_path / "store.sqlite3")
    found = SqlStore(open_engine(tmp_path / "store.sqlite3"), look_version=1)
    yield found
    found.close()


@pytest.fixture
def blobs(tmp_path: Path) -> LocalBlobs:
    return LocalBlobs(tmp_path / "blobs")


def test_spare_bytes_go_after_their_time(store: SqlStore, blobs: LocalBlobs) -> None:
    """Bytes that nothing refers to are kept for the time from when that was first seen, whatever
    their own age, then deleted; a restart forgets nothing of it."""
    clock = Clock()
    spare = blobs.put([b"spare"]).sha256
    collected = []
    for wait_s in (0.0, KEPT_S - 1, 1.0):
        clock.now_s += wait_s
        collected.append(SpareBytes(store, blobs, KEPT_S, clock).collect())

    assert collected == [0, 0, 1]
    assert not blobs.has(spare)
    assert list(blobs.each()) == []


def test_needed_bytes_stay(store: SqlStore, blobs: LocalBlobs) -> None:
    """Bytes of a task still to do stay, and after they were needed for a while their time begins
    anew."""
    clock = Clock()
    spare_bytes = SpareBytes(store, blobs, KEPT_S, clock)
    needed = blobs.put([b"needed"]).sha256
    spare_bytes.collect()
    with store.write() as unit:
        unit.tasks.add("look", needed, 1)
    clock.now_s += 2 * KEPT_S
    assert spare_bytes.collect() == 0
    with store.write() as unit:
        task = unit.tasks.claim(clock.now_s, 1.0)
        assert task is not None
        unit.tasks.finish(task)

    assert spare_bytes.collect() == 0
    clock.now_s += KEPT_S
    assert spare_bytes.collect() == 1


def test_half_written_files_go(store: SqlStore, blobs: LocalBlobs, tmp_path: Path) -> None:
    """What a killed process left half written is deleted after a day, never while it may still be
    written."""
    clock = Clock()
    left = tmp_path / "blobs" / ".left.part"
    left.write_bytes(b"half")
    clock.now_s = left.stat().st_mtime + UNFINISHED_S - 1
    SpareBytes(store, blobs, KEPT_S, clock).collect()
    assert left.exists()
    clock.now_s += 2
    SpareBytes(store, blobs, KEPT_S, clock).collect()
    assert not left.exists()


class CollectedWhenRead(LocalBlobs):
    """Spare bytes that are collected between being found and being read."""

    def read(self, sha256: str) -> bytes:
        self.forget(sha256)
        return super().read(sha256)


def test_bytes_collected_just_when_they_are_found_are_put_together_from_their_parts(
    tmp_path: Path,
) -> None:
    blobs, uploads = CollectedWhenRead(tmp_path / "blobs"), LocalUploads(tmp_path / "uploads")
    data = plain_jpeg(64, 48, seed=1)
    told = blobs.put([data])
    uploads.put("one", 0, data)
    announced = UploadDone(wall="w", filename="a.jpg", parts=1, sha256=told.sha256)

    assert assemble(blobs, uploads, "one", announced) == (told.sha256, len(data), "jpg")
    assert blobs.has(told.sha256)


def test_a_photo_sent_while_bytes_are_collected_is_whole(tmp_path: Path) -> None:
    """With bytes kept for no time at all and collected over and over, every photo that is sent,
    its bytes lying there unneeded already, is answered and comes back byte for byte."""
    with service_on(tmp_path / "data", spare_kept_s=0) as client:
        walls = [wall_of(client, new_job(client))["id"] for _ in range(2)]
        tools = client.app.state.tools  # type: ignore[attr-defined]
        spare, ended = SpareBytes(tools.store, tools.blobs, 0.0), threading.Event()

        def collect() -> int:
            gone = 0
            while not ended.wait(0.002):
                gone += spare.collect()
            return gone

        with ThreadPoolExecutor(3) as pool:
            collecting = pool.submit(collect)
            sent = [pool.submit(_send, client, wall, number) for number, wall in enumerate(walls)]
            try:
                photos = {photo: data for one in sent for photo, data in one.result(60).items()}
            finally:
                ended.set()

        assert collecting.result() > 0
        assert {
            photo: client.get(f"/api/photos/{photo}/original").content for photo in photos
        } == photos


def _send(client: TestClient, wall: str, sender: int) -> dict[str, bytes]:
    tools = client.app.state.tools  # type: ignore[attr-defined]
    photos = {}
    for number in range(6):
        photo, data = f"photo-{sender}-{number}", plain_jpeg(64, 48, seed=100 * sender + number)
        tools.blobs.put([data])  # lies there unneeded, to be collected at any moment
        answer = send_photo(client, wall, data, photo)
        assert answer.status_code == 201, answer.text
        photos[photo] = data
    return photos
