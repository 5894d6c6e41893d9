"""Stock: the sheet each panel is cut from, and whether it will go in the house."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import SheetChoice
from service.panels.sizes import needed, width

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.walls import StockSheet


def choice(sheet: StockSheet, outline: Outline, kerf_mm: float, chance_wide: float) -> SheetChoice:
    """What cutting this panel from this sheet leaves, and the chance that it is wide enough."""
    left, top, right, bottom = outline.box
    spare_width = sheet.width_mm - (right - left)
    spare_height = sheet.height_mm - (bottom - top)
    return SheetChoice(
        name=sheet.name,
        width=needed(sheet.width_mm),
        height=needed(sheet.height_mm),
        finished=tuple(sheet.finished),
        hand=sheet.hand,
        spare_width=width(spare_width),
        spare_height=width(spare_height),
        drop=width(max(spare_height - kerf_mm, 0.0)),
        chance=chance_wide,
        price=sheet.price,
    )


def longest_past_corner_mm(hall_a_mm: float, hall_b_mm: float) -> float:
    """The longest stiff, thin sheet edge that turns from a hall a wide into one b wide, mm.

    (a^(2/3) + b^(2/3))^(3/2): the least of the lines through the inner corner.
    """
    power = 2.0 / 3.0
    return float((hall_a_mm**power + hall_b_mm**power) ** 1.5)
