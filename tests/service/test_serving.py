"""`tapeproof serve` as a process: its address, its refusals, and how it is stopped."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import httpx2
import pytest

from service.bootstrap import commands
from service.bootstrap.environment import Environment
from service.bootstrap.steps import Step
from service.cli import main
from service.errors import FileError
from service.settings import Settings, settings_from
from tests.service.process import ServedProcess
from tests.service.running import new_job, wall_of


def test_it_serves_until_it_is_stopped(tmp_path: Path) -> None:
    """It prints its address, answers there, and Ctrl-C ends it well."""
    served = ServedProcess(tmp_path / "data")

    health = served.get("/api/health")
    served.process.send_signal(signal.SIGINT)
    code = served.process.wait(timeout=30)
    served.kill()

    assert health.json() == {"status": "ok", "tasks": 0}
    assert code == 0


def test_changes_are_told_while_they_happen(tmp_path: Path) -> None:
    """Who listens to a job hears of a change on one of its walls, and which version it led to."""
    with (
        ServedProcess(tmp_path / "data") as served,
        httpx2.Client(base_url=served.address, timeout=30) as client,
    ):
        job = new_job(client)
        wall = wall_of(client, job)["id"]
        unknown = client.get("/api/jobs/none/stream")
        with client.stream("GET", f"/api/jobs/{job['id']}/stream?after=0") as stream:
            lines = stream.iter_lines()
            started = told(lines, 4)
            reading = {"id": "r1", "dimension": "width 16", "value": "58 1/2"}
            client.post(f"/api/walls/{wall}/readings", json=reading)
            change = told(lines, 1)[0]

    assert unknown.status_code == 404
    assert [event["kind"] for event in started] == ["job", "wall", "wall", "wall"]
    assert (change["kind"], change["wall"], change["revision"]) == ("reading", wall, 2)


def told(lines: Iterator[str], many: int) -> list[dict[str, Any]]:
    """The data of the next events of a stream."""
    data = (line.removeprefix("data: ") for line in lines if line.startswith("data: "))
    return [json.loads(next(data)) for _ in range(many)]


def test_one_folder_is_served_once(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A second run on the same folder is refused in one line, and the first goes on."""
    with ServedProcess(tmp_path / "data") as served:
        code = main(["serve", "--port", "0", "--data", str(tmp_path / "data")])

        assert served.get("/api/health").status_code == 200
    assert code == 2
    assert "in use by another run" in capfd.readouterr().err


def test_a_taken_port_is_refused(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A port that is taken is named, in one line."""
    with ServedProcess(tmp_path / "data") as served:
        code = main(["serve", "--port", str(served.port), "--data", str(tmp_path / "other")])

    said = capfd.readouterr().err
    assert code == 2
    assert f"cannot listen on 127.0.0.1:{served.port}" in said
    assert said.count("\n") == 1


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.1", "::", "name.example", ""])
def test_it_listens_on_this_machine_only(host: str) -> None:
    """Any address that another machine could reach is refused."""
    with pytest.raises(FileError, match="loopback"):
        settings_from({"TAPEPROOF_HOST": host})


@pytest.mark.parametrize(
    ("environment", "said"),
    [
        ({"TAPEPROOF_PORT": "many"}, "TAPEPROOF_PORT: expected a whole number"),
        ({"TAPEPROOF_PORT": "70000"}, "TAPEPROOF_PORT: expected a port"),
        ({"TAPEPROOF_DATA": "there"}, "TAPEPROOF_DATA: is no setting; .*TAPEPROOF_DATA_FOLDER"),
        ({"TAPEPROOF_DATA_FOLDER": ""}, "TAPEPROOF_DATA_FOLDER: expected the path of a folder"),
        ({"TAPEPROOF_CHILD_CPU_S": "-1"}, "TAPEPROOF_CHILD_CPU_S: expected 0 or more"),
    ],
)
def test_a_bad_variable_is_named(environment: dict[str, str], said: str) -> None:
    """A variable that will not do is named with what was expected."""
    with pytest.raises(FileError, match=said):
        settings_from(environment)


def test_what_is_given_wins_over_the_variable() -> None:
    """An option wins over its variable, and a variable over the default."""
    found = settings_from({"TAPEPROOF_PORT": "1", "TAPEPROOF_DATA_FOLDER": "there"}, port=2)

    assert (found.port, found.data_folder) == (2, Path("there"))
    assert settings_from({"TAPEPROOF_TRACE": "1", "OTHER": "x"}) == Settings()


@pytest.mark.parametrize(
    ("arguments", "ci", "steps"),
    [([], "", ["example", "serve"]), (["--no-serve"], "", ["example"]), ([], "true", ["example"])],
)
def test_the_example_ends_by_serving(
    monkeypatch: pytest.MonkeyPatch, arguments: Sequence[str], ci: str, steps: list[str]
) -> None:
    """The main command shows the pages at its end, unless it is told not to or runs in CI."""
    ran: list[str] = []

    def run(steps: Sequence[Step]) -> int:
        ran.extend(step.command[1] for step in steps)
        return 0

    def replace(_path: str, command: Sequence[str], _environment: object) -> None:
        ran.append(command[1])

    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(commands, "prepare", lambda *_: Environment(Path()))
    monkeypatch.setattr(commands, "run_steps", run)
    monkeypatch.setattr("os.execve", replace)

    commands.run(["example", *arguments])

    assert ran == steps


def test_importing_it_opens_nothing() -> None:
    """Importing the application starts no thread and makes no file."""
    code = "import threading, service.app; print(threading.active_count())"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout.strip() == "1"
