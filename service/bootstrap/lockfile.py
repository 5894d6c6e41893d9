"""The lock file: groups of packages with their versions and hashes."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Final

from service.bootstrap.steps import SetupError

LOCK_NAME: Final = "requirements.lock"
GROUPS: Final = ("setup", "run", "heic", "test", "lock", "make")
"""In this order each group stands on those before it: a package is in the first that needs it."""
_HEADING: Final = re.compile(r"^# group: (\w+)$")


def read_groups(path: Path) -> dict[str, str]:
    """The requirement lines of each group, as pip reads them.

    Raises
    ------
    SetupError
        If there is no such file.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise SetupError(
            f"{LOCK_NAME} is missing: restore it from version control (git checkout {LOCK_NAME})."
        ) from None
    groups: dict[str, list[str]] = {}
    lines: list[str] = []
    for line in text.splitlines():
        if heading := _HEADING.match(line):
            lines = groups.setdefault(heading[1], [])
        elif line and not line.startswith("#"):
            lines.append(line)
    return {name: "\n".join(found) + "\n" for name, found in groups.items()}


def count_packages(requirements: str) -> int:
    """How many packages the requirement lines pin."""
    return requirements.count("==")


def digest(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()
