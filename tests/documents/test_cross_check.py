"""The cross-check's drawing and paper, from judged values."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import replace
from itertools import combinations

import pytest

from service.documents.checked_wall import wall_drawing
from service.documents.cross_check import (
    COLUMNS,
    FIGURES,
    STAMP,
    cross_check_csv,
    derived_words,
    status_words,
)
from service.documents.drawing import Dimension, Layer, Line, Text
from service.documents.pdf.cross_check import cross_check_pdf
from service.documents.wording import DocumentMeta, Paper
from service.measuring.alcove.derived import Derived
from service.measuring.alcove.judging import judge_alcove
from service.measuring.cross_check import CheckedSize, CrossCheck, WallPart, cross_check, kept_back
from service.measuring.estimates import Estimate
from service.measuring.judgement import Status
from service.measuring.reading import Reading
from service.measuring.release.facts import Override
from tests.documents.test_legibility import overlap, text_boxes
from tests.measuring.alcove.worked import SLIP, worked_alcove
from tests.support.pdf_reader import page_texts, page_words

META = DocumentMeta("A", "today")


def checked(
    slip: str = "28 1/16", overrides: tuple[Override, ...] = (), without: str = ""
) -> CrossCheck:
    walls, readings = worked_alcove(slip)
    readings = [reading for reading in readings if reading.dimension != without]
    judged = judge_alcove(walls, None, readings)
    parts = [WallPart(wall, {size.name: size.name for size in wall.sizes}) for wall in walls]
    return cross_check(parts, judged.judgement, readings, judged.closings, overrides)


def test_the_slip_is_drawn_on_the_warning_layer_with_its_word() -> None:
    """One dimension line of the back wall warns, carries the value as read, and says so."""
    (back, *_rest) = checked().walls
    lines = [item for item in wall_drawing(back, 20.0) if isinstance(item, Dimension)]

    (warned,) = [line for line in lines if line.layer is Layer.WARNING]
    assert warned.text == '28 1/16" conflicts'
    assert len(lines) == 8 + 4 + 5 + 3  # offsets, widths, heights, tile


def test_the_drawing_is_to_scale() -> None:
    """An offset's line is as long as its best value, on the right side of the plumb line."""
    (back, *_rest) = checked("29 1/16").walls
    lines = [item for item in wall_drawing(back, 20.0) if isinstance(item, Dimension)]
    (left,) = [line for line in lines if line.text == '29 9/16"']

    assert left.start.x == 0
    assert left.end.x == pytest.approx(-29.5625 * 25.4, abs=1.0)
    assert left.end.y == pytest.approx(-16 * 25.4)


def test_an_end_wall_stands_with_its_corner_where_it_is() -> None:
    """The plumbing wall's back corner is on the right, the far end's on the left."""
    _back, plumbing, far_end = checked("29 1/16").walls
    for wall, text, sign in ((plumbing, '9 15/16"', 1), (far_end, '9 7/8"', -1)):
        lines = [item for item in wall_drawing(wall, 20.0) if isinstance(item, Dimension)]
        line = next(item for item in lines if item.text == text)
        assert line.end.x * sign > 0


def test_diagonals_tub_fronts_and_pipes_are_drawn() -> None:
    """A diagonal runs from its station to the deck at the other side, as long as it was taped; the
    front of the tub is below the deck; a pipe says how far down it is."""
    found = checked("29 1/16")
    back, plumbing = wall_drawing(found.walls[0], 20.0), wall_drawing(found.walls[1], 20.0)
    lengths = [
        math.dist((i.start.x, i.start.y), (i.end.x, i.end.y))
        for i in back
        if isinstance(i, Line) and i.start.x != i.end.x and i.start.y != i.end.y
    ]
    taped = [77 + 7 / 16, 76 + 11 / 16]
    assert sorted(mm / 25.4 for mm in lengths) == pytest.approx(sorted(taped), abs=1 / 8)
    said = [i.text for i in back if isinstance(i, Text)]
    assert {'77 7/16"', '76 11/16"'} <= set(said)
    words = [i.text for i in plumbing if isinstance(i, Dimension | Text)]
    assert any(one.startswith('18 7/8"') for one in words)
    assert any(one.startswith('arm, down 3"') for one in words)


def test_an_override_prints_with_its_reason() -> None:
    """Who let it stand, and why, is in the table, and on every page of the paper."""
    found = checked(overrides=(Override(SLIP, SLIP, "C", "the wall is notched there"),))
    words = "let stand by C: the wall is notched there"

    (line,) = [
        row for row in cross_check_csv(found, "job", META).decode().splitlines() if words in row
    ]
    assert line.startswith(f"back,{SLIP},")
    cells = dict(zip((*COLUMNS, *FIGURES, *STAMP), next(csv.reader([line])), strict=True))
    assert cells["let stand by"] == "C"
    assert float(cells["w"]) == pytest.approx(2 * float(cells["en"]), abs=0.011)
    assert float(cells["w"]) < -3.29
    pages = page_words(cross_check_pdf(found, "job", DocumentMeta("A", "today")))
    assert any(words in page for page in pages)
    assert len(pages) > 3
    told = f"let stand on the back wall, {SLIP}, by C: the wall is notched there"
    assert all(told in page for page in pages)


