"""Answers about photos on their way."""

from __future__ import annotations

from pydantic import Field

from service.files.shape import OutputModel


class PartModel(OutputModel):
    """One part of an upload."""

    part: int = Field(ge=0)
    bytes: int = Field(ge=0)
    sha256: str


class UploadModel(OutputModel):
    """The parts that have arrived."""

    id: str
    parts: tuple[PartModel, ...]
