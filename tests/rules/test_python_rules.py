"""Rules for Python code that the linters do not know: for what is shipped, lengths for all."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from tests.rules.sources import SHIPPED, at, nodes, python_files

WRITTEN = (*SHIPPED, "tests", "fixtures")
LONGEST_FILE = 400
LONGEST_FUNCTION = 60
OUTERMOST = ("service/cli.py",)
NUMPY_GLOBALS = re.compile(
    r"^(np|numpy)\.random\.(?!default_rng|Generator|PCG64|SeedSequence|BitGenerator)\w+"
)


def test_no_global_randomness() -> None:
    """Randomness comes in as a generator: with numpy's global one, a test's result hung on which
    tests had run before it."""
    found = [
        at(path, node)
        for path in python_files(*WRITTEN)
        for node in nodes(path)
        if isinstance(node, ast.Attribute) and NUMPY_GLOBALS.match(ast.unparse(node))
    ]

    assert found == []


def test_no_assert_in_shipped_code() -> None:
    """Input is checked by raising: `python -O` drops every assert, and with it the check."""
    found = [
        at(path, node)
        for path in python_files(*SHIPPED)
        for node in nodes(path)
        if isinstance(node, ast.Assert)
    ]

    assert found == []


def test_no_broad_except() -> None:
    """Only the outermost handler catches everything: elsewhere a broad except turned a fault of
    the program into a wrong result that looked right."""
    found = [
        at(path, node)
        for path in python_files(*SHIPPED)
        if not str(path).endswith(OUTERMOST)
        for node in nodes(path)
        if isinstance(node, ast.ExceptHandler) and _is_broad(node)
    ]

    assert found == []


def test_files_are_short() -> None:
    """A file is one idea; past 400 lines it has always been two, of tests as of what they test."""
    found = [
        f"{at(path, 1)} {count} lines"
        for path in python_files(*WRITTEN)
        if (count := path.read_text(encoding="utf-8").count("\n")) > LONGEST_FILE
    ]

    assert found == []


def test_functions_are_short() -> None:
    """A function is read at one sight; past 60 lines without its docstring it is three."""
    found = [
        f"{at(path, node)} {node.name} {length} lines"
        for path in python_files(*WRITTEN)
        for node in nodes(path)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (length := _length(node)) > LONGEST_FUNCTION
    ]

    assert found == []


def test_rules_can_fail(tmp_path: Path) -> None:
    """The rules see what they are to see."""
    path = tmp_path / "bad.py"
    body = "\n".join("    x = 1" for _ in range(61))
    path.write_text(
        f"def f():\n    '''d'''\n{body}\n    assert x\n"
        "try:\n    np.random.rand()\nexcept (OSError, Exception):\n    pass\n",
        encoding="utf-8",
    )
    found = list(nodes(path))

    assert any(isinstance(n, ast.ExceptHandler) and _is_broad(n) for n in found)
    assert [_length(n) for n in found if isinstance(n, ast.FunctionDef)] == [62]
    assert any(isinstance(n, ast.Attribute) and NUMPY_GLOBALS.match(ast.unparse(n)) for n in found)


def _is_broad(handler: ast.ExceptHandler) -> bool:
    if handler.type is None:
        return True
    kinds = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type]
    caught = {ast.unparse(kind) for kind in kinds}
    reraises = any(isinstance(node, ast.Raise) and node.exc is None for node in ast.walk(handler))
    if "BaseException" in caught and reraises:  # tidies up and lets it pass
        caught.discard("BaseException")
    return bool(caught & {"Exception", "BaseException"})


def _length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of the body without its docstring."""
    body = function.body
    if ast.get_docstring(function) is not None:
        body = body[1:]
    if not body:
        return 0
    return (function.end_lineno or 0) - body[0].lineno + 1
