"""Full-size templates, measured on the page as it prints."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pypdfium2
import pytest

from service.documents.drawing import Circle, Text, bounds
from service.documents.pdf.templates import BARS_MM, templates_pdf
from service.documents.templates import templates
from service.documents.wording import DocumentMeta, Paper
from tests.documents.alcove import alcove_plan, size
from tests.support.pdf_reader import page_texts

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from service.panels.model import Plan

DPI = 300


def meta(paper: Paper = "letter") -> DocumentMeta:
    """What is printed on every page."""
    return DocumentMeta("A", "2026-01-02", paper, "abc123")


def page_pixels(data: bytes, number: int) -> NDArray[np.uint8]:
    """One page in grey at 300 dpi."""
    page = pypdfium2.PdfDocument(data)[number]
    return np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()


def longest_runs(dark: NDArray[np.bool_]) -> NDArray[np.int_]:
    """The longest unbroken dark run of every row."""
    best = np.zeros(dark.shape[0], dtype=int)
    run = np.zeros(dark.shape[0], dtype=int)
    for column in dark.T:
        run = np.where(column, run + 1, 0)
        best = np.maximum(best, run)
    return best


def wide_hole(inches: float) -> Plan:
    """The plan with its valve hole made this wide."""
    plan = alcove_plan()
    panels = tuple(
        replace(
            p,
            cutouts=tuple(
                replace(c, diameter_mm=inches * 25.4, diameter=size(inches), max_diameter=None)
                if c.name == "valve"
                else c
                for c in p.cutouts
            ),
        )
        for p in plan.panels
    )
    return replace(plan, panels=panels)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_level_check_bars_are_true_to_a_pixel(paper: Paper) -> None:
    """The bars print 1200 px (4 in) and 1181 px (100 mm) long at 300 dpi, and a stroke more."""
    grey = page_pixels(templates_pdf(alcove_plan(), meta(paper)), 0)
    # The foot of the page; nothing else there is a long line.
    foot = grey[int(grey.shape[0] * 0.86) :, : grey.shape[1] * 2 // 3] < 160
    found = sorted({int(run) for run in longest_runs(foot) if run > 1000})
    # An end stroke of 0.18 mm adds 2 px, half at either end.
    for _, length_mm in BARS_MM:
        assert any(abs(run - 2 - length_mm / 25.4 * DPI) <= 2 for run in found)


def test_upright_check_bar_is_true_to_a_pixel() -> None:
    """The upright bar is 4 in long too: a printer may stretch one way only."""
    grey = page_pixels(templates_pdf(alcove_plan(), meta()), 0)
    right = grey[:, int(grey.shape[1] * 0.87) : int(grey.shape[1] * 0.93)] < 160
    assert abs(max(longest_runs(right.T)) - 2 - 4 * DPI) <= 2


def test_a_hole_prints_at_its_own_size() -> None:
    """The arm's 1 1/8 in hole is 337.5 px across."""
    data = templates_pdf(alcove_plan(), meta())
    number = next(k for k, words in enumerate(page_texts(data)) if ": A arm" in words)
    page = pypdfium2.PdfDocument(data)[number]
    colour = np.asarray(page.render(scale=DPI / 72).to_numpy()).astype(int)
    # Blue is the cut-out layer's own; the bitmap is blue, green, red.
    blue = colour[..., 0] - colour[..., 2] > 140  # the green plate circle reaches 115
    rows = np.flatnonzero(blue.any(axis=1))
    columns = np.flatnonzero(blue.any(axis=0))
    line = 0.35 / 25.4 * DPI  # the circle's line lies half outside
    for found in (rows, columns):
        assert found[-1] - found[0] + 1 - line == pytest.approx(1.125 * DPI, abs=2.0)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_template_larger_than_the_paper_goes_over_several(paper: Paper) -> None:
    """A 12 in hole takes several pages, each of which says which it is; a small one takes one."""
    words = page_texts(templates_pdf(wide_hole(12.0), meta(paper)))
    valve = [page for page in words if ": B valve" in page]
    assert len(valve) >= 4
    assert all("sheet " in page for page in valve)
    assert sum(": A arm" in page for page in words) == 1


def test_every_page_asks_to_be_measured_first() -> None:
    """Whoever cuts by a page has read that the bars come first, and which hand it is for."""
    for words in page_texts(templates_pdf(alcove_plan(), meta())):
        assert "MEASURE THIS FIRST" in words
        assert "hand" in words.lower()


def test_hole_templates_say_where_they_belong() -> None:
    """Each hole's page gives both distances of the cutting sheet."""
    words = "\n".join(page_texts(templates_pdf(alcove_plan(), meta())))
    for text in ("17 5/16 in to the finished OUTER edge", "4 in to the finished TOP"):
        assert text in words


def test_returns_have_a_gauge() -> None:
    """Three tops and two outer ends: five gauges, 5/8 in deep."""
    words = page_texts(templates_pdf(alcove_plan(), meta()))
    assert sum("return at the" in page for page in words) == 5


def test_an_unreleased_panel_has_no_clean_template() -> None:
    """Each of its pages carries the warning; a released panel's pages do not."""
    words = page_texts(templates_pdf(alcove_plan(released=(True, False, True)), meta()))
    for page in words:
        assert ("NOT FOR CUTTING" in page) == ("plumbing" in page)


def test_a_plan_without_holes_still_has_a_page() -> None:
    """An empty document would be taken for a fault."""
    plan = alcove_plan()
    bare = replace(plan, panels=tuple(replace(p, cutouts=(), returns=()) for p in plan.panels))
    assert "No hole" in page_texts(templates_pdf(bare, meta()))[0]


def test_same_plan_same_bytes() -> None:
    """Two runs give identical files."""
    assert templates_pdf(alcove_plan(), meta()) == templates_pdf(alcove_plan(), meta())


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_two_templates_have_the_same_title(paper: Paper) -> None:
    """The title of each is printed to its end: which edge a return is of, which corner."""
    pages = page_texts(templates_pdf(alcove_plan(), meta(paper)))
    titles = [page.splitlines()[0] for page in pages]
    assert not any(title.endswith("…") for title in titles)
    assert len(set(titles)) == len(titles) == 3 + 1 + 2 + 2  # holes, returns


def test_a_hole_without_a_plate_tells_of_no_dashed_circle() -> None:
    """What is not drawn is not explained."""
    words = page_texts(templates_pdf(wide_hole(1.125), meta()))
    (valve,) = [page for page in words if ": B valve" in page]
    (arm,) = [page for page in words if ": A arm" in page]
    assert "dashed circle" not in valve
    assert "dashed circle" in arm


def test_the_circle_of_the_plate_strikes_no_words_through() -> None:
    """The words over and under a hole stand clear of the largest circle drawn round it."""
    panel = alcove_plan().panels[1]
    wide = replace(panel.cutouts[1], max_diameter=size(6.5))
    (found,) = templates(replace(panel, cutouts=(wide,), returns=()))
    circles = [item for item in found.drawing if isinstance(item, Circle)]
    radius = max(circle.radius for circle in circles)
    words = [bounds((item,)) for item in found.drawing if isinstance(item, Text)]
    assert len(words) == 2
    assert all(box.bottom > radius or box.top < -radius for box in words)
