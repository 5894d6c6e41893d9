"""The bootstrap on bare machines: it must say in one line what is missing."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

from service.bootstrap import environment
from service.bootstrap.commands import run
from service.bootstrap.environment import prepare
from service.bootstrap.lockfile import GROUPS, LOCK_NAME
from service.bootstrap.steps import SetupError, Step, clean_environment, run_steps

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = CHECKOUT / "service" / "bootstrap"


def bootstrap(*arguments: str, cwd: Path = CHECKOUT) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-S", "-m", "service.bootstrap", *arguments]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)


def small_checkout(folder: Path, lock: str) -> Path:
    """A checkout that holds the bootstrap and a lock of its own."""
    target = folder / "service" / "bootstrap"
    target.mkdir(parents=True)
    (folder / "service" / "__init__.py").write_text("")
    for source in PACKAGE.glob("*.py"):
        (target / source.name).write_text(source.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / LOCK_NAME).write_text(lock, encoding="utf-8")
    (folder / "pyproject.toml").write_text('[project]\nname = "x"\nversion = "1"\n')
    return folder


def test_imports_the_standard_library_only() -> None:
    """Nothing that must be installed first is imported, neither here nor in service/__init__."""
    allowed = set(sys.stdlib_module_names) | {"service"}
    for path in [*PACKAGE.glob("*.py"), CHECKOUT / "service" / "__init__.py"]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.module is not None:
                assert not node.module.startswith("service.") or "bootstrap" in node.module
                names = [node.module]
            assert {name.partition(".")[0] for name in names} <= allowed, path


def test_runs_without_installed_packages() -> None:
    """It starts in a Python that has no site packages at all."""
    done = bootstrap("--help")

    assert done.returncode == 0
    assert "example   set up" in done.stdout


def test_unknown_command_shows_the_commands() -> None:
    """A command that does not exist is answered with those that do."""
    done = bootstrap("tset")

    assert done.returncode == 2
    assert "usage:" in done.stderr


@pytest.mark.parametrize("version", [(3, 8, 1), (3, 10, 13)])
def test_old_python_is_named(version: tuple[int, int, int]) -> None:
    """An older Python is told in one line which one is needed, before anything else is read."""
    code = (
        f"import sys; sys.version_info = {version}; sys.argv = ['x', 'test']; "
        "import runpy; runpy.run_module('service.bootstrap', run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=CHECKOUT, capture_output=True, text=True, check=False
    )

    assert done.returncode == 2
    assert done.stderr.startswith("Python 3.11 or newer is needed, this is 3.")
    assert done.stderr.count("\n") == 1


def test_entry_reads_on_older_pythons() -> None:
    """The file that checks the version uses no syntax newer than the Pythons it turns away."""
    source = (PACKAGE / "__main__.py").read_text(encoding="utf-8")

    ast.parse(source, feature_version=(3, 7))


def test_package_that_cannot_be_had(tmp_path: Path) -> None:
    """A package that no index holds ends the set-up in one line, with pip's words kept."""
    lock = "\n".join(f"# group: {name}" for name in GROUPS)
    pin = f"\nno-such-package-here==1.0 \\\n    --hash=sha256:{'0' * 64}\n"
    checkout = small_checkout(tmp_path, lock.replace("# group: heic", pin + "# group: heic"))
    offline = dict(os.environ, PIP_NO_INDEX="1")
    done = subprocess.run(
        [sys.executable, "-m", "service.bootstrap", "setup"],
        cwd=checkout,
        capture_output=True,
        text=True,
        env=offline,
        check=False,
    )

    assert done.returncode == 2
    assert "The packages could not be installed: No matching distribution" in done.stderr
    assert done.stderr.strip().count("\n") == 0
    assert (checkout / ".venv" / "packages.log").exists()


def test_extra_that_was_taken_is_kept_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A newer lock reaches an extra that was asked for once; one that never was stays away."""
    installed: list[str] = []
    (tmp_path / ".venv").mkdir()
    (tmp_path / "pyproject.toml").write_text("")
    monkeypatch.setattr(environment, "_usable", lambda _: True)
    monkeypatch.setattr(environment, "_install", lambda _, wanted: installed.append(wanted))
    monkeypatch.setattr(environment, "_install_project", lambda _: None)
    for group, version in (("run", 1), ("heic", 1), ("run", 2)):
        lock = f"# group: setup\n# group: run\nused==1\n# group: heic\nreader=={version}\n"
        (tmp_path / LOCK_NAME).write_text(lock)
        prepare(tmp_path, group)

    assert ["reader" in wanted for wanted in installed] == [False, True, True]
    assert "reader==2" in installed[-1]


def test_missing_venv_names_the_package(tmp_path: Path) -> None:
    """A Debian Python without its venv package is told the one line that installs it."""
    checkout = small_checkout(tmp_path, "# group: setup\n# group: run\n")
    code = (
        "import sys; sys.modules['ensurepip'] = None; sys.argv = ['x', 'setup']; "
        "import runpy; runpy.run_module('service.bootstrap', run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=checkout, capture_output=True, text=True, check=False
    )

    assert done.returncode == 2
    assert f"apt-get install python3.{sys.version_info.minor}-venv" in done.stderr
    assert "Traceback" not in done.stderr


def test_folder_that_is_no_environment_is_left_alone(tmp_path: Path) -> None:
    """A .venv that holds something else is never cleared."""
    checkout = small_checkout(tmp_path, "# group: setup\n# group: run\n")
    (checkout / ".venv").mkdir()
    (checkout / ".venv" / "thesis.txt").write_text("mine")

    with pytest.raises(SetupError, match="is not a virtual environment"):
        prepare(checkout, "run")
    assert (checkout / ".venv" / "thesis.txt").read_text() == "mine"


def test_unknown_group_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Setting up a group that the lock lacks says which it has."""
    assert run(["setup", "bogus"]) == 2
    assert (
        "has no group 'bogus'; it has setup, run, heic, test, lock, make" in capsys.readouterr().err
    )


def test_unknown_study_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    """Asking for a long study that does not exist lists those that do."""
    assert run(["bench", "bench_nothing"]) == 2
    assert "There is no study 'bench_nothing'; there are bench_" in capsys.readouterr().err


def test_steps_stop_at_the_first_failure(capfd: pytest.CaptureFixture[str]) -> None:
    """The first step that fails names itself and gives its exit code; later ones do not run."""

    def python(code: str) -> list[str]:
        return [sys.executable, "-c", code]

    code = run_steps(
        [
            Step("good", python("print('one')")),
            Step("bad", python("raise SystemExit(7)")),
            Step("never", python("print('three')")),
        ]
    )

    said = capfd.readouterr().out
    assert code == 7
    assert "bad FAILED after" in said
    assert "three" not in said


def test_last_step_ends_the_output(capfd: pytest.CaptureFixture[str]) -> None:
    """What the last step prints at its end is the end of the whole output."""
    last = [sys.executable, "-c", "print('3 passed in 1 s')"]

    assert run_steps([Step("first", [sys.executable, "-c", ""]), Step("last", last)]) == 0
    assert capfd.readouterr().out.endswith("3 passed in 1 s\n")


def test_stray_settings_do_not_reach_pip(monkeypatch: pytest.MonkeyPatch) -> None:
    """A person's own PYTHONPATH or pip target cannot lead the set-up out of the checkout."""
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setenv("PIP_TARGET", "elsewhere")

    assert not {"PYTHONPATH", "PIP_TARGET"} & set(clean_environment())
