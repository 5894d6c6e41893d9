"""Reading a JSON file into its model, or one error that names file, field and expectation."""

from __future__ import annotations

import json
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final, NoReturn, TypeVar

from pydantic import BaseModel, ValidationError

from service.errors import FileError
from service.files.messages import explain

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MAX_BYTES: Final = 32 * 1024 * 1024
MAX_DEPTH: Final = 40
MAX_PHOTO_BYTES: Final = 64 * 1024 * 1024
"""What is decoded is no larger; a photo is read to one byte more, so that it is seen to be."""

_Model = TypeVar("_Model", bound=BaseModel)


def load_model(path: Path, model: type[_Model]) -> _Model:
    """The file as a checked ``model``.

    Raises
    ------
    FileError
        Naming the file, the first field that will not do, and what was expected there.
    """
    return parse_model(read_text(path), str(path), model)


@contextmanager
def named_by(source: str, field: str) -> Iterator[None]:
    """Tell of a file that cannot be used at all by the field that names it.

    What is wrong inside of it is still an error of its own field.
    """
    try:
        yield
    except FileError as error:
        if error.field:
            raise
        raise FileError(source, field, f"{error.source}: {error.expected}") from None


def is_there(path: Path, source: str, field: str) -> bool:
    """Whether there is a file of the name that ``field`` of ``source`` has.

    Raises
    ------
    FileError
        For a name that no file can have, or a folder that may not be looked into.
    """
    try:
        return path.is_file()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise FileError(source, field, f"{str(path)!r} cannot be read: {reason}") from None


def parse_model(text: str, source: str, model: type[_Model]) -> _Model:
    """The JSON text as a checked ``model``; ``source`` is what its errors call it.

    Raises
    ------
    FileError
        As `load_model`.
    """
    _check_json(source, text)
    try:
        return model.model_validate_json(text, strict=True)
    except ValidationError as error:
        field, expected = explain(error, model)
        raise FileError(source, field, expected) from None


def read_text(path: Path, wanted: str = "a JSON file") -> str:
    """The text of a file that should be ``wanted``, without a byte order mark.

    Raises
    ------
    FileError
        If it is missing, a folder, too large, or not UTF-8.
    """
    source = str(path)
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise FileError(source, "", f"expected {wanted}, and there is no such file") from None
    except IsADirectoryError:
        raise FileError(source, "", f"expected {wanted}, and this is a folder") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise FileError(source, "", f"cannot be read: {reason}") from None
    if len(data) > MAX_BYTES:
        raise FileError(source, "", f"expected at most {MAX_BYTES // 2**20} MiB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(source, "", f"expected UTF-8 text; byte {error.start} is not") from None


def read_photo(path: Path, source: str, field: str = "") -> bytes:
    """The bytes of a photo that ``field`` of the file ``source`` names, and no more than matter.

    Raises
    ------
    FileError
        If it is missing, a folder, or cannot be read.
    """
    try:
        with path.open("rb") as stream:
            return stream.read(MAX_PHOTO_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        expected = f"expected a photo, but {str(path)!r} cannot be read: {reason}"
        raise FileError(source, field, expected) from None


class _Doubled(dict[str, Any]):
    """An object one of whose keys stands in it twice."""

    key: str


def _check_json(source: str, text: str) -> None:
    """Refuse what a model would not see: doubled keys, NaN, overdeep nesting."""
    try:
        value = json.loads(text, object_pairs_hook=_pairs, parse_constant=_not_a_number)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise FileError(source, "", f"expected JSON; {place}: {error.msg}") from None
    except RecursionError:
        raise _too_deep(source) from None
    except ValueError as error:
        raise FileError(source, "", f"expected JSON numbers; {error}") from None
    _check_tree(source, value)


def _check_tree(source: str, value: Any) -> None:
    stack = [("", value, 1)]
    while stack:
        field, node, depth = stack.pop()
        if depth > MAX_DEPTH:
            raise _too_deep(source)
        if isinstance(node, _Doubled):
            inside = f"{field}.{node.key}" if field else node.key
            raise FileError(source, inside, "expected this name once, and it stands here twice")
        if isinstance(node, dict):
            dot = "." if field else ""
            children = [(f"{field}{dot}{key}", child, depth + 1) for key, child in node.items()]
            stack.extend(reversed(children))
        elif isinstance(node, list):
            items = [(f"{field}[{i}]", child, depth + 1) for i, child in enumerate(node)]
            stack.extend(reversed(items))


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    value = dict(pairs)
    if len(value) == len(pairs):
        return value
    seen: set[str] = set()
    doubled = _Doubled(pairs)
    doubled.key = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
    return doubled


def _not_a_number(constant: str) -> NoReturn:
    raise ValueError(f"{constant} is not one")


def _too_deep(source: str) -> FileError:
    return FileError(source, "", f"expected at most {MAX_DEPTH} levels of nesting")