def test_what_is_let_stand_still_warns_in_the_drawing() -> None:
    """The size is drawn on the warning layer as before, and says that it was let stand."""
    found = checked(overrides=(Override(SLIP, SLIP, "C", "the wall is notched there"),))
    lines = [i for i in wall_drawing(found.walls[0], 20.0) if isinstance(i, Dimension)]

    (warned,) = [line for line in lines if line.layer is Layer.WARNING]
    assert warned.text == '28 1/16" conflicts, let stand'


def test_a_conflict_nobody_dealt_with_is_told_as_open() -> None:
    """The size in conflict says so in the table's last word; no other size does."""
    rows = checked().rows
    assert [row.name for row in rows if "still open" in row.done] == [SLIP]
    let_stand = checked(overrides=(Override(SLIP, SLIP, "C", "the wall is notched there"),))
    assert not any("still open" in row.done for row in let_stand.rows)


def test_a_size_that_was_taken_again_says_so_in_the_drawing() -> None:
    """The new value agrees and is checked, and the drawing tells that it replaced another."""
    walls, readings = worked_alcove("28 1/16")
    mm = 29.0625 * 25.4
    again = Reading("again", SLIP, mm, text="29 1/16", who="B", replaces=SLIP)
    judged = judge_alcove(walls, None, [*readings, again])
    part = WallPart(walls[0], {size.name: size.name for size in walls[0].sizes})
    found = cross_check([part], judged.judgement, [*readings, again], judged.closings)

    lines = [i for i in wall_drawing(found.walls[0], 20.0) if isinstance(i, Dimension)]
    assert [line.text for line in lines if "again" in line.text] == ['29 1/16" taken again']
    assert not any(line.layer is Layer.WARNING for line in lines)


@pytest.mark.parametrize(
    ("override", "why"),
    [
        (Override(SLIP, SLIP, "a", "looks right to me"), "overridden by the one who taped it"),
        (Override(SLIP, "gone", "C", "notched"), "overridden for a reading that no longer stands"),
    ],
)
def test_an_override_that_does_not_count_holds_the_size(override: Override, why: str) -> None:
    """The taper's own, or one of a reading that is gone, lets nothing go; the report says why."""
    (row,) = [row for row in checked(overrides=(override,)).rows if row.name == SLIP]

    assert row.let_stand_by == ""
    assert row.holds
    assert row.done[0].startswith(why)
    assert override.reason in row.done[0]


def test_an_override_of_what_agrees_is_not_told() -> None:
    """Where nothing conflicts there is nothing to let stand."""
    found = checked("29 1/16", (Override(SLIP, SLIP, "C", "the wall is notched there"),))
    assert not any(row.done or row.let_stand_by for row in found.rows)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_paper_is_the_same_each_time(paper: Paper) -> None:
    """The same values give the same bytes."""
    meta = DocumentMeta("A", "24 November 2026", paper)
    assert cross_check_pdf(checked(), "job", meta) == cross_check_pdf(checked(), "job", meta)


def test_a_paper_for_a_blind_retake_tells_what_does_not_close_and_not_by_how_much() -> None:
    """The slip's sums do not close, in the table and on the paper, and no inch is named."""
    found = kept_back(checked())
    out = [c for wall in found.walls for c in wall.closings if SLIP in c.sizes]
    assert {c.out_mm for c in out} == {None}
    unclosed = next(c.name for c in out if c.closes is False)
    table = cross_check_csv(found, "job", META).decode()
    line = next(line for line in table.splitlines() if line.startswith(unclosed))
    assert ",no,job," in line
    words = " ".join(page_texts(cross_check_pdf(found, "job", DocumentMeta("A", "today"))))
    assert "DOES NOT CLOSE" in words
    assert "kept back" in words
    assert "29 1/16" not in words


def test_a_formula_in_a_reading_is_defused() -> None:
    """What a spreadsheet would run is written as text."""
    found = checked()
    wall = found.walls[0]
    rows = (replace(wall.rows[0], readings=("=1+1",)), *wall.rows[1:])
    found = replace(found, walls=(replace(wall, rows=rows),))
    text = cross_check_csv(found, "=2+2", META).decode()
    assert "'=1+1" in text
    assert ",=2+2" not in text


def test_agreement_with_a_weak_check_is_not_called_checked() -> None:
    """The words tell an agreement that proves nothing from one that does."""
    rows = {row.name: row for row in checked("29 1/16").rows}
    assert status_words(rows["back left 16"]) == "agrees, checked"
    assert status_words(rows["back depth"]) == "agrees, weak check"


