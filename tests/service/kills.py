"""A person at work on a service that is killed again and again, and what must be there after it.

The person sends photos in parts, sets marks and takes readings, each under an idempotency key, and
notes what was acknowledged. Whatever gets no answer is sent again, with the same key, as a phone
does that lost its line.
"""

from __future__ import annotations

import hashlib
import sqlite3
import threading
import time
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx2
import numpy as np

from service.blobs.local import LocalBlobs
from service.store.engine import open_engine
from service.store.sql_store import SqlStore
from tests.service.process import ServedProcess, asked
from tests.service.running import content_digest, plain_jpeg

PART = 8 * 1024
WAITS_S = 120.0
SIZES = ("width 0", "width 16", "width 40", "width 64")


@dataclass
class Acknowledged:
    """What the service said it has."""

    photos: dict[str, bytes] = field(default_factory=dict)
    marks: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    readings: dict[str, str] = field(default_factory=dict)
    repeats: int = 0


class Worker(threading.Thread):
    """The person, on whichever process serves the folder at the moment."""

    def __init__(self, seed: int) -> None:
        super().__init__(daemon=True)
        self.acknowledged = Acknowledged()
        self.served: ServedProcess | None = None
        self.ended = threading.Event()
        self.fault: str | None = None
        self.answers = 0
        self._random = np.random.default_rng(seed)
        self._count = 0

    def run(self) -> None:
        """Work until told to end; what is begun is finished."""
        wall = self._new_wall()
        while not self.ended.is_set() and self.fault is None:
            photo = self._send_photo(wall)
            for name in ("left 16", "right 16", "deck 0"):
                self._set_mark(photo, name)
            self._take_reading(wall)

    def wait_for_answers(self, more: int) -> None:
        """Wait until so many more requests have been answered."""
        wanted, end = self.answers + more, time.monotonic() + WAITS_S
        while self.answers < wanted and self.fault is None:
            assert time.monotonic() < end, "the service does not answer"
            time.sleep(0.001)

    def _new_wall(self) -> str:
        job = self._ask("POST", "/api/jobs", json={"name": "A", "plumbing_side": "left"})
        return str(job.json()["walls"][1]["id"])

    def _send_photo(self, wall: str) -> str:
        self._count += 1
        photo, data = f"photo-{self._count}", plain_jpeg(320, 240, seed=self._count)
        parts = [data[at : at + PART] for at in range(0, len(data), PART)]
        for number, part in enumerate(parts):
            headers = {
                "Content-Type": "application/octet-stream",
                "Content-Digest": content_digest(part),
            }
            path = f"/api/uploads/{photo}/parts/{number}"
            self._ask("PUT", path, content=part, headers=headers)
        body = {
            "wall": wall,
            "filename": f"{photo}.jpg",
            "parts": len(parts),
            "sha256": hashlib.sha256(data).hexdigest(),
        }
        self._ask("POST", f"/api/uploads/{photo}/complete", json=body)
        self.acknowledged.photos[photo] = data
        return photo

    def _set_mark(self, photo: str, name: str) -> None:
        at = [float(value) for value in self._random.uniform(0, 200, 2)]
        path = f"/api/photos/{photo}/marks/{name}"
        self._ask("PUT", path, json={"at": at}, headers={"If-Match": "*"})
        self.acknowledged.marks[photo, name] = at

    def _take_reading(self, wall: str) -> None:
        self._count += 1
        body = {
            "id": f"r{self._count}",
            "dimension": SIZES[self._count % len(SIZES)],
            "value": f"58 {int(self._random.integers(1, 16))}/16",
        }
        self._ask("POST", f"/api/walls/{wall}/readings", json=body)
        self.acknowledged.readings[body["id"]] = body["value"]

    def _ask(self, method: str, path: str, **more: Any) -> httpx2.Response:
        """The answer, asked for under one key until there is one."""
        headers = {**more.pop("headers", {}), "Idempotency-Key": f"key-{time.monotonic_ns()}"}
        while True:
            served = self.served
            if served is not None:
                with httpx2.Client(base_url=served.address, timeout=30) as client:
                    answer = asked(client, method, path, headers=headers, **more)
                if answer is not None:
                    if not answer.is_success:
                        self.fault = f"{method} {path}: {answer.status_code} {answer.text}"
                        raise AssertionError(self.fault)
                    self.answers += 1
                    return answer
                self.acknowledged.repeats += 1
            time.sleep(0.02)


def work_and_kill(folder: Path, kills: int, seed: int) -> Acknowledged:
    """Let a person work while the service is killed so many times.

    Each time a few answers after its start and a few milliseconds more, both by chance, so that it
    is cut off at any point of its work however slow the machine is.
    """
    moments = np.random.default_rng(seed)
    worker = Worker(seed)
    worker.start()
    for _ in range(kills):
        worker.served = served = ServedProcess(folder)
        worker.wait_for_answers(int(moments.integers(1, 9)))
        time.sleep(float(moments.uniform(0.0, 0.04)))
        worker.served = None
        served.kill()
    with ServedProcess(folder) as served:
        worker.served = served
        worker.wait_for_answers(20)
        worker.ended.set()
        worker.join(timeout=WAITS_S)
    assert worker.fault is None, worker.fault
    assert not worker.is_alive(), "the person could not finish"
    return worker.acknowledged


def lost(folder: Path, acknowledged: Acknowledged) -> list[str]:
    """What was acknowledged and is not there, or not as it was; and what is not whole."""
    path = folder / "tapeproof.sqlite3"
    with closing(sqlite3.connect(path)) as file:
        found = [f"database: {row[0]}" for row in file.execute("PRAGMA integrity_check")]
        found = [row for row in found if row != "database: ok"]
        found += [f"foreign key: {row}" for row in file.execute("PRAGMA foreign_key_check")]
    store, blobs = SqlStore(open_engine(path), look_version=1), LocalBlobs(folder / "blobs")
    with store.read() as unit:
        job = unit.jobs.all()[0]
        facts = unit.jobs.walls(job.id)[1].facts
        photos = unit.photos.of_wall(unit.jobs.walls(job.id)[1].id)
        if (broken := unit.events.first_broken()) is not None:
            found.append(f"history broken at {broken}")
        if len(unit.jobs.all()) != 1:
            found.append("a job was started twice")
    store.close()
    for photo, data in acknowledged.photos.items():
        if photo not in facts["photos"] or blobs.read(photos[photo].sha256) != data:
            found.append(f"photo {photo}")
    for (photo, name), at in acknowledged.marks.items():
        if facts["photos"][photo]["marks"].get(name, {}).get("at") != at:
            found.append(f"mark {name} in {photo}")
    for reading, value in acknowledged.readings.items():
        if facts["readings"].get(reading, {}).get("value") != value:
            found.append(f"reading {reading}")
    return found + torn_files(folder / "blobs")


def torn_files(blobs: Path) -> list[str]:
    """Files whose bytes are not those of their name."""
    return [
        f"file {path.name}"
        for path in blobs.glob("*/*")
        if hashlib.sha256(path.read_bytes()).hexdigest() != path.name
    ]
