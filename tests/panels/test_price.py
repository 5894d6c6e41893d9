"""The price: a range while sizes are estimates, one figure when they are proved."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from service.errors import FileError
from service.files.price_book import read_price_book
from service.panels.chance import Term, chance_within
from service.panels.plan import plan_panels
from service.panels.price import price
from service.panels.walls import StockSheet
from tests.panels.worked_alcove import FOLDER, worked_alcove, worked_plan, worked_practice

if TYPE_CHECKING:
    from service.panels.price import PriceBook


def book() -> PriceBook:
    """The price book beside the worked alcove."""
    return read_price_book((FOLDER / "worked_alcove_prices.csv").read_text(), "prices.csv")


def test_low_end_is_sheets_packages_and_least_hours() -> None:
    """Low: 1120 sheets + 313.75 materials + 14 h at 85.

    Materials: 3 x 38.50 tape + 21 primer + 6 x 14.25 adhesive + 11.75 sealant + 2 x 16 backers
    + 2 x 24 board = 313.75. Hours: 2 + 2 + 2 + 1 + 3 + 3 + 1 = 14.
    """
    assert worked_plan().price.low == Decimal("1120.00") + Decimal("313.75") + 14 * Decimal(85)


def test_high_end_adds_hours_materials_and_what_cannot_be_seen() -> None:
    """High: materials + 10 % line by line, 22 h, and 350 + 275 for what cannot be seen.

    Line by line to the cent: 127.05 + 23.10 + 94.05 + 12.93 + 35.20 + 52.80 = 345.13.
    """
    high = Decimal("1120.00") + Decimal("345.13") + 22 * Decimal(85) + Decimal(625)
    assert worked_plan().price.high == high


def test_no_figure_while_sizes_are_estimates() -> None:
    """An estimate has a range and no figure."""
    assert worked_plan().price.figure is None


def test_one_figure_when_released() -> None:
    """Released, low and high are one figure with the hours in the middle: 18 h."""
    plan = worked_plan()
    found = price((), plan.takeoff, book(), True, worked_alcove(), worked_practice())
    assert found.low == found.high == found.figure == Decimal("313.75") + 18 * Decimal(85)


def test_what_has_no_price_is_named_and_keeps_the_figure_back() -> None:
    """An item that the book lacks is listed, and no figure is given without it."""
    short = replace(book(), items={k: v for k, v in book().items.items() if k != "sealant"})
    found = price((), worked_plan().takeoff, short, True, worked_alcove(), worked_practice())
    assert found.unpriced == ("sealant",)
    assert found.figure is None


def test_a_doubtful_sheet_puts_the_next_larger_one_in_the_range() -> None:
    """A sheet with too little to spare for the readings' uncertainty prices the next size too."""
    tight = StockSheet("tight", 58.75 * 25.4, 2438.4, ("top",), Decimal(400))
    alcove = worked_alcove()
    plan = plan_panels(replace(alcove, stock=(tight, *alcove.stock)), worked_practice(), book())
    line = next(line for line in plan.price.lines if line.item == "tight")
    assert (line.low, line.high) == (Decimal(400), Decimal(480))


@pytest.mark.parametrize(
    ("spare", "u", "chance"),
    [(0.0, 1.0, 0.5), (1.645, 1.0, 0.95), (-1.96, 1.0, 0.025), (1.0, 0.0, 1.0), (-1.0, 0.0, 0.0)],
)
def test_chance_that_a_sheet_is_enough(spare: float, u: float, chance: float) -> None:
    """The chance is that of the normal distribution: 95 % at 1.645 u."""
    side = (Term(100.0, ((0, u),)),)
    assert chance_within([side], 100.0 + spare) == pytest.approx(chance, abs=1e-3)


def test_columns_may_be_left_out() -> None:
    """Item and price are enough; the rest is material in US dollars."""
    found = read_price_book("price,item\n11.75,sealant\n", "prices.csv")
    assert (found.currency, found.items["sealant"].kind) == ("USD", "material")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "line 1: expected columns"),
        ("item,cost\nsealant,1\n", "line 1: expected columns"),
        ("item,item,price\na,b,1\n", "line 1: expected columns"),
        ("item,price\n", "line 2: expected one priced item"),
        ("item,price\nsealant\n", "line 2: expected 2 cells"),
        ("item,price\n,1\n", "line 2: item: expected a name"),
        ("item,price\nsealant,eleven\n", "line 2: price: expected an amount"),
        ("item,price\nsealant,-1\n", "line 2: price: expected an amount"),
        ("item,price\nsealant,nan\n", "line 2: price: expected an amount"),
        ("item,price\nsealant,1.005\n", "line 2: price: expected an amount"),
        ("item,price\nsealant,1\nsealant,2\n", "line 3: item: 'sealant' stands here twice"),
        ("item,price,kind\nsealant,1,goo\n", "line 2: kind: expected one of"),
        ("item,price,currency\na,1,USD\nb,1,CAD\n", "line 3: currency: expected one currency"),
        ("item,price,currency\na,1,dollar\n", "line 2: currency: expected a code"),
        ('item,price\n"a,1\n', "expected CSV"),
    ],
)
def test_a_wrong_price_book_is_refused_by_its_line(text: str, message: str) -> None:
    """A price book that cannot be read names the line and what was expected."""
    with pytest.raises(FileError) as error:
        read_price_book(text, "prices.csv")
    assert f"prices.csv: {message}" in str(error.value) or message in str(error.value)
