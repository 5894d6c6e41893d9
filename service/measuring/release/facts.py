"""What people say beside their readings: overrides, second looks, and what a sheet hangs on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


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


def same_person(one: str, other: str) -> bool:
    """Whether two names are one person's, however they were typed."""
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()
