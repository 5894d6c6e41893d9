"""A length as typed, said back."""

from __future__ import annotations

from service.errors import ServiceError
from service.files.api.answers import LengthModel
from service.files.api.asked import LengthBody
from service.files.api.echo import length_echo
from service.lengths import LengthError, parse_length, parse_station


def understood_length(body: LengthBody) -> LengthModel:
    """What a typed length means.

    Raises
    ------
    ServiceError
        ``invalid``, saying what was found and what was expected.
    """
    try:
        parse = parse_station if body.signed else parse_length
        length = parse(body.text, body.bare_unit)
    except LengthError as error:
        detail = f"Found {error.found} in {body.text!r}; expected {error.expected}."
        raise ServiceError("invalid", detail, field="text") from None
    return LengthModel(mm=float(length.mm), echo=length_echo(length), unit=length.unit)
