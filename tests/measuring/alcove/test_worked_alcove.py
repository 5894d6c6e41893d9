"""The alcove worked by hand: what closes, what does not, and whose fault it is."""

from __future__ import annotations

import pytest

from service.measuring.alcove.closing import alcove_closures, closings
from service.measuring.alcove.judging import as_read, judge_alcove
from service.measuring.judgement import Status
from service.measuring.slip_kinds import SlipKind
from tests.measuring.alcove.worked import SLIP, worked_alcove

EVERY_KIND = (
    "offsets make width",
    "back: left 40 in line with its neighbours",
    "corner: its height from back and plumbing",
    "plumbing: deck and floor below the line",
    "back: deck 0 in line with its neighbours",
    "back: diagonal left from offsets and heights",
    "valve from plumb line and from corner",
    "spout from line and from deck",
    "tile courses make the height",
    "back opening from the back wall's width and its corners",
)


def test_the_planted_slip_is_found_with_its_side_and_size() -> None:
    """28 1/16 for 29 1/16: the right offset at 40 conflicts, and an inch is named."""
    walls, readings = worked_alcove()
    found = judge_alcove(walls, None, readings).judgement

    assert [r.id for r in found.readings if r.status is Status.CONFLICTS] == [SLIP]
    suspect = found.dimension(SLIP).suspect
    assert suspect is not None
    assert (suspect.kind, suspect.meant) == (SlipKind.INCH, "29 1/16")


def test_every_other_closure_passes() -> None:
    """Open are the width at 40, by an inch, and the right side's line through 40; all else closes
    within 1/8."""
    walls, readings = worked_alcove()
    found = judge_alcove(walls, None, readings).closings

    still_open = {closing.name for closing in found if not closing.closes}
    assert still_open == {
        "back: offsets make width 40",
        "back: right 16 in line with its neighbours",
        "back: right 40 in line with its neighbours",
    }
    width = next(c for c in found if c.name.endswith("make width 40"))
    assert width.out_mm == pytest.approx(-25.4)


def test_taken_again_everything_closes_and_agrees() -> None:
    """With 29 1/16 no closure is open and no reading in doubt."""
    walls, readings = worked_alcove("29 1/16")
    found = judge_alcove(walls, None, readings)

    assert all(closing.closes for closing in found.closings)
    assert {r.status for r in found.judgement.readings} == {Status.AGREES}


@pytest.mark.parametrize("words", EVERY_KIND)
def test_every_closure_of_the_trade_is_there(words: str) -> None:
    """Each kind of closure is an equation of the alcove."""
    walls, readings = worked_alcove()
    names = [closure.name for closure in alcove_closures(walls, as_read(None, readings))]
    assert any(words in name for name in names)


@pytest.mark.parametrize(
    ("words", "inches"),
    [
        ("offsets make width 16", 1 / 16),
        ("offsets make width 0", 0.0),
        ("diagonal left from", 77.410 - 77.4375),
        ("diagonal right from", 76.707 - 76.6875),
        ("plumbing: deck and floor", 0.0),
        ("far end: deck and floor", 0.0),
        ("valve from plumb line and from corner", 14.211 - 14.1875),
        ("spout from plumb line and from corner", 14.232 - 14.25),
        ("tile courses make the height", 0.0),
        ("opening from the back wall's width", 58.533 - 58.5),
    ],
)
def test_closures_come_to_the_hand_computation(words: str, inches: float) -> None:
    """What is left over is what the sheet's own arithmetic leaves, to 0.001 in."""
    walls, readings = worked_alcove("29 1/16")
    values = as_read(None, readings)
    found = closings(alcove_closures(walls, values), values)
    (closing,) = [c for c in found if words in c.name][:1]
    assert closing.out_mm is not None
    assert closing.out_mm / 25.4 == pytest.approx(inches, abs=1e-3)
