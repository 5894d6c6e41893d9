"""The source files that the rules read."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Final

CHECKOUT: Final = Path(__file__).resolve().parents[2]
SHIPPED: Final = ("service", "vision")


def python_files(*folders: str) -> list[Path]:
    """Every Python file below the folders, in a stable order."""
    return [path for folder in folders for path in sorted((CHECKOUT / folder).rglob("*.py"))]


def nodes(path: Path) -> Iterator[ast.AST]:
    """Every node of a file's syntax tree."""
    yield from ast.walk(_tree(path))


def at(path: Path, node: ast.AST | int) -> str:
    """``file:line`` from the checkout, as an editor opens it."""
    line = node if isinstance(node, int) else getattr(node, "lineno", 0)
    return f"{path.relative_to(CHECKOUT)}:{line}"


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))
