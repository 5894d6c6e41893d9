"""A file is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from service.errors import FileError
from service.files.writing import check_target, remove_files, write_folder, write_whole


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


def test_full_disk_keeps_a_folder_of_one_make(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up at the second file leaves all old ones: an old cutting sheet beside a
    new list of panels would be cut by."""
    write_folder(tmp_path, {"panels.json": b"old", "sheets.pdf": b"old"})
    left, really = [1], os.fsync

    def full_disk(handle: int) -> None:
        if not left:
            raise OSError(28, "No space left on device")
        left.pop()
        really(handle)

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(FileError, match=r"sheets\.pdf: cannot be written: No space left"):
        write_folder(tmp_path, {"panels.json": b"new", "sheets.pdf": b"new"})

    assert sorted(os.listdir(tmp_path)) == ["panels.json", "sheets.pdf"]
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"old", b"old"]


def test_folder_in_the_place_of_a_file(tmp_path: Path) -> None:
    """What cannot take its name is found before any file has taken its own."""
    write_folder(tmp_path, {"a.json": b"old"})
    (tmp_path / "b.json").mkdir()

    with pytest.raises(FileError, match=r"b\.json: cannot be written: Is a directory"):
        write_folder(tmp_path, {"a.json": b"new", "b.json": b"new"})

    assert (tmp_path / "a.json").read_bytes() == b"old"
    assert sorted(os.listdir(tmp_path)) == ["a.json", "b.json"]


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A folder below a file is refused by its name."""
    (tmp_path / "a").write_bytes(b"")

    with pytest.raises(FileError, match="cannot be made: Not a directory"):
        write_folder(tmp_path / "a" / "b", {"c": b""})


def test_files_taken_away_are_those_that_were_there(tmp_path: Path) -> None:
    """What is gone already is no error; what cannot go is told by its name."""
    write_folder(tmp_path, {"a": b"", "b": b""})

    assert remove_files([tmp_path / "a", tmp_path / "none"]) == (tmp_path / "a",)
    assert os.listdir(tmp_path) == ["b"]
    with pytest.raises(FileError, match="cannot be taken away"):
        remove_files([tmp_path])


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


def test_folder_keeps_what_its_files_are_made_from(tmp_path: Path) -> None:
    """No file of a folder takes the place of one that was read for it; nothing is written then."""
    prices = tmp_path / "order.csv"
    prices.write_text("mine")

    with pytest.raises(FileError, match=r"order\.csv: expected another file"):
        write_folder(tmp_path, {"a.json": b"", "order.csv": b""}, [tmp_path / "no", prices])

    assert prices.read_text() == "mine"
    assert os.listdir(tmp_path) == ["order.csv"]
