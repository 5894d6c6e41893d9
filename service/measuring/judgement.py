"""What judging readings comes to: values for the report, the screen and the gate."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from service.measuring.estimates import Estimate
from service.measuring.limits import Limits
from service.measuring.slips import Suspect


class Status(StrEnum):
    """How a dimension, or one reading, stands."""

    PHOTO_ONLY = "photo only"
    TAPE_ONLY = "tape only"
    AGREES = "agrees"
    UNSURE = "unsure"
    CONFLICTS = "conflicts"


@dataclass(frozen=True, slots=True)
class DimensionJudgement:
    """One dimension; absent figures are None.

    Attributes
    ----------
    photo
        What the photos alone say.
    tape
        The readings that count, combined; where all are set aside, those, unless they clash.
    expected
        What everything but this dimension's own readings says.
    best
        What everything that agrees says.
    en, w
        Normalised error (ISO 13528, U = 2u) and standardised difference, tape less expected.
    mdb_mm
        The least slip that this check would have caught (0.1 %, 80 %).
    checked
        Whether that is within the shop's limit; says nothing about agreement.
    birge
        Birge ratio of repeated readings.
    tape_stays_mm
        The part of ``tape``'s uncertainty that repeats with the same instruments do not shrink.
    suspect
        The likeliest slip of the reading that conflicts.
    """

    name: str
    status: Status
    photo: Estimate | None
    tape: Estimate | None
    expected: Estimate | None
    best: Estimate | None
    en: float | None
    w: float | None
    mdb_mm: float | None
    checked: bool
    birge: float | None
    tape_stays_mm: float | None
    suspect: Suspect | None


@dataclass(frozen=True, slots=True)
class ReadingJudgement:
    """One effective reading.

    ``w`` is by deletion of this reading alone, its repeats staying. For one set aside it is the
    figure that set it aside. ``mdb_mm`` is the least slip of this reading alone that would have
    been caught (0.1 %, 80 %), None where nothing checks it. ``clashes_with`` are the readings it
    cannot be told apart from.
    """

    id: str
    dimension: str
    status: Status
    u_mm: float
    w: float | None
    mdb_mm: float | None
    clashes_with: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PrintScale:
    """The photos and the tape differ by one factor: the card was not printed at its size.

    ``factor`` is tape over photo, with its standard uncertainty; ``odds`` against the likeliest
    single slip.
    """

    factor: float
    u: float
    odds: float


@dataclass(frozen=True, slots=True)
class Judgement:
    """All dimensions in the order asked for, all effective readings in the order taken.

    ``limits`` are those that it was judged by.
    """

    dimensions: tuple[DimensionJudgement, ...]
    readings: tuple[ReadingJudgement, ...]
    print_scale: PrintScale | None
    limits: Limits

    def dimension(self, name: str) -> DimensionJudgement:
        return next(found for found in self.dimensions if found.name == name)

    def reading(self, reading_id: str) -> ReadingJudgement:
        return next(found for found in self.readings if found.id == reading_id)

    def held_to(self, slip_mm: float) -> Judgement:
        """The same by a shop whose checks must catch a slip of ``slip_mm``: another `checked`, and
        no other figure."""
        if slip_mm == self.limits.slip_mm:
            return self
        limits = replace(self.limits, slip_mm=slip_mm)
        dimensions = tuple(
            replace(found, checked=is_enough(found.mdb_mm, limits)) for found in self.dimensions
        )
        return replace(self, dimensions=dimensions, limits=limits)


def is_enough(mdb_mm: float | None, limits: Limits) -> bool:
    """Whether a check that catches no slip below ``mdb_mm`` (None: none at all) proves a size."""
    return mdb_mm is not None and mdb_mm <= limits.slip_mm
