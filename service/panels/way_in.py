"""The way in: whether a stiff sheet turns the corners between the door and the bath."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.problem import PlanError
from service.panels.room import WayIn
from service.panels.sizes import width
from service.panels.stock import longest_past_corner_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import Panel, SheetChoice
    from service.panels.practice import Practice
    from service.panels.walls import Hall


def way_in(
    panels: Sequence[Panel], halls: Sequence[Hall], shop: Practice
) -> tuple[tuple[WayIn, ...], tuple[Caution, ...]]:
    """The verdict on every kind of sheet, and a caution where it is not simply carried in.

    A sheet is carried on edge: one side upright, under the headroom, the other level, no longer
    than what turns in the tightest corner. A panel that passes where its sheet does not is cut
    outside.
    """
    if not halls:
        return (), ()
    tight = min(halls, key=lambda hall: longest_past_corner_mm(hall.from_mm, hall.into_mm))
    longest = longest_past_corner_mm(tight.from_mm, tight.into_mm) - shop["way_in.clear"]
    made: dict[str, WayIn] = {}
    for panel in panels:
        if panel.sheet is not None:
            verdict = _verdict(panel, panel.sheet, longest, tight.name, shop)
            known = made.get(verdict.sheet)
            if known is None or _RANK[verdict.verdict] > _RANK[known.verdict]:
                made[verdict.sheet] = verdict
    cautions = [
        Caution("cut-outside" if way.verdict == "cut outside" else "way-in", way.why)
        for way in made.values()
        if way.verdict != "goes in"
    ]
    return tuple(made.values()), tuple(cautions)


_RANK = {"goes in": 0, "cut outside": 1, "does not go in": 2}


def passes(width_mm: float, height_mm: float, longest_mm: float, headroom_mm: float) -> bool:
    """Whether a stiff rectangle goes through on one edge or the other."""
    return any(
        level <= longest_mm + 1e-6 and upright <= headroom_mm + 1e-6
        for level, upright in ((width_mm, height_mm), (height_mm, width_mm))
    )


def _verdict(
    panel: Panel, sheet: SheetChoice, longest: float, corner: str, shop: Practice
) -> WayIn:
    head = shop["way_in.headroom"]
    size = f"{sheet.name}: {sheet.width.text} x {sheet.height.text} in"
    if passes(sheet.width.mm, sheet.height.mm, longest, head):
        return WayIn(sheet.name, width(longest), "goes in", f"{size} turns in the {corner}")
    limit = (
        f"at most {width(max(longest, 0.0)).text} in level turns in the {corner}, under "
        f"{width(head).text} in of headroom"
    )
    if passes(panel.box.width.mm, panel.box.height.mm, longest, head):
        why = f"{size} does not go in whole ({limit}), cut for the {panel.title} it does"
        return WayIn(sheet.name, width(longest), "cut outside", why)
    why = f"{size} does not go in, nor does the cut {panel.title} ({limit}): find another way in"
    return WayIn(sheet.name, width(longest), "does not go in", why)


def check_halls(halls: Sequence[Hall], shop: Practice) -> None:
    """Refuse widths that no passage has."""
    low, high = shop["way_in.narrowest"], shop["way_in.widest"]
    for hall in halls:
        for key, mm in (("from_width", hall.from_mm), ("into_width", hall.into_mm)):
            if not math.isfinite(mm) or not low <= mm <= high:
                raise PlanError(
                    f"way_in.{hall.name}.{key}",
                    f"expected clear widths of {low / 25.4:g} to {high / 25.4:g} in, "
                    f"not {mm / 25.4:g} in",
                )
