"""A length inside a file, refused with its place in the file when it is none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.files.shape import misplaced
from service.lengths import Length, LengthError, parse_length, parse_station

if TYPE_CHECKING:
    from collections.abc import Callable


def check_size(field: str, text: str, bare_unit: str | None) -> None:
    """Refuse what is not a length greater than zero."""
    if _parsed(parse_length, field, text, bare_unit).mm <= 0:
        misplaced(field, f"expected a length greater than zero, not {text!r}")


def check_length(field: str, text: str, bare_unit: str | None) -> None:
    """Refuse what is not a length; zero will do."""
    _parsed(parse_length, field, text, bare_unit)


def check_station(field: str, text: str, bare_unit: str | None) -> None:
    """Refuse what is not a length with or without a sign."""
    _parsed(parse_station, field, text, bare_unit)


def _parsed(
    parse: Callable[[str, str | None], Length], field: str, text: str, bare_unit: str | None
) -> Length:
    try:
        return parse(text, bare_unit)
    except LengthError as error:
        misplaced(field, f"found {error.found} in {text!r}; expected {error.expected}")
