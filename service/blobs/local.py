"""A local folder: written beside, synced, then named; the folder's own entry is synced too.

A file that is only written and renamed can be empty after a power cut, or its name gone.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from service.blobs.protocol import StoredBlob
from service.files.writing import sync_folder

_READ: Final = 1024 * 1024


class LocalBlobs:
    """`Blobs` in a folder, as ``ab/abcdef...``."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def put(self, chunks: Iterable[bytes]) -> StoredBlob:
        """Keep the bytes."""
        digest, size = hashlib.sha256(), 0
        handle, name = tempfile.mkstemp(dir=self._folder, prefix=".", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                for chunk in chunks:
                    digest.update(chunk)
                    size += len(chunk)
                    stream.write(chunk)
                stream.flush()
                os.fchmod(stream.fileno(), 0o444)
                os.fsync(stream.fileno())
            self._name(Path(name), digest.hexdigest())
        except BaseException:
            with suppress(FileNotFoundError):
                os.unlink(name)
            raise
        return StoredBlob(digest.hexdigest(), size)

    def read(self, sha256: str) -> bytes:
        """The bytes."""
        try:
            return self._path(sha256).read_bytes()
        except FileNotFoundError:
            raise KeyError(sha256) from None

    @contextmanager
    def as_file(self, sha256: str) -> Iterator[Path]:
        """The file itself; it is not to be changed."""
        path = self._path(sha256)
        if not path.is_file():
            raise KeyError(sha256)
        yield path

    def has(self, sha256: str) -> bool:
        """Whether the bytes are kept here."""
        return self._path(sha256).is_file()

    def each(self) -> Iterator[str]:
        """Every hash, folder by folder."""
        for folder in sorted(self._folder.glob("??")):
            yield from sorted(path.name for path in folder.iterdir())

    def doubt(self, sha256: str, now_s: float) -> float:
        """Since when the bytes are doubted: as old as the empty file that says so."""
        note = self._doubted(sha256)
        try:
            return note.stat().st_mtime
        except FileNotFoundError:
            note.parent.mkdir(exist_ok=True)
            note.touch()
            os.utime(note, (now_s, now_s))
            return now_s

    def need(self, sha256: str) -> None:
        """Take the doubt away."""
        self._doubted(sha256).unlink(missing_ok=True)

    def forget(self, sha256: str) -> None:
        """Delete the bytes, then the doubt."""
        path = self._path(sha256)
        path.unlink(missing_ok=True)
        if path.parent.is_dir():
            sync_folder(path.parent)
        self.need(sha256)

    def drop_unfinished(self, than_s: float) -> int:
        """Delete files that were being written when a process was ended."""
        parts = self._folder.glob(".*.part")
        old = [path for path in parts if _changed_s(path) < than_s]
        for path in old:
            path.unlink(missing_ok=True)
        return len(old)

    def _doubted(self, sha256: str) -> Path:
        return self._folder / "doubted" / sha256

    def _path(self, sha256: str) -> Path:
        return self._folder / sha256[:2] / sha256

    def _name(self, written: Path, sha256: str) -> None:
        path = self._path(sha256)
        if not path.parent.is_dir():
            path.parent.mkdir(exist_ok=True)
            sync_folder(self._folder)
        if path.is_file():
            written.unlink()  # the same bytes: what is kept stays untouched
        else:
            os.rename(written, path)
        sync_folder(path.parent)


class LocalUploads:
    """`Uploads` in a folder, as ``<upload>/<part>``."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def put(self, upload: str, part: int, data: bytes) -> bool:
        """Keep a part; the first to name it wins, whoever writes at the same moment."""
        folder = self._folder / upload
        if not folder.is_dir():
            folder.mkdir(exist_ok=True)
            sync_folder(self._folder)
        path = folder / str(part)
        handle, name = tempfile.mkstemp(dir=folder, prefix=".", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            os.link(name, path)  # unlike a rename, fails if the part is there
        except FileExistsError:
            return path.read_bytes() == data
        finally:
            with suppress(FileNotFoundError):
                os.unlink(name)
        sync_folder(folder)
        return True

    def parts(self, upload: str) -> dict[int, StoredBlob]:
        """The parts that are here, with their hashes."""
        folder = self._folder / upload
        if not folder.is_dir():
            return {}
        names = sorted(int(path.name) for path in folder.iterdir() if path.name.isdecimal())
        return {number: _stored(folder / str(number)) for number in names}

    def read(self, upload: str, part: int) -> bytes:
        """One part."""
        try:
            return (self._folder / upload / str(part)).read_bytes()
        except FileNotFoundError:
            raise KeyError(part) from None

    def drop(self, upload: str) -> None:
        """Forget an upload."""
        shutil.rmtree(self._folder / upload, ignore_errors=True)

    def drop_older(self, than_s: float) -> int:
        """Forget uploads that nothing was added to since a time."""
        old = [path for path in self._folder.iterdir() if path.stat().st_mtime < than_s]
        for path in old:
            shutil.rmtree(path, ignore_errors=True)
        return len(old)


def _stored(path: Path) -> StoredBlob:
    digest, size = hashlib.sha256(), 0
    with path.open("rb") as stream:
        while chunk := stream.read(_READ):
            digest.update(chunk)
            size += len(chunk)
    return StoredBlob(digest.hexdigest(), size)


def _changed_s(path: Path) -> float:
    """When a file was last written; never, if it is gone meanwhile."""
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return float("inf")
