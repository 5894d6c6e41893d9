"""The finished opening at the tub front: what a door, its jambs and its rails have to fit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.model import Caution
from service.panels.room import FinishedOpening
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import Alcove

_HEIGHTS: Final = 3
_GRAIN_MM: Final = 1e-6


def finished_openings(alcove: Alcove, shop: Practice) -> tuple[FinishedOpening, ...]:
    """The opening between the hung end panels at every height it was taken at, from the top down.

    Each end wall comes in by its panel's build-up.
    """
    return tuple(
        FinishedOpening(mark(o.down_mm), mark(o.width_mm - 2 * shop.build_up_mm))
        for o in sorted(alcove.openings, key=lambda o: o.down_mm)
    )


def door_cautions(alcove: Alcove, shop: Practice) -> tuple[Caution, ...]:
    """Too few heights to order a door by, walls that its jambs cannot follow, and its size."""
    found = finished_openings(alcove, shop)
    if not found:
        return ()
    cautions = []
    if len(found) < _HEIGHTS:
        text = f"the opening was taken at {len(found)} of {_HEIGHTS} heights"
        cautions.append(Caution("few-openings", text, None, "take it at top, middle and deck"))
    narrow = min(found, key=lambda o: o.width.mm)
    wide = max(found, key=lambda o: o.width.mm)
    if wide.width.mm - narrow.width.mm > shop["door.taper"] + _GRAIN_MM:
        text = (
            f"the finished opening runs from {narrow.width.text} in at {narrow.down.text} in below "
            f"the line to {wide.width.text} in at {wide.down.text} in: jambs must take up "
            f"{mark(wide.width.mm - narrow.width.mm).text} in, and rails are cut to no more than "
            f"{width(narrow.width.mm).text} in"
        )
        cautions.append(Caution("opening-tapers", text, None, "ask the door's maker"))
    return tuple(cautions)
