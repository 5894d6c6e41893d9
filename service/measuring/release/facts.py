"""What people say beside their readings: overrides, second looks, and what a sheet needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.alcove.vocabulary import Role, Surface, WallSizes


class NothingChecks(StrEnum):
    """What no other reading and no photo of a wall can check."""

    HOLD_DOWN = "hold-down"
    TOP = "agreed top"
    FACE_TO_VALVE = "face to valve"
    HAND = "hand"


@dataclass(frozen=True, slots=True)
class Override:
    """Someone lets a conflicting reading stand; the reason prints on every later page."""

    dimension: str
    reading: str
    who: str
    reason: str


@dataclass(frozen=True, slots=True)
class SecondLook:
    """A second person, or a photo with the tape in it, for what nothing checks.

    ``first`` is who stated it; the photo is named by its file or fingerprint.
    """

    what: NothingChecks
    first: str | None = None
    second: str | None = None
    photo: str | None = None


@dataclass(frozen=True, slots=True)
class SheetNeeds:
    """What one sheet hangs on.

    Attributes
    ----------
    sheet
        The wall it is for.
    sizes
        Names of the sizes that it is cut by.
    looks
        What a second person or a photo must vouch for.
    facts
        What else it is made from, as text: top, pattern, holes, the practice's version.
    """

    sheet: str
    sizes: tuple[str, ...]
    looks: tuple[NothingChecks, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)


def needs_of(
    wall: WallSizes, taped: Sequence[str], facts: Mapping[str, str] | None = None
) -> SheetNeeds:
    """What the sheet of a wall needs.

    Once the back sheet hangs, an offset re-taped from its face takes the place of the one to the
    tile: the bed over a hollow is not its nominal.
    """
    hung = {
        (size.side, size.down_mm): size.name
        for size in wall.of(Role.OFFSET, surface=Surface.HUNG)
        if size.name in taped
    }
    place = {size.name: (size.side, size.down_mm) for size in wall.of(Role.OFFSET)}
    on_hung_face = {size.name for size in wall.of(Role.OFFSET, surface=Surface.HUNG)}
    sizes = dict.fromkeys(
        hung.get(place.get(name, (None, None)), name)
        for name in sheet_needs(wall)
        if name not in on_hung_face or name in taped
    )
    looks = [NothingChecks.HOLD_DOWN, NothingChecks.TOP]
    if wall.corner is not None:
        looks.append(NothingChecks.HAND)
    if any("valve" in (size.fixture or "") for size in wall.sizes):
        looks.append(NothingChecks.FACE_TO_VALVE)
    return SheetNeeds(wall.wall, tuple(sizes), tuple(looks), dict(facts or {}))
