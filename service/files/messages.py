"""Validation errors in one line: the field's path and what was expected there."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any, Final

from pydantic import BaseModel

if TYPE_CHECKING:
    from collections.abc import Iterable

    from pydantic import ValidationError
    from pydantic_core import ErrorDetails


_WANTED: Final = {
    "string_type": "text in quotes",
    "model_type": "an object in braces",
    "model_attributes_type": "an object in braces",
    "dict_type": "an object in braces",
    "tuple_type": "a list in brackets",
    "list_type": "a list in brackets",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "bool_type": "true or false",
    "finite_number": "a finite number",
    "string_too_short": "text that is not empty",
    "datetime_parsing": "a date and time such as 2026-11-24T09:30:00Z",
    "datetime_from_date_parsing": "a date and time such as 2026-11-24T09:30:00Z",
    "datetime_type": "a date and time such as 2026-11-24T09:30:00Z",
}


_BOUNDS: Final = {
    "greater_than": ("gt", "greater than"),
    "greater_than_equal": ("ge", "at least"),
    "less_than_equal": ("le", "at most"),
}


def explain(error: ValidationError, model: type[BaseModel]) -> tuple[str, str]:
    """The first wrong field's path, and what was expected there.

    Further errors are counted only: mending one often mends the rest.
    """
    details = error.errors(include_url=False)
    first = details[0]
    field, expected = _field(first), _expected(first, model)
    more = len(details) - 1
    return field, f"{expected} (and {more} more)" if more else expected


def field_path(parts: Iterable[int | str]) -> str:
    """``photos[0].marks.left-low.at`` from its parts."""
    path = ""
    for part in parts:
        if isinstance(part, int):
            path += f"[{part}]"
        else:
            path += f".{part}" if path else part
    return path


def _field(detail: ErrorDetails) -> str:
    placed = detail.get("ctx", {}).get("field")
    if detail["type"] == "placed" and isinstance(placed, str):
        return placed
    return field_path(part for part in detail["loc"] if part != "[key]")


def _expected(detail: ErrorDetails, model: type[BaseModel]) -> str:
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "placed":
        return detail["msg"]
    if kind == "missing":
        return _missing(detail, model)
    if kind == "extra_forbidden":
        return _known_keys(detail, model)
    if kind == "value_error":
        return str(context.get("error", detail["msg"]))
    if kind == "literal_error":
        return f"expected {context['expected']}, not {_shown(detail['input'])}"
    if kind == "json_invalid":
        return f"expected JSON: {context['error']}"
    if kind in ("too_long", "too_short"):
        limit, count = (
            ("at most", "max_length") if kind == "too_long" else ("at least", "min_length")
        )
        return f"expected {limit} {context[count]} in this list, not {context['actual_length']}"
    if kind == "string_too_long":
        return f"expected at most {context['max_length']} characters"
    if kind in _BOUNDS:
        key, words = _BOUNDS[kind]
        return f"expected {words} {_plain(context[key])}, not {_shown(detail['input'])}"
    if kind == "decimal_max_places":
        return (
            f"expected at most {context['decimal_places']} decimals, not {_shown(detail['input'])}"
        )
    if kind == "decimal_max_digits":
        return f"expected at most {context['max_digits']} digits, not {_shown(detail['input'])}"
    if kind in _WANTED:
        return f"expected {_WANTED[kind]}, not {_shown(detail['input'])}"
    return _in_the_librarys_words(detail)


def _in_the_librarys_words(detail: ErrorDetails) -> str:
    said = detail["msg"].removeprefix("Input ").removeprefix("Value ")
    said = said.removeprefix("should be ").removeprefix("should ")
    return f"expected {said[:1].lower()}{said[1:]}, not {_shown(detail['input'])}"


def _missing(detail: ErrorDetails, model: type[BaseModel]) -> str:
    owner, key = _model_at(detail["loc"][:-1], model), detail["loc"][-1]
    if owner is None or not isinstance(key, str):
        return "is missing; expected one more value in this list"
    fields = {field.alias or name: field for name, field in owner.model_fields.items()}
    described = fields[key].description if key in fields else None
    if described is None:
        return f"is missing; each {_in_words(owner)} needs it"
    return f"is missing; expected: {described.rstrip('.')}"


def _in_words(owner: type[BaseModel]) -> str:
    """``WallPhoto`` as ``wall photo``."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", owner.__name__).lower()


def _known_keys(detail: ErrorDetails, model: type[BaseModel]) -> str:
    owner = _model_at(detail["loc"][:-1], model)
    if owner is None:
        return "is not a known key"
    keys = [field.alias or name for name, field in owner.model_fields.items()]
    return f"is not a known key; known here: {', '.join(keys)}"


def _model_at(parts: Iterable[int | str], model: type[BaseModel]) -> type[BaseModel] | None:
    """The model that owns the place ``parts``, walked through lists and objects."""
    owner: type[BaseModel] | None = model
    for part in parts:
        if owner is not None and isinstance(part, str):
            fields = {field.alias or name: field for name, field in owner.model_fields.items()}
            found = fields.get(part)
            owner = _first_model(found.annotation) if found is not None else owner
    return owner


def _first_model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = getattr(annotation, "__args__", ())
    return next((found for found in map(_first_model, inner) if found is not None), None)


def _plain(limit: float) -> str:
    """A limit as a person writes it: 0.0001 and 1000000, no exponent."""
    return f"{limit:.6f}".rstrip("0").rstrip(".")


def _shown(value: object, longest: int = 60) -> str:
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= longest else f"{text[:longest]}…"
