"""One size of a plan against the measure reports: its value, and what proves it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.files.plan_sizes import given
from service.measuring.release.facts import Override
from service.measuring.release.judged import JudgedReading, JudgedSize, JudgedWall
from service.panels.practice import read_practice
from service.panels.problem import PlanError
from service.panels.walls import Given
from tests.panels.worked_alcove import SHIPPED, shipped_practice


def proved(name: str = "left 16", mm: float = 751.0, **changes: Any) -> JudgedSize:
    """A dimension that agrees and is checked, with changes."""
    size = JudgedSize(
        name=name,
        status="agrees",
        checked=True,
        tape_mm=mm,
        tape_u_mm=0.7,
        best_mm=mm + 0.1,
        best_u_mm=0.5,
        expected_mm=mm + 0.4,
        expected_u_mm=1.0,
        photo_mm=mm + 0.9,
        photo_u_mm=1.8,
        en=0.2,
        mdb_mm=4.0,
    )
    return replace(size, **changes)


def size_of(*sizes: JudgedSize, value: float | None = None, dimension: str | None = None) -> Given:
    """One size of a plan, judged against one report."""
    walls = (JudgedWall("back.json", sizes),)
    return given("left 16", value, dimension, walls, shipped_practice())


def test_named_dimension_that_agrees_gives_its_best_value() -> None:
    """A size that names a proved dimension takes the best value and may be cut by."""
    found = size_of(proved(), dimension="left 16")
    assert (found.mm, found.u_mm, found.why_not) == (751.1, 0.5, "")


def test_equal_value_is_proved_without_a_name() -> None:
    """A written size within 1/32 in of a proved tape value may be cut by."""
    assert size_of(proved(), value=751.0 + 25.4 / 32).why_not == ""


def test_value_a_sixteenth_off_is_a_plain_reading() -> None:
    """A written size further than 1/32 in from every tape value is proved by nothing."""
    assert "plain reading" in size_of(proved(), value=751.0 + 25.4 / 16).why_not


def test_named_dimension_must_be_what_the_tape_read() -> None:
    """A written size that differs from the dimension it names may not be cut by."""
    found = size_of(proved(), value=776.4, dimension="left 16")
    assert "differs from the tape" in found.why_not


def test_another_dimension_of_its_report_does_not_hold_it() -> None:
    """A proved size may be cut by while another one of the same wall is not taped."""
    other = proved("deck 0", 1680.0, status="photo only", tape_mm=None, checked=False)
    assert size_of(proved(), other, dimension="left 16").why_not == ""
    assert size_of(proved(), other, dimension="deck 0").why_not == "left 16: not taped"


def test_a_value_that_two_dimensions_equal_is_proved_by_both_or_not() -> None:
    """Where the plan does not say which one it is, every one that it may be must be proved."""
    twin = proved("right 16", 751.0, status="unsure", en=1.2)
    assert size_of(proved(), twin, value=751.0).why_not


def conflicting(**changes: Any) -> tuple[JudgedSize, JudgedReading]:
    """A size in conflict, and its one reading, by A."""
    size = proved(status="conflicts", en=9.0, checked=False, **changes)
    return size, JudgedReading("r1", "conflicts", 0.7, "left 16", 776.4, "A", "hook to mark")


@pytest.mark.parametrize(
    ("who", "stands"), [("B", True), ("A", False), (" a", False), (None, False)]
)
def test_an_override_lets_its_reading_stand(who: str | None, stands: bool) -> None:
    """Someone other than the taper: the plan then takes what the tape said, and prints why."""
    size, reading = conflicting(tape_mm=776.4)
    walls = (JudgedWall("back.json", (size,), (reading,)),)
    overrides = [] if who is None else [Override("left 16", "r1", who, "the mark is off")]
    found = given("left 16", None, "left 16", walls, shipped_practice(), overrides)
    assert bool(found.why_not) is not stands
    assert found.mm == pytest.approx(776.4 if stands else 751.4)
    assert (found.proof, found.note) == (
        ("override", "override by B: the mark is off") if stands else ("", "")
    )


def test_two_persons_prove_what_no_photo_checks() -> None:
    """Taped by A and by B: the size is cut by what both tapes say together."""
    size = proved(status="tape only", checked=False, en=None, best_mm=None)
    readings = tuple(JudgedReading(i, "tape only", 0.7, "left 16", 751.0, i) for i in "AB")
    walls = (JudgedWall("back.json", (size,), readings),)
    found = given("left 16", None, "left 16", walls, shipped_practice())
    assert (found.mm, found.why_not, found.note) == (751.0, "", "taped by A and B")


def test_a_shop_may_ask_for_a_sharper_check() -> None:
    """The least slip that a check must show is the shop's own."""
    shop = read_practice(SHIPPED.read_text(), '[release]\nleast_slip = "1/8"')
    walls = (JudgedWall("back.json", (proved(),)),)
    assert "too vague" in given("left 16", None, "left 16", walls, shop).why_not


