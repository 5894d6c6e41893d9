"""The range of an estimate, against the figures of alcoves whose sizes were off by chance."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from decimal import Decimal

import pytest

from service.panels.plan import plan_panels
from service.panels.price import SheetRange, price
from service.panels.walls import Alcove, Station, StockSheet
from tests.panels.test_chance import uncertain
from tests.panels.test_price import book
from tests.panels.worked_alcove import worked_alcove, worked_practice

pytestmark = pytest.mark.statistical

THROWS = 250
U_MM = 2.0
TIGHT = StockSheet("tight", 58.75 * 25.4, 2438.4, ("top",), Decimal(400))


def estimated() -> Alcove:
    """The worked alcove by photo alone, with a back sheet in stock that may prove too narrow."""
    alcove = uncertain(worked_alcove(), U_MM)
    return replace(alcove, stock=(TIGHT, *alcove.stock))


def proved(alcove: Alcove, rng: random.Random) -> Alcove:
    """The alcove as it might be taped: each size off by what its uncertainty says."""

    def moved(stations: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(
            replace(s, value=replace(s.value, mm=rng.gauss(s.value.mm, s.value.u_mm), u_mm=0.0))
            for s in stations
        )

    walls = tuple(
        replace(w, left=moved(w.left), right=moved(w.right), line_to_deck=moved(w.line_to_deck))
        for w in alcove.walls
    )
    return replace(alcove, walls=walls)


def figure(alcove: Alcove) -> tuple[Decimal, bool]:
    """The released price of an alcove, and whether its back comes from the tight sheet."""
    plan = plan_panels(alcove, worked_practice(), book())
    sheets = tuple(SheetRange(line, None) for line in plan.order)
    found = price(sheets, plan.takeoff, book(), True, alcove, worked_practice())
    assert found.figure is not None
    return found.figure, any(line.sheet == TIGHT.name for line in plan.order)


def test_figures_fall_into_the_range_of_the_estimate() -> None:
    """Of 250 alcoves as they may prove, at least 95 % cost what the estimate says, less
    three standard errors; the tight sheet does for as many as its chance says, within four.
    """
    alcove = estimated()
    plan = plan_panels(alcove, worked_practice(), book())
    back = next(panel for panel in plan.panels if panel.wall == "back")
    assert back.sheet is not None
    stated = back.sheet.chance_fits
    rng = random.Random(20611)
    found = [figure(proved(alcove, rng)) for _ in range(THROWS)]

    inside = sum(plan.price.low <= value <= plan.price.high for value, _ in found) / THROWS
    tight = sum(is_tight for _, is_tight in found) / THROWS

    assert 0.05 < stated < 0.95
    assert inside >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / THROWS)
    assert tight == pytest.approx(stated, abs=4 * math.sqrt(stated * (1 - stated) / THROWS))


def test_the_ranges_sheets_are_the_two_that_may_be_bought() -> None:
    """The sheets of every such alcove cost the low or the high end of the estimate's own line."""
    alcove = estimated()
    plan = plan_panels(alcove, worked_practice(), book())
    line = next(line for line in plan.price.lines if line.item == TIGHT.name)
    rng = random.Random(977)
    bought = set()
    for _ in range(40):
        order = plan_panels(proved(alcove, rng), worked_practice(), book()).order
        bought |= {row.price for row in order if row.price in (line.low, line.high)}
    assert bought == {line.low, line.high}
    assert line.low < line.high
