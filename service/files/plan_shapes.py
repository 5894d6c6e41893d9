"""Soffits, seats, curbs, pony walls and sloped ceilings: what a plan file says of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import Field

from service.files.field_length import check_size, check_station
from service.files.shape import InputModel, LengthText, Name, misplaced
from service.files.sized import Sized
from service.files.wall_rules import refuse_doubles
from service.lengths import parse_station
from service.panels.walls import LowTop, Obstacle, Station

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from service.panels.walls import Given

    Reads = Callable[[str, str | None, str | None], Given]

_ACROSS = ("left", "right")


class ObstaclePart(InputModel):
    """What stands out of a wall, so that the panel is cut round it: an upright rectangle."""

    name: Name = Field(description="A name of its own.")
    kind: Literal["soffit", "pony wall", "seat", "curb", "ledge"] = Field(
        description="A soffit hangs from the ceiling, the others stand on the floor or the deck."
    )
    left: Sized | None = Field(
        default=None,
        description="Plumb line to its left side, left negative; null: it runs on past the panel.",
    )
    right: Sized | None = Field(
        default=None,
        description="Plumb line to its right side, left negative; null: it runs on past the panel.",
    )
    head: Sized | None = Field(
        default=None, description="Level line down to its upper end; null: up to the ceiling."
    )
    foot: Sized | None = Field(
        default=None, description="Level line down to its lower end; null: down to the deck."
    )
    depth: LengthText | None = Field(
        default=None,
        description="How far it stands out of the finished plane; null: it gets no sheet.",
    )


class CeilingHeight(InputModel):
    """Level line up to a sloped ceiling at one place along the wall."""

    at: LengthText = Field(description="From the plumb line, left negative.")
    value: LengthText = Field(description="Above the level line.")


class LowTopPart(InputModel):
    """The top of an end wall that is lower than the others, such as a pony wall."""

    down: Sized = Field(description="Level line down to its top.")
    thickness: LengthText = Field(description="How thick the wall is, for its cap and its end.")


def check_obstacles(field: str, obstacles: Sequence[ObstaclePart], unit: str) -> None:
    """Every side is a length with its side of the plumb line, and names stand once."""
    refuse_doubles(f"{field}.obstacles", "name", [o.name for o in obstacles])
    for index, obstacle in enumerate(obstacles):
        where = f"{field}.obstacles[{index}]"
        for key in ("left", "right", "head", "foot"):
            size: Sized | None = getattr(obstacle, key)
            if size is None:
                continue
            if size.value is None and (key in _ACROSS or size.dimension is None):
                misplaced(f"{where}.{key}.value", "is missing; expected a length, left negative")
            if size.value is not None:
                check_station(f"{where}.{key}.value", size.value, unit)
        if obstacle.depth is not None:
            check_size(f"{where}.depth", obstacle.depth, unit)


def check_tops(
    field: str, ceiling: Sequence[CeilingHeight], low_top: LowTopPart | None, unit: str
) -> None:
    """The heights of a sloped ceiling and of a low wall are lengths."""
    for index, height in enumerate(ceiling):
        check_station(f"{field}.ceiling[{index}].at", height.at, unit)
        check_size(f"{field}.ceiling[{index}].value", height.value, unit)
    if low_top is not None:
        if low_top.down.value is None and low_top.down.dimension is None:
            misplaced(f"{field}.low_top.down.value", "is missing; expected a length")
        if low_top.down.value is not None:
            check_station(f"{field}.low_top.down.value", low_top.down.value, unit)
        check_size(f"{field}.low_top.thickness", low_top.thickness, unit)


def obstacle_value(part: ObstaclePart, read: Reads, unit: str) -> Obstacle:
    """One obstacle; `read` takes what a size is of, its value and its dimension."""

    def side(key: str, size: Sized | None) -> Given | None:
        return None if size is None else read(f"{part.name} {key}", size.value, size.dimension)

    return Obstacle(
        name=part.name,
        kind=part.kind,
        left=side("left", part.left),
        right=side("right", part.right),
        head=side("head", part.head),
        foot=side("foot", part.foot),
        depth_mm=None if part.depth is None else _mm(part.depth, unit),
    )


def ceiling_values(heights: Sequence[CeilingHeight], read: Reads, unit: str) -> tuple[Station, ...]:
    """A sloped ceiling's heights above the level line."""
    return tuple(
        Station(_mm(h.at, unit), read(f"ceiling {h.at}", h.value, None)) for h in heights
    )  # fmt: skip


def low_top_value(part: LowTopPart | None, read: Reads, unit: str) -> LowTop | None:
    """The top of a low wall."""
    if part is None:
        return None
    down = read("low top down", part.down.value, part.down.dimension)
    return LowTop(down, _mm(part.thickness, unit))


def _mm(text: str, unit: str) -> float:
    return float(parse_station(text, unit).mm)
