"""Files that are no usable JSON, each refused in one line before any model sees them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from service.errors import FileError
from service.files.loading import (
    MAX_BYTES,
    MAX_PHOTO_BYTES,
    load_model,
    read_photo,
    read_text,
)
from service.files.report import Report
from tests.files.contract_examples import REPORT
from vision.photo.decode import DEFAULT_LIMITS


@pytest.mark.parametrize(
    ("content", "field", "said"),
    [
        (b"", "", "expected JSON; line 1, column 1"),
        (b"{'a': 1}", "", "expected JSON"),
        (b'{"a": 1', "", "expected JSON"),
        (b'{"a": NaN}', "", "NaN is not one"),
        (b'{"a": -Infinity}', "", "-Infinity is not one"),
        (b'{"a": ' + b"9" * 5000 + b"}", "", "expected JSON numbers"),
        (b'{"a": {"b": [{"c": 1, "c": 1}]}}', "a.b[0].c", "stands here twice"),
        (b'{"a": 1, "a": 1}', "a", "stands here twice"),
        (b"[" * 60 + b"]" * 60, "", "levels of nesting"),
        (b"[" * 100_000 + b"]" * 100_000, "", "levels of nesting"),
        (b'{"a": "\xff"}', "", "expected UTF-8 text; byte 7"),
        ('{"a": "é"}'.encode("utf-16"), "", "expected UTF-8 text"),
    ],
)
def test_broken_file(tmp_path: Path, content: bytes, field: str, said: str) -> None:
    """What is wrong is said, with the place where there is one."""
    path = tmp_path / "a.json"
    path.write_bytes(content)

    with pytest.raises(FileError) as caught:
        load_model(path, Report)

    assert caught.value.field == field
    assert said in caught.value.expected
    assert "\n" not in str(caught.value)


def test_byte_order_mark_is_accepted(tmp_path: Path) -> None:
    """An editor's byte order mark does not spoil a file."""
    path = tmp_path / "a.json"
    path.write_bytes(b"\xef\xbb\xbf" + REPORT.encode())

    assert load_model(path, Report).readings[0].id == "r1"


def test_other_kinds_of_text_are_read_alike(tmp_path: Path) -> None:
    """A price book or practice file that is missing is asked for by its own name."""
    with pytest.raises(FileError, match="expected a price book, and there is no such file"):
        read_text(tmp_path / "prices.csv", "a price book")


def test_missing_file(tmp_path: Path) -> None:
    """A file that is not there is said to be so."""
    with pytest.raises(FileError, match="there is no such file"):
        load_model(tmp_path / "none.json", Report)


def test_folder(tmp_path: Path) -> None:
    """A folder in place of a file is said to be one."""
    with pytest.raises(FileError, match="this is a folder"):
        load_model(tmp_path, Report)


def test_name_too_long(tmp_path: Path) -> None:
    """The operating system's own reason is passed on in the same form."""
    with pytest.raises(FileError, match="cannot be read: File name too long"):
        load_model(tmp_path / ("x" * 300), Report)


def test_name_with_line_break_stays_one_line(tmp_path: Path) -> None:
    """A file's name cannot break the one line of an error."""
    with pytest.raises(FileError) as caught:
        load_model(tmp_path / "a\nb.json", Report)

    assert "a\\nb.json" in str(caught.value)


def test_huge_file(tmp_path: Path) -> None:
    """A file past the limit is refused without being read whole."""
    path = tmp_path / "a.json"
    with path.open("wb") as stream:
        os.truncate(stream.fileno(), MAX_BYTES + 1)

    with pytest.raises(FileError, match="at most 32 MiB"):
        load_model(path, Report)


def test_photo_without_an_end_is_read_to_its_limit() -> None:
    """A device or a huge file in place of a photo does not fill the memory; that it is past the
    limit is still seen."""
    assert len(read_photo(Path("/dev/zero"), "wall.json")) == MAX_PHOTO_BYTES + 1
    assert DEFAULT_LIMITS.max_bytes <= MAX_PHOTO_BYTES


def test_photo_that_cannot_be_read_names_the_field(tmp_path: Path) -> None:
    """A photo that is not there, or is a folder, is told by the field that names it."""
    for path, said in ((tmp_path / "a.jpg", "No such file"), (tmp_path, "Is a directory")):
        with pytest.raises(FileError, match=said) as caught:
            read_photo(path, "wall.json", "photos[0].file")

        assert str(caught.value).startswith("wall.json: photos[0].file: expected a photo")
