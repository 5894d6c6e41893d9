"""Front and back view of a panel: mirror images with the same numbers."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.clipping import level_runs, upright_runs
from service.documents.drawing import (
    Circle,
    Dimension,
    Layer,
    Line,
    Place,
    Polyline,
    Text,
    bounds,
    exploded,
)
from service.documents.mark_labels import spread
from service.documents.panel_views import panel_view, view_title
from service.panels.model import Panel
from tests.documents.alcove import INCH, alcove_plan, end_panel

TEXT_MM = 40.0
PANELS = pytest.mark.parametrize("panel", alcove_plan().panels, ids=lambda panel: panel.title)


def outline_of(panel: Panel, face: str) -> tuple[Place, ...]:
    view = panel_view(panel, "back" if face == "back" else "front", TEXT_MM)
    (found,) = [item for item in view if isinstance(item, Polyline) and item.layer == "OUTLINE"]
    return found.points


@PANELS
def test_back_outline_is_the_mirrored_front(panel: Panel) -> None:
    """Vertex by vertex, the back has the same y and the opposite x."""
    front, back = outline_of(panel, "front"), outline_of(panel, "back")

    assert [(-x, y) for x, y in back] == list(front)


@PANELS
def test_back_holes_are_the_mirrored_front_holes(panel: Panel) -> None:
    """Each hole on the back is the mirror image of one on the front, of the same size."""
    found = {}
    for face, flip in (("front", 1), ("back", -1)):
        view = panel_view(panel, "front" if face == "front" else "back", TEXT_MM)
        circles = [item for item in view if isinstance(item, Circle)]
        found[face] = [(flip * c.centre.x, c.centre.y, c.radius) for c in circles]

    assert found["front"] == found["back"]


@PANELS
def test_front_and_back_carry_the_same_words_and_numbers(panel: Panel) -> None:
    """No number changes between the two views."""
    words = [
        Counter(item.text for item in view if isinstance(item, Text | Dimension))
        for view in (panel_view(panel, "front", TEXT_MM), panel_view(panel, "back", TEXT_MM))
    ]

    assert words[0] == words[1]


@pytest.mark.parametrize(("wall", "hand", "side"), [(1, "left", -1), (2, "right", 1)])
def test_outer_edge_is_on_the_hand_as_seen(wall: int, hand: str, side: int) -> None:
    """On the front view of a left hand panel OUTER EDGE stands on the left, on the back right."""
    panel = alcove_plan().panels[wall]
    assert panel.hand == hand
    places = {}
    for face in ("front", "back"):
        view = panel_view(panel, "front" if face == "front" else "back", TEXT_MM)
        x = {item.text: item.at.x for item in view if isinstance(item, Text)}
        places[face] = x["OUTER EDGE"] - x["INNER EDGE"]

    assert places["front"] * side > 0 > places["back"] * side


def test_hole_dimensions_run_from_top_and_outer_edge() -> None:
    """The valve of the worked alcove is dimensioned 17 3/16 from outer and 52 1/16 from top."""
    panel = alcove_plan().panels[1]

    sizes = [item for item in panel_view(panel, "front", TEXT_MM) if isinstance(item, Dimension)]

    spans = {
        item.text: (abs(item.end.x - item.start.x) / INCH, abs(item.end.y - item.start.y) / INCH)
        for item in sizes
    }
    assert spans["17 3/16 in"] == pytest.approx((17.1875, 0))
    assert spans["52 1/16 in"] == pytest.approx((0, 52.0625))


def test_black_corner_is_at_finished_top_and_outer_edge() -> None:
    """The corner sign's right angle is where the finished top meets the outer edge, x = y = 0."""
    view = panel_view(end_panel("far end", "right"), "front", TEXT_MM)

    (sign,) = [item for item in view if isinstance(item, Polyline) and item.filled]
    assert sign.points[0] == Place(0, 0)


