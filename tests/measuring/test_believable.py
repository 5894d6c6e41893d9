"""Of the slips that may be behind a conflict, those are likelier that leave a believable room."""

from __future__ import annotations

import math

import numpy as np
import pytest

from service.lengths import parse_length
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.regular import regular_sizes
from service.measuring.alcove.vocabulary import USUAL_ROOM, Role
from service.measuring.believable import more_believable
from service.measuring.estimates import Estimate
from service.measuring.judgement import Judgement, Status
from service.measuring.slip_book import Regular, SlipBook
from service.measuring.slip_kinds import SlipKind
from tests.measuring.alcove.worked import worked_alcove
from tests.support.simulated_alcove import drawn_alcove, other_plan, taped
from tests.support.slip_naming import honest

KNOWN = {"a": Estimate(700.0, 1.0), "b": Estimate(704.0, 1.0), "c": Estimate(950.0, 1.0)}
BOOK = SlipBook({}, regular={"w": Regular(25.0, 1.0, ("a", "b", "c"))})


def test_the_gain_is_that_of_two_exponentials() -> None:
    """By hand: 1 above the middle of 700, 704 and 950 is 705; 755 is two spreads off, 710 a fifth.
    A true size good to 60 mm is spread over 65."""
    sharp = more_believable(BOOK, "w", 755.0, Estimate(710.0, 0.0), KNOWN)
    assert sharp == pytest.approx(2 - 0.2)
    vague = more_believable(BOOK, "w", 755.0, Estimate(710.0, 60.0), KNOWN)
    assert vague == pytest.approx(2 - 5 / 65 - math.log(65 / 25))
    assert more_believable(BOOK, "w", 710.0, Estimate(755.0, 0.0), KNOWN) == pytest.approx(-1.8)


def test_it_is_bounded_and_nothing_where_nothing_is_expected() -> None:
    """However odd the room, a factor of 400; none without a regular size or one of its like."""
    assert more_believable(BOOK, "w", 9e5, Estimate(705.0, 0.0), KNOWN) == 6.0
    assert more_believable(BOOK, "w", 705.0, Estimate(-9e5, 0.0), KNOWN) == -6.0
    assert more_believable(BOOK, "w", 9e5, Estimate(705.0, 0.0), {}) == 0.0
    assert more_believable(BOOK, "other", 9e5, Estimate(705.0, 0.0), KNOWN) == 0.0


def test_rooms_as_they_are_drawn_are_believable() -> None:
    """Each true size of 40 alcoves, whose geometry shares nothing with this, is within 4 spreads of
    what is expected of it, and half of them within one."""
    rng = np.random.default_rng(17)
    off = []
    for _ in range(20):
        for alcove in (drawn_alcove(rng), drawn_alcove(rng, plan=other_plan(rng))):
            for name, of in regular_sizes(alcove.walls(), USUAL_ROOM).items():
                like = [alcove.truth_mm[other] for other in of.like]
                middle = of.mm + (float(np.median(like)) if like else 0.0)
                off.append(abs(alcove.truth_mm[name] - middle) / of.spread_mm)
    assert max(off) < 4
    assert np.median(off) < 1


def test_what_is_like_what_on_the_worked_alcove() -> None:
    """Stations of one side, corners to their marks; nothing is like itself."""
    walls, _ = worked_alcove("29 1/16")
    regular = regular_sizes(walls, USUAL_ROOM)
    names = [s.name for s in walls[0].of(Role.OFFSET, side=walls[0].of(Role.OFFSET)[0].side)]
    assert set(regular[names[0]].like) == set(names[1:])
    assert all(name not in of.like for name, of in regular.items())


def _with(dimension: str, *, add_in: float = 0.0, text: str | None = None) -> Judgement:
    """An honest alcove with one reading changed."""
    rng = np.random.default_rng(5)
    alcove = drawn_alcove(rng)
    readings = honest(alcove, rng)
    place = next(p for p, r in enumerate(readings) if r.dimension == dimension)
    mm = float(parse_length(text, "in").mm) if text else readings[place].mm + 25.4 * add_in
    size = next(s for s in alcove.all_sizes() if s.name == dimension)
    readings[place] = taped(size, mm)
    return judge_alcove(alcove.walls(), None, readings).judgement


@pytest.mark.parametrize(
    ("add_in", "kind"),
    [(-12.0, SlipKind.FOOT), (12.0, SlipKind.FOOT), (13.6, SlipKind.TAKE_AGAIN)],
)
def test_a_slip_in_the_opening_is_no_odd_corner(add_in: float, kind: SlipKind) -> None:
    """Opening, depth and corner diagonals close in one equation, so that any of the four could be
    off; only of the opening a foot leaves a room that anyone builds."""
    suspect = _with("back opening", add_in=add_in).dimension("back opening").suspect
    assert suspect is not None
    assert (suspect.kind, suspect.again, suspect.rivals) == (kind, "back opening", ())


@pytest.mark.parametrize("text", ["17 15/16", "41 5/8"])
def test_a_wild_corner_diagonal_is_taken_again_itself(text: str) -> None:
    """Nothing lists how 34 came to be 18 or 42; it is not the depth that is in a wrong box."""
    suspect = _with("back square right", text=text).dimension("back square right").suspect
    assert suspect is not None
    assert (suspect.kind, suspect.again) == (SlipKind.TAKE_AGAIN, "back square right")
    assert suspect.rivals == ()


def test_no_reading_is_judged_by_what_is_regular() -> None:
    """A wall that leans 6 in, taped rightly, is no conflict."""
    rng = np.random.default_rng(5)
    alcove = drawn_alcove(rng)
    lean = {f"back left {down}": 6.0 * down / 64 for down in (0, 16, 40, 64)}
    lean.update({f"back width {down}": 6.0 * down / 64 for down in (0, 16, 40, 64)})
    kept = [s for s in alcove.all_sizes() if s.name in lean or "right" in s.name]
    kept = [s for s in kept if s.wall == "back" and s.role in (Role.OFFSET, Role.WIDTH)]
    readings = [taped(s, alcove.truth_mm[s.name] + 25.4 * lean.get(s.name, 0.0)) for s in kept]
    judged = judge_alcove(alcove.walls(), None, readings).judgement
    assert {r.status for r in judged.readings} & {Status.CONFLICTS} == set()
