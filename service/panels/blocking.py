"""Blocking for what is screwed to the finished wall; it must stand before the sheet covers it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.room import Blocking
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import WallShape

_CARRIED: Final = ("grab bar", "seat", "accessory")


def blocking(shape: WallShape, shop: Practice) -> tuple[Blocking, ...]:
    """One piece for each bar, seat and accessory of a wall, past both of its ends."""
    found = []
    for fixture in shape.fixtures:
        if fixture.kind not in _CARRIED:
            continue
        length = (fixture.length_mm or 0.0) + 2 * shop["blocking.past"]
        why = (
            "holds 250 lbf (2010 ADA 609.8, from memory)"
            if fixture.kind == "grab bar"
            else ("follow its maker")
        )
        found.append(
            Blocking(
                wall=shape.wall,
                what=fixture.name,
                from_plumb=mark(fixture.from_plumb.mm),
                down=mark(fixture.down.mm),
                width=mark(length),
                height=mark(shop["blocking.height"]),
                why=f"before covering; {why}",
            )
        )
    return tuple(found)
