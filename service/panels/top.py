"""The height of the finished top: code floor, agreed band, and the course it leaves at the deck."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.pattern import bottom_course_mm
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Pattern


@dataclass(frozen=True)
class TopHeight:
    """A top above the floor, and the lowest course that it leaves on the highest deck, mm."""

    above_floor_mm: float
    bottom_course_mm: float


def tops_in_band(
    band_mm: tuple[float, float],
    deck_above_floor_mm: float,
    pattern: Pattern,
    shop: Practice,
) -> tuple[TopHeight, ...]:
    """Every top in the band, in the steps tops are agreed in, with its lowest course."""
    step = shop["pattern.height_step"]
    low, high = band_mm
    count = math.floor((high - low) / step + 1e-9) + 1
    heights = [low + k * step for k in range(count)]
    to_deck = deck_above_floor_mm + shop["joint.deck"]
    tile, joint = pattern.tile_mm[1], pattern.joint_mm
    return tuple(TopHeight(h, bottom_course_mm(h - to_deck, tile, joint)) for h in heights)


def level_joints(outlines: list[Outline], pattern: Pattern | None) -> int:
    """How many level joints all panels share: those above the highest deck."""
    if pattern is None:
        return 0
    highest = min(
        p.y for outline in outlines for edge, p in outline.edge_points if edge == "bottom"
    )
    return math.floor((highest + 1e-6) / (pattern.tile_mm[1] + pattern.joint_mm))


def top_cautions(alcove: Alcove, outlines: list[Outline], shop: Practice) -> tuple[Caution, ...]:
    """What the top's height calls for: the code's floor, and a better height within the band."""
    top = alcove.top
    if top.line_above_floor_mm is None:
        return ()
    above = top.line_above_floor_mm + top.above_line_mm
    found = []
    least = shop["limits.least_top_above_floor"]
    if above < least - 1e-6:
        text = (
            f"the top is {mark(above).text} in above the floor, under {mark(least).text} in "
            "(IRC R307.2; local code governs)"
        )
        found.append(Caution("top-low", text))
    if alcove.pattern is not None and top.band_mm is not None:
        found += _better(alcove, outlines, above, shop)
    return tuple(found)


def _better(alcove: Alcove, outlines: list[Outline], above: float, shop: Practice) -> list[Caution]:
    pattern, band = alcove.pattern, alcove.top.band_mm
    if pattern is None or band is None:
        return []
    highest = min(p.y for o in outlines for edge, p in o.edge_points if edge == "bottom")
    deck = above - highest - shop["joint.deck"]
    least = shop["pattern.least_cut"] * pattern.tile_mm[1]
    now = bottom_course_mm(highest, pattern.tile_mm[1], pattern.joint_mm)
    if now >= least - 1e-6:
        return []
    fit = [t for t in tops_in_band(band, deck, pattern, shop) if t.bottom_course_mm >= least - 1e-6]
    if not fit:
        return [Caution("no-top", "no top within the agreed band avoids a sliver course")]
    best = min(fit, key=lambda t: abs(t.above_floor_mm - above))
    text = (
        f"a top {mark(best.above_floor_mm).text} in above the floor would leave a lowest course "
        f"of {mark(best.bottom_course_mm).text} in"
    )
    return [Caution("better-top", text)]
