"""The worker inside the service: takes tasks from the store, one after another."""

from __future__ import annotations

import logging
import tempfile
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Any, Final

from service.actions.look_at_photo import PICTURES, crashed, note_look
from service.blobs import Blobs, Uploads
from service.errors import ServiceError
from service.jobs import Outcome, PhotoWork
from service.product import COMMAND
from service.store.rows import Acting, TaskRow
from service.store.unit import Store

_log = logging.getLogger(__name__)
LEASE_S: Final = 300.0
_IDLE_S: Final = 5.0
_KEYS_KEPT: Final = timedelta(days=30)
_UPLOADS_KEPT_S: Final = 7 * 24 * 3600.0
_READ: Final = 1024 * 1024


class Worker:
    """`Jobs` in a thread of this process; photos go to a limited process from here.

    Parameters
    ----------
    afterwards
        Called when nothing is left to do: what need not keep anybody waiting.
    scratch
        Folder for pictures on their way, on the disk of the blobs.
    """

    def __init__(
        self,
        store: Store,
        blobs: Blobs,
        uploads: Uploads,
        photos: PhotoWork,
        scratch: Path,
        afterwards: Callable[[Acting], None],
    ) -> None:
        self._store = store
        self._blobs = blobs
        self._uploads = uploads
        self._photos = photos
        self._scratch = scratch
        self._afterwards = afterwards
        self._awake = Event()
        self._ended = Event()
        self._thread: Thread | None = None

    def start(self) -> None:
        """Begin. No other worker of this data folder may be alive: its tasks are taken back."""
        self._scratch.mkdir(parents=True, exist_ok=True)
        with self._store.write() as unit:
            unit.tasks.free_all()
            unit.tasks.drop_other_versions("look", unit.look_version)
            for sha256 in unit.photos.not_looked_at():
                unit.tasks.add("look", sha256, unit.look_version)
            unit.kept.forget_answers(_text(datetime.now(UTC) - _KEYS_KEPT))
        self._uploads.drop_older(time.time() - _UPLOADS_KEPT_S)
        self._ended.clear()
        self._awake.set()
        self._thread = Thread(target=self._run, name="worker", daemon=True)
        self._thread.start()

    def wake(self) -> None:
        """Say that there may be a task."""
        self._awake.set()

    def stop(self) -> None:
        """End; a photo at hand is given up and looked at after the next start."""
        self._ended.set()
        self._awake.set()
        self._photos.close()
        if self._thread is not None:
            self._thread.join(timeout=10)

    def _run(self) -> None:
        while not self._ended.is_set():
            self._awake.wait(_IDLE_S)
            self._awake.clear()
            try:
                while not self._ended.is_set() and self._next():
                    pass
                self._afterwards(_acting())
            except (ServiceError, OSError) as error:  # busy, or the disk is full
                _log.warning("%s The worker tries again.", error)

    def _next(self) -> bool:
        """Do one task; False if there is none."""
        with self._store.write() as unit:
            task = unit.tasks.claim(time.time(), LEASE_S)
        if task is None:
            return False
        self._look(task)
        return True

    def _look(self, task: TaskRow) -> None:
        with tempfile.TemporaryDirectory(dir=self._scratch) as folder:
            pictures = Path(folder) / PICTURES
            try:
                with self._blobs.as_file(task.subject) as photo:
                    outcome = self._photos.look(photo.resolve(), pictures.resolve())
            except KeyError:
                outcome = Outcome(None, "its bytes are not there")
            if self._ended.is_set():
                with self._store.write() as unit:
                    unit.tasks.give_back(task)
                return
            found = crashed(outcome.ended) if outcome.found is None else outcome.found
            self._note(task, found, pictures)

    def _kept(self, pictures: Path) -> str | None:
        if not pictures.is_file():
            return None
        with pictures.open("rb") as stream:
            return self._blobs.put(iter(lambda: stream.read(_READ), b"")).sha256

    def _note(self, task: TaskRow, found: Mapping[str, Any], pictures: Path) -> None:
        kept = self._kept(pictures)
        with self._store.write() as unit:
            if kept is not None and not self._blobs.has(kept):
                self._kept(pictures)  # nothing needed them until now, so they were collected
            note_look(unit, _acting(), task, found, kept)


def _acting() -> Acting:
    return Acting(COMMAND, _text(datetime.now(UTC)))


def _text(moment: datetime) -> str:
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")
