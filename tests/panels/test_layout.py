"""The best layout against a search over every combination, written apart from it.

Nothing is taken from the calculator but the places that are allowed: walls are straight lines of
this file, cuts are walked outwards tile by tile, and all combinations of top, pattern place and
both outer edges are compared, not the best of each.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.panels.model import Plan, WallName
from service.panels.plan import plan_panels
from service.panels.walls import (
    Alcove,
    Given,
    Outer,
    Pattern,
    Side,
    Station,
    StockSheet,
    Top,
    WallShape,
)
from tests.panels.worked_alcove import shipped_practice

INCH = 25.4
DOWNS = (0.0, 30.0, 58.0)
TILE, JOINT, MODULE = 12.0, 0.125, 12.125
EDGE, CORNER = 20.0, 10.0
LINE_ABOVE_FLOOR = 75.0
sixteenths = st.integers(-8, 8).map(lambda k: k / 16)
lean = st.lists(sixteenths, min_size=3, max_size=3)


def stations(nominal: float, moves: list[float]) -> tuple[Station, ...]:
    """Offsets at three depths, inches."""
    return tuple(
        Station(d * INCH, Given("reading", (nominal + m) * INCH, 1.0, "plain"))
        for d, m in zip(DOWNS, moves, strict=True)
    )


def deck(height: float, *places: float) -> tuple[Station, ...]:
    """A level deck."""
    return tuple(Station(at * INCH, Given("deck", height * INCH, 1.0, "plain")) for at in places)


def planned(
    left: list[float],
    right: list[float],
    ends: tuple[list[float], list[float]],
    widths: tuple[float, float],
    height: float,
    course: str,
    tops: int,
) -> Plan:
    """An alcove of 60 in with a band of tops, and end walls of these widths from plumb."""
    back = WallShape("back", deck(height, -29, 0, 29), stations(30, left), stations(30, right))
    walls = [back]
    rooms: tuple[tuple[WallName, Side, list[float], float], ...] = (
        ("plumbing", "right", ends[0], widths[0]),
        ("far end", "left", ends[1], widths[1]),
    )
    for wall, corner, moves, wide in rooms:
        side = stations(CORNER + wide, moves)
        walls.append(
            WallShape(
                wall, deck(height, -9, 0, 9), side if corner == "left" else (),
                side if corner == "right" else (), corner=corner, outer=Outer(EDGE * INCH),
            )
        )  # fmt: skip
    first = LINE_ABOVE_FLOOR + 0.75
    alcove = Alcove(
        "drawn", "over tile", tuple(walls),
        Top(0.75 * INCH, line_above_floor_mm=LINE_ABOVE_FLOOR * INCH,
            band_mm=(first * INCH, (first + (tops - 1) / 4) * INCH)),
        pattern=Pattern((TILE * INCH, TILE * INCH), JOINT * INCH, course),  # type: ignore[arg-type]
        stock=(
            StockSheet("wide", 62 * INCH, 96 * INCH, ("top",)),
            StockSheet("left", 40 * INCH, 96 * INCH, ("top", "left")),
            StockSheet("right", 40 * INCH, 96 * INCH, ("top", "right")),
        ),
    )  # fmt: skip
    return plan_panels(alcove, shipped_practice())


def at(moves: list[float], nominal: float, down: float) -> float:
    """The offset at a depth: straight between readings, drawn on past them."""
    knots = list(zip(DOWNS, moves, strict=True))
    (d0, m0), (d1, m1) = next((p for p in pairwise(knots) if down <= p[1][0]), (knots[1], knots[2]))
    return nominal + m0 + (m1 - m0) * (down - d0) / (d1 - d0)


def walked(run: float, start: float) -> float:
    """The tile that ends a run whose first tile ends at `start`; whole where it just fits."""
    edge = start
    while edge + JOINT + TILE < run - 1e-9:
        edge += JOINT + TILE
    over = run - edge - JOINT
    return TILE if over <= 1e-9 else over


def depths(top: float, deck_down: float) -> list[float]:
    """Heights at which cuts are looked at: the panel's own top, every reading, its lower corner."""
    return sorted({-top, *(d for d in DOWNS if -top < d < deck_down), deck_down})


def searched(
    left: list[float], right: list[float], ends: tuple[list[float], list[float]],
    widths: tuple[float, float], height: float, course: str, tops: int,
) -> tuple[tuple[float, float, float], int]:  # fmt: skip
    """The least (shortfall, imbalance, moves) over every combination, and how many there are."""
    best, tried = (np.inf, np.inf, np.inf), 0
    for k in range(tops):
        top = 0.75 + k / 4
        low = height - JOINT
        course_cut = (low + top) % MODULE
        short = max(6.0 - course_cut, 0.0)
        ds = depths(top, low)
        back = _back(left, right, ds, course)
        one, other = (
            _end(moves, wide, ds, course) for moves, wide in zip(ends, widths, strict=True)
        )
        total = short + back[:, 0][:, None, None] + one[:, 0][None, :, None] + other[:, 0]
        uneven = np.broadcast_to(back[:, 1][:, None, None], total.shape)
        moved = k / 4 + one[:, 1][None, :, None] + other[:, 1] + 0 * total
        keys = zip(
            np.round(total.ravel() * INCH, 4), np.round(uneven.ravel() * INCH, 4),
            np.round(moved.ravel() * INCH, 4), strict=True,
        )  # fmt: skip
        best = min(best, *keys)
        tried += total.size
    return best, tried


