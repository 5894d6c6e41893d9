"""Writing a file, or all files of a folder, whole or not at all."""

from __future__ import annotations

import errno
import fcntl
import os
import tempfile
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from service.errors import FileError

if TYPE_CHECKING:
    from pydantic import BaseModel

_LONGEST_NAME: Final = 60
"""Letters, of up to four bytes: file systems take names of 255 bytes."""


@contextmanager
def folder_held(folder: Path) -> Iterator[None]:
    """Keep others out who want to hold the folder, until it is let go; they wait.

    Raises
    ------
    FileError
        If the folder is missing or cannot be held.
    """
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError as error:
        raise FileError(str(folder), "", f"cannot be read: {_reason(error)}") from None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def json_text(model: BaseModel) -> str:
    """The model as indented JSON with a closing line break; equal models give equal text."""
    return model.model_dump_json(indent=2, by_alias=True) + "\n"


def sync_folder(folder: Path) -> None:
    """Make a folder's entries outlive a power cut: else a new name itself may be lost with it."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def write_whole(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` so that a reader finds the old file or the new one, never half.

    Raises
    ------
    FileError
        If the folder is missing or cannot be written.
    """
    _replace_all({path: data})


def write_folder(
    folder: Path, made: Mapping[str, bytes], sources: Iterable[Path] = ()
) -> tuple[Path, ...]:
    """Write all files of a folder, which is made if it is missing; the files, in their order.

    All of them are on the disk before the first takes its name: a disk that is full leaves the
    old files, not some of the old beside some of the new.

    Raises
    ------
    FileError
        If the folder cannot be made or written, or one of the files is among the ``sources``.
    """
    make_folder(folder)
    files = {folder / name: data for name, data in made.items()}
    read = list(sources)
    for path in files:
        _keep_apart(path, read)
    _replace_all(files)
    return tuple(files)


def remove_files(paths: Iterable[Path]) -> tuple[Path, ...]:
    """Take files away; those that were there.

    Raises
    ------
    FileError
        If one cannot be taken away.
    """
    gone = []
    for path in paths:
        try:
            path.unlink()
        except FileNotFoundError:
            continue
        except OSError as error:
            raise FileError(str(path), "", f"cannot be taken away: {_reason(error)}") from None
        gone.append(path)
    return tuple(gone)


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, where they are missing.

    Raises
    ------
    FileError
        If it cannot be made, or is a file.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise FileError(str(folder), "", "expected a folder, and this is a file") from None
    except (OSError, ValueError) as error:
        raise FileError(str(folder), "", f"cannot be made: {_reason(error)}") from None


def check_target(path: Path | None, *sources: Path) -> None:
    """Refuse a target that cannot be written before any work is done for it.

    Raises
    ------
    FileError
        If its folder is missing, it is a folder, or it is one of the ``sources`` that are read.
    """
    if path is None:
        return
    try:
        in_folder, is_folder = path.parent.is_dir(), path.is_dir()
    except (OSError, ValueError) as error:
        raise FileError(str(path), "", f"cannot be written: {_reason(error)}") from None
    if not in_folder:
        raise FileError(str(path), "", f"expected a folder {path.parent}, and there is none")
    if is_folder:
        raise FileError(str(path), "", "expected the name of a file, and this is a folder")
    _keep_apart(path, sources)


def name_of_words(words: str) -> str:
    """Somebody's words as a part of a file's name: letters, figures, dots and hyphens of them, and
    no way out of the folder; ``far end`` is ``far-end``."""
    kept = "".join(
        c if c.isalnum() or c in "._-" or unicodedata.category(c).startswith("M") else "-"
        for c in words
    )
    return kept[:_LONGEST_NAME].strip(".-") or "unnamed"


def _keep_apart(path: Path, sources: Iterable[Path]) -> None:
    try:
        same = path.exists() and any(one.exists() and path.samefile(one) for one in sources)
    except (OSError, ValueError) as error:
        raise FileError(str(path), "", f"cannot be written: {_reason(error)}") from None
    if same:
        raise FileError(str(path), "", "expected another file than the one that is read")


def _replace_all(files: Mapping[Path, bytes]) -> None:
    parts: dict[Path, str] = {}
    at = Path()
    try:
        for at, data in files.items():
            if at.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
            parts[at] = _part(at, data)
        for at in files:
            os.replace(parts[at], at)
            del parts[at]
        for at in {path.parent for path in files}:
            sync_folder(at)
    except (OSError, ValueError) as error:
        raise FileError(str(at), "", f"cannot be written: {_reason(error)}") from None
    finally:
        for left in parts.values():
            _forget(left)


def _part(path: Path, data: bytes) -> str:
    """The name of a new file beside ``path`` that holds the data, on the disk."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fchmod(stream.fileno(), 0o666 & ~_umask())
            os.fsync(stream.fileno())
    except BaseException:
        _forget(name)
        raise
    return name


def _forget(name: str) -> None:
    with suppress(FileNotFoundError):
        os.unlink(name)


def _reason(error: OSError | ValueError) -> str:
    return str(error.strerror if isinstance(error, OSError) else error)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
