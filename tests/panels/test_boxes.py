"""Receptacle boxes: the rectangular hole, its plate, its web, its papers; inches by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pypdfium2
import pytest
from shapely.geometry import Polygon

from service.documents.panel_files import panel_dxf
from service.documents.pdf.templates import templates_pdf
from service.documents.wording import DocumentMeta
from service.panels.model import Plan
from service.panels.problem import PlanError
from tests.panels.written_plan import INCH, back_wall, codes, end_wall, sheet, written_plan
from tests.support.dxf_reader import entities
from tests.support.pdf_reader import page_texts

META = DocumentMeta("A", "2026-01-02")
DPI = 300


def plan(**box: Any) -> Plan:
    """A far end wall, corner left 10 from plumb, outer edge 20; a box 2 x 3, 5 out and 20 down."""
    fixture = {
        "name": "receptacle",
        "kind": "receptacle",
        "from_plumb": "5",
        "down": "20",
        "box": ["2", "3"],
        "plate_box": ["2 3/4", "4 1/2"],
    }
    wall = end_wall("far end", "10", "18", "20", fixtures=[fixture | box])
    return written_plan({"walls": [wall], "stock": [sheet("36 x 96 right", "top", "right")]})


def test_the_hole_is_the_box_and_an_eighth_all_round() -> None:
    """2 1/4 x 3 1/4; middle 20 - 5 = 15 from the outer edge, 20 3/4 down: corner 13 7/8, 19 1/8."""
    cut = plan().panels[0].windows[0]
    assert (cut.width.text, cut.height.text) == ("2 1/4", "3 1/4")
    assert (cut.from_side.text, cut.from_top.text) == ("13 7/8", "19 1/8")
    assert (cut.kind, cut.liners) == ("box", ())


@pytest.mark.parametrize(
    ("plate", "told"), [(["2 3/4", "4 1/2"], False), (["2 5/8", "4 1/2"], True)]
)
def test_the_plate_laps_a_quarter_all_round(plate: list[str], told: bool) -> None:
    """2 3/4 - 2 x 1/4 = 2 1/4 covers it; 2 5/8 does not."""
    assert ("plate-too-small" in codes(plan(plate_box=plate))) == told


@pytest.mark.parametrize(("out", "told"), [("17 3/4", False), ("18", True)])
def test_a_box_keeps_an_inch_from_the_edge(out: str, told: bool) -> None:
    """20 - 17 3/4 - 1 1/8 = 1 1/8 of web; at 18 only 7/8."""
    assert ("thin-web" in codes(plan(from_plumb=out))) == told


@pytest.mark.parametrize("place", [{"from_plumb": "19"}, {"down": "59"}, {"down": "0"}])
def test_a_box_outside_its_panel_is_refused(place: dict[str, str]) -> None:
    """The wall, the box and where it would lie are named."""
    with pytest.raises(PlanError, match=r"far end\.receptacle: expected a box inside the panel"):
        plan(**place)


def test_no_round_hole_and_no_sealant_for_a_box() -> None:
    """It is no pipe: nothing is drilled round, and no reveal is sealed."""
    with_box, without = plan(), plan(box=None, plate_box=None)
    assert with_box.panels[0].cutouts == ()
    nets = [
        next(t.net for t in p.takeoff if t.item == "sealant") for p in (with_box, without)
    ]  # fmt: skip
    assert nets[0] == nets[1]
    assert without.panels[0].windows == ()


def test_a_box_for_a_switch_needs_no_hole_of_its_own() -> None:
    """A fixture that has a box needs neither hole, guard nor pipe."""
    assert plan(kind="pipe").panels[0].windows[0].kind == "box"


def test_the_power_is_off_first() -> None:
    """The notes say so, and that the box comes flush with the new face."""
    words = " ".join(plan().panels[0].windows[0].notes)
    assert "power off" in words
    assert "bring the box out 1/4 in" in words


def test_the_drawing_has_the_hole_where_the_plan_says() -> None:
    """DXF: the far end's x runs to the left in the front view, y up."""
    found = [
        e for e in entities(panel_dxf(plan().panels[0])) if e.layer == "CUT-OUT" and e.closed
    ]  # fmt: skip
    bounds = Polygon(found[0].points).bounds
    expected = [x * INCH for x in (-16.125, -22.375, -13.875, -19.125)]
    assert bounds == pytest.approx(expected, abs=0.01)


def _blue(data: bytes, number: int) -> np.ndarray[Any, np.dtype[np.bool_]]:
    """Pixels of the cut-out layer's blue at 300 dpi."""
    page = pypdfium2.PdfDocument(data)[number]
    colour = np.asarray(page.render(scale=DPI / 72).to_numpy()).astype(int)
    return np.asarray(colour[..., 0] - colour[..., 2] > 140)


def test_a_box_prints_at_its_own_size() -> None:
    """2 1/4 x 3 1/4 in are 675 x 975 px at 300 dpi, to a pixel and the line's own width."""
    data = templates_pdf(plan(), META)
    words = page_texts(data)
    blue = _blue(data, next(k for k, w in enumerate(words) if " receptacle" in w.splitlines()[0]))
    line = 0.35 / 25.4 * DPI
    for axis, length in ((0, 2.25), (1, 3.25)):
        found = np.flatnonzero(blue.any(axis=axis))
        assert found[-1] - found[0] + 1 - line == pytest.approx(length * DPI, abs=1.5)


def test_a_window_has_a_template_for_each_corner() -> None:
    """Four pages: which corner as seen, its distances, its drill; 60 mm of line from it."""
    window = {
        "name": "window", "depth": "4",
        "left": {"value": "-12"}, "right": {"value": "12"},
        "head": {"value": "10"}, "sill": {"value": "34"},
    }  # fmt: skip
    data = templates_pdf(written_plan({"walls": [back_wall(windows=[window])]}), META)
    words = page_texts(data)
    expected = {
        "upper left": "10 3/4 in to the TOP", "upper right": "10 3/4 in to the TOP",
        "lower left": "34 3/4 in to the TOP", "lower right": "34 3/4 in to the TOP",
    }  # fmt: skip
    for corner, top in expected.items():
        (number,) = [k for k, w in enumerate(words) if f"window, {corner} corner as seen" in w]
        assert top in words[number]
        assert "12 in to the plumb line" in words[number]
        blue = _blue(data, number)
        across = np.flatnonzero(blue.any(axis=0))
        assert across[-1] - across[0] + 1 == pytest.approx(60 / 25.4 * DPI, abs=4)


def test_a_seam_keeps_off_a_box() -> None:
    """The box reaches from 13 7/8 to 16 1/8; two inches more are kept clear."""
    fixture = {"name": "box", "from_plumb": "0", "down": "30", "box": ["2", "3"]}
    wall = end_wall("plumbing", "20", "20", "20", fixtures=[fixture])
    stock = [sheet("32 x 96", "top", "left"), sheet("24 x 96", "top")]
    found = written_plan({"walls": [wall], "stock": stock})
    assert found.cutting is not None
    assert abs(found.cutting.seams[0].at.mm / INCH - 20) >= 1.125 + 2
