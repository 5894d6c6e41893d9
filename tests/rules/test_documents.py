"""README and DEVELOPERS.md are held to the code: what they list exists, what exists is listed."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from service.bootstrap.commands import COMMANDS
from service.cli import app
from service.measuring.slip_kinds import SlipKind
from tests.rules.sources import CHECKOUT, SHIPPED, at, nodes, python_files

README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
SPEAKERS = ("Refusal", "Advice", "Caution", "SearchNote", "ServiceError")
"""What carries a stable code as its first argument."""


def spoken_codes() -> dict[str, str]:
    """Each code written in the shipped code, and where."""
    found: dict[str, str] = {}
    for path in python_files(*SHIPPED):
        constants = _constants(path)
        for node in nodes(path):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            if not isinstance(node.func, ast.Name) or node.func.id not in SPEAKERS:
                continue
            for code in _codes(node.args[0], constants):
                found.setdefault(code, at(path, node))
    return found


def section(title: str) -> str:
    """The text of DEVELOPERS.md under a heading."""
    match = re.search(rf"^## {title}\n(.*?)(?=^## |\Z)", DEVELOPERS, re.MULTILINE | re.DOTALL)
    return match[1] if match else ""


def table_codes(text: str) -> set[str]:
    """First cells of a table's rows, where they are code."""
    return set(re.findall(r"^\| `([^`]+)` \|", text, re.MULTILINE))


def test_every_code_is_documented() -> None:
    """A code that a person can meet is explained in DEVELOPERS.md."""
    codes = spoken_codes()
    documented = table_codes(section("Codes"))

    assert {code: place for code, place in codes.items() if code not in documented} == {}


def test_no_documented_code_is_dead() -> None:
    """A code that is explained can still be met."""
    shipped = "".join(path.read_text(encoding="utf-8") for path in python_files(*SHIPPED))
    dead = {code for code in table_codes(section("Codes")) if f'"{code}"' not in shipped}

    assert dead == set()


def test_every_slip_kind_is_documented() -> None:
    """The closed list of slips is documented whole and nothing else is."""
    assert table_codes(section("Slips")) == {kind.value for kind in SlipKind}


def test_every_command_is_in_the_readme() -> None:
    """Each command of the command line is shown in the README."""
    names = [
        command.name or command.callback.__name__
        for command in app.registered_commands
        if command.callback is not None
    ]

    assert [name for name in names if f"tapeproof {name}" not in README] == []


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_bootstrap_command_is_documented(command: str) -> None:
    """Each bootstrap command is shown in the README or in DEVELOPERS.md."""
    assert f"service.bootstrap {command}" in README + DEVELOPERS


def test_ci_runs_the_readmes_test_command() -> None:
    """What CI runs is the README's test command and nothing else."""
    lines = (CHECKOUT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    commands = [line.removeprefix("exec ") for line in lines if "python3" in line]

    assert commands == ["python3 -m service.bootstrap test"]
    assert commands[0] in README


def test_readme_stays_short() -> None:
    """The README is read whole: at most 150 lines."""
    assert README.count("\n") <= 150


def test_readme_names_every_dependency() -> None:
    """Each package that is installed to run is named in the README with its reason."""
    text = (CHECKOUT / "pyproject.toml").read_text(encoding="utf-8")
    block = text.partition("dependencies = [")[2].partition("]")[0]
    names = re.findall(r'"([A-Za-z0-9-]+)', block)

    assert len(names) > 8
    assert [name for name in names if name not in README] == []


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(name: str) -> None:
    """Each relative link and picture of the papers exists."""
    text = (CHECKOUT / name).read_text(encoding="utf-8")
    targets = re.findall(r"\]\(([^)#:]+)\)", text)

    assert [target for target in targets if not (CHECKOUT / target).exists()] == []


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README.md", "DEVELOPERS.md"])
def test_named_files_exist(text: str) -> None:
    """Each file that the papers name is there: whole, or by the end of its path."""
    known = [f"/{path.relative_to(CHECKOUT)}" for path in _tree()]
    named = re.findall(r"`([\w./-]+(?:\.(?:py|js|md)|/))`", text)
    ours = [name.strip("/") for name in named if not name.startswith((".cache/", "DATA/"))]

    assert len(ours) > 10
    assert [name for name in ours if not any(path.endswith(f"/{name}") for path in known)] == []


def _tree() -> list[Path]:
    """Files and folders of the code."""
    tops = [CHECKOUT / name for name in (*SHIPPED, "web", "tests", "fixtures")]
    return [*CHECKOUT.glob("*.md"), *tops, *(path for top in tops for path in top.rglob("*"))]


def _constants(path: Path) -> dict[str, str]:
    """Names that a file binds to a text."""
    found: dict[str, str] = {}
    for node in nodes(path):
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(node.value, ast.Constant):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if isinstance(node.value.value, str):
                found |= {ast.unparse(target): node.value.value for target in targets}
    return found


def _codes(argument: ast.expr, constants: dict[str, str]) -> list[str]:
    if isinstance(argument, ast.IfExp):
        return _codes(argument.body, constants) + _codes(argument.orelse, constants)
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        return [argument.value]
    name = ast.unparse(argument)
    return [constants[name]] if name in constants else []
