"""SVG files, read back with the standard library's XML parser alone."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from service.documents.drawing import Circle, Layer, Place, Polyline, Text
from service.documents.panel_files import panel_svg
from service.documents.svg import svg
from service.panels.model import Panel
from tests.documents.alcove import alcove_plan

SVG = "{http://www.w3.org/2000/svg}"
PANELS = pytest.mark.parametrize("panel", alcove_plan().panels, ids=lambda panel: panel.title)


def parsed(data: bytes) -> ElementTree.Element:
    return ElementTree.fromstring(data.decode("utf-8"))


def layer(root: ElementTree.Element, name: str) -> ElementTree.Element:
    return next(group for group in root.iter(f"{SVG}g") if group.get("id") == name)


def vertices(path: str) -> list[tuple[float, float]]:
    numbers = [float(word) for word in re.findall(r"-?\d+(?:\.\d+)?", path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


@PANELS
def test_outline_coordinates_equal_the_model(panel: Panel) -> None:
    """The outline's path has the plan's vertices in millimetres, y down as SVG has it."""
    sign = -1 if panel.hand == "right" else 1
    expected = [(sign * point.x, point.y) for point in panel.outline_mm]

    (path,) = layer(parsed(panel_svg(panel)), "OUTLINE").iter(f"{SVG}path")

    assert path.attrib["d"].endswith("Z")
    assert vertices(path.attrib["d"]) == [pytest.approx(p, abs=0.001) for p in expected]


@PANELS
def test_one_user_unit_is_one_millimetre(panel: Panel) -> None:
    """Width and height are in mm and equal the view box, so lengths print at full size."""
    root = parsed(panel_svg(panel))
    _, _, width, height = map(float, root.attrib["viewBox"].split())

    assert root.attrib["width"] == f"{width:g}mm" or float(
        root.attrib["width"].removesuffix("mm")
    ) == pytest.approx(width)
    assert float(root.attrib["height"].removesuffix("mm")) == pytest.approx(height)


def test_title_names_the_panel_with_its_hand() -> None:
    """The title and the description state the hand."""
    root = parsed(panel_svg(alcove_plan().panels[2]))

    assert root.findtext(f"{SVG}title") == "far end wall, right hand"
    assert "RIGHT HAND" in (root.findtext(f"{SVG}desc") or "")


@PANELS
def test_nothing_runs_and_nothing_is_fetched(panel: Panel) -> None:
    """No script, no event handler, no link and no style sheet."""
    root = parsed(panel_svg(panel))
    tags = {element.tag.removeprefix(SVG) for element in root.iter()}
    attributes = {name for element in root.iter() for name in element.attrib}

    assert tags <= {"svg", "title", "desc", "g", "path", "circle", "text"}
    assert not [name for name in attributes if name.startswith("on") or "href" in name]


def test_words_that_look_like_markup_stay_words() -> None:
    """Text is escaped: angle brackets come back as typed."""
    words = '<script>alert("x")</script> & more'

    root = parsed(svg((Text(Layer.NOTE, Place(0, 0), words, 3),), words, words))

    assert [element.text for element in root.iter(f"{SVG}text")] == [words]


def test_box_holds_the_drawing_with_a_margin() -> None:
    """A 100 x 50 outline from the origin gives a view box 2 mm larger on every side."""
    corners = (Place(0, 0), Place(100, 0), Place(100, 50), Place(0, 50))

    root = parsed(svg((Polyline(Layer.OUTLINE, corners, closed=True),), "t", "d"))

    assert root.attrib["viewBox"] == "-2 -52 104 54"


def test_a_circle_keeps_centre_and_radius() -> None:
    """A hole is a circle element, its y negated."""
    root = parsed(svg((Circle(Layer.CUTOUT, Place(7.5, 3.25), 1.125),), "t", "d"))

    (circle,) = root.iter(f"{SVG}circle")
    assert (circle.get("cx"), circle.get("cy"), circle.get("r")) == ("7.5", "-3.25", "1.125")


@pytest.mark.parametrize("released", [True, False])
def test_warning_stands_in_the_picture_only_while_unreleased(released: bool) -> None:
    """An unreleased panel's SVG says that it is not for cutting; a released one's does not."""
    panel = alcove_plan(released=(released, True, True)).panels[0]

    assert ("NOT FOR CUTTING" in panel_svg(panel).decode("utf-8")) is not released
