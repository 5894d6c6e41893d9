"""The outer end of an end wall: three ways of ending it, what they cover and what they clear."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.model import Caution
from service.panels.room import Cover, EndAdvice
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import WallShape

_HOW: Final = {
    "return": "finished edge: its return turns over the tile edge, removed or left",
    "trim under": "L-trim fixed first, under the sheet; the sheet is held back for a bead",
    "trim over": "L-trim over the sheet's edge, fixed afterwards",
}


def end_advice(shape: WallShape, shop: Practice) -> EndAdvice | None:
    """What the finished outer edge of an end wall covers and clears; None without such an edge.

    The edge must reach past the tile edge at every height it was taken at and past the paint scar,
    stay clear of the door casing, and not stand out past an outside corner.
    """
    outer = shape.outer
    if outer is None:
        return None
    edge, cover, clear = outer.from_plumb_mm, shop["trim.least_cover"], shop["trim.casing_clear"]
    found = []
    tile = [s.value.mm for s in (shape.left if shape.corner == "right" else shape.right)]
    if tile:
        found.append(_covers("tile edge", edge - max(tile), cover))
    if outer.scar_mm is not None:
        found.append(_covers("paint scar", edge - outer.scar_mm, cover))
    if outer.casing_mm is not None:
        by = outer.casing_mm - edge
        found.append(Cover("door casing", "clear", width(by), by >= clear - 1e-6))
    if outer.outside_corner_mm is not None:
        by = outer.outside_corner_mm - edge
        found.append(Cover("outside corner", "clear", width(by), by >= -1e-6))
    return EndAdvice(shape.wall, outer.finish, _how(shape, shop), tuple(found))


def end_cautions(shape: WallShape, shop: Practice) -> tuple[Caution, ...]:
    """Whatever the outer edge fails to cover or to clear, with how far to move it."""
    advice = end_advice(shape, shop)
    if advice is None:
        return ()
    found = []
    for cover in advice.covers:
        if cover.passes:
            continue
        least = shop["trim.least_cover" if cover.rule == "cover" else "trim.casing_clear"]
        if cover.what == "outside corner":
            least = 0.0
        way = "out" if cover.rule == "cover" else "in"
        text = (
            f"the outer edge does not {cover.rule} the {cover.what}: move it {way} by "
            f"{mark(least - cover.by.mm).text} in"
        )
        found.append(Caution(f"end-{cover.rule}", text, shape.wall))
    return tuple(found)


def _covers(what: str, by_mm: float, least_mm: float) -> Cover:
    return Cover(what, "cover", width(by_mm), by_mm >= least_mm - 1e-6)


def _how(shape: WallShape, shop: Practice) -> str:
    outer = shape.outer
    if outer is None:
        return ""
    how = _HOW[outer.finish]
    if outer.finish == "trim under":
        return f"{how} of {mark(shop['trim.hold_back']).text} in"
    return how