def test_a_size_that_nobody_taped_is_not_called_tape() -> None:
    """One offset left out: what the others say of it is drawn, and drawing, table and summary say
    that it is not taped; where its expectation is kept back, that it is until then."""
    found = checked("29 1/16", without="back left 40")
    row = next(row for row in found.rows if row.name == "back left 40")
    drawn = [
        item.text for item in wall_drawing(found.walls[0], 20.0) if isinstance(item, Dimension)
    ]
    data = cross_check_pdf(found, "job", META)
    pages = " ".join(page_texts(data))

    assert status_words(row) == "not taped"
    assert '29 3/8" not taped' in drawn
    assert not [text for text in drawn if text.endswith(" tape")]
    assert "74 sizes: 73 agree, 1 not taped." in " ".join(pages.split())
    blind = next(row for row in kept_back(found).rows if row.name == "back left 40")
    assert status_words(blind) == "kept back till taped"


def test_an_alcove_without_names_is_a_table_only() -> None:
    """Dimensions that are no named size are tabled, and nothing is drawn."""
    walls, _ = worked_alcove()
    reading = Reading("r", "a", 100.0)
    judged = judge_alcove((), None, [reading], names=["a"])
    part = WallPart(replace(walls[0], sizes=()), {"a": "a"})
    found = cross_check([part], judged.judgement, [reading], ())

    assert found.count(Status.TAPE_ONLY) == 1
    assert wall_drawing(found.walls[0], 20.0) == ()
    assert "tape only" in page_texts(cross_check_pdf(found, "job", DocumentMeta("A", "today")))[0]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_text_lies_over_other_text_where_all_is_by_photo(paper: Paper) -> None:
    """Nor where all is taped; a value by photo alone says so in one letter."""
    taped = checked("29 1/16")
    walls = tuple(replace(wall, rows=tuple(map(_by_photo, wall.rows))) for wall in taped.walls)
    shown = replace(taped, walls=walls)
    words = [item.text for item in wall_drawing(walls[0], 20.0) if isinstance(item, Dimension)]

    assert '≈29 9/16"' in words
    for found in (taped, shown):
        data = cross_check_pdf(found, "Hall", DocumentMeta("A", "2026-01-01", paper), {})
        for _, boxes in text_boxes(data):
            assert len(boxes) > 10
            assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []


def _by_photo(row: CheckedSize) -> CheckedSize:
    unsaid = replace(row, suspect="", done=(), readings=(), tape=None)
    return replace(unsaid, status=Status.PHOTO_ONLY, photo=row.tape)


def test_a_wall_out_of_plumb_says_which_way() -> None:
    """The worked alcove's left edge runs in by 1/2 in going down, its rim falls to the right, its
    left corner is open and its right one closed: no sign is to be guessed at."""
    said = {
        words: derived_words(Derived("back", what, 64 * 25.4, Estimate(mm, 1.0)))
        for words, what, mm in (
            ('out of plumb left 1/2" inwards going down, over 64"', "out of plumb left", -12.7),
            ('out of plumb right 1/4" outwards going down, over 64"', "out of plumb right", 6.35),
            ('out of level 5/16" falling to the right, over 64"', "out of level", 7.94),
            ('out of square right 3/16" closed, over 64"', "out of square right", -4.76),
            ('out of level 0", over 64"', "out of level", -0.1),
        )
    }
    assert all(told.startswith(words) for words, told in said.items())
    assert not any("-" in told for told in said.values())


def test_the_best_value_of_a_size_by_photo_alone_is_about() -> None:
    """In the table, too, it is no plain figure that somebody could cut by; and one speaks so."""
    taped = checked("29 1/16")
    back = replace(taped.walls[0], rows=tuple(map(_by_photo, taped.walls[0].rows)))
    found = replace(taped, walls=(back, *taped.walls[1:]))
    data = cross_check_pdf(found, "job", DocumentMeta("A", "today"))
    page = page_texts(data)[0]
    assert re.search(r'back left 16\s[^≈]*≈29 9/16"\s+≈751\s+photo only', page)
    assert re.search(r"\d+ photo only", page)
    assert re.search(r"\d+ agree\.", page)


def test_the_best_of_each_size_is_in_millimetres_too() -> None:
    """On the paper beside the inches, unless it is kept back with them."""
    found = checked("29 1/16")
    text = pages_of(found)
    told = [f"{row.best.mm:.1f}" for row in found.rows if row.best is not None]
    assert len(told) > 40
    assert all(figure in text for figure in told)
    hidden = kept_back(checked())
    text = pages_of(hidden)
    (row,) = [row for row in checked().rows if row.name == SLIP]
    assert row.best is not None
    assert f"{row.best.mm:.1f}" not in text


def pages_of(found: CrossCheck) -> str:
    return "\n".join(page_texts(cross_check_pdf(found, "job", META)))