def _back(left: list[float], right: list[float], ds: list[float], course: str) -> np.ndarray:
    """Shortfall and imbalance of every place within a quarter module of the middle."""
    a = [at(left, 30.0, d) - 0.125 for d in ds]
    b = [at(right, 30.0, d) - 0.125 for d in ds]
    middle = (max(b) - max(a)) / 2
    rows = []
    for k in range(-800, 801):
        centre = k / 16
        if abs(centre - middle) > MODULE / 4 + 1e-9:
            continue
        for anchor in ("tile", "joint"):
            kinds = [anchor] if course == "stacked" else ["tile", "joint"]
            least, uneven = TILE, 0.0
            for kind in kinds:
                start = TILE / 2 if kind == "tile" else -JOINT / 2
                for x, y in zip(a, b, strict=True):
                    p, q = walked(x, start - centre), walked(y, start + centre)
                    least, uneven = min(least, p, q), max(uneven, abs(p - q))
            rows.append((max(6.0 - least, 0.0), uneven))
    return np.array(rows)


def _end(moves: list[float], wide: float, ds: list[float], course: str) -> np.ndarray:
    """Shortfall and move of every edge within an inch of the planned one."""
    runs = [EDGE + at(moves, CORNER + wide, d) - 0.375 for d in ds]
    starts = [TILE] if course == "stacked" else [TILE, TILE - MODULE / 2]
    rows = []
    for k in range(-16, 17):
        cuts = [walked(run + k / 16, start) for run in runs for start in starts]
        rows.append((max(6.0 - min(cuts), 0.0), abs(k) / 16))
    return np.array(rows)


@pytest.mark.parametrize("course", ["stacked", "half offset"])
@given(
    left=lean, right=lean, one=lean, other=lean,
    wide=st.tuples(st.integers(-96, 96).map(lambda k: k / 16), sixteenths),
    height=st.integers(58 * 4, 66 * 4).map(lambda k: k / 4),
)  # fmt: skip
@settings(max_examples=8, deadline=None)
def test_no_combination_is_better(
    course: str,
    left: list[float],
    right: list[float],
    one: list[float],
    other: list[float],
    wide: tuple[float, float],
    height: float,
) -> None:
    """Shortfall, imbalance and moves of the layout are the least of all combinations."""
    room = (left, right, (one, other), wide, height, course, 3)
    found = planned(*room).layout
    assert found is not None
    assert found.imbalance is not None
    assert found.top is not None
    (short, uneven, moved), tried = searched(*room)
    assert found.short.mm == pytest.approx(short, abs=1e-3)
    assert found.imbalance.mm == pytest.approx(uneven, abs=1e-3)
    moves = found.top.mm - (LINE_ABOVE_FLOOR + 0.75) * INCH
    moves += sum(abs(end.best.mm - end.planned.mm) for end in found.ends)
    assert moves == pytest.approx(moved, abs=1e-3)
    assert found.tried == tried


def test_an_edge_moved_by_hand() -> None:
    """Ends 20 + 10 - 3/8 = 29 5/8 wide: 5 3/8 in the corner, 5/8 further out leaves 6.

    Further in, the corner would first get narrower; a whole tile ends there only 5 1/2 in.
    """
    level = [0.0, 0.0, 0.0]
    plan = planned(level, level, (level, level), (0.0, 0.0), 60.0, "stacked", 1)
    assert plan.layout is not None
    end = plan.layout.ends[0]
    assert (end.planned.text, end.best.text) == ("20", "20 5/8")
    assert (end.cut_now.text, end.cut.text) == ("5 3/8", "6")
    texts = [w.text for w in plan.warnings if w.code == "move-outer"]
    assert len(texts) == 2
    assert "5/8 in further out, 20 5/8 in from plumb" in texts[0]


@pytest.mark.parametrize(
    ("outer", "high", "cut"),
    [
        (Outer(EDGE * INCH, casing_mm=20.5 * INCH), "20 3/8", "5 3/4"),
        (Outer(EDGE * INCH, outside_corner_mm=20.25 * INCH), "20 1/4", "5 5/8"),
        (Outer(EDGE * INCH, casing_mm=22 * INCH), "21", "6"),
    ],
)
def test_an_edge_moves_no_further_than_it_may(outer: Outer, high: str, cut: str) -> None:
    """A casing 1/2 away less 1/8 leaves 3/8; a corner 1/4; else an inch: the least bad is said."""
    side = stations(CORNER, [0.0, 0.0, 0.0])
    wall = WallShape("plumbing", deck(60, -9, 0, 9), (), side, corner="right", outer=outer)
    pattern = Pattern((TILE * INCH, TILE * INCH), JOINT * INCH)
    alcove = Alcove("one", "over tile", (wall,), Top(0.75 * INCH), pattern=pattern)
    plan = plan_panels(alcove, shipped_practice())
    assert plan.layout is not None
    end = plan.layout.ends[0]
    assert (end.high.text, end.cut.text) == (high, cut)
    told = [w.text for w in plan.warnings if w.code == "no-layout"]
    # The deck 60 5/8 down is a joint's own end, so that the course lacks 6 whatever the edge does.
    lacks = {"5 3/4": "6 1/4", "5 5/8": "6 3/8", "6": "6"}[cut]
    assert len(told) == 1
    assert f"lacks {lacks} in" in told[0]
