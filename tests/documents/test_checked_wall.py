"""A wall of the cross-check, drawn: no size that has a place is left out, and chains add up."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pypdfium2 as pdfium
import pytest

from service.documents.checked_wall import wall_drawing
from service.documents.drawing import (
    Dimension,
    Layer,
    Line,
    Place,
    Polyline,
    Text,
    estimated_width,
    parts,
)
from service.documents.pdf.cross_check import cross_check_pdf
from service.documents.wording import DocumentMeta, Paper
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.placing import size_ends
from service.measuring.alcove.vocabulary import Role, Size, WallSizes
from service.measuring.cross_check import CheckedWall, CrossCheck, WallPart, cross_check
from service.measuring.reading import Reading
from service.measuring.release.facts import Override
from tests.documents.test_cross_check import checked
from tests.documents.test_legibility import overlap, text_boxes
from tests.measuring.alcove.worked import SLIP, mm, worked_alcove
from tests.support.pdf_reader import page_texts, page_words, words_of

TEXT_MM = 28.0
INCH = 25.4


def crowded(pipes: int = 9) -> CrossCheck:
    """The alcove worked by hand, with more pipes on its plumbing wall, two of them to a height."""
    walls, readings = worked_alcove("29 1/16")
    more: list[Size] = []
    for number in range(pipes):
        name, down = f"body spray {number}", 10.0 + 5 * (number // 2)
        out, above = 2.0 + 12 * (number % 2), 66.1 - down
        for role, inches in (
            (Role.FIXTURE_FROM_PLUMB, out),
            (Role.FIXTURE_DOWN, down),
            (Role.FIXTURE_ABOVE_DECK, above),
        ):
            size = Size(f"{name} {role}", "plumbing", role, fixture=name)
            more.append(size)
            readings.append(
                Reading(size.name, size.name, inches * INCH, text=f"{inches:g}", who="A")
            )
    plumbing = replace(walls[1], sizes=(*walls[1].sizes, *more))
    return _checked((walls[0], plumbing, walls[2]), readings)


def _checked(walls: tuple[WallSizes, ...], readings: list[Reading]) -> CrossCheck:
    judged = judge_alcove(walls, None, readings)
    found = [WallPart(wall, {size.name: size.name for size in wall.sizes}) for wall in walls]
    return cross_check(found, judged.judgement, readings, judged.closings)


def line_of(size: Dimension) -> Line:
    line = parts(size)[0]
    assert isinstance(line, Line)
    return line


def said(wall: CheckedWall) -> list[str]:
    drawn = wall_drawing(wall, TEXT_MM)
    return [item.text for item in drawn if isinstance(item, Dimension | Text)]


@pytest.mark.parametrize("number", [0, 1, 2])
def test_every_size_that_has_a_place_is_drawn(number: int) -> None:
    """Each value stands on the drawing as often as sizes have it: pipes down, across and above the
    deck, floor, tile and diagonals among them."""
    wall = checked("29 1/16").walls[number]
    values = {row.size.name: row.mm for row in wall.rows if row.size is not None}
    placed = size_ends(wall.sizes, {name: v for name, v in values.items() if v is not None})
    tape = {row.size.name: row.readings[0].split(" (")[0] for row in wall.rows if row.size}
    words = said(wall)
    for value in {tape[name] for name in placed}:
        wanted = sum(tape[name] == value for name in placed)
        assert sum(bool(re.search(rf'(^| ){value}"', text)) for text in words) == wanted, value
    assert len(placed) == {0: 22, 1: 30, 2: 18}[number]


def test_a_pipes_lane_is_a_chain_from_the_level_line_to_the_deck() -> None:
    """Down to the valve and from it to the deck are one line's two parts, as long as was taped."""
    drawn = wall_drawing(checked("29 1/16").walls[1], TEXT_MM)
    lanes = {i.text: line_of(i) for i in drawn if isinstance(i, Dimension) and "valve," in i.text}
    down, above = (lanes[next(t for t in lanes if words in t)] for words in ("down", "above"))
    ends = sorted({round(p.y, 3) for line in (down, above) for p in (line.start, line.end)})

    assert {round(p.x, 3) for line in (down, above) for p in (line.start, line.end)} == {
        round(down.start.x, 3)
    }
    assert len(ends) == 3
    assert ends[2] == 0.0
    assert -ends[1] == pytest.approx(mm("51 1/16"), abs=1.0)
    assert ends[1] - ends[0] == pytest.approx(mm("15"), abs=1.0)


