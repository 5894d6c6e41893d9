"""Which sheets are bought: the cheapest grouping, with hands, edges, patterns and drops."""

from __future__ import annotations

from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.panels.guillotine import Piece, best_cut
from service.panels.sheets import Purchase, Wanted, cheapest_sheets, sheet_cut
from service.panels.walls import Pattern, StockSheet
from tests.panels.worked_alcove import shipped_practice

KERF = 3.175
TOP = frozenset({"top"})


def panel(name: str, width: float, height: float, *edges: str, starts: str | None = None) -> Wanted:
    """A panel to be cut."""
    return Wanted(name, width, height, frozenset(edges), starts)


def sheet(name: str, width: float, height: float, price: str, *edges: str,
          printed: str | None = None) -> StockSheet:  # fmt: skip
    """A stock sheet."""
    return StockSheet(name, width, height, edges, Decimal(price), printed)  # type: ignore[arg-type]


def cost(bought: Purchase) -> Decimal:
    """What a purchase costs."""
    return sum((b.sheet.price or Decimal(0) for b in bought.bought), Decimal(0))


ENDS = (panel("l", 700, 1700, "top", "left"), panel("r", 700, 1700, "top", "right"))
PAIR = sheet("pair", 1500, 2400, "500", "top", "left", "right")
LEFT = sheet("left", 900, 2400, "300", "top", "left")
RIGHT = sheet("right", 900, 2400, "300", "top", "right")


def test_two_ends_share_a_sheet_with_both_edges() -> None:
    """Two ends of 700 and a kerf go into 1500, at 500 instead of 600."""
    found = cheapest_sheets(ENDS, (LEFT, RIGHT, PAIR), None, KERF)
    assert [b.sheet.name for b in found.bought] == ["pair"]
    assert found.proved


def test_each_end_keeps_its_edge() -> None:
    """On a shared sheet the left hand end is at the left edge, the right hand one at the right."""
    found = cheapest_sheets(ENDS, (PAIR,), None, KERF)
    cut = sheet_cut(found.bought[0], ENDS, [], shipped_practice())
    at = {piece.name: (piece.x.mm, piece.x.mm + piece.width.mm) for piece in cut.pieces}
    assert at["l"][0] == pytest.approx(0.0)
    assert at["r"][1] == pytest.approx(1500.0)


def test_a_shared_sheet_that_costs_more_is_not_bought() -> None:
    """At 700 for the pair two sheets at 300 are cheaper."""
    dear = sheet("pair", 1500, 2400, "700", "top", "left", "right")
    found = cheapest_sheets(ENDS, (LEFT, RIGHT, dear), None, KERF)
    assert sorted(b.sheet.name for b in found.bought) == ["left", "right"]


def test_without_prices_the_least_area_is_bought() -> None:
    """Two plain panels: one sheet of 1500 x 2400 is more area than two of 720 x 1800."""
    two = (panel("a", 700, 1700), panel("b", 700, 1700))
    large = StockSheet("large", 1500, 2400)
    small = StockSheet("small", 720, 1800)
    found = cheapest_sheets(two, (large, small), None, KERF)
    assert [b.sheet.name for b in found.bought] == ["small", "small"]
    priced = StockSheet("dear", 1500, 2400, (), Decimal(900))
    found = cheapest_sheets(two, (small, priced), None, KERF)
    assert [b.sheet.name for b in found.bought] == ["dear"]


def test_the_kerf_decides() -> None:
    """700 + 700 + 3.175 does not go into 1403."""
    narrow = sheet("pair", 1403, 2400, "500", "top", "left", "right")
    assert cheapest_sheets(ENDS, (narrow,), None, KERF).bought[0].pieces != (0, 1)
    wide = sheet("pair", 1403.2, 2400, "500", "top", "left", "right")
    assert cheapest_sheets(ENDS, (wide,), None, KERF).bought[0].pieces == (0, 1)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_two_ends_of_one_hand_never_share_a_width(hand: str) -> None:
    """A sheet has one left and one right edge, however wide it is."""
    two = tuple(panel(name, 700, 1700, "top", hand) for name in "ab")
    assert len(cheapest_sheets(two, (PAIR,), None, KERF).bought) == 2


def test_one_finished_top_is_not_shared_one_above_another() -> None:
    """Two panels that need the top cannot be stacked on one sheet."""
    two = (panel("a", 900, 1000, "top"), panel("b", 900, 1000, "top"))
    tall = sheet("tall", 1000, 2400, "200", "top")
    assert len(cheapest_sheets(two, (tall,), None, KERF).bought) == 2
    plain = (panel("a", 900, 1000), panel("b", 900, 1000))
    assert len(cheapest_sheets(plain, (tall,), None, KERF).bought) == 1