def test_every_mark_is_numbered_once() -> None:
    """Each mark's order stands on the drawing exactly once."""
    panel = alcove_plan().panels[0]

    view = panel_view(panel, "front", TEXT_MM)

    numbers = [item.text for item in view if isinstance(item, Text) and item.layer is Layer.MARK]
    assert sorted(numbers, key=int) == [str(mark.order) for mark in panel.marks]


@PANELS
@pytest.mark.parametrize("scale", [10, 16, 20, 24])
def test_mark_numbers_do_not_cover_one_another(panel: Panel, scale: int) -> None:
    """At every usual scale two numbers are at least a text height apart one way or other."""
    height = 2.5 * scale
    view = panel_view(panel, "front", height)
    at = [item.at for item in view if isinstance(item, Text) and item.layer is Layer.MARK]

    close = [
        (a, b)
        for index, a in enumerate(at)
        for b in at[index + 1 :]
        if abs(a.x - b.x) < 1.8 * height and abs(a.y - b.y) < 1.2 * height
    ]
    assert close == []


@given(st.lists(st.floats(-500, 500), max_size=12).map(sorted), st.floats(0.1, 50))
def test_spread_places_keep_their_distance_and_order(wanted: list[float], apart: float) -> None:
    """However the marks crowd, neighbours end up at least `apart`, in the same order."""
    placed = spread(wanted, apart)

    assert len(placed) == len(wanted)
    assert all(b - a >= apart - 1e-6 for a, b in pairwise(placed))


def test_places_far_apart_stay_where_they_are() -> None:
    """Spreading moves nothing that has room."""
    assert spread([0.0, 10.0, 30.0], 5.0) == [0.0, 10.0, 30.0]


def test_crowded_places_stay_round_their_mean() -> None:
    """Three numbers wanted at one place are centred on it."""
    assert spread([7.0, 7.0, 7.0], 2.0) == [5.0, 7.0, 9.0]


L_SHAPE = (Place(0, 0), Place(10, 0), Place(10, 4), Place(3, 4), Place(3, 9), Place(0, 9))


def test_a_level_line_is_cut_to_the_inside() -> None:
    """Across an L the line is as long as the L is wide at that height."""
    assert level_runs(L_SHAPE, 2) == ((0, 10),)
    assert level_runs(L_SHAPE, 6) == ((0, 3),)


def test_a_line_outside_the_outline_has_no_runs() -> None:
    """Nothing is drawn beyond the sheet."""
    assert level_runs(L_SHAPE, 20) == ()
    assert upright_runs(L_SHAPE, -1) == ()


def test_an_upright_line_is_cut_to_the_inside() -> None:
    """The same for upright lines."""
    assert upright_runs(L_SHAPE, 5) == ((0, 4),)


@pytest.mark.parametrize("released", [True, False])
def test_title_warns_only_while_unreleased(released: bool) -> None:
    """The words above a view carry the warning exactly when the panel is not released."""
    panel = end_panel("plumbing", "left", released=released)

    words = [item.text for item in view_title(panel, "back", 40) if isinstance(item, Text)]

    assert ("ESTIMATE – NOT FOR CUTTING" in words) is not released
    assert words[:2] == ["BACK (seen from behind)", "plumbing wall, left hand"]


@PANELS
def test_no_dimension_strikes_through_a_mark_number(panel: Panel) -> None:
    """No line of a dimension passes through the place of a mark's number."""
    view = exploded(panel_view(panel, "front", TEXT_MM))
    lines = [i for i in view if isinstance(i, Line) and i.layer is Layer.DIMENSION]
    numbers = [i for i in view if isinstance(i, Text) and i.layer is Layer.MARK]

    def struck(number: Text, line: Line) -> bool:
        box = bounds((number,))
        points = [
            Place(
                line.start.x + (line.end.x - line.start.x) * k / 200,
                line.start.y + (line.end.y - line.start.y) * k / 200,
            )
            for k in range(201)
        ]
        return any(box.left < x < box.right and box.bottom < y < box.top for x, y in points)

    assert [n.text for n in numbers if any(struck(n, line) for line in lines)] == []