def test_no_shop_asks_for_a_duller_check() -> None:
    """Sizes are judged by 1/4 in wherever they are measured: a shop that wrote 1/2 had them held
    all the same, without a word of why."""
    with pytest.raises(ValueError, match="least_slip"):
        read_practice(SHIPPED.read_text(), '[release]\nleast_slip = "1/2"')


@pytest.mark.parametrize(
    ("changes", "mm"),
    [
        ({"status": "unsure"}, 751.0),
        ({"status": "conflicts"}, 751.4),
        ({"status": "conflicts", "expected_mm": None, "photo_mm": None}, 751.0),
        ({"status": "photo only", "tape_mm": None}, 751.4),
        ({"status": "photo only", "tape_mm": None, "expected_mm": None}, 751.9),
    ],
)
def test_value_of_an_unproved_dimension(changes: dict[str, Any], mm: float) -> None:
    """Without agreement the tape's value is used, else the expected, else the photo's.

    A tape that conflicts comes last.
    """
    found = size_of(proved(**changes), dimension="left 16")
    assert found.mm == pytest.approx(mm)
    assert found.why_not


def test_a_size_to_a_line_is_used_without_its_sign() -> None:
    """A dimension below a line is negative in the report; as a size it is not."""
    below = proved(mm=-751.0, best_mm=-751.1, expected_mm=-750.6)
    assert size_of(below, dimension="left 16").mm == pytest.approx(751.1)


def test_unknown_dimension_is_refused_with_the_known_ones() -> None:
    """Naming a dimension that no report has is an error that lists what there is."""
    with pytest.raises(PlanError, match="'left 61' is in no report; expected one of 'left 16'"):
        size_of(proved(), dimension="left 61")


def test_same_dimension_in_two_reports_is_refused() -> None:
    """A dimension that stands in two reports is not guessed at."""
    walls = (JudgedWall("a.json", (proved(),)), JudgedWall("b.json", (proved(),)))
    with pytest.raises(PlanError, match=r"a\.json, b\.json"):
        given("left 16", None, "left 16", walls, shipped_practice())


def by_photo(parts: tuple[float, ...] = ()) -> Given:
    """A size seen by photo alone, u 2 mm, in a report that says its parts or does not."""
    absent: dict[str, Any] = dict.fromkeys(
        ("tape_mm", "tape_u_mm", "best_mm", "best_u_mm", "expected_mm", "expected_u_mm")
    )
    size = proved(status="photo only", photo_mm=-751.0, photo_u_mm=2.0, **absent)
    wall = JudgedWall("back.json", (size,), photo_parts=(("left 16", parts),) if parts else ())
    return given("left 16", None, "left 16", (wall,), shipped_practice())


def test_a_photo_size_brings_its_parts() -> None:
    """The report's parts, turned with the size's sign, for errors that it has in common."""
    shared = dict(by_photo((1.2, -1.6)).shared)
    assert shared == pytest.approx({"back.json 1": -1.2, "back.json 2": 1.6})


def test_without_parts_a_photo_size_shares_the_scale() -> None:
    """The shop's share of its uncertainty, 0.7 of 2 mm, is common to the sizes of the wall."""
    assert dict(by_photo().shared) == pytest.approx({"scale of back.json": 1.4})


def test_a_taped_size_shares_the_tapes_errors() -> None:
    """The hook and the scale of the tape, never more than the uncertainty itself."""
    shared = dict(size_of(proved(), value=751.0).shared)
    assert set(shared) == {"tape hook", "tape scale"}
    assert sum(part**2 for part in shared.values()) < 0.5**2
