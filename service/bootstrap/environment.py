"""The virtual environment in the checkout: made, filled from the lock, and kept up to date."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from service.bootstrap.lockfile import GROUPS, LOCK_NAME, count_packages, digest, read_groups
from service.bootstrap.steps import SetupError, clean_environment, say

FOLDER: Final = ".venv"
_STAMP: Final = "tapeproof-stamp.json"
_PROBE: Final = "import json, pip, sys; print(json.dumps([sys.prefix, sys.version_info[:2]]))"
_FOUND: Final = ("Collecting ", "Processing ")
"""How pip says that it has found a package, on an index or in a folder."""
_NO_INDEX: Final = (
    "Temporary failure in name resolution",
    "NewConnectionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "ProxyError",
    "Network is unreachable",
)


@dataclass(frozen=True)
class Environment:
    """A virtual environment that holds the groups it was prepared for."""

    checkout: Path

    @property
    def folder(self) -> Path:
        return self.checkout / FOLDER

    @property
    def python(self) -> Path:
        return self.folder / "bin" / "python"

    def module(self, name: str, *arguments: str) -> list[str]:
        """Command that runs a module."""
        return [str(self.python), "-m", name, *arguments]

    def tool(self, name: str, *arguments: str) -> list[str]:
        """Command that runs an installed script."""
        return [str(self.folder / "bin" / name), *arguments]


def prepare(checkout: Path, group: str) -> Environment:
    """Make the environment if there is none, and install what the lock has changed since.

    Parameters
    ----------
    checkout
        Where the lock is and the environment will be.
    group
        The last group needed; those before it in `GROUPS` are installed with it. What was
        installed once is kept up to date with it: a decoder with a known fault must not stay.

    Raises
    ------
    SetupError
        With one line that says what is missing.
    """
    environment = Environment(checkout)
    locked = read_groups(checkout / LOCK_NAME)
    if group not in GROUPS or group not in locked:
        raise SetupError(f"{LOCK_NAME} has no group {group!r}; it has {', '.join(locked)}.")
    if not _usable(environment):
        _make(environment)
    stamp = _read_stamp(environment)
    needed = GROUPS[: GROUPS.index(group) + 1]
    groups: list[str] = [
        name for name in GROUPS if name in locked and (name in needed or name in stamp)
    ]
    wanted = {name: digest(locked[name]) for name in groups}
    if any(stamp.get(name) != value for name, value in wanted.items()):
        _install(environment, "".join(locked[name] for name in groups))
        stamp |= wanted
        _write_stamp(environment, stamp)
    project = digest((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    if "run" in groups and stamp.get("project") != project:
        _install_project(environment)
        _write_stamp(environment, stamp | {"project": project})
    return environment


def _usable(environment: Environment) -> bool:
    """Whether the environment runs, has pip, and was made for this folder."""
    if not environment.python.exists():
        return False
    probe = subprocess.run(
        [str(environment.python), "-c", _PROBE],
        capture_output=True,
        text=True,
        env=clean_environment(),
        check=False,
    )
    if probe.returncode:
        return False
    prefix, version = json.loads(probe.stdout)
    return Path(prefix).resolve() == environment.folder.resolve() and version >= [3, 11]


def _make(environment: Environment) -> None:
    folder = environment.folder
    if folder.exists() and not (folder / "pyvenv.cfg").exists() and any(folder.iterdir()):
        raise SetupError(f"{folder} is not a virtual environment: move it away and run again.")
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    say(f"Making a virtual environment in {FOLDER} (Python {version}) ...")
    missing = (
        f"Python's venv module is incomplete. On Debian or Ubuntu: "
        f"apt-get install python{version}-venv, then run the command again."
    )
    try:
        import ensurepip  # noqa: F401  (Debian ships venv without it)
        import venv
    except ImportError:
        raise SetupError(missing) from None
    made = subprocess.run(
        [sys.executable, "-m", venv.__name__, "--clear", str(folder)],
        capture_output=True,
        text=True,
        env=clean_environment(),
        check=False,
    )
    if made.returncode:
        said = (made.stdout + made.stderr).strip().splitlines() or ["no reason given"]
        if any("ensurepip" in line for line in said):
            raise SetupError(missing)
        raise SetupError(f"The virtual environment could not be made: {said[-1]}")


def _install(environment: Environment, requirements: str) -> None:
    wanted = environment.folder / "requirements.txt"
    wanted.write_text(requirements, encoding="utf-8")
    total = count_packages(requirements)
    say(f"Installing {total} locked packages (the first time a few hundred MB) ...")
    started = time.monotonic()
    _pip(environment, total, "--require-hashes", "--only-binary=:all:", "-r", str(wanted))
    say(f"      packages: {time.monotonic() - started:.1f} s")


def _install_project(environment: Environment) -> None:
    say("Installing the project itself ...")
    # No isolation: the build back end is in the lock too, so that nothing else is fetched.
    project = str(environment.checkout)
    _pip(environment, 0, "--no-deps", "--no-build-isolation", "--no-index", "-e", project)


def _pip(environment: Environment, total: int, *arguments: str) -> None:
    command = environment.module("pip", "install", "--progress-bar", "off", *arguments)
    log = environment.folder / ("packages.log" if total else "project.log")
    lines: list[str] = []
    with subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        cwd=environment.checkout,
        env=clean_environment(),
    ) as process:
        for line in process.stdout or ():
            lines.append(line.rstrip())
            _show_progress(lines, total)
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    if process.returncode:
        raise SetupError(_why(lines, log))


def _show_progress(lines: list[str], total: int) -> None:
    """One line that counts up on a terminal, a line for every ten packages elsewhere."""
    newest = lines[-1]
    unpacking = newest.startswith("Installing collected ")
    if not total or not (unpacking or newest.startswith(_FOUND)):
        return
    seen = sum(line.startswith(_FOUND) for line in lines)
    name = newest.split()[1].rpartition("/")[2]
    doing = "unpacking ..." if unpacking else f"{seen} of {total}: {name}"
    if sys.stdout.isatty():
        print(f"\r\033[K      {doing:.70}", end="\n" if unpacking else "", flush=True)
    elif unpacking or seen % 10 == 0:
        say(f"      {doing}")


def _why(lines: list[str], log: Path) -> str:
    text = "\n".join(lines)
    if any(sign in text for sign in _NO_INDEX):
        said = "no package index could be reached; check the network"
    else:
        errors = [line for line in lines if line.startswith("ERROR: ")]
        said = errors[-1].removeprefix("ERROR: ") if errors else "pip gave no reason"
    return f"The packages could not be installed: {said} (everything pip said: {log})."


def _read_stamp(environment: Environment) -> dict[str, str]:
    try:
        stamp = json.loads((environment.folder / _STAMP).read_text(encoding="utf-8"))
    except (FileNotFoundError, json.JSONDecodeError):
        return {}
    return dict(stamp) if isinstance(stamp, dict) else {}


def _write_stamp(environment: Environment, stamp: dict[str, str]) -> None:
    text = json.dumps(stamp, indent=1, sort_keys=True)
    (environment.folder / _STAMP).write_text(text, encoding="utf-8")
