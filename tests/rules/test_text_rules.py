"""Rules for the text of everything that is kept in the repository."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from tests.rules.sources import CHECKOUT, SHIPPED, python_files

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "requirements.lock",
    "service",
    "vision",
    "web",
    "tests",
    "fixtures",
}
MACHINE_PATH = re.compile(r"(^|[^a-zA-Z0-9_./])/(work|farm|root|home/[a-z]+|tmp/[a-z]+)/")
# Put together here, so that this file does not hold the words it looks for.
UNFINISHED = re.compile("|".join(["TO" + "DO", "FIX" + "ME", "X" * 3, "NotImplemented" + "Error"]))
MUMBLED = re.compile(r"\b(for now|not implemented|simplified|placeholder|stub)\b", re.IGNORECASE)
BINARY = {".jpg", ".png", ".pdf", ".ttf", ".exr", ".npz", ".ico"}


def kept_files() -> list[Path]:
    """Files under version control, or all that would be, where there is no git."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        done = subprocess.run(command, cwd=CHECKOUT, capture_output=True, check=True)
    except (FileNotFoundError, subprocess.CalledProcessError):
        found = [CHECKOUT / name for name in sorted(TOP_LEVEL)]
        folders = [path for top in found if top.is_dir() for path in top.rglob("*")]
        return [path for path in (*found, *folders) if path.is_file()]
    names = [name for name in done.stdout.decode().split("\0") if name]
    return [CHECKOUT / name for name in names if (CHECKOUT / name).is_file()]


def text_lines() -> list[tuple[str, str]]:
    found = []
    for path in kept_files():
        if path.suffix in BINARY:
            continue
        name = str(path.relative_to(CHECKOUT))
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
        found += [(f"{name}:{number}", line) for number, line in enumerate(lines, 1)]
    return found


def test_top_level_stays_small() -> None:
    """Nothing is added at the top level beside the files and folders that the README maps."""
    tops = {path.relative_to(CHECKOUT).parts[0] for path in kept_files()}

    assert {top for top in tops if not top.startswith(".")} <= TOP_LEVEL


def test_no_path_of_one_machine() -> None:
    """A path that exists on one machine only fails on every other."""
    found = [place for place, line in text_lines() if MACHINE_PATH.search(line)]

    assert found == []


@pytest.mark.parametrize("words", [UNFINISHED, MUMBLED], ids=["unfinished", "mumbled"])
def test_no_unfinished_work(words: re.Pattern[str]) -> None:
    """What is shipped is finished: a word that puts something off was never found again."""
    found = [
        f"{path.relative_to(CHECKOUT)}:{number}: {line.strip()}"
        for path in python_files(*SHIPPED)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if words.search(line)
    ]

    assert found == []


def test_no_skip_without_reason() -> None:
    """A skip hides a failure; the outside data alone may be missing, and it says so loudly."""
    skip = re.compile(r"pytest\.(skip|importorskip|xfail|mark\.(skip|skipif|xfail))\b")
    allowed = {"tests/support/outside.py", "tests/bootstrap/test_outside_data.py"}
    found = [
        place
        for place, line in text_lines()
        if place.startswith("tests/") and place.partition(":")[0] not in allowed
        if skip.search(line) and place.partition(":")[0] != "tests/rules/test_text_rules.py"
    ]

    assert found == []
