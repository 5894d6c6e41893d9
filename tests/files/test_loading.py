"""Files that are no usable JSON, each refused in one line before any model sees them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from service.errors import FileError
from service.files.loading import MAX_BYTES, load_json


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
        load_json(path)

    assert caught.value.field == field
    assert said in caught.value.expected
    assert "\n" not in str(caught.value)


def test_byte_order_mark_is_accepted(tmp_path: Path) -> None:
    """An editor's byte order mark does not spoil a file."""
    path = tmp_path / "a.json"
    path.write_bytes(b'\xef\xbb\xbf{"a": 1}')

    assert load_json(path) == {"a": 1}


def test_missing_file(tmp_path: Path) -> None:
    """A file that is not there is said to be so."""
    with pytest.raises(FileError, match="there is no such file"):
        load_json(tmp_path / "none.json")


def test_folder(tmp_path: Path) -> None:
    """A folder in place of a file is said to be one."""
    with pytest.raises(FileError, match="this is a folder"):
        load_json(tmp_path)


def test_name_too_long(tmp_path: Path) -> None:
    """The operating system's own reason is passed on in the same form."""
    with pytest.raises(FileError, match="cannot be read: File name too long"):
        load_json(tmp_path / ("x" * 300))


def test_name_with_line_break_stays_one_line(tmp_path: Path) -> None:
    """A file's name cannot break the one line of an error."""
    with pytest.raises(FileError) as caught:
        load_json(tmp_path / "a\nb.json")

    assert "a\\nb.json" in str(caught.value)


def test_huge_file(tmp_path: Path) -> None:
    """A file past the limit is refused without being read whole."""
    path = tmp_path / "a.json"
    with path.open("wb") as stream:
        os.truncate(stream.fileno(), MAX_BYTES + 1)

    with pytest.raises(FileError, match="at most 32 MiB"):
        load_json(path)
