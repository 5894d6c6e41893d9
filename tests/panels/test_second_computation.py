"""The five other alcoves computed a second time: every step in exact fractions, on its own.

Nothing of the calculator is used for the figures on the right: each test goes from the readings
to its result by the arithmetic that is written there, in inches. Shipped allowances: sheet and bed
1/8 each, joints 1/8, hold-down 3/4, bond lines 1 1/2 off the edges, at most 9 apart, tape and 10 %
in rolls of 50 ft, beads of 1/4 in round, sealant 1/8 x 1/4 and a fillet of 1/8; 10.1 fl oz a tube.
"""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from service.panels.model import Panel, Plan, TakeoffLine
from tests.panels.test_worked_others import (
    SIXTY,
    base_to_ceiling,
    leg_beside_tub,
    mid_height,
    out_of_square,
    window_wall,
)
from tests.panels.written_plan import INCH, panel, points

JOINT, BUILD_UP, HOLD_DOWN = F(1, 8), F(1, 4), F(3, 4)
TUBE = F(101, 10) * F(231, 128)
"""Cubic inches in a tube of 10.1 fl oz: 231 cubic inches a gallon, 128 fl oz a gallon."""


def shoelace(corners: list[tuple[F, F]]) -> F:
    """Area of a polygon, square inches."""
    ends = corners[1:] + corners[:1]
    parts = (a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, ends, strict=True))
    return abs(sum(parts, F(0))) / 2


def line(plan: Plan, item: str) -> TakeoffLine:
    """One line of the take-off."""
    return next(found for found in plan.takeoff if found.item == item)


def same_corners(found: Panel, corners: list[tuple[F, F]]) -> None:
    """Every corner worked out is one of the panel's, within 1/64 in, and the areas are equal."""
    for x, y in corners:
        assert any(p == pytest.approx((float(x), float(y)), abs=1 / 64) for p in points(found))
    area = float(shoelace(corners)) * INCH**2
    assert found.area_mm2 == pytest.approx(area, rel=1e-4)


def bond_lines(width: F, height: F, extra: F = F(0)) -> F:
    """Upright lines in even bays of 9 at most, and one along top and bottom."""
    across, down = width - 3, height - 3
    bays = math.ceil(across / 9)
    return (bays + 1) * down + 2 * across + extra


def tape_feet(plan: Plan) -> float:
    """Net tape of a plan, ft."""
    return line(plan, "panel tape").net


def test_mid_height() -> None:
    """Deck 50, 50 1/8, 50 1/4 at -30, 0, 29: corners, area, tape, sealant and what is left."""
    left, right = 30 - JOINT, 29 - JOINT
    # The deck rises 1/8 in 30 to the left and 1/8 in 29 to the right of plumb.
    low_left = 50 + F(1, 8) * (30 - left) / 30 + HOLD_DOWN - JOINT
    low_middle = 50 + F(1, 8) + HOLD_DOWN - JOINT
    low_right = 50 + F(1, 8) + F(1, 8) * right / 29 + HOLD_DOWN - JOINT
    corners = [
        (-left, F(0)), (right, F(0)), (right, low_right), (F(0), low_middle), (-left, low_left)
    ]  # fmt: skip
    plan = mid_height()
    same_corners(panel(plan, "back"), corners)
    # 58 3/4 wide; the height that is marked is the lowest corner's, 50 7/8.
    assert left + right == F(235, 4)
    tape = bond_lines(F(235, 4), F(407, 8)) / 12
    assert tape_feet(plan) == pytest.approx(float(tape), rel=1e-6)
    # Deck 58 3/4 and both corners; top edge 58 3/4 by a fillet that is half of a 1/8 square.
    joints = F(235, 4) + F(405, 8) + F(407, 8)
    tubes = joints * F(1, 32) / TUBE + F(235, 4) * F(1, 128) / TUBE
    assert line(plan, "sealant").net == pytest.approx(float(tubes), rel=1e-6)


