"""Pages as a reader meets them: no text over text, none too small, none off the page."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pypdfium2 as pdfium
import pytest

from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.estimate import estimate_pdf
from service.documents.wording import DocumentMeta
from tests.documents.alcove import alcove_plan

META = DocumentMeta(revision="A", date="24 November 2026", fingerprint="3f9a12")
Box = tuple[float, float, float, float]
MAKERS = pytest.mark.parametrize("make", [cutting_sheets_pdf, estimate_pdf])
PAPERS = pytest.mark.parametrize("paper", ["letter", "a4"])
TOUCH_PT = 0.3
PRINTER_EDGE_PT = 17.0
"""6 mm: common printers leave about this much of the rim white (common practice)."""


def text_boxes(data: bytes) -> list[tuple[Box, list[Box]]]:
    """Each page's size box and the boxes of its pieces of text, in points."""
    document = pdfium.PdfDocument(data)
    pages = []
    for page in document:
        words: Any = page.get_textpage()
        boxes = [words.get_rect(index) for index in range(words.count_rects())]
        pages.append(((0.0, 0.0, *page.get_size()), boxes))
    document.close()
    return pages


def overlap(a: Box, b: Box) -> bool:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return wide > TOUCH_PT and high > TOUCH_PT


@MAKERS
@PAPERS
def test_no_text_lies_over_other_text(make: Any, paper: Any) -> None:
    """On no page do two pieces of text overlap."""
    for _, boxes in text_boxes(make(alcove_plan(), replace(META, paper=paper))):
        assert len(boxes) > 10
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []


@MAKERS
@PAPERS
@pytest.mark.parametrize("released", [True, False])
def test_all_text_lies_inside_the_printable_page(make: Any, paper: Any, released: bool) -> None:
    """No text begins or ends in the rim that a printer cannot reach."""
    plan = alcove_plan(released=(released, released, released))
    for page, boxes in text_boxes(make(plan, replace(META, paper=paper))):
        for left, low, right, high in boxes:
            assert min(left, low) >= PRINTER_EDGE_PT
            assert right <= page[2] - PRINTER_EDGE_PT
            assert high <= page[3] - PRINTER_EDGE_PT


def test_the_check_sees_an_overlap() -> None:
    """Two boxes that share a corner region are found, two that touch are not."""
    assert overlap((0, 0, 10, 10), (9, 9, 20, 20))
    assert not overlap((0, 0, 10, 10), (10, 0, 20, 10))
