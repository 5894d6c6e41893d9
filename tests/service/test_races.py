"""Writers beside one another: no update is lost, in the database and through the service."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.store.engine import open_engine
from service.store.migrations import upgrade
from service.store.new_job import add_job
from service.store.sql_store import SqlStore
from tests.service.counting import ACTING, UPDATES, count_up
from tests.service.running import new_job

PROCESSES = 4


@pytest.fixture
def memory_folder(tmp_path: Path) -> Iterator[Path]:
    """A folder in memory, where there is one: locks are tried here, not the disk's patience."""
    shared = Path("/dev/shm")
    if not os.access(shared, os.W_OK):
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(dir=shared) as folder:
        yield Path(folder)


def test_no_update_is_lost(memory_folder: Path) -> None:
    """Four processes make 1,600 updates of one row, each of what it has read, and none is lost or
    refused."""
    path = memory_folder / "race.sqlite3"
    upgrade(path)
    store = SqlStore(open_engine(path), look_version=1)
    with store.write() as unit:
        add_job(
            unit, ACTING, job_id="job", name="A", plumbing_side="left", bare_unit=None, scope="s"
        )

    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        list(pool.map(count_up, [path] * PROCESSES))

    with store.read() as unit:
        assert unit.jobs.get("job").revision == 1 + PROCESSES * UPDATES
    store.close()


def test_changes_on_one_version_succeed_once(client: TestClient) -> None:
    """Of many changes that were made on the same version exactly one is taken."""
    job = new_job(client)

    def change(number: int) -> int:
        return int(
            client.patch(
                f"/api/jobs/{job['id']}", json={"name": f"N{number}"}, headers={"If-Match": '"1"'}
            ).status_code
        )

    with ThreadPoolExecutor(8) as pool:
        codes = sorted(pool.map(change, range(16)))

    assert codes == [200] + [412] * 15
    assert client.get(f"/api/jobs/{job['id']}").json()["revision"] == 2


def test_one_key_at_the_same_moment_is_one_job(client: TestClient) -> None:
    """The same request under one key, sent many times at once, starts one job."""
    body = {"name": "A", "plumbing_side": "left"}

    def start(_: int) -> str:
        answer = client.post("/api/jobs", json=body, headers={"Idempotency-Key": "same-key"})
        return str(answer.json()["id"])

    with ThreadPoolExecutor(8) as pool:
        ids = set(pool.map(start, range(16)))

    assert len(ids) == 1
