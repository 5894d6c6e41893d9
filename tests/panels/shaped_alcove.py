"""A plumb alcove whose walls are cut round things, for plans that are worked by hand.

Inches. Shipped allowances: joints 1/8, build-up 1/4, hold-down 3/4. A plumb back wall of 30 + 30
with its deck at 60: the plain panel is 59 3/4 x 60 5/8, from -29 7/8 to 29 7/8.
"""

from __future__ import annotations

from typing import Any

import pytest

from service.panels.model import Plan
from service.panels.plan import plan_panels
from service.panels.walls import (
    Alcove,
    Given,
    Obstacle,
    Outer,
    Station,
    StockSheet,
    Top,
    WallShape,
)
from tests.panels.worked_alcove import inch, shipped_practice

INCH = 25.4


STOCK = (
    StockSheet("60 x 96", 60 * INCH, 96 * INCH, ("top",)),
    StockSheet("36 x 96 left", 36 * INCH, 96 * INCH, ("top", "left")),
    StockSheet("36 x 96 right", 36 * INCH, 96 * INCH, ("top", "right")),
)


def size(value: str | float, name: str = "size") -> Given:
    """A plain size, inches."""
    inches = value if isinstance(value, float) else inch(value.lstrip("-"))
    sign = -1.0 if isinstance(value, str) and value.startswith("-") else 1.0
    return Given(name, sign * inches * INCH, 1.5, "plain")


def side(value: str) -> tuple[Station, ...]:
    """A plumb side at three heights."""
    return tuple(Station(down * INCH, size(value)) for down in (0.0, 30.0, 60.0))


def deck(value: str, *places: float) -> tuple[Station, ...]:
    """A level deck."""
    return tuple(Station(at * INCH, size(value)) for at in places)


def back(*obstacles: Obstacle, **more: Any) -> WallShape:
    """The back wall of 30 + 30."""
    return WallShape(
        "back", deck("60", -30, 0, 30), side("30"), side("30"), obstacles=obstacles, **more
    )


def end(*obstacles: Obstacle, **more: Any) -> WallShape:
    """A far end wall, corner at the left 10 from plumb, outer edge 20 from it: 29 5/8 wide."""
    return WallShape(
        "far end", deck("60", -10, 0, 18), side("10"), (), corner="left",
        outer=Outer(20 * INCH), obstacles=obstacles, **more,
    )  # fmt: skip


def planned(*walls: WallShape, top: Top | None = None, **more: Any) -> Plan:
    """The plan of these walls."""
    alcove = Alcove(
        "shapes", "down to studs", walls, top or Top(0.75 * INCH), stock=STOCK, **more
    )  # fmt: skip
    return plan_panels(alcove, shipped_practice())


def corners(plan: Plan, number: int = 0) -> list[tuple[float, float]]:
    """One panel's outline in inches."""
    return [(x / INCH, y / INCH) for x, y in plan.panels[number].outline_mm]


def same(found: list[tuple[float, float]], *expected: tuple[str, str]) -> bool:
    """Whether an outline has just these corners, in this order."""

    def number(text: str) -> float:
        return -inch(text[1:]) if text.startswith("-") else inch(text)

    wanted = [(number(x), number(y)) for x, y in expected]
    real = [
        p for k, p in enumerate(found) if not straight(found[k - 1], p, found[k + 1 - len(found)])
    ]
    return len(real) == len(wanted) and all(
        p == pytest.approx(w, abs=1e-3) for p, w in zip(real, wanted, strict=True)
    )


def straight(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    """Whether b lies on the line from a to c."""
    return abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) < 1e-6


SOFFIT = Obstacle("soffit", "soffit", right=size("-18"), foot=size("8"))


SEAT = Obstacle("seat", "seat", left=size("14"), head=size("42"))
