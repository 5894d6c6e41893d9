"""Fetching the outside data, and what a run without it says."""

from __future__ import annotations

import io
import tarfile
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.conftest import pytest_terminal_summary
from tests.support import outside
from tests.support.deb import open_data_archive, seek_data_member


def deb(path: Path, files: dict[str, bytes]) -> Path:
    """A small Debian package: an ar archive with an odd-sized member before the data."""
    tar = io.BytesIO()
    with tarfile.open(fileobj=tar, mode="w:xz") as archive:
        for name, content in files.items():
            info = tarfile.TarInfo(f"./{name}")
            info.size = len(content)
            archive.addfile(info, io.BytesIO(content))
    members = {"debian-binary": b"2.0\n", "control.tar.xz": b"odd", "data.tar.xz": tar.getvalue()}
    data = b"!<arch>\n"
    for name, content in members.items():
        head = f"{name:<16}{0:<12}{0:<6}{0:<6}{100644:<8}{len(content):<10}`\n"
        data += head.encode() + content + b"\n" * (len(content) % 2)
    path.write_bytes(data)
    return path


def test_package_is_read_without_dpkg(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A Debian package is opened where dpkg is not installed."""
    monkeypatch.setattr("shutil.which", lambda _name: None)
    package = deb(tmp_path / "a.deb", {"usr/x.txt": b"hello"})

    with open_data_archive(package) as archive:
        streams = map(archive.extractfile, archive)  # read one by one: it cannot go back
        texts = [stream.read() for stream in streams if stream is not None]

    assert texts == [b"hello"]


def test_no_archive_is_refused() -> None:
    """Something else than a Debian package is not taken for one."""
    with pytest.raises(ValueError, match="expected an ar archive"):
        seek_data_member(io.BytesIO(b"PK\x03\x04" + b"0" * 100))


def test_missing_data_skips_at_the_desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the data a check is skipped with a loud reason at the desk."""
    monkeypatch.setattr(outside, "CACHE", tmp_path)
    monkeypatch.delenv("CI", raising=False)

    with pytest.raises(pytest.skip.Exception, match="OUTSIDE DATA MISSING: left01"):
        outside.find_outside("left01.jpg")


def test_missing_data_fails_in_ci(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the data a check fails where the environment says CI."""
    monkeypatch.setattr(outside, "CACHE", tmp_path)
    monkeypatch.setenv("CI", "true")

    # Both are caught: a skip that went through would skip this very test.
    with pytest.raises((pytest.fail.Exception, pytest.skip.Exception)) as caught:
        outside.find_outside("left01.jpg")

    assert isinstance(caught.value, pytest.fail.Exception)
    assert "OUTSIDE DATA MISSING" in str(caught.value)


def test_other_content_is_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of the right name with other bytes counts as missing."""
    (tmp_path / "left01.jpg").write_bytes(b"another edition")
    monkeypatch.setattr(outside, "CACHE", tmp_path)
    monkeypatch.setenv("CI", "true")

    with pytest.raises((pytest.fail.Exception, pytest.skip.Exception), match="MISSING"):
        outside.find_outside("left01.jpg")


def test_unreachable_archive_is_loud(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A fetch that fails says that checks will not run; only CI takes it for a failure."""

    def unreachable() -> None:
        raise outside.OutsideDataError("apt-get is not here")

    monkeypatch.setattr(outside, "fetch", unreachable)
    monkeypatch.delenv("CI", raising=False)
    assert outside.main() == 0
    assert "will NOT run" in capsys.readouterr().err

    monkeypatch.setenv("CI", "true")
    assert outside.main() == 1


@pytest.mark.outside_data
def test_published_files_are_at_hand(outside_file: outside.Finder) -> None:
    """The chessboard photos are the published ones, thirteen of them with their calibration."""
    assert all(outside_file(name).exists() for name in outside.CHESSBOARDS)
    assert len(outside.CHESSBOARDS) == 13
    assert b"nframes: 13" in outside_file("left_intrinsics.yml").read_bytes()


class Terminal:
    """Collects what is written to the end of a test run."""

    def __init__(self, *reports: SimpleNamespace) -> None:
        self.stats = {"skipped": list(reports)}
        self.said: list[str] = []

    def section(self, title: str, **_looks: object) -> None:
        self.said.append(title)

    def line(self, text: str) -> None:
        self.said.append(text)


def test_checks_that_did_not_run_are_named_at_the_end() -> None:
    """A run without the data ends by naming each check that it could not make."""
    lost = SimpleNamespace(nodeid="t.py::board", longrepr=f"Skipped: {outside.NOT_RUN}: left01.jpg")
    other = SimpleNamespace(nodeid="t.py::other", longrepr="Skipped: no reason of ours")
    terminal = Terminal(lost, other)

    pytest_terminal_summary(terminal)  # type: ignore[arg-type]

    assert terminal.said == ["OUTSIDE DATA MISSING: 1 checks did NOT run", "t.py::board"]


def test_complete_run_says_nothing_of_it() -> None:
    """A run with all data has no such section."""
    terminal = Terminal()

    pytest_terminal_summary(terminal)  # type: ignore[arg-type]

    assert terminal.said == []
