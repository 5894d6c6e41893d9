"""What stands beside the holes of a panel: nothing that could be read as another number."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest

from service.documents.drawing import Bounds, Dimension, Layer, Text, bounds, parts
from service.documents.panel_views import panel_view
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf, fitting_scale
from service.documents.pdf.paper import Area
from service.documents.wording import DocumentMeta, Face, Paper, hole_letters
from service.panels.model import Cutout, Panel
from tests.documents.alcove import alcove_plan, end_panel, point, size
from tests.documents.test_legibility import overlap, text_boxes
from tests.support.pdf_reader import page_texts

ROOM = Area(0.0, 0.0, 109.9, 145.0)
TWELVE = {
    "arm": (17.3125, 4),
    "hand shower elbow with its hose outlet": (17.25, 13),
    "diverter": (17.1875, 25),
    "volume control, hot": (12.75, 37),
    "volume control, cold": (20.75, 37),
    "valve": (17.1875, 52.0625),
    "spout": (17.25, 62.75),
    "body spray, upper left": (12.75, 21),
    "body spray, upper right": (23.25, 21),
    "body spray, lower left": (12.75, 45),
    "body spray, lower right": (23.25, 45),
    "дождевой душ": (6.0, 9),
}


def with_holes(places: dict[str, tuple[float, float]]) -> Panel:
    panel = end_panel("plumbing", "left")
    return replace(panel, cutouts=tuple(_hole(name, *at) for name, at in places.items()))


def _hole(name: str, x: float, y: float) -> Cutout:
    across = 1.125
    words = f"{size(across).text} in hole saw"
    at = point(x, y)
    return Cutout(name, at, across * 25.4, size(across), words, size(x), size(y), None)


def written(panel: Panel, face: Face, scale: int) -> list[tuple[str, Bounds]]:
    view = panel_view(panel, face, 2.5 * scale)
    texts = [parts(item)[-1] if isinstance(item, Dimension) else item for item in view]
    return [(text.text, bounds((text,))) for text in texts if isinstance(text, Text)]


def meet(one: Bounds, other: Bounds) -> bool:
    wide = min(one.right, other.right) - max(one.left, other.left)
    return wide > 0 and min(one.top, other.top) > max(one.bottom, other.bottom)


@pytest.mark.parametrize("scale", [8, 16, 24, 32, 48])
@pytest.mark.parametrize("face", ["front", "back"])
def test_no_number_of_a_hole_runs_into_another(face: Face, scale: int) -> None:
    """Of twelve holes, five of them two to a height, no text of any lies on another text."""
    found = [
        (text, box) for text, box in written(with_holes(TWELVE), face, scale) if not text.isdigit()
    ]
    run_together = [(a[0], b[0]) for a, b in combinations(found, 2) if meet(a[1], b[1])]
    assert run_together == []


def test_two_holes_at_one_height_have_a_line_each() -> None:
    """12 3/4 and 20 3/4 in from the edge stand on two lines and not as 120 3/4 on one."""
    panel = with_holes(
        {name: TWELVE[name] for name in ("volume control, hot", "volume control, cold")}
    )
    lines = {
        item.text: parts(item)[0]
        for item in panel_view(panel, "front", 60.0)
        if isinstance(item, Dimension)
    }
    near, far = (bounds((lines[words],)) for words in ("12 3/4", "20 3/4 in"))
    assert abs(near.bottom - far.bottom) >= 1.5 * 60.0


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_printed_sheet_has_no_text_over_text(paper: Paper) -> None:
    """The same on paper, measured on the page by another library."""
    plan = replace(alcove_plan(), panels=(with_holes(TWELVE),))
    for _, boxes in text_boxes(cutting_sheets_pdf(plan, DocumentMeta("A", "today", paper))):
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []


def test_a_long_name_does_not_shrink_the_drawing() -> None:
    """The name goes to the table; the panel is drawn as large as with a short one."""
    short, long = with_holes({"spout": (17.25, 62.75)}), with_holes({"spout " * 12: (17.25, 62.75)})
    for paper in ("letter", "a4"):
        assert fitting_scale(long, ROOM, paper) == fitting_scale(short, ROOM, paper)


@pytest.mark.parametrize("face", ["front", "back"])
def test_every_hole_has_its_letter_once(face: Face) -> None:
    """However crowded: names may be left out, letters not; and they are no 1 and no 0."""
    panel = with_holes(TWELVE)
    texts = [
        item.text.split()[0]
        for item in panel_view(panel, face, 60.0)
        if isinstance(item, Text) and item.layer is Layer.CUTOUT
    ]
    assert sorted(texts) == sorted(hole_letters(panel))
    assert not set("IOQ") & set(texts)


def test_two_names_without_a_letter_in_the_font_are_told_apart() -> None:
    """Both print as empty boxes; drawing and table call one A and the other B."""
    panel = with_holes({"टब": (17.25, 62.75), "नल": (17.25, 52.0)})
    data = cutting_sheets_pdf(replace(alcove_plan(), panels=(panel,)), DocumentMeta("A", "today"))
    front = page_texts(data)[0]
    assert re.search(
        r"A .+: 1 1/8 in hole saw\s+from OUTER edge\s+17 1/4 in\s.+\s+from TOP\s+62 3/4", front
    )
    assert re.search(
        r"B .+: 1 1/8 in hole saw\s+from OUTER edge\s+17 1/4 in\s.+\s+from TOP\s+52 in", front
    )


def test_the_letters_go_on_past_the_alphabet() -> None:
    """Forty holes have forty letters."""
    places = {f"hole {k}": (3.0 + k % 5, 2.0 + k) for k in range(40)}
    letters = hole_letters(with_holes(places))
    assert len(set(letters)) == 40
    assert letters[22:25] == ("Z", "AA", "AB")
