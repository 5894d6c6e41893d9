"""What each named size of an alcove needs said about it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.files.field_length import check_station
from service.files.shape import misplaced
from service.measuring.alcove.vocabulary import Role, Side, Surface

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.files.wall_parts import Dimension, Reading

_FIXTURES: Final = (
    Role.FIXTURE_FROM_PLUMB,
    Role.FIXTURE_FROM_CORNER,
    Role.FIXTURE_DOWN,
    Role.FIXTURE_ABOVE_DECK,
)
_NEEDS: Final[Mapping[Role, tuple[str, ...]]] = {
    Role.OFFSET: ("side", "down"),
    Role.WIDTH: ("down",),
    Role.DIAGONAL: ("side", "down"),
    Role.CORNER_DIAGONAL: ("side",),
    Role.PLAN_DIAGONAL: ("side",),
    Role.TILE_TOP: ("side",),
    **dict.fromkeys(_FIXTURES, ("fixture",)),
}
_SAID: Final = ("side", "down", "to_down", "at", "surface", "fixture", "count")
_IN_PLAN: Final = (Role.CORNER_DIAGONAL, Role.PLAN_DIAGONAL)


def check_roles(dimensions: Sequence[Dimension], corner: str | None, bare_unit: str | None) -> None:
    """A named size says all that its role needs, and what it says fits the wall."""
    for index, dimension in enumerate(dimensions):
        field = f"dimensions[{index}]"
        for key in ("down", "to_down", "at"):
            if (text := getattr(dimension, key)) is not None:
                check_station(f"{field}.{key}", text, bare_unit)
        if dimension.role is None:
            said = next((key for key in _SAID if getattr(dimension, key) is not None), None)
            if said is not None:
                misplaced(f"{field}.role", f"is missing; {said} is said of a named size only")
            continue
        for key in _NEEDS.get(dimension.role, ()):
            if getattr(dimension, key) is None:
                misplaced(f"{field}.{key}", f"is missing; {dimension.role} needs it")
        if dimension.role is Role.HEIGHT and (dimension.side is None) == (dimension.at is None):
            misplaced(f"{field}.at", "expected at or side, one of them: where the height is taken")
        _check_side(field, dimension, corner)


def check_surfaces(readings: Sequence[Reading], dimensions: Sequence[Dimension]) -> None:
    """A size is to one surface: that of its dimension, else that of its first standing reading."""
    surface: dict[str, Surface] = {d.name: d.surface for d in dimensions if d.surface is not None}
    replaced = {reading.replaces for reading in readings}
    for index, reading in enumerate(readings):
        if reading.surface is None or reading.id in replaced:
            continue
        wanted = surface.setdefault(reading.dimension, reading.surface)
        if reading.surface is not wanted:
            misplaced(
                f"readings[{index}].surface",
                f"expected {wanted}, as {reading.dimension!r} is to the {wanted} surface; a size "
                f"to {reading.surface} is a dimension of its own",
            )


def surfaces_told(
    readings: Sequence[Reading], dimensions: Sequence[Dimension]
) -> dict[str, Surface]:
    """What the tape touched, by the name of each size of which that is told."""
    replaced = {reading.replaces for reading in readings}
    standing = [reading for reading in readings if reading.id not in replaced]
    by_reading = {r.dimension: r.surface for r in standing if r.surface is not None}
    return by_reading | {d.name: d.surface for d in dimensions if d.surface is not None}


def _check_side(field: str, dimension: Dimension, corner: str | None) -> None:
    side, role = dimension.side, dimension.role
    if side is None:
        return
    if side is Side.FRONT and role is not Role.HEIGHT:
        misplaced(
            f"{field}.side", f"expected another side: only a height is at the front, no {role}"
        )
    if role in _IN_PLAN and side not in (Side.LEFT, Side.RIGHT):
        misplaced(
            f"{field}.side", f"expected left or right: a {role} is at a side of the back wall"
        )
    if side in (Side.INNER, Side.OUTER) and corner is None:
        misplaced("corner", f"is missing; {dimension.name!r} is on the {side} side of an end wall")