def test_the_tile_is_a_chain_too() -> None:
    """Top, whole courses and the cut row, one after another down to the deck."""
    drawn = wall_drawing(checked("29 1/16").walls[0], TEXT_MM)
    names = ("tile top", "courses", "cut row")
    chain = [
        line_of(i) for name in names for i in drawn
        if isinstance(i, Dimension) and i.text.startswith(name)
    ]  # fmt: skip
    assert chain[0].start.y == 0.0
    assert chain[1].start.y == chain[0].end.y
    assert chain[2].start.y == chain[1].end.y
    assert -chain[2].end.y == pytest.approx(mm("66") - mm("1/8"), abs=2.0)


@pytest.mark.parametrize("number", [0, 1, 2])
def test_every_line_is_as_long_as_its_size(number: int) -> None:
    """Measured on the drawing, each dimension line is its best value long to 1/16 in."""
    wall = checked("29 1/16").walls[number]
    best = [row.mm for row in wall.rows if row.mm is not None]
    for item in wall_drawing(wall, TEXT_MM):
        if isinstance(item, Dimension):
            line = line_of(item)
            long = math.dist((line.start.x, line.start.y), (line.end.x, line.end.y))
            assert min(abs(long - value) for value in best) < INCH / 16, item.text


def test_what_all_is_measured_from_is_named() -> None:
    """Level line, plumb line, and which end of the wall is the corner."""
    found = checked("29 1/16")
    assert {"level line", "plumb line", "left corner", "right corner"} <= set(said(found.walls[0]))
    places = {}
    for wall in found.walls[1:]:
        texts = [i for i in wall_drawing(wall, TEXT_MM) if isinstance(i, Text)]
        at: dict[str, Place] = {text.text: text.at for text in texts}
        places[wall.sizes.wall] = at["back corner"].x > at["outer edge"].x
    assert places == {"plumbing": True, "far end": False}


def test_the_deck_is_drawn_through_its_stations() -> None:
    """The lower edge runs through the heights that were taken: it falls to the right."""
    drawn = wall_drawing(checked("29 1/16").walls[0], TEXT_MM)
    lines = [i.points for i in drawn if isinstance(i, Polyline) and i.layer is Layer.OUTLINE]
    (deck,) = [points for points in lines if len(points) == 5]
    assert deck[0].y == pytest.approx(-mm("66"), abs=1.5)
    assert deck[-1].y == pytest.approx(-mm("66 5/16"), abs=1.5)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_crowded_wall_has_no_text_over_text(paper: Paper) -> None:
    """With twelve pipes taped three ways each, on paper, in either size."""
    data = cross_check_pdf(crowded(), "Hall", DocumentMeta("A", "2026-01-01", paper))
    for page, boxes in text_boxes(data):
        assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []
        assert all(box[0] > 17 and box[2] < page[2] - 17 for box in boxes)


