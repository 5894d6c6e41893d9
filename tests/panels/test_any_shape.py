"""Whatever stands out of the walls: a sound plan, or a refusal that names it."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon

from service.panels.problem import PlanError
from service.panels.walls import LowTop, Obstacle, Pattern
from tests.panels.shaped_alcove import INCH, back, end, planned, size

place = st.none() | st.floats(-40, 70)
things = st.builds(
    Obstacle,
    st.just("x"),
    st.sampled_from(["soffit", "pony wall", "seat", "curb", "ledge"]),
    *(place.map(lambda v: None if v is None else size(float(v), "x")) for _ in range(4)),
    st.none() | st.floats(50, 400),
)


@given(
    one=st.lists(things, max_size=2),
    other=st.lists(things, max_size=2),
    low=st.none() | st.floats(1, 58),
)
@example(one=[], other=[Obstacle("x", "soffit", None, size(0.0))], low=None)
@example(
    one=[],
    other=[Obstacle("x", "soffit", None, size(0.0), size(-1e-9), size(0.0), depth_mm=50.0)],
    low=None,
)
@settings(max_examples=40, deadline=None)
def test_any_obstacles_are_cut_round_or_refused(
    one: list[Obstacle], other: list[Obstacle], low: float | None
) -> None:
    """Whatever stands out, there is a plan whose panels are sound, or a refusal by name; also
    where it takes the whole corner side of a panel, which then has no marked height."""
    low_top = None if low is None else LowTop(size(low), 100.0)
    try:
        plan = planned(
            back(*one), end(*other, low_top=low_top),
            pattern=Pattern((12 * INCH, 12 * INCH), INCH / 8, "half offset"),
        )  # fmt: skip
    except PlanError:
        return
    for panel in plan.panels:
        shape = Polygon(panel.outline_mm)
        assert shape.is_valid
        assert panel.area_mm2 == pytest.approx(shape.area)
        assert all(shape.exterior.distance(Spot(m.at_mm)) < 1e-3 for m in panel.marks)
    assert all(t.net >= 0 for t in plan.takeoff)
