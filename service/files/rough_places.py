"""Places of the deck along a wall that are told roughly, and put back exactly.

In a corner such a place is the size of the wall's own side, so it is not told while that size is to
be taped. What is told says that it is rough (`about -27 in`): sent back untouched it stands for the
place that it was told of, and a whole inch that somebody writes is just that.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from service.lengths import LengthError, parse_station

_ABOUT: Final = "about "
_INCH: Final = Fraction("25.4")
_Told = tuple[Any, Any]
"""A deck as it is told, and as it is."""


class NoSuchPlace(ValueError):
    """A rough place is that of no deck, or of several.

    Attributes
    ----------
    field
        Where it stands, such as ``plan.walls[0].line_to_deck[1].at``.
    """

    def __init__(self, field: str) -> None:
        super().__init__(f"{field}: expected a place, such as -27 7/16")
        self.field = field


def told_roughly(plan: Mapping[str, Any], waiting: Collection[str]) -> dict[str, Any]:
    """A plan's settings with the decks' places told roughly on the walls that are named."""
    walls = plan.get("walls")
    if not isinstance(walls, list):
        return dict(plan)
    unit = _unit(plan)
    return {
        **plan,
        "walls": [
            {**wall, "line_to_deck": [_roughly(deck, unit) for deck in _decks(wall)]}
            if _name(wall) in waiting and _decks(wall)
            else wall
            for wall in walls
        ],
    }


def put_back(plan: Mapping[str, Any], kept: Mapping[str, Any]) -> dict[str, Any]:
    """A plan's settings with each place that is still told roughly as it is in those in force.

    Raises
    ------
    NoSuchPlace
        The rough one could be none of the wall's decks, or more than one.
    """
    walls = plan.get("walls")
    if not isinstance(walls, list):
        return dict(plan)
    known = {
        _name(wall): [(_roughly(deck, _unit(kept)), deck) for deck in _decks(wall)]
        for wall in kept.get("walls") or ()
    }
    return {
        **plan,
        "walls": [
            {**wall, "line_to_deck": _exactly(index, _decks(wall), known.get(_name(wall), ()))}
            if any(_is_rough(deck) for deck in _decks(wall))
            else wall
            for index, wall in enumerate(walls)
        ],
    }


def _name(wall: Any) -> str:
    return str(wall.get("wall")).replace(" ", "-") if isinstance(wall, dict) else ""


def _decks(wall: Any) -> Sequence[Any]:
    decks = wall.get("line_to_deck") if isinstance(wall, dict) else None
    return decks if isinstance(decks, list) else ()


def _is_rough(deck: Any) -> bool:
    return isinstance(deck, dict) and str(deck.get("at")).startswith(_ABOUT)


def _unit(plan: Mapping[str, Any]) -> str:
    """That of a length written without one."""
    return str(plan.get("bare_unit", "in"))


def _roughly(deck: Any, bare_unit: str) -> Any:
    try:
        inches = parse_station(deck["at"], bare_unit).mm / _INCH
    except (KeyError, TypeError, LengthError):
        return deck
    return deck if inches == round(inches) else {**deck, "at": f"{_ABOUT}{round(inches)} in"}


def _exactly(wall: int, decks: Sequence[Any], kept: Sequence[_Told]) -> list[Any]:
    if list(decks) == [told for told, _ in kept]:
        return [deck for _, deck in kept]
    return [
        {**deck, "at": _place(f"plan.walls[{wall}].line_to_deck[{index}].at", deck, kept)}
        if _is_rough(deck)
        else deck
        for index, deck in enumerate(decks)
    ]


def _place(field: str, deck: Mapping[str, Any], kept: Sequence[_Told]) -> str:
    """Of two decks within the inch it is the one that is else the same."""
    near = [(told, one) for told, one in kept if _is_rough(told) and told["at"] == deck["at"]]
    same = [one for told, one in near if told == deck]
    places = {str(one["at"]) for one in same or [one for _, one in near]}
    if len(places) != 1:
        raise NoSuchPlace(field)
    return places.pop()