@pytest.mark.parametrize("text_mm", [28.0, 36.0, 44.0])
def test_the_tile_chain_runs_into_itself_at_no_scale(text_mm: float) -> None:
    """Words longer than the top of the tile stand over it, or are left to the table: under those
    of the courses they read as one more word of these."""
    wall = checked("29 1/16").walls[0]
    rows = tuple(replace(row, checked=False, taken_again=True) for row in wall.rows)
    spans = []
    for item in wall_drawing(replace(wall, rows=rows), text_mm):
        if isinstance(item, Dimension) and item.text.startswith(("tile", "courses", "cut")):
            text = parts(item)[-1]
            assert isinstance(text, Text)
            half = estimated_width(text.text, text_mm) / 2
            spans.append((text.at.y - half, text.at.y + half))
    assert spans
    assert all(one[1] < other[0] for one, other in pairwise(sorted(spans)))


def test_every_page_says_its_job_revision_number_and_wall() -> None:
    """Any page may be lifted out of the stack: head and foot tell what it is of."""
    meta = DocumentMeta("C", "2026-01-01")
    pages = page_words(cross_check_pdf(crowded(), "Hall bath", meta))
    part = ""
    assert len(pages) > 4
    for number, words in enumerate(pages, 1):
        assert "Hall bath" in words
        assert "revision C · 2026-01-01" in words
        assert f"page {number} of {len(pages)}" in words
        heads = re.findall(r"(back|plumbing|far end) wall(?! \(continued\))", words)
        assert heads or "Between the walls" in words or f"{part} wall (continued)" in words
        part = heads[-1] if heads else part


def test_what_is_said_of_a_size_is_on_its_page() -> None:
    """A conflict's slip, and what was done about it, are not on the next page than its row."""
    for shift in range(12):
        found = checked()
        back = found.walls[0]
        rows = (*back.rows[shift:], *back.rows[:shift])
        data = cross_check_pdf(
            replace(found, walls=(replace(back, rows=rows),)), "Hall", DocumentMeta("A", "today")
        )
        pages = page_texts(data)
        (slip,) = [page for page in pages if "did you burn an inch?" in page]
        assert "still open" in slip
        assert re.search(r"back right 40\s", slip)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_row_of_the_table_is_wider_than_its_rule(paper: Paper) -> None:
    """The longest status, of a conflict that was let stand, ends inside the page's margin."""
    found = checked(overrides=(Override(SLIP, SLIP, "C", "the wall is notched there"),))
    data = cross_check_pdf(found, "Hall", DocumentMeta("A", "today", paper))
    margin = 12.0 / 25.4 * 72
    for page, boxes in text_boxes(data):
        assert max(box[2] for box in boxes) <= page[2] - margin + 0.5


def test_no_words_are_paler_than_can_be_read_in_grey() -> None:
    """Printed grey, the darkest pixel of every piece of text has a contrast of 4.5 or more (WCAG
    2.2, 1.4.3) to the white round it: the slip's words too."""
    data = cross_check_pdf(checked(), "Hall", DocumentMeta("A", "today"))
    document = pdfium.PdfDocument(data)
    scale, read = 4.0, 0
    for number, ((_, _, _, high), boxes) in enumerate(text_boxes(data)):
        page = document[number].render(scale=scale, grayscale=True)
        grey = np.asarray(page.to_numpy()).squeeze()
        for left, low, right, top in boxes:
            rows = slice(int((high - top) * scale), int((high - low) * scale) + 1)
            darkest = grey[rows, int(left * scale) : int(right * scale) + 1].min() / 255
            linear = darkest / 12.92 if darkest <= 0.04045 else ((darkest + 0.055) / 1.055) ** 2.4
            assert 1.05 / (linear + 0.05) >= 4.5
            read += 1
    document.close()
    assert read > 300


def test_a_wall_is_called_on_paper_as_on_the_pages() -> None:
    """A job keeps it as far-end; nobody says that."""
    found = checked("29 1/16")
    far_end = replace(found.walls[2], sizes=replace(found.walls[2].sizes, wall="far-end"))
    kept = replace(found, walls=(*found.walls[:2], far_end))
    words = words_of(cross_check_pdf(kept, "Hall", DocumentMeta("C", "2026-01-01")))
    assert "far end wall" in words
    assert "far-end" not in words
