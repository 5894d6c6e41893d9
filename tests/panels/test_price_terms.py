"""Markup, margin, tax, changes, what the range hangs on, and the book's version."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from service.files.price_book import read_price_book
from service.panels.model import Price
from service.panels.plan import plan_panels
from service.panels.practice import Practice, read_practice
from service.panels.problem import PlanError
from service.panels.walls import Change
from tests.panels.worked_alcove import FOLDER, SHIPPED, worked_alcove

BOOK = (FOLDER / "worked_alcove_prices.csv").read_text()
OWN = (FOLDER / "worked_alcove_practice.toml").read_text()


def shop(**estimate: float) -> Practice:
    """The worked practice with a shop's own terms."""
    lines = "".join(f"{key} = {value}\n" for key, value in estimate.items())
    return read_practice(SHIPPED.read_text(), f"{OWN}\n[estimate]\n{lines}")


def priced(*changes: Change, **estimate: float) -> Price:
    """The worked alcove's price under these terms."""
    alcove = replace(worked_alcove(), changes=changes)
    return plan_panels(alcove, shop(**estimate), read_price_book(BOOK, "prices.csv")).price


# The worked alcove costs 2623.75 at least: sheets 1120.00, materials 313.75, hours 14 x 85 = 1190.
COST = Decimal("2623.75")


def test_cost_is_kept_beside_the_price() -> None:
    """Without terms of its own a shop sells at cost."""
    found = priced()
    assert found.low == found.cost_low == COST


def test_markup_is_on_cost() -> None:
    """20 % on 2623.75 is 3148.50; every line rounds to the cent, so within a few of it."""
    found = priced(markup=0.20)
    assert abs(found.low - COST * Decimal("1.2")) <= Decimal("0.10")
    assert found.cost_low == COST


def test_margin_is_of_the_price() -> None:
    """20 % of the price is a quarter on cost: 2623.75 / 0.8 = 3279.69."""
    assert abs(priced(margin=0.20).low - COST / Decimal("0.8")) <= Decimal("0.10")


def test_markup_and_margin_together_are_refused() -> None:
    """Which of the two is meant cannot be guessed."""
    with pytest.raises(PlanError, match=r"estimate\.margin: expected 0 beside a markup"):
        priced(markup=0.2, margin=0.2)


def test_tax_on_materials_only() -> None:
    """6 % on 1120.00 + 313.75 is 86.03; labour is not taxed."""
    found = priced(tax=0.06)
    line = next(line for line in found.lines if line.kind == "tax")
    assert (line.low, found.low) == (Decimal("86.03"), COST + Decimal("86.03"))


def test_tax_on_labour_too() -> None:
    """6 % on 2623.75 is 157.43 (half a cent up)."""
    line = next(line for line in priced(tax=0.06, tax_labour=1).lines if line.kind == "tax")
    assert line.low == Decimal("157.43")


def test_signed_changes_are_in_the_price() -> None:
    """A credit of 45 that is signed is taken off; one that is only offered is listed apart."""
    credit = Change("no seat", Decimal("-45.00"), True)
    offer = Change("niche", Decimal("260.00"), False)
    found = priced(credit, offer)
    assert found.low == COST - 45
    assert [(line.item, line.high) for line in found.offered] == [("niche", Decimal("260.00"))]


def test_what_the_range_hangs_on() -> None:
    """Widest first: soft wall 350, protect 4 h x 85 = 340, valve 275, repair and plumbing 170."""
    names = [line.partition(":")[0] for line in priced().drivers[:3]]
    assert names == ["soft wall behind tile", "protect labour", "valve replaced"]


def test_lines_add_up() -> None:
    """Low and high are the sums of the lines, to the cent, whatever the terms."""
    found = priced(Change("c", Decimal("99.99"), True), markup=0.37, tax=0.0825)
    assert sum(line.low for line in found.lines) == found.low
    assert sum(line.high for line in found.lines) == found.high
    for line in found.lines:
        assert line.low == round(line.low, 2)


def test_the_books_version_is_its_own_words_and_its_stamp() -> None:
    """A first line `# version` names it; two books that differ have different stamps."""
    stated = read_price_book(f"# version 2026 autumn\n{BOOK}", "prices.csv")
    assert stated.version.startswith("2026 autumn ")
    assert stated.items.keys() == read_price_book(BOOK, "prices.csv").items.keys()
    stamps = {read_price_book(text, "p").version for text in (BOOK, BOOK.replace("85", "86"))}
    assert len(stamps) == 2


def test_full_spread_counts_pails_and_no_tape() -> None:
    """56.39 sq ft / 40 a gallon x 1.1 = 1.55: two pails; no tape, no primer."""
    alcove = replace(worked_alcove(), bonding="full spread")
    found = {line.item: line for line in plan_panels(alcove, shop()).takeoff}
    assert found["spread adhesive"].packages == 2
    assert found["spread adhesive"].gross == pytest.approx(56.39 / 40 * 1.1, abs=0.001)
    assert not found.keys() & {"panel tape", "primer"}


def test_beads_only_lays_a_bead_where_the_tape_was() -> None:
    """Zigzag 113.4 + lines 117.1 + backers 33.4 = 263.9 ft / 30.9 x 1.15 = 9.82: ten tubes."""
    alcove = replace(worked_alcove(), bonding="beads only")
    found = {line.item: line for line in plan_panels(alcove, shop()).takeoff}
    assert found["adhesive"].gross == pytest.approx(263.9 / 30.9 * 1.15, abs=0.02)
    assert found["adhesive"].packages == 10
    assert "panel tape" not in found


def test_sundries_are_charged_only_where_the_book_has_them() -> None:
    """Blades and cleaner are on the order; without a price they do not keep the figure back."""
    plan = plan_panels(worked_alcove(), shop(), read_price_book(BOOK, "prices.csv"))
    sundries = {line.item for line in plan.takeoff if line.sundry}
    assert {"cleaner", "saw blade"} <= sundries
    assert not sundries & set(plan.price.unpriced)
    dear = read_price_book(f"{BOOK}saw blade,material,blade,9.00,USD\n", "prices.csv")
    with_blade = plan_panels(worked_alcove(), shop(), dear).price
    assert with_blade.low == plan.price.low + 9
