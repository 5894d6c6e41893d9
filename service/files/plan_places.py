"""What a plan takes a size for, held against what the size's report says that it is of.

A value is right only where it was taken: the offset at 16 in, written at 40 in, is a proved reading
and a wrong cut. Who does not say where a size was taken is believed.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from service.lengths import inches_text
from service.measuring.alcove.vocabulary import OPPOSITE, Role, Side, Surface

if TYPE_CHECKING:
    from service.measuring.release.judged import TakenOf

_SAME_PLACE_MM: Final = 25.4 / 2
"""A wall within 3/8 in per 32 in is out by 1/160 in over that; nobody marks a height closer."""
_SEEN: Final = (Side.LEFT, Side.RIGHT)
_OFFSETS: Final = (Role.OFFSET, Role.TUB_FRONT)


@dataclass(frozen=True)
class TakenFor:
    """What a plan takes a size for, mm; None where it does not matter, or is not said.

    ``others`` are the names of all the wall's fixtures. Without any role it is something that a
    wall's file has no word for, such as the side of a window: whoever names a size for it is
    believed, but none that is told to be of something proves it by an equal figure alone.
    """

    roles: tuple[Role, ...]
    side: Side | None = None
    down_mm: float | None = None
    at_mm: float | None = None
    surface: Surface | None = None
    fixture: str | None = None
    others: Collection[str] = ()


UNTOLD: Final = TakenFor(())
CEILING: Final = TakenFor((Role.LINE_TO_CEILING,))
FLOOR: Final = TakenFor((Role.LINE_TO_FLOOR,))
TUB_FRONT: Final = TakenFor(_OFFSETS)


def outer_edge_taken_for(corner: str | None) -> TakenFor:
    """The outer edge of an end wall whose back corner is on that side."""
    away = None if corner is None else OPPOSITE[Side(corner)]
    return TakenFor(_OFFSETS, away)


def offset_taken_for(side: str, down_mm: float, surface: str | None) -> TakenFor:
    """An offset of a side, ``left`` or ``right`` as seen; the finished plane may be any surface."""
    told = Surface(surface) if surface in list(Surface) else None
    return TakenFor(_OFFSETS, Side(side), down_mm, surface=told)


def height_taken_for(at_mm: float) -> TakenFor:
    """A height from the level line to the deck."""
    return TakenFor((Role.HEIGHT,), at_mm=at_mm)


def fixture_taken_for(fixture: str, names: Collection[str]) -> tuple[TakenFor, TakenFor]:
    """A fixture's place across and down; ``names`` are those of all the wall's fixtures."""
    across, down = (
        TakenFor((role,), fixture=fixture, others=names)
        for role in (Role.FIXTURE_FROM_PLUMB, Role.FIXTURE_DOWN)
    )
    return across, down


def is_just(asked: TakenFor, size: TakenOf | None) -> bool:
    """Whether the size is told to be just that: its place and all."""
    if size is None or otherwise(asked, size):
        return False
    pairs = ((asked.down_mm, size.down_mm), (asked.at_mm, size.at_mm))
    placed = any(one is not None and other is not None for one, other in pairs)
    return placed or (asked.fixture is not None and asked.fixture == size.fixture)


def otherwise(asked: TakenFor, size: TakenOf | None) -> str:
    """What the size is told to be in place of what the plan takes it for; empty if it may be."""
    if size is None:
        return ""
    if size.role not in asked.roles:
        return f"it is told to be of another kind: {size.role}"
    if asked.side in _SEEN and size.side in _SEEN and asked.side != size.side:
        return f"it was taken on the {size.side}"
    if _apart(asked.down_mm, size.down_mm):
        return f"it was taken {_inches(size.down_mm)} below the level line"
    if _apart(asked.at_mm, size.at_mm):
        return f"it was taken {_inches(size.at_mm)} from the plumb line"
    if size.fixture in asked.others and size.fixture != asked.fixture:
        return f"it is of the {size.fixture}"
    if asked.surface is not None and size.surface not in (None, asked.surface):
        return f"it was taken to the {size.surface} surface"
    return ""


def _apart(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and abs(one - other) > _SAME_PLACE_MM


def _inches(mm: float | None) -> str:
    return "" if mm is None else f"{inches_text(mm, 16)} in"
