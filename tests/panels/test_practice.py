"""Shop practice: what is shipped, what a job may change, and how a wrong file is refused."""

from __future__ import annotations

import pytest

from service.panels.practice import Practice, read_practice
from service.panels.problem import PlanError
from tests.panels.worked_alcove import SHIPPED, shipped_practice


def changed(text: str) -> Practice:
    """The shipped practice with a job's own text over it."""
    return read_practice(SHIPPED.read_text(), text)


def test_every_allowance_has_a_source() -> None:
    """No allowance is shipped without saying where it comes from."""
    assert all(a.source.strip() for a in shipped_practice().allowances.values())


def test_build_up_is_a_quarter_inch() -> None:
    """Sheet 1/8 and bed 1/8 make a build-up of 1/4 in (common practice)."""
    assert shipped_practice().build_up_mm == pytest.approx(6.35)


def test_a_job_may_change_one_value() -> None:
    """A job's value replaces the shipped one, and the rest stays."""
    shop = changed('[joint]\ndeck = "3/16"\n')
    assert (shop["joint.deck"], shop["joint.floor"]) == pytest.approx((4.7625, 3.175))


def test_what_a_job_changed_is_recorded() -> None:
    """The practice knows which values are the job's own, with their source."""
    shop = changed('[joint]\ndeck = {value = "3/16", source = "sheet maker, 2.3"}\n')
    assert [(a.key, a.written, a.source) for a in shop.own] == [
        ("joint.deck", "3/16", "sheet maker, 2.3")
    ]


def test_millimetres_are_accepted() -> None:
    """A length may be written in any unit of a tape."""
    assert changed('[joint]\ndeck = "3 mm"\n')["joint.deck"] == 3.0


@pytest.mark.parametrize(
    ("text", "field", "expected"),
    [
        ('version = "x"\n\n[joint]\ndeckk = "1/8"\n', "line 4: joint.deckk", "joint.deck"),
        ('[joint]\nfloor = "1/8"\ndeck = "2"\n', "line 3: joint.deck", "0.0625 to 0.375 in"),
        ('[joint]\ndeck = "0"\n', "line 2: joint.deck", "0.0625 to 0.375 in"),
        ("[joint]\ndeck = 0.125\n", "line 2: joint.deck", "a length in quotes"),
        ('[joint]\ndeck = "an eighth"\n', "line 2: joint.deck", "expected"),
        ('[pattern]\nleast_cut = "half"\n', "line 2: pattern.least_cut", "a number"),
        ("[bond]\nbacker_beads = true\n", "line 2: bond.backer_beads", "a number"),
        ("[pattern]\nleast_cut = nan\n", "line 2: pattern.least_cut", "0 to 1"),
        ('joint.deck = "9"\n', "line 1: joint.deck", "0.0625 to 0.375 in"),
        ('[joint]\ndeck = {value = "1/8", unit = "mm"}\n', "line 2: joint.deck", "unit in"),
        ('[joint]\ndeck = {source = "x"}\n', "line 2: joint.deck", "a value"),
        ('[joint]\ndeck = ["1/8"]\n', "line 2: joint.deck", "a value like 1/8"),
        ("[hole]\nsaws = []\n", "line 2: hole.saws", "one or more"),
        ("[hours]\ncut = [1]\n", "line 2: hours.cut", "two numbers"),
        ("joint = 3\n", "line 1: joint", "expected one of"),
    ],
)
def test_a_wrong_value_is_refused_by_its_line(text: str, field: str, expected: str) -> None:
    """An unknown key or a value out of range names its line and what was expected."""
    with pytest.raises(PlanError) as error:
        changed(text)
    assert error.value.field == field
    assert expected in error.value.expected


def test_text_that_is_no_toml_is_refused() -> None:
    """A file that is not TOML is refused with the reader's own place."""
    with pytest.raises(PlanError, match="line 1"):
        changed("joint deck\n")
