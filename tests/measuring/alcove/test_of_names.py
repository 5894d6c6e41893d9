"""Named sizes read out of a wall file's own names, and only where its marks bear them out."""

from __future__ import annotations

from dataclasses import replace

from service.measuring.alcove.closing import alcove_closures, closings
from service.measuring.alcove.of_names import Named, sizes_of_names
from service.measuring.alcove.vocabulary import Role, Side

LEVEL = ("level left", "level right")
PLUMB = ("plumb 16", "plumb 64")
BACK = [
    Named("left 40", "left 40", None, PLUMB[::-1]),
    Named("right 40", "right 40", None, PLUMB),
    Named("width 40", "left 40", "right 40", None),
    Named("deck left", "deck left", None, LEVEL[::-1]),
    Named("deck -14", "deck -14", None, LEVEL[::-1]),
    Named("diagonal", "right 40", "deck left", None),
    Named("soap dish", "left 40", "dish", None),
]
END = [
    Named("inner 40", "inner 40", None, PLUMB),
    Named("outer 40", "outer 40", None, PLUMB[::-1]),
    Named("deck front", "deck front", None, LEVEL),
    Named("tub front", "deck front", None, PLUMB[::-1]),
    Named("valve down", "valve", None, LEVEL),
    Named("valve from plumb", "valve", None, PLUMB[::-1]),
    Named("across", "inner 40", "deck front", None),
]


def test_a_back_wall_is_read_from_its_names() -> None:
    """Offsets, width, heights and diagonal are known; a soap dish is not."""
    found = {s.name: s for s in sizes_of_names("back", BACK, LEVEL, PLUMB).sizes}

    assert list(found) == [d.name for d in BACK[:-1]]
    assert (found["right 40"].role, found["right 40"].side) == (Role.OFFSET, Side.RIGHT)
    assert found["width 40"].down_mm == 40 * 25.4
    assert found["deck -14"].at_mm == -14 * 25.4
    assert (found["diagonal"].side, found["diagonal"].to_down_mm) == (Side.RIGHT, None)


def test_an_end_wall_knows_its_corner() -> None:
    """The inner edge lies right of a plumb line that runs down: the back corner is on the right."""
    found = sizes_of_names("plumbing", END, LEVEL, PLUMB)

    assert found.corner is Side.RIGHT
    assert {s.name: s.role for s in found.sizes}["across"] is Role.DIAGONAL
    mirrored = [replace(d, line=d.line[::-1] if d.line else None) for d in END]
    assert sizes_of_names("far end", mirrored, LEVEL, PLUMB).corner is Side.LEFT


def test_a_corner_that_is_told_is_believed() -> None:
    """Whichever way round the plumb line was named, an end wall stands where its file says: its
    corner's height is held against that corner of the back wall and no other."""
    assert sizes_of_names("far end", END, LEVEL, PLUMB, Side.LEFT).corner is Side.LEFT
    assert sizes_of_names("far end", END, LEVEL, PLUMB, Side.LEFT).meets is Side.RIGHT


def test_left_and_right_of_an_end_wall_are_inner_and_outer() -> None:
    """An end wall whose file tells its corner and calls its offsets left and right: they and their
    width close as those of any end wall."""
    sides = BACK[:3]
    found = sizes_of_names("plumbing", sides, LEVEL, PLUMB, Side.RIGHT)

    assert [(s.name, s.side) for s in found.sizes[:2]] == [
        ("left 40", Side.OUTER),
        ("right 40", Side.INNER),
    ]
    (closing,) = alcove_closures((found,), {})
    assert closing.coefficients == {"left 40": 1.0, "right 40": 1.0, "width 40": -1.0}


def test_a_name_whose_marks_say_otherwise_is_not_believed() -> None:
    """An offset that is not from the plumb line, a width between other marks: no named size."""
    wrong = [
        Named("left 40", "left 40", None, LEVEL),
        Named("right 40", "right 40", None, PLUMB),
        Named("width 40", "left 40", "right 40", None),
    ]
    assert [s.name for s in sizes_of_names("back", wrong, LEVEL, PLUMB).sizes] == ["right 40"]


def test_names_tie_the_sizes_together() -> None:
    """The width is in a closure with its two offsets, although no file said a word of roles."""
    walls = (sizes_of_names("back", BACK, LEVEL, PLUMB),)
    names = [c.coefficients for c in alcove_closures(walls, {})]
    assert {"left 40": 1.0, "right 40": 1.0, "width 40": -1.0} in names


def test_an_untold_surface_may_be_a_step_behind() -> None:
    """Where nobody said tile or plaster, an offset 3/8 in out of line still closes; an inch not."""
    stations = [Named(f"left {down}", f"left {down}", None, PLUMB[::-1]) for down in (0, 16, 40)]
    walls = (sizes_of_names("back", stations, LEVEL, PLUMB),)
    for inches, closes in ((0.375, True), (1.0, False)):
        values = {"left 0": (29 + inches) * 25.4, "left 16": 29 * 25.4, "left 40": 29 * 25.4}
        (closing,) = closings(alcove_closures(walls, values), values)
        assert closing.closes is closes
