"""A process of its own for photos, with limits on memory, processor time and time.

Fresh interpreters (spawn), never copies of this one: a copy would hold its threads' locks.
A photo that ends the process ends nothing else; the next photo gets a new one.
"""

from __future__ import annotations

import json
import os
import resource
from collections.abc import Callable
from concurrent.futures import TimeoutError as TooLong
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Final

from pebble import ProcessExpired, ProcessPool

from service.jobs.protocol import Outcome

_LARGEST_FILE: Final = 512 * 1024 * 1024
_TASKS_A_PROCESS: Final = 50


@dataclass(frozen=True)
class Limits:
    """What one photo may cost."""

    memory_bytes: int
    cpu_s: int
    wall_s: int


class LimitedProcess:
    """`PhotoWork` in one child process, started at the first photo.

    Parameters
    ----------
    work
        Importable function of the photo's and the pictures' paths that returns JSON text.
    """

    def __init__(self, work: Callable[[Path, Path], str], limits: Limits) -> None:
        self._work = work
        self._limits = limits
        self._pool: Any = None

    def look(self, photo: Path, pictures: Path) -> Outcome:
        """Run the work on one photo within the limits."""
        if self._pool is None:
            self._pool = ProcessPool(
                max_workers=1,
                max_tasks=_TASKS_A_PROCESS,
                initializer=_limit,
                initargs=(self._limits,),
                context=get_context("spawn"),
            )
        future = self._pool.schedule(
            _within, args=(self._work, photo, pictures, self._limits), timeout=self._limits.wall_s
        )
        try:
            return Outcome(json.loads(future.result()))
        except TooLong:
            return Outcome(None, f"more than {self._limits.wall_s} s")
        except MemoryError:
            return Outcome(None, f"more than {self._limits.memory_bytes // 2**20} MiB of memory")
        except ProcessExpired as error:
            return Outcome(None, f"the process ended with {error.exitcode}")

    def close(self) -> None:
        """End the process at once."""
        if self._pool is not None:
            self._pool.stop()
            self._pool.join()
            self._pool = None


def _limit(limits: Limits) -> None:
    """Run in the child before anything else: what it may cost as long as it lives."""
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    resource.setrlimit(resource.RLIMIT_AS, (limits.memory_bytes, limits.memory_bytes))
    most_cpu = limits.cpu_s * _TASKS_A_PROCESS
    resource.setrlimit(resource.RLIMIT_CPU, (most_cpu, most_cpu))
    resource.setrlimit(resource.RLIMIT_FSIZE, (_LARGEST_FILE, _LARGEST_FILE))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _within(work: Callable[[Path, Path], str], photo: Path, pictures: Path, limits: Limits) -> str:
    """Run in the child: one photo, with its share of processor time."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    soft = int(used.ru_utime + used.ru_stime) + limits.cpu_s + 1
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (min(soft, hard), hard))
    return work(photo, pictures)
