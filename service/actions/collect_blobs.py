"""Bytes that no fact refers to are thrown away, once nothing has needed them for a time.

What is deleted is deleted inside a writer's transaction, after looking once more for a fact that
refers to it; and whoever writes such a fact looks, in its own transaction, whether the bytes are
there, and puts them again if not. Writers wait for one another, so no fact is ever left without
its bytes, whenever either of them is ended.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Final

from service.blobs import Blobs
from service.store.unit import Store

MOST_AT_ONCE: Final = 50
"""So many are deleted in one transaction: others wait no longer than that takes."""
_LOOK_EVERY_S: Final = 6 * 3600.0
UNFINISHED_S: Final = 24 * 3600.0
"""Nothing takes so long to be written: a half written file of this age has lost its process."""


class SpareBytes:
    """Finds and deletes bytes that are of no use any more, now and then.

    Parameters
    ----------
    kept_s
        How long they are kept after they were first found to be needed by nothing.
    clock
        Seconds of the epoch.
    """

    def __init__(
        self,
        store: Store,
        blobs: Blobs,
        kept_s: float,
        clock: Callable[[], float] = time.time,
    ) -> None:
        self._store = store
        self._blobs = blobs
        self._kept_s = kept_s
        self._clock = clock
        self._next_s = 0.0

    def collect_now_and_then(self) -> int:
        """Collect if the last time is long enough ago; how many were deleted."""
        if self._clock() < self._next_s:
            return 0
        self._next_s = self._clock() + min(self._kept_s, _LOOK_EVERY_S)
        return self.collect()

    def collect(self) -> int:
        """Delete what nothing has needed for the time that it is kept; how many."""
        now = self._clock()
        with self._store.read() as unit:
            needed = unit.bytes_needed()
        old = []
        for sha256 in self._blobs.each():
            if sha256 in needed:
                self._blobs.need(sha256)
            elif self._blobs.doubt(sha256, now) <= now - self._kept_s:
                old.append(sha256)
        self._blobs.drop_unfinished(now - max(self._kept_s, UNFINISHED_S))
        batches = range(0, len(old), MOST_AT_ONCE)
        return sum(self._delete(old[at : at + MOST_AT_ONCE]) for at in batches)

    def _delete(self, old: Sequence[str]) -> int:
        with self._store.write() as unit:
            spare = set(old) - unit.bytes_needed()
            for sha256 in spare:
                self._blobs.forget(sha256)
        return len(spare)