def test_base_to_ceiling() -> None:
    """89 3/4 high: three panels' areas, their tape, and the layout's cuts from the outer edge."""
    plan = base_to_ceiling()
    high = 66 + 24 - 2 * JOINT
    back, end = 48 - 2 * JOINT, 20 + 12 - BUILD_UP - JOINT
    total = (back + 2 * end) * high
    areas = sum(p.area_mm2 for p in plan.panels) / INCH**2
    assert areas == pytest.approx(float(total), rel=1e-9)
    tape = (bond_lines(back, high) + 2 * bond_lines(end, high)) / 12
    assert tape_feet(plan) == pytest.approx(float(tape), rel=1e-6)
    assert line(plan, "panel tape").packages == math.ceil(tape * F(11, 10) / 50)
    # Full tiles of 12 1/8 from the outer edge, and what is left in the corner.
    cut = end - (end // F(97, 8)) * F(97, 8)
    pattern = panel(plan, "plumbing").pattern
    assert pattern is not None
    for found in pattern.cuts:
        assert found.width.mm / INCH == pytest.approx(float(cut))
    # Two end sheets of 36 x 96 and one back of 48 x 96: pieces over sheets.
    assert plan.cutting is not None
    share = total / ((48 + 36 + 36) * 96)
    assert plan.cutting.used == pytest.approx(float(share), rel=1e-6)


def test_window_wall() -> None:
    """59 3/4 x 60 5/8 with 24 x 24 out of it: sealant round the reveal, cut length, liners."""
    plan = window_wall()
    wide, high = 60 - 2 * JOINT, 60 + HOLD_DOWN - JOINT
    reveal = F(2 * (24 + 24))
    joints = wide + 2 * high + reveal
    fillets = wide + reveal
    tubes = joints * F(1, 32) / TUBE + fillets * F(1, 128) / TUBE
    assert line(plan, "sealant").net == pytest.approx(float(tubes), rel=1e-6)
    # Sawn: round the panel without its finished top, and round the opening.
    sawn = (wide + 2 * high + reveal) / 12
    assert line(plan, "saw blade").why.startswith(f"{float(sawn):.1f} ft")
    # The sill falls 1/8 over 4: along the fall (4 1/4 - 1/8) x sqrt(1 + 1/32^2).
    deep = 4 + BUILD_UP - JOINT
    sill = float(deep) * math.sqrt(1 + float(F(1, 8) / 4) ** 2)
    liners = {p.name: p.depth.mm / INCH for p in panel(plan, "back").windows[0].liners}
    assert liners["sill"] == pytest.approx(sill, rel=1e-9)
    assert liners["head"] == pytest.approx(float(deep), rel=1e-9)


def test_leg_beside_the_tub() -> None:
    """Held back 1/8, the leg from 1/8 to 2 3/8 and 2 5/8: corners, tape, backers, joints."""
    edge, held = F(21), F(1, 8)
    inner = edge + 10 - BUILD_UP - JOINT
    deck, floor = 65 + HOLD_DOWN - JOINT, 80 + HOLD_DOWN - JOINT
    at_deck, at_floor = edge - F(37, 2) - JOINT, edge - F(73, 4) - JOINT
    corners = [
        (held, F(0)), (inner, F(0)), (inner, deck), (at_deck, deck), (at_floor, floor),
        (held, floor),
    ]  # fmt: skip
    plan = leg_beside_tub()
    same_corners(panel(plan, "far end"), corners)
    # The leg adds one line of its own length less 1 1/2.
    leg = floor - deck
    tape = bond_lines(inner - held, deck, leg - F(3, 2)) / 12
    assert tape_feet(plan) == pytest.approx(float(tape), rel=1e-6)
    # Rim from tub front to corner, apron along the leg, floor under it; top and outer fillets.
    rim, foot = inner - (edge - F(37, 2)), at_floor - held
    fillets = (inner - held) + floor
    tubes = (rim + leg + foot) * F(1, 32) / TUBE + fillets * F(1, 128) / TUBE
    assert line(plan, "sealant").net == pytest.approx(float(tubes), rel=1e-3)


def test_out_of_square() -> None:
    """A parallelogram 59 3/4 wide at every height whose box is 60 1/4: corners, parts, bought."""
    lean = F(1, 2)
    high = 60 + HOLD_DOWN - JOINT
    top_left, top_right = F(59, 2) - JOINT, F(61, 2) - JOINT
    corners = [
        (-top_left, F(0)), (top_right, F(0)), (top_right - lean, high), (-top_left - lean, high)
    ]  # fmt: skip
    plan = out_of_square(SIXTY)
    same_corners(panel(plan, "back"), corners)
    box = (top_right) - (-top_left - lean)
    assert box == F(241, 4)
    assert panel(plan, "back").box.width.mm / INCH == pytest.approx(float(box), abs=1 / 64)
    # Sixty is short by 1/4; both parts together with a kerf are no less, so two sheets.
    assert box - 60 == F(1, 4)
    gap, at = F(1, 8), F(1, 8)
    parts = (at - gap / 2 + top_left + lean, top_right - at - gap / 2)
    assert sum(parts) + F(1, 8) > 60
    assert plan.cutting is not None
    assert len(plan.cutting.sheets) == 2
    found = sorted(p.width.mm / INCH for cut in plan.cutting.sheets for p in cut.pieces)
    assert found == pytest.approx(sorted(float(p) for p in parts), abs=1 / 64)
    # The first part leans away from the seam, the second towards it: both boxes hold their lean.
    assert plan.order[0].quantity == 2
