"""A small reader of DXF by its group codes, sharing nothing with the library that writes.

Codes as in the published DXF reference: 0 type, 2 name, 8 layer, 9 header variable, 10/20 points,
11/21 second point, 40 radius or height, 70 flags (1 closed), 1 text.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

Pair = tuple[int, str]


@dataclass(frozen=True)
class Entity:
    """One entity of the model space: its type and its group codes in file order."""

    kind: str
    codes: tuple[Pair, ...]

    def first(self, code: int) -> str:
        """The first value with this code."""
        return next(value for found, value in self.codes if found == code)

    def number(self, code: int, default: float = 0.0) -> float:
        """The first value with this code as a number."""
        return next((float(value) for found, value in self.codes if found == code), default)

    @property
    def layer(self) -> str:
        return self.first(8)

    @property
    def closed(self) -> bool:
        return bool(int(self.number(70)) & 1)

    @property
    def points(self) -> list[tuple[float, float]]:
        """Every 10/20 pair in order."""
        xs = [float(value) for code, value in self.codes if code == 10]
        ys = [float(value) for code, value in self.codes if code == 20]
        return list(zip(xs, ys, strict=True))


def pairs(data: bytes) -> list[Pair]:
    """Group code and value, two lines each."""
    lines = data.decode("utf-8").splitlines()
    if len(lines) % 2:
        raise ValueError("a DXF file has an even number of lines")
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header(data: bytes) -> dict[str, str]:
    """Each header variable's first value."""
    found: dict[str, str] = {}
    listed = section(data, "HEADER")
    for (code, name), (_, value) in pairwise(listed):
        if code == 9:
            found[name] = value
    return found


def entities(data: bytes) -> list[Entity]:
    """What the ENTITIES section holds."""
    found: list[Entity] = []
    for code, value in section(data, "ENTITIES"):
        if code == 0:
            found.append(Entity(value, ()))
        elif found:
            found[-1] = Entity(found[-1].kind, (*found[-1].codes, (code, value)))
    return found


def layer_names(data: bytes) -> set[str]:
    """Names in the layer table."""
    listed = section(data, "TABLES")
    names: set[str] = set()
    kind = ""
    for code, value in listed:
        if code == 0:
            kind = value
        elif code == 2 and kind == "LAYER":
            names.add(value)
    return names


def section(data: bytes, name: str) -> list[Pair]:
    """The pairs between a section's name and its end."""
    listed = pairs(data)
    start = next(
        index
        for index, pair in enumerate(listed)
        if pair == (2, name) and listed[index - 1] == (0, "SECTION")
    )
    end = next(index for index in range(start, len(listed)) if listed[index] == (0, "ENDSEC"))
    return listed[start + 1 : end]
