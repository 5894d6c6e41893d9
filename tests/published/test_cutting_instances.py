"""Published cutting instances, solved to their proved optimum by the code that cuts sheets.

Two-dimensional guillotine cutting: cgcut1 of Christofides and Whitlock (1977) and ngcut1 of Beasley
(1985), both in the OR-Library; their optima without rotation are published. The figures with
rotation are recomputed, not published: they show that the switch does something.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.panels.guillotine import Piece, best_cut, drops, placed

pytestmark = pytest.mark.published

CGCUT1 = ((15, 10), ((8, 4, 2, 66), (3, 7, 1, 35), (8, 2, 3, 24), (3, 4, 5, 17), (3, 3, 2, 11),
                     (3, 2, 2, 8), (2, 1, 1, 2)))  # fmt: skip
NGCUT1 = ((10, 10), ((3, 7, 2, 35), (8, 2, 2, 40), (10, 2, 1, 27), (5, 4, 3, 23), (2, 9, 2, 43)))
Instance = tuple[tuple[int, int], tuple[tuple[int, int, int, int], ...]]


def pieces(instance: Instance, *, turns: bool = False) -> list[Piece]:
    """Length, width, most, value."""
    return [
        Piece(f"{number}", width, height, most, value, turns=turns)
        for number, (width, height, most, value) in enumerate(instance[1])
    ]


@pytest.mark.parametrize(
    ("instance", "value", "counts"),
    [(CGCUT1, 244, (2, 1, 1, 2, 1, 1, 0)), (NGCUT1, 164, (1, 1, 0, 2, 1))],
    ids=["cgcut1", "ngcut1"],
)
def test_published_optimum(instance: Instance, value: int, counts: tuple[int, ...]) -> None:
    """The published optimum and its pieces, no rotation."""
    found = best_cut(*instance[0], pieces(instance))
    assert (found.value, found.counts) == (value, counts)


def test_rotation_is_worth_more() -> None:
    """With a quarter turn allowed cgcut1 yields 260 (recomputed): a patterned panel must not."""
    assert best_cut(*CGCUT1[0], pieces(CGCUT1, turns=True)).value == 260


@pytest.mark.parametrize("instance", [CGCUT1, NGCUT1], ids=["cgcut1", "ngcut1"])
def test_the_layout_is_a_cutting(instance: Instance) -> None:
    """Its pieces lie in the sheet, none over another, and with its drops they fill the sheet."""
    (width, height), given = instance[0], pieces(instance)
    block = best_cut(width, height, given).block
    assert block is not None
    at = placed(block, given, 0.0, width, height)
    left = drops(block, 0.0, width, height)
    for p in at:
        assert 0 <= p.x <= p.x + p.width <= width
        assert 0 <= p.y <= p.y + p.height <= height
    for p, q in combinations(at, 2):
        apart = p.x + p.width <= q.x or q.x + q.width <= p.x
        assert apart or p.y + p.height <= q.y or q.y + q.height <= p.y
    area = sum(p.width * p.height for p in at) + sum(d[2] * d[3] for d in left)
    assert area == pytest.approx(width * height)


@pytest.mark.parametrize("kerf", [0.125, 0.5])
def test_kerf_is_size_on_sheet_and_pieces(kerf: float) -> None:
    """With a kerf k the value is that of a sheet and pieces k larger without one."""
    given = pieces(NGCUT1)
    larger = [
        Piece(p.name, p.width + kerf, p.height + kerf, p.most, p.value) for p in given
    ]  # fmt: skip
    assert best_cut(10, 10, given, kerf).value == best_cut(10 + kerf, 10 + kerf, larger).value
    assert best_cut(10, 10, given, kerf).value < 164


@given(
    sheet=st.tuples(st.integers(3, 7), st.integers(3, 7)),
    kinds=st.lists(
        st.tuples(st.integers(1, 5), st.integers(1, 5), st.integers(1, 2), st.integers(1, 20)),
        min_size=2, max_size=3,
    ),
    turns=st.booleans(),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_small_sheets_against_every_cut_there_is(
    sheet: tuple[int, int], kinds: list[tuple[int, int, int, int]], turns: bool
) -> None:
    """On small sheets the best cutting is that of a recursion over every cut from edge to edge."""
    given_pieces = [
        Piece(str(k), w, h, most, value, turns=turns) for k, (w, h, most, value) in enumerate(kinds)
    ]
    found = best_cut(*sheet, given_pieces)
    assert found.proved
    assert found.value == every_cut(*sheet, kinds, turns)


def every_cut(width: int, height: int, kinds: list[tuple[int, int, int, int]], turns: bool) -> int:
    """The most that a sheet yields: as one piece, or by each cut, with each share of the pieces."""

    @cache
    def best(w: int, h: int, left: tuple[int, ...]) -> int:
        most = 0
        for k, (pw, ph, _, value) in enumerate(kinds):
            sizes = {(pw, ph), (ph, pw)} if turns else {(pw, ph)}
            if left[k] and any(a <= w and b <= h for a, b in sizes):
                most = max(most, value)
        for first in product(*(range(n + 1) for n in left)):
            rest = tuple(n - f for n, f in zip(left, first, strict=True))
            for x in range(1, w // 2 + 1):
                most = max(most, best(x, h, first) + best(w - x, h, rest))
            for y in range(1, h // 2 + 1):
                most = max(most, best(w, y, first) + best(w, h - y, rest))
        return most

    return best(width, height, tuple(most for *_, most, _ in kinds))
