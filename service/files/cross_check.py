"""CHECK.json: the cross-check of an alcove's tape and photos."""

from __future__ import annotations

from pydantic import Field

from service.files.report import Status
from service.files.shape import Interval, OutputModel


class ClosureRow(OutputModel):
    """One equation that must close."""

    name: str = Field(description="What must close, in words.")
    sizes: tuple[str, ...] = Field(description="The dimensions in it.")
    out_mm: float | None = Field(description="What is left over, mm; null where one is not taken.")
    limit_mm: float = Field(description="What the trade lets it be, mm.")
    closes: bool | None = Field(description="Null where one of its sizes is not taken.")


class CheckedSizeRow(OutputModel):
    """One size: by photo, by tape, as expected, at best, and what became of it."""

    name: str = Field(description="As in WALL.json.")
    role: str | None = Field(description="Which size of an alcove it is, where that is known.")
    status: Status = Field(description="As in the measure report.")
    checked: bool = Field(
        description="Whether its check would have shown a slip of the file's `slip_mm`."
    )
    readings: tuple[str, ...] = Field(description="Its standing readings, as written.")
    photo_mm: float | None = Field(description="By photos alone, mm.")
    photo_interval95_mm: Interval | None
    tape_mm: float | None = Field(description="By its own readings, mm.")
    expected_mm: float | None = Field(description="By everything but its own readings, mm.")
    expected_interval95_mm: Interval | None
    best_mm: float | None = Field(description="By everything that agrees, mm.")
    best_u_mm: float | None = Field(description="Its standard uncertainty, mm.")
    holds: str = Field(description="What keeps it from the saw; empty if nothing does.")
    suspect: str = Field(description="The likeliest slip, as a colleague would say it.")
    done: tuple[str, ...] = Field(description="What was done about each conflict.")
    en: float | None = Field(default=None, description="Normalised error, as in the report.")
    w: float | None = Field(default=None, description="Standardised difference by deletion.")
    mdb_mm: float | None = Field(
        default=None, description="Least slip that its check would have caught, mm."
    )
    birge: float | None = Field(default=None, description="Birge ratio of repeated readings.")
    let_stand_by: str = Field(
        default="", description="Who lets its conflict stand: not the taper. Empty if nobody does."
    )


class DerivedRow(OutputModel):
    """What follows from the sizes: out of plumb, out of level, out of square."""

    what: str = Field(description="Which, and of which side.")
    over_mm: float = Field(description="Height or length that it is over, mm.")
    value_mm: float = Field(
        description="mm; positive: an edge runs outwards going down, a deck falls to the right, a "
        "corner is open."
    )
    u_mm: float = Field(description="Its standard uncertainty, mm.")


class CheckedWallRow(OutputModel):
    """One wall, with what must close in it."""

    wall: str = Field(description="Its name.")
    sizes: tuple[CheckedSizeRow, ...]
    closures: tuple[ClosureRow, ...]
    derived: tuple[DerivedRow, ...] = Field(
        default=(), description="Out of plumb, level and square."
    )
    tape_next: tuple[str, ...] = Field(
        description="What to tape next so that its sheet may be released, in walking order."
    )
    tape_again: tuple[str, ...] = Field(
        description="What another person or another method must tape, for nothing checks it."
    )
    tape_anew: tuple[str, ...] = Field(
        default=(), description="What is to be taken again, by whomever, for it does not fit."
    )


class CheckFile(OutputModel):
    """What `tapeproof check` writes. Lengths in mm, absent figures null."""

    walls: tuple[CheckedWallRow, ...]
    across: tuple[ClosureRow, ...] = Field(description="What must close between walls.")
    print_scale: float | None = Field(
        description="Tape over photo, where all photo sizes are out by one factor."
    )
    slip_mm: float = Field(
        description="The slip that a size's check would have shown where it is `checked`, mm: the "
        "limit of the plan's practice, or 1/4 in."
    )
