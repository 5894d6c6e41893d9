"""The published JSON Schema (2020-12) of each file."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from service.files.cross_check import CheckFile
from service.files.panels import PanelsFile
from service.files.plan import PlanFile
from service.files.report import Report
from service.files.wall import WallFile
from service.product import COMMAND

if TYPE_CHECKING:
    from collections.abc import Mapping

    from pydantic import BaseModel
    from pydantic.json_schema import JsonSchemaMode

MODELS: Final[Mapping[str, type[BaseModel]]] = MappingProxyType(
    {
        "wall": WallFile,
        "report": Report,
        "check": CheckFile,
        "plan": PlanFile,
        "panels": PanelsFile,
    }
)


def json_schema(kind: str) -> dict[str, Any]:
    """Schema of the file ``kind``: a key of `MODELS`; for what is written, as it is written."""
    mode: JsonSchemaMode = "validation" if kind in ("wall", "plan") else "serialization"
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:{COMMAND}:{kind}",
        **MODELS[kind].model_json_schema(by_alias=True, mode=mode),
    }
