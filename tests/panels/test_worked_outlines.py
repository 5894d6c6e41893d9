"""The outlines of the alcove worked by hand, to 1/64 in, each with its step.

The bottom stations of the software are at numeric places, a joint outside the panel's own edges,
where the hand computation uses the corner's height at the edge itself: that is at most 0.0025 in.
"""

from __future__ import annotations

import pytest

from tests.panels.worked_alcove import (
    SIXTY_FOURTH,
    edge_points,
    inch,
    inches,
    worked_panel,
    worked_plan,
)


@pytest.mark.parametrize(
    ("y", "x"),
    [
        ("0", 29.5703),  # 29 11/16 + 1/128 - 1/8: the end segment leans 1/128 an inch
        ("1", inch("29 9/16")),  # 30 1/16 taken to plaster - 3/8 packed out - 1/8
        ("17", inch("29 7/16")),  # 29 9/16 - 1/8
        ("41", inch("29 1/4")),  # 29 3/8 - 1/8
        ("65", inch("29 1/16")),  # 29 3/16 - 1/8
        ("66 7/8", 29.0479),  # 29 3/16 - 3/16 x 1 7/8 / 24 - 1/8
    ],
)
def test_back_left_edge(y: str, x: float) -> None:
    """The back panel's left edge is the offset to the finished plane less a joint."""
    found = {round(point[1], 1): -point[0] for point in edge_points(worked_panel("back"), "left")}
    assert found[round(inch(y), 1)] == pytest.approx(x, abs=SIXTY_FOURTH / 4)


@pytest.mark.parametrize(
    ("y", "x"),
    [
        ("0", inch("28 7/8")),
        ("1", inch("28 7/8")),  # 29 3/8 taken to plaster - 3/8 - 1/8
        ("17", inch("28 7/8")),  # 29 - 1/8
        ("41", inch("28 15/16")),  # 29 1/16 as taped again - 1/8
        ("65", inch("29 1/8")),  # 29 1/4 - 1/8
        ("67 3/16", 29.1421),  # 29 1/4 + 3/16 x 2 3/16 / 24 - 1/8
    ],
)
def test_back_right_edge(y: str, x: float) -> None:
    """The back panel's right edge is the offset to the finished plane less a joint."""
    found = {round(point[1], 1): point[0] for point in edge_points(worked_panel("back"), "right")}
    assert found[round(inch(y), 1)] == pytest.approx(x, abs=SIXTY_FOURTH / 4)


def test_back_bottom_edge() -> None:
    """The back panel's bottom is line to deck + 1 hold-down - 1/8 at each station."""
    found = [y for _, y in edge_points(worked_panel("back"), "bottom")]
    expected = [inch(y) for y in ("66 7/8", "66 15/16", "67 1/16", "67 1/8", "67 3/16")]
    assert found == pytest.approx(expected, abs=SIXTY_FOURTH / 4)


def test_back_overall_widths() -> None:
    """Overall widths are rounded down: 58.445 is cut 58 7/16."""
    widths = {w.down.text: w.value.text for w in worked_panel("back").widths}
    assert [widths[y] for y in ("0", "1", "17", "41", "65")] == [
        "58 7/16",
        "58 7/16",
        "58 5/16",
        "58 3/16",
        "58 3/16",
    ]


def test_back_box_is_wider_than_its_greatest_width() -> None:
    """A leaning panel's box is 29.5703 + 29.1421 = 58.712, though no width passes 58.445."""
    box = worked_panel("back").box
    assert box.width.mm / 25.4 == pytest.approx(58.712, abs=0.001)
    assert box.height.mm / 25.4 == pytest.approx(inch("67 3/16"), abs=0.001)


def test_back_area() -> None:
    """The back panel is 27.12 sq ft."""
    assert worked_panel("back").area_mm2 / 304.8**2 == pytest.approx(27.12, abs=0.005)


