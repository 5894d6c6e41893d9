"""Pictures among the rows of a paper: readable and in the page at every size of alcove."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from service.documents.drawing import Dimension, Text, bounds, parts
from service.documents.elevation import alcove_elevation
from service.documents.pdf.customer_elevation import customer_elevation_pdf
from service.documents.pdf.estimate import estimate_pdf
from service.documents.pdf.install_sheet import install_sheet_pdf
from service.documents.pdf.order_list import order_list_pdf
from service.documents.pdf.picture import Picture
from service.documents.wording import DocumentMeta, Paper
from service.panels.model import Point, Size
from service.panels.sizes import mark
from tests.documents.alcove import alcove_plan
from tests.documents.test_legibility import overlap, text_boxes

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.model import Panel, Plan

SMALLEST_MM = 1.9
"""Capital height that is read at arm's length: 7.4 pt (common practice)."""
PAPERS = pytest.mark.parametrize("paper", ["letter", "a4"])
MAKERS = pytest.mark.parametrize(
    "make", [customer_elevation_pdf, estimate_pdf, install_sheet_pdf, order_list_pdf]
)
WIDE = pytest.mark.parametrize("times", [0.4, 1.0, 2.05], ids=["24 in", "58 in", "10 ft"])


def widened(times: float) -> Plan:
    """The alcove, not released, its back wall this many times as wide."""
    plan = alcove_plan(released=(False, False, False))
    back = plan.panels[0]
    outline = tuple(Point(p.x * times, p.y) for p in back.outline_mm)
    box = replace(back.box, width=mark(back.box.width.mm * times))
    return replace(plan, panels=(replace(back, outline_mm=outline, box=box), *plan.panels[1:]))


@PAPERS
@MAKERS
@WIDE
def test_no_text_lies_over_other_text(
    make: Callable[[Plan, DocumentMeta], bytes], times: float, paper: Paper
) -> None:
    """On no page of a paper with a picture, from a 24 in back wall to one of 10 ft."""
    for page, boxes in text_boxes(make(widened(times), DocumentMeta("A", "today", paper))):
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []
        assert all(box[0] > 17 and box[2] < page[2] - 17 for box in boxes)


@WIDE
def test_letters_are_as_large_at_every_scale(times: float) -> None:
    """A wide alcove is drawn smaller, its figures are not."""
    picture = Picture(partial(alcove_elevation, widened(times).panels))
    drawing, scale = picture.fitted(184.0)
    texts = [parts(item)[-1] if isinstance(item, Dimension) else item for item in drawing]
    heights = [text.height / scale for text in texts if isinstance(text, Text)]
    assert min(heights) >= SMALLEST_MM
    assert bounds(drawing).width / scale <= 184.0


def test_a_picture_is_to_the_scale_that_is_written_below_it() -> None:
    """The back panel's 58 in are drawn at that scale's length."""
    plan = widened(1.0)
    drawing, scale = Picture(partial(alcove_elevation, plan.panels)).fitted(184.0)
    width: Size = plan.panels[0].box.width
    lines = [bounds((parts(i)[0],)).width / scale for i in drawing if isinstance(i, Dimension)]
    assert any(line == pytest.approx(width.mm / scale, abs=0.1) for line in lines)


def test_nothing_on_the_customers_picture_reads_as_a_cutting_size() -> None:
    """While a panel is not released, every size of it there is *about* something."""
    panels: tuple[Panel, ...] = widened(1.0).panels
    texts = [
        item.text
        for item in alcove_elevation(panels, 50.0)
        if isinstance(item, Text | Dimension) and " in" in item.text
    ]
    assert len(texts) == 6
    assert all(text.startswith("about ") for text in texts)


@pytest.mark.parametrize("most_mm", [45.0, 60.0, 100.0])
def test_a_small_picture_keeps_its_sizes_off_its_names(most_mm: float) -> None:
    """Where a height is longer than its line, it stands over the middle of it all the same."""
    drawing, scale = Picture(partial(alcove_elevation, widened(1.0).panels), most_mm).fitted(184.0)
    assert bounds(drawing).height / scale <= most_mm
    texts = [parts(item)[-1] if isinstance(item, Dimension) else item for item in drawing]
    boxes = [bounds((text,)) for text in texts if isinstance(text, Text) and text.text]
    assert len(boxes) >= 10
    touching = [
        (one, other)
        for one, other in combinations(boxes, 2)
        if min(one.right, other.right) - max(one.left, other.left) > 0.1 * scale
        and min(one.top, other.top) - max(one.bottom, other.bottom) > 0.1 * scale
    ]
    assert touching == []
