"""A size of a plan file: by its value, by a report's dimension, or both."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.files.shape import InputModel, LengthText, Name

_WORDS = "Name of the report's dimension that this size is; the value may then be left out."
DimensionName = Annotated[Name | None, Field(default=None, description=_WORDS)]


class Sized(InputModel):
    """A size by its value, by a report's dimension, or both."""

    value: LengthText | None = None
    dimension: DimensionName = None
