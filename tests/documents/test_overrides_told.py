"""What somebody let stand on the papers of a panel, when it is much and said at length."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import pypdfium2 as pdfium
import pytest

from service.actions.plan.documents import document_makers
from service.documents.drawing import bounds
from service.documents.panel_files import panel_dxf, panel_svg
from service.documents.panel_views import view_title
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.templates import templates_pdf
from service.documents.wording import DocumentMeta, Paper
from service.panels.sheet_release import SheetRelease, SheetSize
from service.panels.sizes import mark
from tests.documents.alcove import alcove_plan
from tests.documents.test_legibility import overlap, text_boxes
from tests.support.pdf_reader import page_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.model import Panel, Plan

PAPERS = pytest.mark.parametrize("paper", ["letter", "a4"])
WHY = "the wall is notched behind the old soap dish and the customer has signed for it, see order"


def let_stand(count: int, who: str = "C") -> Plan:
    """The plan with so many sizes of its plumbing panel let stand, each for a long reason."""
    plan = alcove_plan()
    sizes = tuple(
        SheetSize(f"inner {n}", mark(740.0), 0.5, f"inner {n}", "override",
                  f"override by {who}: {WHY} number {n}; {WHY}", "", "")
        for n in range(count)
    )  # fmt: skip
    release = SheetRelease("released", "AB", "d0c7a5f3b2c1", who, "2026-11-30T10:00:00Z")
    panel = replace(plan.panels[1], sizes=sizes, release=release)
    return replace(plan, panels=(panel,))


@PAPERS
@pytest.mark.parametrize("count", [1, 4, 14, 40])
def test_overrides_leave_the_sheet_readable(count: int, paper: Paper) -> None:
    """However many there are, nothing is written over anything, and the sheet keeps its pages."""
    data = cutting_sheets_pdf(let_stand(count), DocumentMeta("A", "today", paper))
    found = text_boxes(data)
    assert len(found) <= 8 + count // 4
    for page, boxes in found:
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []
        assert all(box[1] >= 17 and box[3] <= page[3] - 17 for box in boxes)


def test_many_overrides_are_named_on_every_page_and_told_in_full_in_the_steps() -> None:
    """Each is cut short on the faces, none is left out; the steps have every reason to its end."""
    pages = page_words(cutting_sheets_pdf(let_stand(9), DocumentMeta("A", "today")))
    steps = " ".join(page for page in pages if "STEPS" in page)
    for page in pages:
        assert all(f"inner {n}: override by C" in page for n in range(9))
        assert "all 9 of them in full on the steps page" in page
    assert all(f"number {n}; {WHY}" in steps for n in range(9))


def test_a_few_are_told_in_full_on_every_page() -> None:
    """Two long reasons stand on each page to their ends."""
    pages = page_words(cutting_sheets_pdf(let_stand(2), DocumentMeta("A", "today")))
    assert len(pages) > 2
    assert all(f"number {n}; {WHY}" in page for page in pages for n in range(2))


def test_the_date_of_a_release_is_read_behind_no_name() -> None:
    """A name too long for its line is cut, the day is not; and sizes are counted as one speaks."""
    who = "Bartholomew Featherstonehaugh-Cholmondeley of the second floor"
    page = page_words(cutting_sheets_pdf(let_stand(3, who), DocumentMeta("A", "today")))[0]
    assert "revision AB, 2026-11-30, by Bartholomew" in page
    assert "3 sizes by override" in page
    one = page_words(cutting_sheets_pdf(let_stand(1), DocumentMeta("A", "today")))[0]
    assert "one size by override" in one


@PAPERS
@pytest.mark.parametrize("count", [0, 3, 12])
def test_no_override_lies_over_the_check_bars(count: int, paper: Paper) -> None:
    """The bars at a template's foot, which are measured first, stand clear above what is told."""
    data = templates_pdf(let_stand(count), DocumentMeta("A", "today", paper))
    document = pdfium.PdfDocument(data)
    for number, (page, boxes) in enumerate(text_boxes(data)):
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []
        words = document[number].get_textpage()
        bars = [box for box in boxes if words.get_text_bounded(*box).strip() == "100 mm"]
        assert len(bars) == 1
        low = bars[0][1] - 5.7  # the end strokes of the bar, 2 mm down
        beside = [b for b in boxes if b[0] < bars[0][0] and b[3] > low and b[1] < bars[0][3] + 20]
        assert beside == []
        assert page[3] > 0
    document.close()


def test_a_long_reason_does_not_widen_a_panels_file() -> None:
    """In the panel's SVG it stands in lines over the panel, which stays as large as without it."""
    plain, told = (
        bounds(view_title(let_stand(count).panels[0], "front", 25.0, "Hall bath"))
        for count in (0, 3)
    )
    assert told.width <= max(plain.width, 40 * 25.0) * 1.01
    words = " ".join(panel_svg(let_stand(3).panels[0]).decode().split())
    assert WHY.split()[-1] in words


@pytest.mark.parametrize("make", [panel_svg, panel_dxf])
def test_a_panels_file_says_which_job_it_is_of(make: Callable[[Panel, str], bytes]) -> None:
    """Every job has a back.dxf: the name of its job is written in it."""
    panel = let_stand(0).panels[0]
    assert b"Hall bath, second floor" in make(panel, "Hall bath, second floor")
    made = document_makers(replace(let_stand(0), job="Attic"), "A", "today", "letter")
    assert b"Attic" in made["plumbing.dxf"]()
    assert b"Attic" in made["plumbing.svg"]()