@pytest.mark.parametrize(
    ("wall", "heights", "expected"),
    [
        # X = 21 1/4 + offset - 1/4 build-up - 1/8 joint
        (
            "plumbing",
            ("0", "1", "17", "41", "65", "66 7/8"),
            (30.8125, 30.8125, 30.8125, 30.9375, 31.125, 31.1396),
        ),
        # X = 21 5/16 + offset - 3/8
        (
            "far end",
            ("0", "1", "17", "41", "65", "67 3/16"),
            (30.8125, 30.8125, 30.8125, 30.875, 31.0625, 31.0796),
        ),
    ],
)
def test_end_inner_edge(wall: str, heights: tuple[str, ...], expected: tuple[float, ...]) -> None:
    """An end panel's inner edge loses the back panel's build-up and a joint."""
    found = edge_points(worked_panel(wall), "inner")
    assert [x for x, _ in found] == pytest.approx(expected, abs=SIXTY_FOURTH / 4)
    assert [y for _, y in found] == pytest.approx([inch(y) for y in heights], abs=SIXTY_FOURTH / 4)


@pytest.mark.parametrize(
    ("wall", "heights"),
    [("plumbing", ("67", "66 15/16", "66 7/8")), ("far end", ("67 5/16", "67 1/4", "67 3/16"))],
)
def test_end_bottom_edge(wall: str, heights: tuple[str, ...]) -> None:
    """An end panel's bottom, from tub front to back corner, is line to deck + 1 - 1/8."""
    found = [y for _, y in edge_points(worked_panel(wall), "bottom")]
    assert found == pytest.approx([inch(y) for y in heights], abs=SIXTY_FOURTH / 4)


@pytest.mark.parametrize(
    ("wall", "bottom"),
    # 81 1/16 + 1 - 1/8 and 81 1/8 + 1 - 1/8; 21 1/4 - 18 7/8 - 1/8 = 2 1/4 at both ends
    [("plumbing", "81 15/16"), ("far end", "82")],
)
def test_leg_beside_the_tub(wall: str, bottom: str) -> None:
    """The leg stands beside the apron with a joint, and runs down to a joint off the floor."""
    leg = edge_points(worked_panel(wall), "leg")
    assert leg[0] == pytest.approx((2.25, inch(bottom)))
    assert leg[1] == pytest.approx((0.0, inch(bottom)))


@pytest.mark.parametrize(("wall", "area"), [("plumbing", 14.61), ("far end", 14.66)])
def test_end_areas(wall: str, area: float) -> None:
    """The end panels are 14.61 and 14.66 sq ft."""
    assert worked_panel(wall).area_mm2 / 304.8**2 == pytest.approx(area, abs=0.005)


def test_area_of_all_panels() -> None:
    """Three panels are 56.39 sq ft."""
    total = sum(panel.area_mm2 for panel in worked_plan().panels) / 304.8**2
    assert total == pytest.approx(56.39, abs=0.005)


def test_first_vertex_is_the_top_at_the_smallest_x() -> None:
    """Every outline begins at the finished top, at the panel's smallest x there."""
    starts = [inches(panel.outline_mm[0]) for panel in worked_plan().panels]
    assert starts == [pytest.approx((-29.5703, 0.0), abs=1e-4), (0.0, 0.0), (0.0, 0.0)]


def test_hands() -> None:
    """With the plumbing wall at the left its sheet is left-handed, the far end's right-handed."""
    hands = {panel.wall: panel.hand for panel in worked_plan().panels}
    assert hands == {"back": "none", "plumbing": "left", "far end": "right"}


def test_the_outer_edge_is_left_in_the_plumbing_wall_front_view() -> None:
    """In the front view x grows to the right on a left-hand sheet, to the left on a right-hand."""
    signs = {panel.wall: panel.front_sign for panel in worked_plan().panels}
    assert signs == {"back": 1, "plumbing": 1, "far end": -1}


def test_what_was_taken_off_is_told() -> None:
    """The 3/8 taken off the two readings to plaster stands on the back panel's page."""
    notes = [note for note in worked_panel("back").notes if "taken off" in note]
    assert notes == [
        f"3/8 in taken off the {side} reading 0 in below the line for the finished plane: check "
        "it there before cutting"
        for side in ("left", "right")
    ]
