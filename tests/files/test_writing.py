"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from service.errors import FileError
from service.files.writing import check_target, write_whole


def test_writes_and_leaves_nothing_beside(tmp_path: Path) -> None:
    """The file holds the data, and no part file stays."""
    write_whole(tmp_path / "a.json", b"new")

    assert (tmp_path / "a.json").read_bytes() == b"new"
    assert os.listdir(tmp_path) == ["a.json"]


def test_failure_keeps_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that fails while the new file is written leaves the old one whole."""

    def full_disk(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    path = tmp_path / "a.json"
    path.write_bytes(b"old")
    monkeypatch.setattr(os, "fsync", full_disk)

    with pytest.raises(FileError, match="cannot be written: No space left on device"):
        write_whole(path, b"new")

    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["a.json"]


def test_rights_follow_the_umask(tmp_path: Path) -> None:
    """The file can be read by whom the person's own settings let read it."""
    before = os.umask(0o027)
    try:
        write_whole(tmp_path / "a.json", b"x")
    finally:
        os.umask(before)

    assert (tmp_path / "a.json").stat().st_mode & 0o777 == 0o640


def test_missing_folder(tmp_path: Path) -> None:
    """A target in a folder that is not there is refused before any work."""
    with pytest.raises(FileError, match="there is none"):
        check_target(tmp_path / "none" / "a.json", tmp_path / "wall.json")


def test_own_source(tmp_path: Path) -> None:
    """A report cannot take the place of the file that it was made from."""
    source = tmp_path / "wall.json"
    source.write_text("{}")

    with pytest.raises(FileError, match="expected another file"):
        check_target(tmp_path / "." / "wall.json", source)
