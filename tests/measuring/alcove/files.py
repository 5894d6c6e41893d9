"""The worked alcove as wall files: roles, sides, stations, surfaces, readings."""

from __future__ import annotations

from typing import Any

from service.lengths import inches_text
from service.measuring.alcove.vocabulary import Role, Size
from tests.measuring.alcove.worked import worked_alcove

_LENGTHS = {"down_mm": "down", "at_mm": "at", "to_down_mm": "to_down"}
_RODDED = {Role.WIDTH, Role.DIAGONAL, Role.OPENING, Role.CORNER_DIAGONAL, Role.DEPTH}


def wall_documents(slip: str = "28 1/16") -> dict[str, dict[str, Any]]:
    """WALL.json of each wall, as a person would write it without a photo."""
    walls, readings = worked_alcove(slip)
    texts = {reading.dimension: reading.text for reading in readings}
    documents = {}
    for wall in walls:
        documents[wall.wall] = {
            "wall": wall.wall,
            "bare_unit": "in",
            "corner": None if wall.corner is None else str(wall.corner),
            "dimensions": [_dimension(size) for size in wall.sizes],
            "readings": [_reading(size, texts[size.name]) for size in wall.sizes],
        }
    return documents


def _dimension(size: Size) -> dict[str, Any]:
    name = size.name.removeprefix(f"{size.wall} ")
    row: dict[str, Any] = {"name": name, "role": str(size.role)}
    for key in ("side", "surface", "fixture", "count"):
        value = getattr(size, key)
        if value is not None:
            row[key] = value if isinstance(value, int) else str(value)
    for key, word in _LENGTHS.items():
        value = getattr(size, key)
        if value is not None:
            row[word] = inches_text(value)
    return row


def _reading(size: Size, text: str) -> dict[str, Any]:
    name = size.name.removeprefix(f"{size.wall} ")
    rod = {"kind": "rod", "method": "rod", "id": "r1"}
    tape = {"kind": "tape", "id": "t1"}
    return {
        "id": f"r {name}",
        "dimension": name,
        "value": text,
        "who": "A",
        "instrument": rod if size.role in _RODDED else tape,
    }
