"""The cross-check's alcove from above, on paper."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from service.documents.drawing import Dimension, Layer, Line, Polyline, Text, bounds
from service.documents.from_above import drawn_from_above
from service.documents.pdf.cross_check import cross_check_pdf
from service.documents.wording import DocumentMeta
from service.measuring.cross_check import CrossCheck
from tests.documents.test_cross_check import checked
from tests.support.pdf_reader import page_texts


def _without(found: CrossCheck, *names: str) -> CrossCheck:
    """The same with some sizes not taped yet."""
    walls = tuple(
        replace(
            wall,
            rows=tuple(replace(r, readings=()) if r.name in names else r for r in wall.rows),
        )
        for wall in found.walls
    )
    return replace(found, walls=walls)


def test_the_taped_sizes_in_plan_stand_on_it() -> None:
    """Two corner diagonals, the opening and the depth as they were taped, and over each corner how
    far it is out of square in 24 in; the back wall is drawn above the front."""
    drawn = drawn_from_above(checked("29 1/16"), 20.0)
    words = [i.text for i in drawn if isinstance(i, Dimension | Text)]
    (walls,) = [i for i in drawn if isinstance(i, Polyline)]
    slants = [math.dist(i.start, i.end) / 25.4 for i in drawn if isinstance(i, Line)]

    assert sorted(slants) == pytest.approx([33.8125, 34.125], abs=1 / 16)
    assert {'1/4" open over 24"', '3/16" closed over 24"', '29" weak'} <= set(words)
    assert any('opening: 58 1/2"' in one for one in words)
    assert walls.points[0].y == pytest.approx(-29 * 25.4, abs=3)
    assert bounds(drawn).top < 100


def test_what_is_not_taped_is_not_drawn() -> None:
    """No line and no word of a size without a reading, whatever else knows of it; and no plan at
    all where nothing in plan is taped."""
    found = checked("29 1/16")
    names = ("back square left", "back square right", "back opening", "back depth")
    drawn = drawn_from_above(_without(found, *names[:2]), 20.0)

    assert not any(isinstance(i, Line) for i in drawn)
    assert not any("24" in i.text for i in drawn if isinstance(i, Text))
    assert len([i for i in drawn if isinstance(i, Dimension)]) == 2
    assert drawn_from_above(_without(found, *names), 20.0) == ()


def test_a_slip_in_plan_warns() -> None:
    """A corner diagonal in conflict stands on the warning layer, a word beside its value."""
    found = checked("29 1/16")
    assert not any(i.layer is Layer.WARNING for i in drawn_from_above(found, 20.0))
    status = type(found.rows[0].status).CONFLICTS
    walls = tuple(
        replace(
            wall,
            rows=tuple(
                replace(r, status=status) if r.name == "back square left" else r for r in wall.rows
            ),
        )
        for wall in found.walls
    )
    warned = [
        i for i in drawn_from_above(replace(found, walls=walls), 20.0) if i.layer is Layer.WARNING
    ]
    assert [i.text for i in warned if isinstance(i, Text)] == ['34 1/8" conflicts']


def test_the_paper_has_the_plan() -> None:
    """Under what the walls say of one another."""
    data = cross_check_pdf(checked("29 1/16"), "job", DocumentMeta("A", "today"))
    words = "\n".join(page_texts(data))
    assert "Between the walls, from above" in words
    assert '3/16" closed over 24"' in words
