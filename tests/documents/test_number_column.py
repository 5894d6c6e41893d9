"""Rows that flow over pages: nothing lost, nothing too tall."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.documents.pdf.number_column import Heading, NumberRow, Row, Words, split_rows

WIDTH, ROOM = 80.0, 60.0
HEADING = Heading("LEFT EDGE", ("mark", "down", "out", "mm"))
KINDS = st.one_of(
    st.just(HEADING),
    st.builds(NumberRow, st.just("1"), st.just("17 in"), st.just("29 in"), st.just("7")),
    st.builds(Words, st.just("note"), st.text("ab ", max_size=900)),
)


def pages_of(rows: tuple[Row, ...]) -> list[tuple[Row, ...]]:
    pages = []
    while rows:
        taken, rows = split_rows(rows, WIDTH, ROOM)
        pages.append(taken)
    return pages


@settings(max_examples=60, deadline=None)
@given(st.lists(KINDS, max_size=30).map(tuple))
def test_every_page_fits_its_room(rows: tuple[Row, ...]) -> None:
    """Whatever flows, no page is taller than its room."""
    for page in pages_of(rows):
        assert sum(row.height_mm(WIDTH) for row in page) <= ROOM + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.lists(KINDS, max_size=30).map(tuple))
def test_no_number_and_no_word_is_lost(rows: tuple[Row, ...]) -> None:
    """All number rows and all words come out, in order."""
    flowed = [row for page in pages_of(rows) for row in page]

    def content(listed: tuple[Row, ...] | list[Row]) -> str:
        words = [row.words if isinstance(row, Words) else "#" for row in listed]
        kept = [w for w, row in zip(words, listed, strict=True) if not isinstance(row, Heading)]
        return "".join("".join(kept).split())

    assert content(flowed) == content(rows)


def test_a_table_that_goes_on_repeats_its_heading() -> None:
    """The columns are named again on the next page."""
    rows: tuple[Row, ...] = (
        HEADING,
        *(NumberRow(str(n), "0 in", "1 in", "25.4") for n in range(20)),
    )

    second = pages_of(rows)[1]

    assert second[0] == Heading("LEFT EDGE (continued)", HEADING.columns)


def test_a_heading_is_not_left_alone_at_the_foot() -> None:
    """A heading whose first row goes to the next page goes with it."""
    lines = [Words("•", "one line") for _ in range(10)]
    rows: list[Row] = [*lines, HEADING, NumberRow("1", "a", "b", "c")]

    first, rest = split_rows(
        rows, WIDTH, 10 * lines[0].height_mm(WIDTH) + HEADING.height_mm(WIDTH) + 0.1
    )

    assert not isinstance(first[-1], Heading)
    assert rest[0] == HEADING


def test_a_paragraph_taller_than_a_page_is_parted() -> None:
    """Words that fill more than a page go on over as many as they need."""
    words = Words("note", "word " * 400)

    pages = pages_of((words,))

    assert len(pages) > 1
    assert all(page[0].height_mm(WIDTH) <= ROOM for page in pages)


@pytest.mark.parametrize("room", [0.0, 1.0])
def test_no_room_at_all_still_comes_to_an_end(room: float) -> None:
    """Each call takes something, so the flow ends."""
    rows: tuple[Row, ...] = (HEADING, Words("a", "b"), Words("c", "d"))
    for _ in range(10):
        _, rows = split_rows(rows, WIDTH, room)

    assert rows == ()
