"""Writing a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from typing import TYPE_CHECKING

from service.errors import FileError

if TYPE_CHECKING:
    from pathlib import Path

    from pydantic import BaseModel


def json_text(model: BaseModel) -> str:
    """The model as indented JSON with a closing line break; equal models give equal text."""
    return model.model_dump_json(indent=2, by_alias=True) + "\n"


def write_whole(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` so that a reader finds the old file or the new one, never half.

    Raises
    ------
    FileError
        If the folder is missing or cannot be written.
    """
    try:
        _replace(path, data)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise FileError(str(path), "", f"cannot be written: {reason}") from None


def check_target(path: Path | None, source: Path) -> None:
    """Refuse a target that cannot be written before any work is done for it.

    Raises
    ------
    FileError
        If its folder is missing, it is a folder, or it is the file that is being read.
    """
    if path is None:
        return
    if not path.parent.is_dir():
        raise FileError(str(path), "", f"expected a folder {path.parent}, and there is none")
    if path.is_dir():
        raise FileError(str(path), "", "expected the name of a file, and this is a folder")
    if path.exists() and source.exists() and path.samefile(source):
        raise FileError(str(path), "", "expected another file than the one that is read")


def _replace(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fchmod(stream.fileno(), 0o666 & ~_umask())
            os.fsync(stream.fileno())
        os.replace(name, path)
    except BaseException:
        with suppress(FileNotFoundError):
            os.unlink(name)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)  # else the new name itself may be lost with the power
    finally:
        os.close(folder)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
