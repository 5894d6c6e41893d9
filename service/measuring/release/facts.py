"""What people say beside their readings: overrides, second looks, and what a sheet hangs on."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import permutations
from typing import Final

NOBODY: Final = "someone"
"""Who takes a reading, or says something, where no name was given."""
_MOST_NAMES: Final = 4


class NothingChecks(StrEnum):
    """What no other reading and no photo of a wall can check."""

    HOLD_DOWN = "hold-down"
    TOP = "agreed top"
    FACE_TO_VALVE = "face to valve"
    HAND = "hand"
    OUTER_EDGE = "outer edge"
    """Where the finished edge of an end sheet was put; it is agreed, not taped."""

    @property
    def common(self) -> bool:
        """Whether it is one decision for the whole alcove: looked at once, it counts for every
        sheet that is cut by the same value."""
        return self in (NothingChecks.HOLD_DOWN, NothingChecks.TOP)


@dataclass(frozen=True, slots=True)
class Override:
    """Someone lets a conflicting reading stand; the reason prints on every later page."""

    dimension: str
    reading: str
    who: str
    reason: str


@dataclass(frozen=True, slots=True)
class SecondLook:
    """A second person, or a photo with the tape in it, for what nothing checks.

    ``value`` is what was looked at, in words: another value asks for another look. ``first`` is
    who stated it; the photo is named by its file or fingerprint.
    """

    what: NothingChecks
    value: str
    first: str | None = None
    second: str | None = None
    photo: str | None = None

    @property
    def words(self) -> str:
        """Who vouches for it, as it is printed."""
        if self.photo:
            return f"photo {self.photo}"
        return f"{self.first} and {self.second}"


@dataclass(frozen=True, slots=True)
class SheetNeeds:
    """What one sheet hangs on beside its sizes.

    Attributes
    ----------
    sheet
        The wall it is for.
    looks
        What a second person or a photo must vouch for, with what it is now.
    facts
        What else it is made from, as it is printed: top, marks, holes, pattern.
    """

    sheet: str
    looks: Mapping[NothingChecks, str] = field(default_factory=dict)
    facts: Mapping[str, str] = field(default_factory=dict)


def is_named(who: str | None) -> bool:
    """Whether that is anybody's name: one was given, and there is a letter or figure in it."""
    return bool(_names(who or ""))


def same_person(one: str, other: str) -> bool:
    """Whether two names may be one person's, however they were typed.

    Case, accents, points, spaces and the order of the names are no difference, and an initial may
    be of the full name beside it: R. Fitter, ``fitter r`` and Robert Fitter cannot be told apart.
    Nor can somebody who was not named be told from anybody. Who is held back by that types the
    name in full.

    Examples
    --------
    >>> same_person("R. Fitter", "fitter,  R"), same_person("R. Fitter", "S. Fitter")
    (True, False)
    """
    first, second = _names(one), _names(other)
    if not first or not second or "".join(first) == "".join(second):
        return True
    if len(first) != len(second) or len(first) > _MOST_NAMES:
        return False
    return any(_alike(first, order) for order in permutations(second))


def _names(who: str) -> list[str]:
    """The parts of a name without what is typed this way and that; none of nobody's."""
    spelt = unicodedata.normalize("NFKD", who).casefold()
    plain = "".join(one for one in spelt if unicodedata.category(one) not in ("Mn", "Cf"))
    return [] if plain.strip() == NOBODY else re.findall(r"[^\W_]+", plain)


def _alike(names: Sequence[str], others: Sequence[str]) -> bool:
    """Name by name the same, or an initial of it; initials alone say nothing."""
    pairs = list(zip(names, others, strict=True))
    same = [one == other for one, other in pairs]
    initial = [1 in (len(one), len(other)) and one[0] == other[0] for one, other in pairs]
    known = any(alike and len(one) > 1 for alike, (one, _) in zip(same, pairs, strict=True))
    return all(same) or (known and all(map(any, zip(same, initial, strict=True))))