@pytest.mark.parametrize(("tile", "shared"), [(303.8, False), (299.2, True)])
def test_patterned_ends_share_only_whole_tiles(tile: float, shared: bool) -> None:
    """Both ends start full only where whole tiles fill the sheet: 5 x 299.2 + 4 = 1500."""
    ends = (
        panel("l", 700, 1700, "top", "left", starts="left"),
        panel("r", 700, 1700, "top", "right", starts="right"),
    )
    pattern = Pattern((tile, tile), 1.0)
    found = cheapest_sheets(ends, (LEFT, RIGHT, PAIR), pattern, KERF)
    assert (len(found.bought) == 1) == shared


def test_a_printed_origin_must_suit_the_hand() -> None:
    """A left hand end never comes from a sheet printed from the right, edges or not."""
    end = (panel("l", 700, 1700, "top", "left", starts="left"),)
    wrong = sheet("wrong", 900, 2400, "100", "top", "left", "right", printed="right")
    right = sheet("suits", 900, 2400, "300", "top", "left", printed="left")
    found = cheapest_sheets(end, (wrong, right), Pattern((304.8, 304.8), 3.175), KERF)
    assert [b.sheet.name for b in found.bought] == ["suits"]


def test_drops_keep_their_finished_edges() -> None:
    """The strip beside a left hand end keeps the top; the one below keeps the left edge."""
    found = cheapest_sheets(ENDS[:1], (LEFT,), None, KERF)
    cut = sheet_cut(found.bought[0], ENDS[:1], [], shipped_practice())
    left = {(round(d.width.mm, 3), round(d.height.mm, 3)): d.finished for d in cut.drops}
    assert left == {(900.0, 696.825): ("left",), (196.825, 1700.0): ("top",)}


@pytest.mark.parametrize(("height", "number"), [(7.9, 1), (8.0, 2), (12.0, 3)])
def test_rows_end_where_the_sheet_ends(height: float, number: int) -> None:
    """Of three pieces 10 x 4 a sheet 10 wide holds one for every 4 of its height."""
    pieces = [Piece(name, 10, 4) for name in "abc"]
    assert best_cut(10, height, pieces).value == number


def test_a_search_cut_short_says_so() -> None:
    """With almost no effort the best so far is given as not proved."""
    pieces = [Piece(f"{k}", 3 + k % 3, 2 + k % 5, 1, float(k)) for k in range(8)]
    short = best_cut(9, 9, pieces, effort=1)
    assert not short.proved
    full = best_cut(9, 9, pieces)
    assert full.proved
    assert short.value <= full.value


def test_a_scrap_is_no_drop() -> None:
    """A strip of 96.8 mm beside a panel of 800 is under 6 in and is not listed."""
    one = (panel("l", 800, 1700, "top", "left"),)
    found = cheapest_sheets(one, (LEFT,), None, KERF)
    cut = sheet_cut(found.bought[0], one, [], shipped_practice())
    assert [round(d.width.mm, 3) for d in cut.drops] == [900.0]


sizes = st.tuples(st.floats(200, 1400), st.floats(300, 2300))


@given(wanted=st.lists(sizes, min_size=1, max_size=4), prices=st.tuples(*[st.integers(1, 9)] * 3))
@settings(max_examples=60, deadline=None)
def test_no_parting_found_by_hand_costs_less(
    wanted: list[tuple[float, float]], prices: tuple[int, ...]
) -> None:
    """Neither each piece alone nor any pair side by side or stacked beats the purchase.

    The rival purchases are made here, by sums of widths and heights only.
    """
    stock = [
        sheet(name, width, height, f"{price}00")
        for (name, width, height), price in zip(
            (("a", 900, 2400), ("b", 1500, 2400), ("c", 1500, 1500)), prices, strict=True
        )
    ]
    pieces = tuple(panel(f"{k}", w, h) for k, (w, h) in enumerate(wanted))
    found = cheapest_sheets(pieces, stock, None, KERF)

    def least(width: float, height: float) -> Decimal | None:
        fit = [s.price for s in stock if width <= s.width_mm and height <= s.height_mm and s.price]
        return min(fit, default=None)

    alone = [least(*size) for size in wanted]
    if any(price is None for price in alone):
        assert found.missing
        return
    total = sum((p for p in alone if p is not None), Decimal(0))
    assert cost(found) <= total
    for i, j in combinations(range(len(wanted)), 2):
        (aw, ah), (bw, bh) = wanted[i], wanted[j]
        for together in (
            least(aw + bw + KERF, max(ah, bh)), least(max(aw, bw), ah + bh + KERF)
        ):  # fmt: skip
            if together is not None:
                assert cost(found) <= total - alone[i] - alone[j] + together  # type: ignore[operator]
