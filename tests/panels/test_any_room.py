"""Any room, likely or not, is planned or refused by name; nothing else ever happens."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from service.panels.model import Plan
from service.panels.problem import PlanError
from tests.panels.written_plan import written_plan

sixteenths = st.integers(8, 100 * 16).map(lambda n: f"{n / 16}")
small = st.integers(1, 12 * 16).map(lambda n: f"{n / 16}")
places = st.integers(-50 * 16, 50 * 16).map(lambda n: f"{n / 16}")
DOWNS = ("0", "24", "48")


@st.composite
def sides(draw: st.DrawFn, surface: bool = False) -> list[dict[str, Any]]:
    """Offsets at three heights about one nominal."""
    nominal = draw(st.integers(4 * 16, 40 * 16))
    found = []
    for down in DOWNS:
        entry: dict[str, Any] = {"down": down}
        entry["value"] = f"{(nominal + draw(st.integers(-24, 24))) / 16}"
        if surface:
            entry["surface"] = draw(st.sampled_from([None, "tile", "bare", "finished", "hung"]))
        found.append(entry)
    return found


@st.composite
def walls(draw: st.DrawFn) -> list[dict[str, Any]]:
    """A back wall and perhaps end walls, with fixtures and windows anywhere."""
    deck = draw(st.integers(20 * 16, 100 * 16))
    heights = [
        {"at": at, "value": f"{(deck + draw(st.integers(-16, 16))) / 16}"}
        for at in ("-20", "0", "20")
    ]
    fixture = {
        "name": "arm",
        "from_plumb": draw(places),
        "down": draw(places),
        "pipe": draw(small),
        "plate": draw(small),
    }
    window = {
        "name": "window",
        "kind": draw(st.sampled_from(["window", "niche"])),
        "depth": draw(small),
        **{key: {"value": draw(places)} for key in ("left", "right", "head", "sill")},
    }
    found: list[dict[str, Any]] = [
        {
            "wall": "back",
            "line_to_deck": heights,
            "left": draw(sides()),
            "right": draw(sides()),
            "windows": [window] if draw(st.booleans()) else [],
        }
    ]
    for wall, corner in (("plumbing", "right"), ("far end", "left")):
        if draw(st.booleans()):
            found.append(
                {
                    "wall": wall,
                    "corner": corner,
                    corner: draw(sides(surface=True)),
                    "line_to_deck": heights,
                    "outer": {
                        "from_plumb": draw(sixteenths),
                        "finish": draw(st.sampled_from(["return", "trim under", "trim over"])),
                    },
                    "fixtures": [fixture] if draw(st.booleans()) else [],
                }
            )
    return found


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    """A whole plan."""
    stock = [
        {
            "name": f"sheet {k}",
            "size": [draw(sixteenths), draw(sixteenths)],
            "finished": draw(st.lists(st.sampled_from(["top", "left", "right"]), unique=True)),
            "price": draw(st.sampled_from([None, "100.00", "250.00"])),
            "printed": draw(st.sampled_from([None, "left", "right", "centre"])),
        }
        for k in range(draw(st.integers(0, 4)))
    ]
    pattern = {
        "tile": [draw(sixteenths), draw(sixteenths)],
        "joint": draw(st.sampled_from(["0", "1/16", "1/8"])),
        "course": draw(st.sampled_from(["stacked", "half offset"])),
        "centre": draw(st.sampled_from(["free", "tile", "joint"])),
    }
    return {
        "walls": draw(walls()),
        "top": {
            "above_line": draw(st.sampled_from(["0", "3/4", "10"])),
            "line_above_floor": draw(st.sampled_from([None, "70", "80"])),
            "finish": draw(st.sampled_from(["return", "trim"])),
        },
        "pattern": pattern if draw(st.booleans()) else None,
        "stock": stock,
        "way_in": [{"from_width": "30", "into_width": draw(st.sampled_from(["12", "36"]))}],
    }


def planned_or_refused(plan: dict[str, Any]) -> tuple[Plan | None, str]:
    """The plan, or what it was refused with."""
    try:
        return written_plan(plan), ""
    except PlanError as error:
        return None, str(error)


@given(plan=plans())
@settings(max_examples=150, deadline=None)
def test_any_room_is_planned_or_refused(plan: dict[str, Any]) -> None:
    """A plan has one panel a wall, each on a sheet, in two parts, or said to have none."""
    made, refused = planned_or_refused(plan)
    if made is None:
        field, _, said = refused.partition(": ")
        assert field
        assert any(word in said for word in ("expected", "two readings", "do not meet"))
        return
    assert len(made.panels) == len(plan["walls"])
    told = {w.wall for w in made.warnings if w.code in ("no-sheet", "seam")}
    for panel in made.panels:
        assert (panel.sheet is None) == (panel.wall in told)
