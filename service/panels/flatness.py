"""Humps and hollows under the straightedge: what is shimmed and what is planed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.problem import PlanError
from service.panels.room import FlatSpot
from service.panels.sizes import mark, marked_mm

if TYPE_CHECKING:
    from service.panels.places import Size
    from service.panels.practice import Practice
    from service.panels.walls import Gap, WallShape


def flat_spots(shape: WallShape, shop: Practice) -> tuple[FlatSpot, ...]:
    """Advice for every finding of the straightedge, the worst first.

    A hollow past the limit is shimmed by what it is past the bed that the adhesive fills; a hump
    past the limit is planed down to the limit. Within it nothing is done.
    """
    worst_first = sorted(shape.flatness, key=lambda gap: (-gap.gap_mm, gap.down_mm, gap.at_mm))
    return tuple(_spot(shape, gap, shop) for gap in worst_first)


def flatness_cautions(shape: WallShape, shop: Practice) -> tuple[Caution, ...]:
    """One caution a wall that has something to shim or to plane."""
    must = [spot for spot in flat_spots(shape, shop) if spot.must]
    if not must:
        return ()
    places = "; ".join(
        f"{spot.kind} of {spot.gap.text} in, {beside_plumb(spot.at)} and "
        f"{spot.down.text} in down: {spot.advice}"
        for spot in must[:3]
    )
    more = f"; and {len(must) - 3} more" if len(must) > 3 else ""
    return (Caution("not-flat", f"before hanging: {places}{more}", shape.wall),)


def beside_plumb(at: Size) -> str:
    """A place along a wall in words, left negative."""
    if at.text.lstrip("-") == "0":
        return "on the plumb line"
    side = "left" if at.mm < 0 else "right"
    return f"{at.text.removeprefix('-')} in {side} of plumb"


def check_flatness(shape: WallShape, shop: Practice) -> None:
    """Refuse a gap that no straightedge finds."""
    most = shop["limits.proud"]
    for index, gap in enumerate(shape.flatness):
        if not math.isfinite(gap.gap_mm) or not 0 <= gap.gap_mm <= most:
            raise PlanError(
                f"{shape.wall}.flatness[{index}].gap",
                f"expected 0 to {most / 25.4:g} in under the edge, not {gap.gap_mm / 25.4:g} in",
            )


def _spot(shape: WallShape, gap: Gap, shop: Practice) -> FlatSpot:
    limit = shop["flatness.gap"]
    must = gap.gap_mm > limit + 1e-6
    return FlatSpot(
        wall=shape.wall,
        at=mark(gap.at_mm),
        down=mark(gap.down_mm),
        gap=mark(gap.gap_mm),
        kind=gap.kind,
        advice=_advice(gap, limit, shop["build_up.bed"]) if must else "within the limit: leave it",
        must=must,
    )


def _advice(gap: Gap, limit_mm: float, bed_mm: float) -> str:
    if gap.kind == "hollow":
        shim = max(marked_mm(gap.gap_mm - bed_mm), 0.0)
        if not shim:
            return "the bed fills it: set the beads higher there"
        return f"shim {mark(shim).text} in, or skim it flush"
    return f"plane or grind off {mark(gap.gap_mm - limit_mm).text} in or more"
