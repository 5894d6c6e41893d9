"""One allowance changed in a shop's own text: only its line is touched."""

from __future__ import annotations

import pytest

from service.panels.practice import read_practice
from service.panels.practice_text import with_allowance, without_allowance
from service.panels.problem import PlanError
from tests.panels.worked_alcove import SHIPPED, shipped_practice

OWN = """# ours
version = "shop 2"

[joint]
side = "3/16"  # wider than usual
deck = {value = "1/8", source = "old"}

[hole]
saws = ["1", "2"]
"""


def changed(text: str, key: str, written: str, why: str = "sheet maker, 2.3") -> str:
    return with_allowance(text, shipped_practice().allowances[key], written, why)


@pytest.mark.parametrize(
    ("text", "key", "written", "value"),
    [
        ("", "joint.deck", "3/16", "3/16"),
        (OWN, "joint.deck", "3/16", "3/16"),
        (OWN, "joint.corner", "3/16", "3/16"),
        (OWN, "bond.edge", "2", "2"),
        (OWN, "hole.saws", "1, 1 1/4, 4 1/8", "1, 1 1/4, 4 1/8"),
        (OWN, "joint.waste", "0.2", "0.2"),
        (OWN, "hours.cut", "3, 5", "3, 5"),
    ],
)
def test_the_text_says_the_new_value(text: str, key: str, written: str, value: str) -> None:
    """In an empty text, over an earlier value, in a section that is there, or in a new one."""
    found = read_practice(SHIPPED.read_text(), changed(text, key, written)).allowances[key]
    assert (found.written, found.own, found.source) == (value, True, "sheet maker, 2.3")


def test_every_other_line_stays_as_it_is() -> None:
    """Comments, order and the other allowances are the shop's."""
    before, after = OWN.splitlines(), changed(OWN, "joint.deck", "3/16").splitlines()
    assert [a for a, b in zip(before, after, strict=True) if a != b] == [
        'deck = {value = "1/8", source = "old"}'
    ]


def test_taken_out_it_is_the_shipped_one_again() -> None:
    """The line goes, and with the last line of its section the section's head."""
    text = without_allowance(without_allowance(OWN, "joint.deck"), "hole.saws")
    assert not read_practice(SHIPPED.read_text(), text).allowances["joint.deck"].own
    assert "[hole]" not in text
    assert 'side = "3/16"  # wider than usual' in text
    assert without_allowance(text, "joint.floor") == text


@pytest.mark.parametrize(
    ("text", "key", "written", "message"),
    [
        ('[hole]\nsaws = [\n  "1",\n]\n', "hole.saws", "2", "on a line of its own"),
        ('joint = {deck = "1/8"}\n', "joint.deck", "3/16", "on a line of its own"),
        ("", "joint.waste", "a lot", "on a line of its own"),
    ],
)
def test_a_text_that_would_break_is_refused(
    text: str, key: str, written: str, message: str
) -> None:
    """What does not stand on one line is left to whoever wrote it."""
    with pytest.raises(PlanError, match=message):
        changed(text, key, written)


def test_a_reason_with_quotes_is_kept() -> None:
    """What a person types as the reason cannot break the text."""
    text = changed("", "joint.deck", "3/16", 'says "3/16" \\ [x]')
    found = read_practice(SHIPPED.read_text(), text).allowances["joint.deck"]
    assert found.source == 'says "3/16" \\ [x]'
