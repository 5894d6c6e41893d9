"""Stock: the sheet each panel is cut from, and whether it will go in the house."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import TYPE_CHECKING

from service.panels.model import SheetChoice
from service.panels.sizes import needed, width

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.panels.outline import Outline
    from service.panels.walls import StockSheet

_GRAIN_MM = 1e-6


def sheets_that_fit(
    stock: Iterable[StockSheet], outline: Outline, edges: frozenset[str]
) -> tuple[StockSheet, ...]:
    """The sheets that hold a panel's bounding box and have its finished edges, best first.

    A finished edge that the panel does not use is cut away, so any sheet with at least `edges`
    will do. Best is the lowest price, then the smallest area.
    """
    left, top, right, bottom = outline.box
    fits = [
        sheet
        for sheet in stock
        if edges <= set(sheet.finished)
        and right - left <= sheet.width_mm + _GRAIN_MM
        and bottom - top <= sheet.height_mm + _GRAIN_MM
    ]
    return tuple(sorted(fits, key=_rank))


def choice(sheet: StockSheet, outline: Outline, kerf_mm: float, u_width_mm: float) -> SheetChoice:
    """What cutting this panel from this sheet leaves, and the chance that the sheet is enough."""
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
        chance=chance_enough(spare_width, u_width_mm),
        price=sheet.price,
    )


def chance_enough(spare_mm: float, u_mm: float) -> float:
    """The chance that a normal error of standard uncertainty u does not use up the spare."""
    if u_mm <= 0:
        return 1.0 if spare_mm >= 0 else 0.0
    return 0.5 * (1.0 + math.erf(spare_mm / (u_mm * math.sqrt(2.0))))


def two_fit_side_by_side(a_mm: float, b_mm: float, sheet_width_mm: float, kerf_mm: float) -> bool:
    """Whether two end panels can come out of one sheet's width with a cut between them."""
    return a_mm + b_mm + kerf_mm <= sheet_width_mm + _GRAIN_MM


def longest_past_corner_mm(hall_a_mm: float, hall_b_mm: float) -> float:
    """The longest stiff, thin sheet edge that turns from a hall a wide into one b wide, mm.

    (a^(2/3) + b^(2/3))^(3/2): the least of the lines through the inner corner.
    """
    power = 2.0 / 3.0
    return float((hall_a_mm**power + hall_b_mm**power) ** 1.5)


def _rank(sheet: StockSheet) -> tuple[bool, Decimal, float, str]:
    return (
        sheet.price is None,
        sheet.price if sheet.price is not None else Decimal(0),
        sheet.width_mm * sheet.height_mm,
        sheet.name,
    )
