"""Places that are told roughly and put back exactly."""

from __future__ import annotations

from typing import Any

import pytest

from service.files.rough_places import NoSuchPlace, put_back, told_roughly


def _plan(*places: str, bare_unit: str = "in", **deck: str) -> dict[str, Any]:
    decks = [{"at": at, "dimension": f"deck {at}", **deck} for at in places]
    return {"bare_unit": bare_unit, "walls": [{"wall": "far end", "line_to_deck": decks}]}


def _at(plan: dict[str, Any]) -> list[str]:
    return [deck["at"] for deck in plan["walls"][0]["line_to_deck"]]


def test_a_place_is_told_to_the_inch_and_says_so() -> None:
    """Whole inches stay; anything finer is about an inch, on the walls that are named only."""
    plan = _plan("-27 7/16", "0", "30.4 in", "1 ft")

    assert _at(told_roughly(plan, {"far-end"})) == ["about -27 in", "0", "about 30 in", "1 ft"]
    assert told_roughly(plan, {"back"}) == plan


def test_a_bare_number_is_in_the_plans_unit() -> None:
    """A metric shop's 697 is 27.4 in, told no finer than in an inch's place."""
    assert _at(told_roughly(_plan("697", bare_unit="mm"), {"far-end"})) == ["about 27 in"]


@pytest.mark.parametrize("deck", [{}, {"dimension": "deck"}])
def test_what_was_told_comes_back_as_it_was(deck: dict[str, str]) -> None:
    """Two decks within one inch included, though nothing but their place tells them apart."""
    plan = _plan("-27 7/16", "-27 1/4", "0", **deck)

    assert put_back(told_roughly(plan, {"far-end"}), plan) == plan


def test_decks_that_are_added_moved_or_taken_away_leave_the_others_exact() -> None:
    """A place goes with its deck's size, wherever the deck stands in the list by then."""
    plan = _plan("-27 7/16", "-27 1/4", "30 13/16")
    told = told_roughly(plan, {"far-end"})
    decks = told["walls"][0]["line_to_deck"]
    decks[:] = [{"at": "3", "value": "60"}, decks[2], {**decks[1]}]

    assert _at(put_back(told, plan)) == ["3", "30 13/16", "-27 1/4"]


def test_a_place_of_no_deck_or_of_two_is_refused() -> None:
    """It is not made up: the field that it stands in is named."""
    plan = _plan("-27 7/16", "-27 1/4")
    for at in ("about -27 in", "about 44 in"):
        sent = _plan(at, dimension="another")
        with pytest.raises(NoSuchPlace) as caught:
            put_back(sent, plan)
        assert caught.value.field == "plan.walls[0].line_to_deck[0].at"
