"""The lock file: only names, versions and hashes, and everything that pyproject asks for."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from service.bootstrap.lockfile import GROUPS, LOCK_NAME, read_groups
from service.bootstrap.relock import Pin, lock_text, normal, read_pins, requirement_name, roots
from service.bootstrap.steps import SetupError

CHECKOUT = Path(__file__).resolve().parents[2]
PIN = re.compile(r"[a-z0-9-]+==[0-9][A-Za-z0-9.+!]*( ; [^/]+)? \\")
HASH = re.compile(r"    --hash=sha256:[0-9a-f]{64}( \\)?")


def locked() -> dict[str, set[str]]:
    groups = read_groups(CHECKOUT / LOCK_NAME)
    return {
        group: {line.partition("==")[0] for line in text.splitlines() if "==" in line}
        for group, text in groups.items()
    }


def test_only_names_versions_and_hashes() -> None:
    """No address, no host and no option stands in the lock."""
    lines = (CHECKOUT / LOCK_NAME).read_text(encoding="utf-8").splitlines()
    body = [line for line in lines if line and not line.startswith("#")]

    assert [line for line in body if not PIN.fullmatch(line) and not HASH.fullmatch(line)] == []
    assert "://" not in "".join(lines)


def test_every_package_has_a_hash() -> None:
    """Each pin is followed by at least one hash, so that pip can refuse another file."""
    for text in read_groups(CHECKOUT / LOCK_NAME).values():
        for block in re.split(r"\n(?=\S)", text.strip()):
            assert "--hash=sha256:" in block, block.splitlines()[0]


def test_every_dependency_of_pyproject_is_locked() -> None:
    """What pyproject asks for in a group is locked in that group or one installed before it."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups, before = locked(), set[str]()
    for group in GROUPS:
        before |= groups[group]
        assert set(roots(project)[group]) <= before, group


def test_groups_of_pyproject_and_lock_are_the_same() -> None:
    """An extra that is added to pyproject is locked too."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    assert set(roots(project)) == set(GROUPS) == set(locked())


def test_package_stands_in_one_group() -> None:
    """No package is pinned twice."""
    groups = locked()

    assert sum(map(len, groups.values())) == len(set().union(*groups.values()))


def test_missing_lock_is_said(tmp_path: Path) -> None:
    """Without the lock the command says how to get it back."""
    with pytest.raises(SetupError, match="restore it from version control"):
        read_groups(tmp_path / LOCK_NAME)


COMPILED = (
    """\
numpy==2.4.6 \\
    --hash=sha256:bb \\
    --hash=sha256:aa
    # via scipy, tapeproof (pyproject.toml)
scipy==1.17.1 \\
    --hash=sha256:cc
    # via tapeproof (pyproject.toml)
pytest_Extra==9.2.0 \\
    --hash=sha256:dd
    # via tapeproof (pyproject.toml)

# The following packages are considered to be unsafe in a requirements file:
setuptools==84.2.1 \\
    --hash=sha256:ee
    # via pytest-extra, tapeproof (pyproject.toml)
""".replace("aa", "a" * 64)
    .replace("bb", "b" * 64)
    .replace("cc", "c" * 64)
    .replace("dd", "d" * 64)
    .replace("ee", "e" * 64)
)


def test_pins_are_read() -> None:
    """A compiled text gives each package with its sorted hashes and who asked for it."""
    pins = read_pins(COMPILED)

    assert pins["numpy"] == Pin(
        "numpy",
        "2.4.6",
        (f"--hash=sha256:{'a' * 64}", f"--hash=sha256:{'b' * 64}"),
        ("scipy",),
    )
    assert pins["pytest-extra"].version == "9.2.0"


def test_packages_go_to_the_first_group_that_needs_them() -> None:
    """A package that several groups need is installed with the first of them."""
    asked: dict[str, list[str]] = {
        "setup": [],
        "run": ["scipy"],
        "heic": [],
        "test": ["pytest-extra"],
        "make": [],
        "lock": [],
    }

    text = lock_text(read_pins(COMPILED), asked)

    run = text.index("# group: run")
    test = text.index("# group: test")
    assert run < text.index("numpy==") < test
    assert test < text.index("setuptools==")
    assert text.count("numpy==") == text.count("scipy==") == 1


def test_package_that_nobody_needs_is_refused() -> None:
    """A pin that no group asks for shows that the groups were not read right."""
    with pytest.raises(SetupError, match="no group needs"):
        lock_text(read_pins(COMPILED), dict.fromkeys(GROUPS, ("scipy",)))


@pytest.mark.parametrize(
    ("requirement", "name"),
    [
        ("numpy>=2.2", "numpy"),
        ("Import_Linter>=2.17", "import-linter"),
        ("pkg[extra]==1", "pkg"),
        ("plain", "plain"),
    ],
)
def test_requirement_name(requirement: str, name: str) -> None:
    """A requirement's name is found whatever follows it."""
    assert requirement_name(requirement) == name == normal(name)
