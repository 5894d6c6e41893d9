"""Blocking for what is screwed to the finished wall; it must stand before the sheet covers it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.model import Caution
from service.panels.room import Blocking
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import Fixture, WallShape

_CARRIED: Final = ("grab bar", "seat", "accessory", "door rail", "door jamb")


def blocking(shape: WallShape, shop: Practice) -> tuple[Blocking, ...]:
    """One piece for each bar, seat, rail, jamb and accessory of a wall, past both of its ends."""
    return tuple(_piece(shape, f, shop) for f in shape.fixtures if f.kind in _CARRIED)


def jamb_cautions(shape: WallShape, shop: Practice) -> tuple[Caution, ...]:
    """Door jambs that do not land on flat sheet: the return at the outer edge is rounded."""
    outer = shape.outer
    if outer is None:
        return ()
    flat = outer.from_plumb_mm - shop["door.return_radius"]
    found = []
    for fixture in shape.fixtures:
        reach = fixture.from_plumb.mm + (fixture.plate_mm or 0.0) / 2
        if fixture.kind == "door jamb" and reach > flat + 1e-6:
            text = (
                f"{fixture.name} stands {mark(reach - flat).text} in past the flat of the sheet: "
                "its return is rounded there"
            )
            found.append(Caution("jamb-on-return", text, shape.wall, "move the jamb in"))
    return tuple(found)


def _piece(shape: WallShape, fixture: Fixture, shop: Practice) -> Blocking:
    """Level behind a bar, upright behind a jamb."""
    along = mark((fixture.length_mm or 0.0) + 2 * shop["blocking.past"])
    across = mark(shop["blocking.height"])
    upright = fixture.kind == "door jamb"
    holds = "holds 250 lbf (2010 ADA 609.8, from memory)"
    why = holds if fixture.kind == "grab bar" else "follow its maker"
    return Blocking(
        wall=shape.wall,
        what=fixture.name,
        from_plumb=mark(fixture.from_plumb.mm),
        down=mark(fixture.down.mm),
        width=across if upright else along,
        height=along if upright else across,
        why=f"before covering; {why}",
    )
