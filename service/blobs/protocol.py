"""What a place for bytes must do, whatever stands behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol


@dataclass(frozen=True)
class StoredBlob:
    """Bytes that are kept, by their SHA-256 in hex."""

    sha256: str
    bytes: int


class Blobs(Protocol):
    """Bytes by their own hash: once written they never change."""

    def put(self, chunks: Iterable[bytes]) -> StoredBlob:
        """Keep the bytes; on return they outlive a power cut."""
        ...

    def read(self, sha256: str) -> bytes:
        """The bytes.

        Raises
        ------
        KeyError
            If they are not kept here.
        """
        ...

    def as_file(self, sha256: str) -> AbstractContextManager[Path]:
        """The bytes as a file to read from, for as long as the context lasts; errors as `read`."""
        ...

    def has(self, sha256: str) -> bool:
        """Whether the bytes are kept here."""
        ...

    def each(self) -> Iterator[str]:
        """The hashes of all that is kept here."""
        ...

    def doubt(self, sha256: str, now_s: float) -> float:
        """Note that nothing seems to need these bytes; since when that is so (epoch)."""
        ...

    def need(self, sha256: str) -> None:
        """Note that something needs them."""
        ...

    def forget(self, sha256: str) -> None:
        """Delete the bytes; nothing happens if they are not here."""
        ...

    def drop_unfinished(self, than_s: float) -> int:
        """Delete what was half written when a process was ended before a time (epoch)."""
        ...


class Uploads(Protocol):
    """Parts of files on their way; a part is whole or not there."""

    def put(self, upload: str, part: int, data: bytes) -> bool:
        """Keep a part; True if it is there now with these bytes, False if with other ones."""
        ...

    def parts(self, upload: str) -> dict[int, StoredBlob]:
        """The parts that are here, by number."""
        ...

    def read(self, upload: str, part: int) -> bytes:
        """One part.

        Raises
        ------
        KeyError
            If it is not here.
        """
        ...

    def drop(self, upload: str) -> None:
        """Forget an upload; nothing happens if there is none."""
        ...

    def drop_older(self, than_s: float) -> int:
        """Forget uploads that nothing was added to since a time (seconds of the epoch)."""
        ...
