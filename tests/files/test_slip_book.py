"""A shop's own rates of slips, and how a wrong file is refused."""

from __future__ import annotations

import pytest

from service.errors import FileError
from service.files.slip_book import read_slip_book
from service.measuring.slip_kinds import INSTALLER_RATES, SALESPERSON_RATES, SlipKind


def test_what_is_left_out_is_the_trades() -> None:
    """An empty file is an installer's; a named column the salesperson's; a rate of one's own."""
    assert read_slip_book("", "s").rates == INSTALLER_RATES
    assert read_slip_book('who = "salesperson"', "s").rates == SALESPERSON_RATES
    own = read_slip_book('[per_thousand]\ninch = 7\n"wrong box" = 0\n', "s").rates
    assert (own[SlipKind.INCH], own[SlipKind.WRONG_BOX]) == (7.0, 0.0)
    assert own[SlipKind.FOOT] == INSTALLER_RATES[SlipKind.FOOT]


def test_sizes_are_lengths() -> None:
    """Hold-down, step and case are written as a tape is read."""
    book = read_slip_book('[sizes]\nhold_down = "1"\nstep = "3/4"\ncase = "83 mm"\n', "s")
    assert (book.hold_down_mm, book.step_mm, book.case_mm) == pytest.approx((25.4, 19.05, 83.0))


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ("[per_thousand]\ninche = 3\n", "per_thousand.inche", "a kind of slip: inch"),
        ('[per_thousand]\n"take again" = 3\n', "per_thousand.take again", "a kind of slip"),
        ("[per_thousand]\ninch = -1\n", "per_thousand.inch", "0 to 500"),
        ("[per_thousand]\ninch = true\n", "per_thousand.inch", "0 to 500"),
        ("[per_thousand]\ninch = nan\n", "per_thousand.inch", "0 to 500"),
        ('[per_thousand]\ninch = "3"\n', "per_thousand.inch", "0 to 500"),
        ('[sizes]\ncase = "big"\n', "sizes.case", "expected"),
        ("[sizes]\ncase = 3\n", "sizes.case", "in quotes"),
        ('[sizes]\ncase = "11"\n', "sizes.case", "at most 10 in"),
        ('[sizes]\ntape = "3"\n', "sizes.tape", "hold_down, step, case"),
        ('who = "plumber"\n', "who", "installer or salesperson"),
        ("sizes = 3\n", "sizes", "a table"),
        ("rates = 3\n", "rates", "who, per_thousand or sizes"),
        ("inch = \n", "", "expected TOML"),
    ],
)
def test_what_is_wrong_is_named(text: str, field: str, words: str) -> None:
    """One error with the key and what was expected there."""
    with pytest.raises(FileError) as caught:
        read_slip_book(text, "slips.toml")
    assert caught.value.field == field
    assert words in caught.value.expected
