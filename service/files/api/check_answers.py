"""Bodies of answers: a job's walls judged as one alcove."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.files.api.answers import Refused, WallName
from service.files.cross_check import ClosureRow, DerivedRow
from service.files.report import Gate, ReportDimension, ReportReading
from service.files.shape import OutputModel

PlaceMm = tuple[float, float]


class RegionModel(OutputModel):
    """A band of a wall's surface."""

    from_down_mm: float = Field(description="Upper end, below the level line, mm.")
    to_down_mm: float | None = Field(description="Lower end; null: to the deck.")
    proud: str = Field(description="How far it stands out, as written.")
    do: Literal["keep", "strip", "pack"]


class FaceModel(OutputModel):
    """The finished top and the surface regions of a wall, as its plan has them."""

    top_mm: float | None = Field(
        description="Finished top above the level line, mm; null where it goes to the ceiling."
    )
    regions: tuple[RegionModel, ...]


class SizeToTape(OutputModel):
    """A size, and the wall that it is on; what checks a wall may be on the next."""

    wall: WallName
    size: str


class WallInAlcove(OutputModel):
    """One wall, judged with the others: what they say of a corner counts here too."""

    id: str
    name: WallName
    refused: Refused | None = Field(description="Why nothing is judged here.")
    dimensions: tuple[ReportDimension, ...]
    readings: tuple[ReportReading, ...] = Field(
        description="Those of another wall that one clashes with are named with their wall."
    )
    gate: Gate | None
    let_stand: tuple[str, ...] = Field(
        default=(), description="Sizes in conflict that somebody other than the taper lets stand."
    )
    closures: tuple[ClosureRow, ...] = Field(description="What must close within the wall.")
    derived: tuple[DerivedRow, ...]
    places: dict[str, tuple[PlaceMm, PlaceMm]] = Field(
        description="Two ends of each taped size whose place follows from what it is: mm right of "
        "the plumb line and up from the level line."
    )
    face: FaceModel | None = Field(default=None, description="What the plan says of its face.")
    tape_next: tuple[SizeToTape, ...] = Field(
        description="What to tape so that its sheet may be released, in walking order."
    )
    tape_again: tuple[SizeToTape, ...] = Field(
        description="Of these and the taped, what another person or method must tape."
    )
    tape_anew: tuple[SizeToTape, ...] = Field(
        default=(), description="What is to be taken again, by whomever, for it does not fit."
    )


class SizeInPlan(OutputModel):
    """A size that lies on no wall, where it lies in plan."""

    wall: WallName
    size: str
    ends: tuple[PlaceMm, PlaceMm]


class SquareModel(OutputModel):
    """How far a back corner is out of square, by the diagonal across it."""

    side: Literal["left", "right"]
    over_mm: float = Field(description="Length of the leg at whose end it is out, mm.")
    out_mm: float = Field(description="mm; positive: the corner is open.")
    u_mm: float = Field(description="Its standard uncertainty, mm.")


class FromAboveModel(OutputModel):
    """The alcove in plan, by the tape alone: mm right of the back wall's left corner, and out into
    the room from the back wall."""

    outline: tuple[PlaceMm, PlaceMm, PlaceMm, PlaceMm] = Field(
        description="Left front, left back corner, right back corner, right front."
    )
    sizes: tuple[SizeInPlan, ...] = Field(description="Sizes in plan, taped or not.")
    square: tuple[SquareModel, ...]
    usual: tuple[str, ...] = Field(
        description="What nothing taped tells, drawn as in an ordinary alcove: width, depth, left "
        "corner, right corner."
    )


class AlcoveModel(OutputModel):
    """The alcove's agreement, by the same figures as `tapeproof check`."""

    walls: tuple[WallInAlcove, ...]
    across: tuple[ClosureRow, ...] = Field(
        description="What must close between walls; sizes are named with their wall."
    )
    print_scale: float | None
    from_above: FromAboveModel | None = Field(
        default=None, description="The alcove in plan; null where no size in plan is asked for."
    )


class FieldTruthRow(OutputModel):
    """How often one phone's photo intervals held what the tape then proved."""

    phone: str
    held: int = Field(ge=0)
    count: int = Field(ge=1)
    low: float = Field(description="95 % bounds of the true share (Clopper and Pearson).")
    high: float
    bears_out: bool = Field(description="Whether 95 % is within the bounds.")
    more: bool = Field(description="Whether more held than 95 %: the lower bound is above it.")
    enough: bool = Field(description="Whether the lower bound is 90 % or more.")


class FieldTruth(OutputModel):
    """Photos held against the tape of released sheets: the only real evidence of 95 %."""

    shop: str = Field(description="What the shop calls itself, TAPEPROOF_SHOP; empty: not told.")
    sheets: int = Field(ge=0, description="Released sheets that it is taken from.")
    phones: tuple[FieldTruthRow, ...]
