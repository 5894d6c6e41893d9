"""Writing requirements.lock anew: one resolution, split into the groups that are installed."""

from __future__ import annotations

import re
import subprocess
import tempfile
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from service.bootstrap.environment import Environment
from service.bootstrap.lockfile import GROUPS, LOCK_NAME
from service.bootstrap.steps import SetupError, clean_environment, say

_COMPILE: Final = (
    "--quiet",
    "--all-extras",
    "--generate-hashes",
    "--allow-unsafe",
    "--strip-extras",
    "--annotation-style=line",
    "--no-header",
    "--no-emit-index-url",
    "--no-emit-trusted-host",
    "--no-emit-find-links",
    "--no-emit-options",
)
_PIN: Final = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<rest>.*)$")
_HASH: Final = re.compile(r"--hash=sha256:[0-9a-f]{64}")
_VIA: Final = re.compile(r"^ +# via (?P<names>.*)$", re.MULTILINE)
_HEAD: Final = """\
# Every package this project installs: name, version, hashes. Made by
#   python3 -m service.bootstrap lock
# from pyproject.toml; do not edit. Only the groups a command needs are installed.
"""


@dataclass(frozen=True)
class Pin:
    """One locked package, and the names of those that asked for it."""

    name: str
    version: str
    hashes: tuple[str, ...]
    via: tuple[str, ...]


def relock(environment: Environment) -> None:
    """Resolve pyproject.toml and write the lock.

    Raises
    ------
    SetupError
        If the resolver fails.
    """
    say("Resolving pyproject.toml (about a minute) ...")
    with tempfile.TemporaryDirectory() as folder:
        compiled = _compile(environment, Path(folder) / "all.txt")
    project = tomllib.loads((environment.checkout / "pyproject.toml").read_text(encoding="utf-8"))
    pins = read_pins(compiled)
    text = lock_text(pins, roots(project["project"]))
    (environment.checkout / LOCK_NAME).write_text(text, encoding="utf-8")
    say(f"{LOCK_NAME}: {len(pins)} packages.")


def read_pins(compiled: str) -> dict[str, Pin]:
    """The pins of a compiled requirements text whose annotations stand on one line."""
    pins: dict[str, Pin] = {}
    for block in re.split(r"\n(?=[A-Za-z0-9])", compiled.strip()):
        found = _PIN.match(block.splitlines()[0].rstrip(" \\"))
        if found is None:
            raise SetupError(f"the resolver printed an unknown line: {block.splitlines()[0]}")
        via = _VIA.search(block)
        askers = via["names"].split(", ") if via else []
        name = normal(found["name"])
        pins[name] = Pin(
            name,
            found["rest"].strip(),
            tuple(sorted(set(_HASH.findall(block)))),
            # The project itself stands as "tapeproof (pyproject.toml)"; `roots` speaks for it.
            tuple(normal(asker) for asker in askers if "(" not in asker),
        )
    return pins


def roots(project: Mapping[str, Any]) -> dict[str, list[str]]:
    """The packages that pyproject names itself, per group."""
    asked = {"run": project["dependencies"], **project["optional-dependencies"]}
    return {group: [requirement_name(line) for line in lines] for group, lines in asked.items()}


def requirement_name(requirement: str) -> str:
    """The normal name in a requirement such as ``import-linter>=2.17``."""
    return normal(re.split(r"[^A-Za-z0-9._-]", requirement, maxsplit=1)[0])


def normal(name: str) -> str:
    """A package name in its normal form (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def lock_text(pins: Mapping[str, Pin], asked: Mapping[str, Iterable[str]]) -> str:
    """The lock: each package in the first group, in `GROUPS` order, that needs it."""
    text, placed = _HEAD, set[str]()
    for group in GROUPS:
        wanted = _closure(pins, asked[group]) - placed
        placed |= wanted
        text += f"\n# group: {group}\n"
        for name in sorted(wanted):
            pin = pins[name]
            text += " \\\n    ".join([f"{pin.name}=={pin.version}", *pin.hashes]) + "\n"
    if lost := set(pins) - placed:
        raise SetupError(f"no group needs {', '.join(sorted(lost))}")
    return text


def _closure(pins: Mapping[str, Pin], names: Iterable[str]) -> set[str]:
    """The named packages and all that they ask for, found through who asked for whom."""
    found, queue = set[str](), list(names)
    while queue:
        name = queue.pop()
        if name in found:
            continue
        found.add(name)
        queue += [pin.name for pin in pins.values() if name in pin.via]
    return found


def _compile(environment: Environment, out: Path) -> str:
    command = environment.module("piptools", "compile", *_COMPILE, "-o", str(out), "pyproject.toml")
    done = subprocess.run(
        command,
        cwd=environment.checkout,
        capture_output=True,
        text=True,
        env=clean_environment(),
        check=False,
    )
    if done.returncode:
        said = (done.stdout + done.stderr).strip().splitlines() or ["no reason given"]
        raise SetupError(f"pyproject.toml cannot be resolved: {said[-1]}")
    return out.read_text(encoding="utf-8")
