"""Returns, cut-outs and corner backers of the alcove worked by hand."""

from __future__ import annotations

import pytest

from tests.panels.worked_alcove import hole, inch, worked_panel, worked_plan


@pytest.mark.parametrize(
    ("wall", "edges"), [("back", ["top"]), ("plumbing", ["top", "outer"])], ids=str
)
def test_returns(wall: str, edges: list[str]) -> None:
    """Over 3/8 tile or packing a return is 3/8 + 1/8 + 1/8 = 5/8."""
    found = {r.edge: r.depth.text for r in worked_panel(wall).returns}
    assert found == dict.fromkeys(edges, "5/8")


@pytest.mark.parametrize(
    ("name", "x", "y"),
    [
        ("arm", "17 5/16", "4"),  # 21 1/4 - 3 15/16; 3 + 1
        ("valve", "17 3/16", "52 1/16"),  # 21 1/4 - 4 1/16; 51 1/16 + 1
        ("spout", "17 1/4", "62 3/4"),  # 21 1/4 - 4; 61 3/4 + 1
    ],
)
def test_holes_from_outer_edge_and_top(name: str, x: str, y: str) -> None:
    """A hole is dimensioned from the finished outer edge and the finished top."""
    cutout = hole(worked_panel("plumbing"), name)
    assert (cutout.from_side.text, cutout.from_top.text) == (x, y)
    assert cutout.at_mm == pytest.approx((inch(x) * 25.4, inch(y) * 25.4))


@pytest.mark.parametrize(
    ("name", "saw", "most"),
    [
        ("arm", "1 1/8", "1 3/4"),  # .840 + 2 x 1/8 = 1.09; 2 1/2 flange - 2 x 3/8
        ("valve", "3 3/4", "5 1/2"),  # 3 1/2 + 2 x 1/8; 6 1/2 plate - 2 x 1/2
    ],
)
def test_saw_and_largest_hole(name: str, saw: str, most: str) -> None:
    """The saw is the next the shop owns; the plate says how large a hole it still covers."""
    cutout = hole(worked_panel("plumbing"), name)
    assert cutout.saw == f"{saw} in hole saw"
    assert cutout.diameter_mm == pytest.approx(inch(saw) * 25.4)
    assert cutout.max_diameter is not None
    assert cutout.max_diameter.text == most


def test_the_inner_edge_is_not_the_wall_corner() -> None:
    """From the inner edge the arm is 30 13/16 - 17 5/16 = 13 1/2, not the 14 1/4 taped."""
    notes = hole(worked_panel("plumbing"), "arm").notes
    assert notes == (
        "13 1/2 in from the sheet's inner edge, not the 14 1/4 in taped from the wall corner",
    )


def test_the_valve_datum_moves_by_the_build_up() -> None:
    """The new face is a build-up nearer: 2 1/16 + 1/4 = 2 5/16 to the valve's datum."""
    datum = hole(worked_panel("plumbing"), "valve").valve_datum
    assert datum is not None
    assert datum.text == "2 5/16"


def test_the_nipple_loses_the_build_up() -> None:
    """The spout nipple stands out 3 1/4 - 1/4 = 3 of the new face."""
    nipple = hole(worked_panel("plumbing"), "spout").nipple_out
    assert nipple is not None
    assert nipple.text == "3"


def test_corner_backers() -> None:
    """Backers are 66 + 1 - 1/8 - 1/4 = 66 5/8 left and 66 15/16 right."""
    found = {backer.corner: backer.length.text for backer in worked_plan().backers}
    assert found == {"left": "66 5/8", "right": "66 15/16"}


def test_the_finished_opening_for_a_door() -> None:
    """The opening of 58 1/2 loses a build-up at both sides: 58."""
    opening = worked_plan().finished_opening
    assert opening is not None
    assert opening.text == "58"
