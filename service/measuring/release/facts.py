"""What people say beside their readings: overrides, second looks, and what a sheet hangs on."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

NOBODY: Final = "someone"
"""Who takes a reading, or says something, where no name was given."""
_MOST_INITIALS: Final = 4
_LEAST_TO_MISSPELL: Final = 4


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

    Case, accents, points, spaces and the order of the names are no difference, nor is one key that
    was missed in a longer name. A name that is left out or cut short may be any that begins so: R.
    Fitter, ``fitter r``, Rob, RF and Robert J. Fiter cannot be told apart. Nor can somebody who was
    not named be told from anybody. Two people who are held back by that type their names in full.

    Examples
    --------
    >>> same_person("R. Fitter", "fitter,  R"), same_person("R. Fitter", "S. Fitter")
    (True, False)
    """
    first, second = _names(one), _names(other)
    if not first or not second or "".join(first) == "".join(second):
        return True
    return _each_fits(first, second) or any(
        _each_fits(initials, others)
        for initials, others in ((_initials(first), second), (_initials(second), first))
        if initials
    )


def _names(who: str) -> list[str]:
    """The parts of a name without what is typed this way and that; none of nobody's."""
    spelt = unicodedata.normalize("NFKD", who).casefold()
    plain = "".join(one for one in spelt if unicodedata.category(one) not in ("Mn", "Cf"))
    return [] if plain.strip() == NOBODY else re.findall(r"[^\W_]+", plain)


def _initials(names: Sequence[str]) -> list[str]:
    """A single short word as the initials that it may be."""
    return list(names[0]) if len(names) == 1 and 1 < len(names[0]) <= _MOST_INITIALS else []


def _each_fits(names: Sequence[str], others: Sequence[str]) -> bool:
    """Whether each part of the shorter name may be another part of the longer."""
    few, many = sorted((names, others), key=len)
    holds: dict[int, int] = {}  # which part of the longer stands for which of the shorter

    def finds(part: int, tried: set[int]) -> bool:
        for place, one in enumerate(many):
            if place in tried or not _alike(few[part], one):
                continue
            tried.add(place)
            if place not in holds or finds(holds[place], tried):
                holds[place] = part
                return True
        return False

    return all(finds(part, set()) for part in range(len(few)))


def _alike(one: str, other: str) -> bool:
    """The same, one cut short, or one key off."""
    return one.startswith(other) or other.startswith(one) or _one_key_off(one, other)


def _one_key_off(one: str, other: str) -> bool:
    """One letter more, less or other, or two exchanged; of short names that makes another."""
    if min(len(one), len(other)) < _LEAST_TO_MISSPELL:
        return False
    start = next((k for k, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), None)
    if start is None:
        return abs(len(one) - len(other)) <= 1
    rest, others = one[start:], other[start:]
    exchanged = rest[1::-1] == others[:2] and rest[2:] == others[2:]
    return exchanged or others[1:] in (rest[1:], rest) or rest[1:] == others
