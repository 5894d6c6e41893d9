"""The command line's contract: exit codes, streams, one line per error, no traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from service.cli import main
from service.files.schema import MODELS
from tests.files.contract_examples import WALL

CHECKOUT = Path(__file__).resolve().parents[2]


def command(*arguments: str, **environment: str) -> subprocess.Popen[bytes]:
    """The real command in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "service", *arguments],
        cwd=CHECKOUT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=os.environ | environment,
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["measure"], "WALL.json"),
        (["measure", "none.json"], "none.json: expected a JSON file"),
        (["measure", "none.json", "--bogus"], "--bogus"),
        (["measure", "none.json", "--out", "nowhere/r.json"], "expected a folder nowhere"),
        (["panels", "none.json"], "none.json: expected a JSON file"),
        (["panels"], "PLAN.json"),
        (["card"], "expected --out CARD.pdf"),
        (["card", "--describe", "--serial", "59"], "from 1 to 58"),
        (["card", "--describe", "--serial", "0"], "from 1 to 58"),
        (["card", "--describe", "--serial", "one"], "--serial"),
        (["card", "--describe", "--paper", "a5"], "'a4'"),
        (["card", "--out", "nowhere/card.pdf"], "expected a folder nowhere"),
        (["card", "--out", "/"], "expected the name of a file"),
        (["schema"], "Choose from: wall, report"),
        (["schema", "walls"], "'wall'"),
        (["example", "--out", "/dev/null"], "/dev/null: expected a folder, and this is a file"),
        (["example", "--out", "/dev/null/x"], "/dev/null/x: cannot be made"),
        (["mesure"], "mesure"),
        ([], "--help"),
        (["--version", "--bogus"], "--bogus"),
    ],
)
def test_wrong_use_is_one_line(
    arguments: list[str],
    said: str,
    capfd: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    """Wrong use exits 2 with one line on standard error and nothing on standard output."""
    monkeypatch.chdir(tmp_path)

    code = main(arguments)

    out, err = capfd.readouterr()
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert said in err
    assert not list(tmp_path.iterdir())


def test_bad_file_names_field(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A bad value exits 2 and is named with its file and field."""
    path = tmp_path / "wall.json"
    path.write_text(WALL, encoding="utf-8")

    code = main(["measure", str(path)])

    assert code == 2
    assert capfd.readouterr().err.startswith(f"{path}: level[0]: expected a mark")


def test_report_is_never_written_over_its_wall(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Naming the wall file as the report exits 2 and leaves the wall as it was."""
    path = tmp_path / "wall.json"
    path.write_text("{}", encoding="utf-8")

    assert main(["measure", str(path), "--out", str(path)]) == 2
    assert "expected another file" in capfd.readouterr().err
    assert path.read_text(encoding="utf-8") == "{}"


@pytest.mark.parametrize("kind", sorted(MODELS))
def test_schema_is_json(kind: str, capfd: pytest.CaptureFixture[str]) -> None:
    """Each schema is printed as one JSON object."""
    assert main(["schema", kind]) == 0
    assert json.loads(capfd.readouterr().out)["$id"] == f"urn:tapeproof:{kind}"


def test_version(capfd: pytest.CaptureFixture[str]) -> None:
    """The version is printed with the command's name."""
    assert main(["--version"]) == 0
    assert capfd.readouterr().out.startswith("tapeproof 0.")


def test_help_names_the_caution(capfd: pytest.CaptureFixture[str]) -> None:
    """Help says what a photo estimate is not."""
    assert main(["--help"]) == 0
    assert "never a cutting dimension" in " ".join(capfd.readouterr().out.split())


def test_output_is_utf8_in_any_locale() -> None:
    """Output is UTF-8 even where the locale is plain ASCII."""
    process = command("schema", "report", LC_ALL="C", PYTHONUTF8="0", PYTHONIOENCODING="ascii")
    out, err = process.communicate(timeout=60)

    assert (process.returncode, err) == (0, b"")
    assert "mm²" in out.decode("utf-8")


def test_closed_pipe_is_quiet() -> None:
    """A reader that leaves early causes no complaint."""
    process = command("schema", "panels")
    if process.stdout is not None and process.stderr is not None:
        process.stdout.close()
        err = process.stderr.read()
        process.stderr.close()

    assert process.wait(timeout=60) == 0
    assert err == b""


@pytest.mark.parametrize("arguments", [["schema", "panels"], ["--version"], ["--help"]])
def test_output_with_no_room_left(arguments: list[str]) -> None:
    """A result that finds no room on the disk exits 2 in one line; no fault of the program."""
    with open("/dev/full", "wb") as full:
        process = subprocess.run(
            [sys.executable, "-m", "service", *arguments],
            cwd=CHECKOUT,
            env={name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"},
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=60,
            check=False,
        )

    assert process.returncode == 2
    assert process.stderr == b"standard output: cannot be written: No space left on device\n"


@pytest.mark.parametrize(
    ("closing", "code", "out", "err"),
    [
        ("schema wall >&-", 2, b"", b"standard output: cannot be written: it is closed\n"),
        ("measure none.json 2>&-", 2, b"", b""),
    ],
)
def test_closed_streams(closing: str, code: int, out: bytes, err: bytes) -> None:
    """Where a stream is closed, the exit code tells, and no error gets among the results."""
    process = subprocess.run(
        ["sh", "-c", f'"$0" -m service {closing}', sys.executable],
        cwd=CHECKOUT,
        capture_output=True,
        timeout=60,
        check=False,
    )

    assert (process.returncode, process.stdout, process.stderr) == (code, out, err)


def test_interrupt_is_one_line(tmp_path: Path) -> None:
    """Control-C ends the command with one line, no traceback and no file left behind."""
    pipe = tmp_path / "wall.json"
    os.mkfifo(pipe)  # reading it waits for a writer who never comes
    process = command("measure", str(pipe), "--out", str(tmp_path / "report.json"))
    with pipe.open("wb"):  # returns once the command has opened the other end
        time.sleep(0.2)
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)

    assert process.returncode == 130
    assert err.count(b"\n") == 1
    assert b"Traceback" not in err
    assert os.listdir(tmp_path) == ["wall.json"]


def test_fault_of_the_program_is_told_apart(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of the program exits 70 in one line; it is not blamed on the input."""

    def broken(_kind: str) -> str:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr("service.actions.schema.schema_text", broken)
    monkeypatch.delenv("TAPEPROOF_TRACE", raising=False)

    assert main(["schema", "wall"]) == 70
    err = capfd.readouterr().err
    assert "fault of its own (ZeroDivisionError: a bug)" in err
    assert err.count("\n") == 1
