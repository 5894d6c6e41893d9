"""A process of its own for photos, with limits on memory, processor time and time.

Fresh interpreters (spawn), never copies of this one: a copy would hold its threads' locks.
A photo that ends the process ends nothing else; the next photo gets a new one.
"""

from __future__ import annotations

import json
import logging
import os
import resource
from collections.abc import Callable, Mapping
from concurrent.futures import CancelledError
from concurrent.futures import TimeoutError as TooLong
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from threading import Event, Lock
from typing import Any, Final

from pebble import ProcessExpired, ProcessPool

from service.jobs.protocol import Outcome

_log = logging.getLogger(__name__)
_LARGEST_FILE: Final = 512 * 1024 * 1024
_LOOK_UP_S: Final = 0.2
_TASKS_A_PROCESS: Final = 50
_STOPPED: Final = Outcome(None, "stopped")


@dataclass(frozen=True)
class Limits:
    """What one photo may cost."""

    memory_bytes: int
    cpu_s: int
    wall_s: int


class LimitedProcess:
    """`PhotoWork` and `PhotoQuestions` in one child process, started at the first photo.

    Parameters
    ----------
    work
        Importable function of a photo's path, and of where its pictures go or what is asked of
        it, that returns JSON text.
    tasks
        How many the process does before a fresh one takes over.
    """

    def __init__(
        self, work: Callable[..., str], limits: Limits, tasks: int = _TASKS_A_PROCESS
    ) -> None:
        self._work = work
        self._limits = limits
        self._tasks = tasks
        self._pool: Any = None
        self._starting = Lock()
        self._ended = Event()

    def look(self, photo: Path, pictures: Path) -> Outcome:
        """Look at one photo within the limits."""
        return self._run(photo, pictures)

    def ask(self, photo: Path, question: Mapping[str, Any]) -> Outcome:
        """Answer one question about a photo within the limits."""
        return self._run(photo, json.dumps(question, allow_nan=False))

    def _run(self, *given: Path | str) -> Outcome:
        try:
            future = self._started().schedule(
                _within, args=(self._work, given, self._limits), timeout=self._limits.wall_s
            )
            error = self._awaited(future)
        except (CancelledError, RuntimeError):
            if not self._ended.is_set():
                raise
            return _STOPPED
        if error is None:
            return Outcome(json.loads(future.result()))
        return Outcome(None, self._reason(error))

    def _started(self) -> Any:
        """The pool, made by the first who asks; questions come from several threads."""
        with self._starting:
            if self._ended.is_set():
                raise CancelledError
            if self._pool is None:
                self._pool = ProcessPool(
                    max_workers=1,
                    max_tasks=self._tasks,
                    initializer=_limit,
                    initargs=(self._limits, self._tasks),
                    context=get_context("spawn"),
                )
            return self._pool

    def _awaited(self, future: Any) -> BaseException | None:
        """The work's error, None if it has none; looks up now and then whether to stop."""
        while not self._ended.is_set():
            with suppress(TooLong):  # here: not done yet; the work's own is returned, not raised
                error: BaseException | None = future.exception(timeout=_LOOK_UP_S)
                return error
        raise CancelledError

    def close(self) -> None:
        """End the process at once; a photo at hand gets no outcome."""
        with self._starting:
            self._ended.set()
        if self._pool is not None:
            self._pool.stop()
            self._pool.join()

    def _reason(self, error: BaseException) -> str:
        if isinstance(error, TooLong):
            return f"more than {self._limits.wall_s} s"
        if isinstance(error, MemoryError):
            return f"more than {self._limits.memory_bytes // 2**20} MiB of memory"
        if isinstance(error, ProcessExpired):
            return f"the process ended with {error.exitcode}"
        _log.error("a photo failed in the limited process: %r", error)
        return type(error).__name__


def _limit(limits: Limits, tasks: int) -> None:
    """Run in the child before anything else: what it may cost as long as it lives."""
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    resource.setrlimit(resource.RLIMIT_AS, (limits.memory_bytes, limits.memory_bytes))
    most_cpu = limits.cpu_s * tasks
    resource.setrlimit(resource.RLIMIT_CPU, (most_cpu, most_cpu))
    resource.setrlimit(resource.RLIMIT_FSIZE, (_LARGEST_FILE, _LARGEST_FILE))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _within(work: Callable[..., str], given: tuple[Path | str, ...], limits: Limits) -> str:
    """Run in the child: one task, with its share of processor time."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    soft = int(used.ru_utime + used.ru_stime) + limits.cpu_s + 1
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (min(soft, hard), hard))
    return work(*given)
