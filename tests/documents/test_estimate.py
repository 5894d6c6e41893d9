"""The customer's estimate, read back as text."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from service.documents.pdf.estimate import UNSEEN, estimate_pdf, money
from service.documents.wording import DocumentMeta
from service.panels.model import Plan, PriceLine
from tests.documents.alcove import alcove_plan
from tests.support.pdf_reader import page_texts

META = DocumentMeta(revision="A", date="24 November 2026")


def words_of(plan: Plan) -> str:
    return "\n".join(page_texts(estimate_pdf(plan, META)))


def test_a_range_is_called_an_estimate() -> None:
    """While a size is an estimate the page gives a range and says that it does not bind."""
    words = words_of(alcove_plan(released=(True, True, False)))

    assert "USD 1,500.00 to USD 1,800.00" in words
    assert "not a binding price" in words
    assert "one size is still to be taped and checked" in words


def test_a_released_plan_gives_one_figure() -> None:
    """When every panel is released there is one figure and no list of estimated sizes."""
    words = words_of(alcove_plan())

    assert "USD 1,800.00" in words
    assert "not a binding price" not in words
    assert "STILL AN ESTIMATE" not in words


def test_panels_are_named_with_their_hand() -> None:
    """Each panel's sheet is named with its hand."""
    words = words_of(alcove_plan())

    assert "plumbing wall, left hand" in words
    assert "far end wall, right hand" in words


def test_what_cannot_be_seen_is_said() -> None:
    """Every hidden condition is named, and that it is not in the price."""
    words = words_of(alcove_plan())

    assert all(item in words for item, _, _ in UNSEEN)
    assert words.count("Not in the price.") == len(UNSEEN)


def test_an_allowance_of_the_plan_stands_with_its_figure() -> None:
    """A line that may cost nothing is an allowance: up to its figure, not part of the sum list."""
    plan = alcove_plan(released=(True, True, False))
    soft = PriceLine(
        "soft wall behind tile", 1, Decimal(350), Decimal(0), Decimal(350), "per sheet"
    )
    price = replace(plan.price, lines=(*plan.price.lines, soft))

    words = words_of(replace(plan, price=price))

    assert "if needed, up to USD 350.00" in words
    assert words.count("Not in the price.") == len(UNSEEN) - 1


def test_unpriced_items_are_named() -> None:
    """What the price book lacks is said, not hidden in a total."""
    assert "hauling" in words_of(alcove_plan())


@pytest.mark.parametrize("word", ["silica", "lead", "Asbestos", "Local codes", "taped"])
def test_cautions_are_printed(word: str) -> None:
    """The usual cautions are on the paper that the customer signs."""
    assert word in words_of(alcove_plan())


def test_long_price_lists_go_on_over_the_page() -> None:
    """A hundred lines take several pages; none is lost."""
    plan = alcove_plan()
    lines = tuple(
        PriceLine(f"item number {n}", 1, Decimal(n), Decimal(n), Decimal(n), "why")
        for n in range(1, 101)
    )

    data = estimate_pdf(replace(plan, price=replace(plan.price, lines=lines)), META)

    pages = page_texts(data)
    words = "\n".join(pages)
    assert len(pages) > 3
    assert all(f"item number {n}\n" in words for n in range(1, 101))


def test_money_is_printed_with_two_decimals() -> None:
    """Thousands apart, cents always."""
    assert money(Decimal("1234567.5"), "USD") == "USD 1,234,567.50"


def test_same_plan_same_bytes() -> None:
    """Two runs give identical files."""
    assert estimate_pdf(alcove_plan(), META) == estimate_pdf(alcove_plan(), META)


def test_estimate_says_how_long_it_holds() -> None:
    """The days come from the shop's practice."""
    price = replace(alcove_plan().price, valid_days=45)
    assert "45 days from 24 November 2026" in words_of(replace(alcove_plan(), price=price))


def test_changes_that_are_only_offered_stand_apart() -> None:
    """An unsigned change is named with its amount, and that it is not in the price."""
    niche = PriceLine(
        "one niche", 1, Decimal(260), Decimal(260), Decimal(260), "change order", "change"
    )
    price = replace(alcove_plan().price, offered=(niche,))
    words = words_of(replace(alcove_plan(), price=price))
    assert "CHANGES OFFERED: in the price only once you sign them" in words
    assert "USD 260.00" in words


def test_estimate_names_the_books_version() -> None:
    """Two books of one name can be told apart."""
    price = replace(alcove_plan().price, book="prices.csv", book_version="autumn 1a2b3c4d")
    words = words_of(replace(alcove_plan(), price=price))
    assert "prices.csv, version autumn 1a2b3c4d" in words


def test_a_range_says_what_it_hangs_on() -> None:
    """The widest parts of the range are named; a firm price has none."""
    drivers = ("protect labour: 340.00", "adhesive: 8.55")
    for released, said in (((True, True, False), True), ((True, True, True), False)):
        plan = alcove_plan(released=released)
        price = replace(plan.price, drivers=drivers)
        words = words_of(replace(plan, price=price))
        assert ("protect labour, adhesive" in words) == said


@pytest.mark.parametrize("released", [True, False])
def test_every_page_says_whose_it_is_and_what_it_is_not(released: bool) -> None:
    """Job, revision, date and page stand on each; so does the warning, until all is released."""
    plan = alcove_plan(released=(released, released, released))
    pages = page_texts(estimate_pdf(plan, META))
    assert len(pages) > 1
    for number, page in enumerate(pages, 1):
        assert f"Example alcove · revision A · {META.date}" in page
        assert f"page {number} of {len(pages)}" in page
        assert ("ESTIMATE – NOT FOR CUTTING" in page) is not released


def test_a_long_job_name_leaves_the_date_on_the_page() -> None:
    """The name is cut, not what follows it."""
    plan = replace(alcove_plan(), job="Second floor hall bathroom " * 8)
    pages = page_texts(estimate_pdf(plan, META))
    assert all(f"… · revision A · {META.date}" in page for page in pages)


def test_a_job_name_is_not_cut_unseen() -> None:
    """A name longer than its lines ends in an ellipsis."""
    plan = replace(alcove_plan(), job="Second floor hall bathroom " * 12)
    (head, *_rest) = page_texts(estimate_pdf(plan, META))
    assert head.count("…") == 2  # its head and its foot


@pytest.mark.parametrize(
    ("released", "words"),
    [(True, "USD 1,800.00: the price."), (False, "USD 1,500.00 to USD 1,800.00: a range")],
)
def test_what_is_signed_is_said_over_the_signature(released: bool, words: str) -> None:
    """The sum, and whether it binds, stands on the page that carries the names."""
    plan = alcove_plan(released=(released, released, released))
    *_, last = page_texts(estimate_pdf(plan, META))
    assert "customer: name, signature, date" in last
    assert words in last
    assert "with all its pages, is the agreement" in last
