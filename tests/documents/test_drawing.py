"""The drawing model: transforms, bounds and dimensions."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.drawing import (
    Arc,
    Circle,
    Dimension,
    Drawing,
    Layer,
    Line,
    Place,
    Polyline,
    Text,
    bounds,
    exploded,
    mirrored,
    parts,
    scaled,
    shifted,
)

BENT = Polyline(Layer.OUTLINE, (Place(0, 0), Place(30, 5), Place(10, 40)), closed=True)
HOLE = Circle(Layer.CUTOUT, Place(12, 9), 4)
QUARTER = Arc(Layer.OUTLINE, Place(5, 5), 10, 0, math.pi / 2)
SIZE = Dimension(Place(0, 0), Place(30, 0), 8, "1 3/16 in", 2.5)
WORDS = Text(Layer.NOTE, Place(3, 4), "valve", 2.5, "left", "base", 0.3)
MIXED: Drawing = (BENT, HOLE, QUARTER, SIZE, WORDS)


def test_mirroring_negates_every_x() -> None:
    """A mirrored outline has the same y and the opposite x, vertex by vertex."""
    (back,) = mirrored((BENT,))

    assert isinstance(back, Polyline)
    assert [(-x, y) for x, y in back.points] == list(BENT.points)


def test_mirroring_twice_changes_nothing() -> None:
    """The back of the back is the front, for every kind of primitive."""
    again = mirrored(mirrored((BENT, HOLE, SIZE, WORDS)))

    assert again == (BENT, HOLE, SIZE, WORDS)


def test_mirrored_text_is_readable() -> None:
    """Upright text still reads from the right after mirroring."""
    (back,) = mirrored((Text(Layer.NOTE, Place(0, 0), "edge", 2.5, rotation_rad=math.pi / 2),))

    assert isinstance(back, Text)
    assert back.rotation_rad == pytest.approx(math.pi / 2)


def test_mirrored_arc_covers_the_mirrored_quarter() -> None:
    """A quarter circle in the first quadrant becomes one in the second."""
    (back,) = mirrored((Arc(Layer.OUTLINE, Place(0, 0), 10, 0.2, 1.3),))

    assert isinstance(back, Arc)
    assert back.start_rad == pytest.approx(math.pi - 1.3)
    assert back.end_rad == pytest.approx(math.pi - 0.2)


@given(factor=st.floats(0.01, 100), dx=st.floats(-1e3, 1e3), dy=st.floats(-1e3, 1e3))
def test_bounds_follow_the_transforms(factor: float, dx: float, dy: float) -> None:
    """Scaling and shifting a drawing scales and shifts its bounds."""
    before = bounds(MIXED)

    after = bounds(shifted(scaled(MIXED, factor), dx, dy))

    expected = (
        before.left * factor + dx,
        before.bottom * factor + dy,
        before.right * factor + dx,
        before.top * factor + dy,
    )
    assert after == pytest.approx(expected, abs=1e-6)


def test_bounds_of_a_quarter_circle_hold_only_the_quarter() -> None:
    """An arc's bounds come from the arc, not from the whole circle."""
    assert bounds((QUARTER,)) == pytest.approx((5, 5, 15, 15))


@pytest.mark.parametrize("factor", [0.0, -1.0, math.nan, math.inf])
def test_a_scale_that_is_no_positive_number_is_refused(factor: float) -> None:
    """Scaling by nothing, backwards or by no number says what a scale must be."""
    with pytest.raises(ValueError, match="positive number"):
        scaled(MIXED, factor)


def test_an_empty_drawing_has_no_bounds() -> None:
    """Bounds of nothing are an error, not a zero rectangle."""
    with pytest.raises(ValueError, match="empty drawing"):
        bounds(())


def test_a_dimension_line_is_as_long_as_what_it_measures() -> None:
    """The first part of a dimension runs parallel to the two points, offset to their left."""
    line = parts(SIZE)[0]

    assert isinstance(line, Line)
    assert (line.start, line.end) == (Place(0, 8), Place(30, 8))


@pytest.mark.parametrize("turn_deg", [0, 60, 90, 120, 180, 240, 270, 300])
def test_dimension_text_reads_from_the_bottom_or_the_right(turn_deg: int) -> None:
    """ISO 129-1: no dimension text stands on its head, whichever way it was given."""
    turn = math.radians(turn_deg)
    end = Place(100 * math.cos(turn), 100 * math.sin(turn))

    text = parts(Dimension(Place(0, 0), end, 8, "3 15/16 in", 2.5))[-1]

    assert isinstance(text, Text)
    assert -math.pi / 2 < text.rotation_rad <= math.pi / 2 + 1e-9


def test_text_too_long_for_its_line_stands_beyond_the_end() -> None:
    """A short dimension does not write over its own strokes."""
    text = parts(Dimension(Place(0, 0), Place(4, 0), 8, "3 15/16 in", 2.5))[-1]

    assert isinstance(text, Text)
    assert text.at.x > 4 + 2.5


def test_exploding_leaves_no_dimension() -> None:
    """Writers only meet lines, outlines, circles, arcs and text."""
    assert not any(isinstance(item, Dimension) for item in exploded(MIXED))
