"""Release: only a size that a tape has proved, in a report that is all proved, is cut by."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.panels.plan import plan_panels
from service.panels.problem import PlanError
from service.panels.release import Report, ReportSize, blocking, given, why_blocked
from service.panels.walls import Alcove, Station, WallShape
from tests.panels.worked_alcove import shipped_practice, worked_alcove, worked_practice


def proved(name: str = "left 16", mm: float = 751.0, **changes: Any) -> ReportSize:
    """A dimension that agrees and is checked, with changes."""
    size = ReportSize(
        name=name,
        status="agrees",
        checked=True,
        tape_mm=mm,
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


def size_of(*sizes: ReportSize, value: float | None = None, dimension: str | None = None) -> Any:
    """One size of a plan, judged against one report."""
    return given("left 16", value, dimension, (Report("back.json", sizes),), shipped_practice())


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


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"status": "photo only", "tape_mm": None, "en": None, "checked": False}, "not taped"),
        ({"status": "tape only", "en": None, "checked": False}, "nothing checks"),
        ({"status": "unsure", "en": 1.2}, "take this reading again"),
        ({"status": "conflicts", "en": 5.0}, "conflict"),
        ({"checked": False}, "not marked as checked"),
        ({"mdb_mm": 6.4}, "too vague"),
        ({"en": 1.01}, "E_n"),
        ({"tape_mm": None}, "no tape"),
        ({"status": "fine"}, "not known"),
    ],
)
def test_what_blocks_a_dimension(changes: dict[str, Any], why: str) -> None:
    """A dimension is judged by its figures, whatever its flags say."""
    assert why in why_blocked(proved(**changes), shipped_practice())


def test_one_blocked_dimension_shuts_the_whole_report() -> None:
    """A proved size stays an estimate while another dimension of its report is not taped."""
    other = proved("deck 0", 1680.0, status="photo only", tape_mm=None, checked=False)
    assert "deck 0" in size_of(proved(), other, dimension="left 16").why_not


def test_a_report_without_dimensions_is_shut() -> None:
    """An empty report proves nothing."""
    assert blocking(Report("back.json", ()), shipped_practice())


def test_what_a_report_says_is_blocking_counts() -> None:
    """A clash that no single dimension shows keeps the gate shut."""
    report = Report("back.json", (proved(),), (("left 16", "readings contradict each other"),))
    assert blocking(report, shipped_practice()) == (("left 16", "readings contradict each other"),)


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
    reports = (Report("a.json", (proved(),)), Report("b.json", (proved(),)))
    with pytest.raises(PlanError, match=r"a\.json, b\.json"):
        given("left 16", None, "left 16", reports, shipped_practice())


def proven(shape: WallShape) -> WallShape:
    """A wall all of whose sizes are proved."""

    def open_(stations: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(replace(s, value=replace(s.value, why_not="")) for s in stations)

    return replace(
        shape,
        left=open_(shape.left),
        right=open_(shape.right),
        line_to_deck=open_(shape.line_to_deck),
    )


def alcove_with_proven(*names: str) -> Alcove:
    """The alcove worked by hand with some of its walls proved."""
    alcove = worked_alcove()
    walls = tuple(proven(shape) if shape.wall in names else shape for shape in alcove.walls)
    return replace(alcove, walls=walls)


def test_release_is_per_sheet() -> None:
    """The back panel is released while the ends are still estimates, and the plan is not."""
    plan = plan_panels(alcove_with_proven("back"), worked_practice())
    assert [panel.released for panel in plan.panels] == [True, False, False]
    assert not plan.released


def test_a_hole_must_be_proved_too() -> None:
    """A proved outline with a plain valve reading is not released, and says which size."""
    plan = plan_panels(alcove_with_proven("back", "plumbing"), worked_practice())
    assert any("valve down" in why for why in plan.panels[1].why_not)


def test_released_exactly_when_nothing_speaks_against_it() -> None:
    """`why_not` is empty exactly on released panels."""
    plan = plan_panels(alcove_with_proven("back"), worked_practice())
    assert all(panel.released == (not panel.why_not) for panel in plan.panels)
