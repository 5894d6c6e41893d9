"""Bodies of requests. Unknown keys are errors, as in every file that people write."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import Field

from service.files.api.photo_answers import SnapKind
from service.files.shape import (
    CovariancePx,
    InputModel,
    LengthText,
    Name,
    NotNegative,
    Pixel,
    PixelRow,
    Positive,
    ReadingU,
    SpreadPx,
    StandOff,
)
from service.files.wall_parts import BareUnit, Instrument, MarkPair, PrintCheck
from service.measuring.alcove.vocabulary import Role, Side, Surface
from service.measuring.release.facts import NothingChecks

Id = Annotated[
    str,
    Field(
        pattern=r"^[A-Za-z0-9_-]{1,64}$",
        description="Letters, digits, - and _; a UUID made by the client.",
        examples=["0b7c2f0e-6a3d-4c7e-9a54-3f1f5a9b1c11"],
    ),
]
Sha256 = Annotated[
    str,
    Field(
        pattern="^[0-9a-f]{64}$",
        description="SHA-256 in lower-case hex.",
        examples=["9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"],
    ),
]
Notes = Annotated[str, Field(max_length=4000)]


class NewJob(InputModel):
    """A new alcove with its three walls."""

    id: Id | None = Field(default=None, description="Made by the client; default: a new one.")
    name: Name = Field(examples=["Hall bath"])
    plumbing_side: Literal["left", "right"] = Field(
        description="Side of the wall with the valve, as seen from the room."
    )
    bare_unit: BareUnit | None = Field(
        default="in", description="Unit of a length written without one; null: refuse such."
    )
    scope: Name = Field(default="over tile", examples=["over tile", "down to studs"])
    sizes: Literal["usual", "none"] = Field(
        default="usual", description="usual: with the lines and sizes that a plan needs."
    )


class JobChange(InputModel):
    """What changes of a job; what is left out stays."""

    name: Name | None = None
    scope: Name | None = None
    notes: Notes | None = None
    hidden: bool | None = Field(default=None, description="Taken off the list, or put back.")


class WallChange(InputModel):
    """Lines and datum of a wall; what is left out stays, null takes away."""

    level: MarkPair | None = Field(default=None, description="Two marks, left to right.")
    plumb: MarkPair | None = Field(default=None, description="Two marks, upper and lower.")
    datum_card: Annotated[int, Field(ge=1)] | None = None


class DimensionBody(InputModel):
    """A size wanted; its name is in the path. What is left out is not said any more."""

    name: Name | None = Field(
        default=None, description="Another name for it; its readings stay with it."
    )
    kind: Literal["distance", "dx", "dy", "to_line"] = "distance"
    from_: Name | None = Field(
        default=None,
        alias="from",
        examples=["left 16"],
        description="Left out, with to and line, where it is in no photo and has a role.",
    )
    to: Name | None = Field(default=None, examples=["right 16"])
    line: MarkPair | None = Field(default=None, description="For to_line; positive on its left.")
    role: Role | None = Field(default=None, description="What size of the alcove it is.")
    side: Side | None = None
    down: LengthText | None = Field(default=None, description="Below the level line.")
    to_down: LengthText | None = Field(default=None, description="Where a diagonal ends.")
    at: LengthText | None = Field(default=None, description="Of a height: from the plumb line.")
    surface: Surface | None = Field(default=None, description="What its tape touches.")
    fixture: Name | None = None
    count: Annotated[int, Field(ge=1, le=200)] | None = None


class SizesBody(InputModel):
    """Several sizes wanted, by their names; added, and taken back, in one."""

    sizes: Annotated[dict[Name, DimensionBody], Field(min_length=1, max_length=100)]


class CardBody(InputModel):
    """A card on the wall; its serial is in the path."""

    print_job: Name | None = Field(default=None, examples=["A"])
    standoff_mm: StandOff = 0.5
    standoff_u_mm: Positive = 1.0


class RectangleBody(InputModel):
    """A plain rectangle of known size on the wall; its name is in the path."""

    size_mm: tuple[Positive, Positive] = Field(description="First side, second side, mm.")
    u_mm: tuple[Positive, Positive]
    standoff_mm: StandOff = 0.0
    edge_u_px: SpreadPx = 0.3
    corners: dict[Id, tuple[Pixel, Pixel, Pixel, Pixel]] = Field(
        min_length=1,
        description="By photo: from the lower left, counter-clockwise as seen from the room.",
    )


class RectangleInPhoto(InputModel):
    """A rectangle of known size as it is set in one photo; its name is in the path."""

    size_mm: tuple[Positive, Positive] | None = Field(
        default=None, description="First side, second side, mm; of a card, left out."
    )
    u_mm: tuple[Positive, Positive] | None = None
    known_by: Literal["standard", "tape", "nominal"] = Field(
        default="standard", description="A nominal size names a tile or board: refused as scale."
    )
    serial: Annotated[int, Field(ge=1, le=999)] | None = Field(
        default=None,
        description="Of a card that was not found: the corners are taps on its board's outer "
        "corners, and the board is looked for between them.",
    )
    standoff_mm: StandOff = 0.0
    edge_u_px: SpreadPx = 1.0
    corners: tuple[Pixel, Pixel, Pixel, Pixel] = Field(
        description="From the lower left, counter-clockwise as seen from the room."
    )
    edges: tuple[PixelRow, PixelRow, PixelRow, PixelRow] | None = Field(
        default=None,
        description="Points along its edges, from the edge between the first two corners on; they "
        "count in place of the corners, which then only show where it is.",
    )
    point_sd_px: SpreadPx | None = Field(
        default=None, description="Standard deviation of each point of an edge across it, pixels."
    )


class LineInPhoto(InputModel):
    """A straight line of the wall as it is set in one photo; its name is in the path."""

    points: PixelRow
    sd_px: SpreadPx = 1.0
    defined_mm: NotNegative = 0.5
    direction: Literal["level", "plumb"] | None = None
    standoff_mm: StandOff = 0.0
    standoff_u_mm: Positive | None = None


class PrintJobBody(InputModel):
    """Ruler checks of one print job; they count for all its cards."""

    checks: tuple[PrintCheck, ...] = Field(max_length=20)


class MarkBody(InputModel):
    """A point set in a photo, in pixels of the upright original."""

    at: Pixel = Field(examples=[[653.49, 191.98]])
    sd_px: SpreadPx | None = None
    cov_px2: CovariancePx | None = Field(
        default=None, description="In place of sd_px, where the two axes differ."
    )
    defined_mm: NotNegative = 0.0
    standoff_mm: StandOff | None = None
    standoff_u_mm: Positive | None = None
    snapped_to: SnapKind | None = Field(
        default=None, description="What was found there and accepted; told in the history."
    )


class NewReading(InputModel):
    """A reading as it was taken; a correction is a new one that replaces it."""

    id: Id
    dimension: Name = Field(examples=["left 16"])
    value: LengthText
    who: Name | None = Field(default=None, description="Default: who sends it.")
    at: datetime | None = Field(default=None, description="When; default: when it arrives.")
    instrument: Instrument = Instrument()
    u_mm: ReadingU | None = None
    replaces: Name | None = None
    surface: Surface | None = Field(default=None, description="What the tape touched.")


class LengthBody(InputModel):
    """A length as typed."""

    text: Annotated[str, Field(max_length=64, examples=["59 7/8"])]
    bare_unit: BareUnit | None = None
    signed: bool = Field(default=True, description="Whether it may be negative: a place may.")


class UploadDone(InputModel):
    """All parts of a photo have been sent."""

    wall: Id
    filename: Annotated[str, Field(min_length=1, max_length=255, examples=["IMG_0412.jpg"])]
    parts: Annotated[int, Field(ge=1, le=16, description="How many, numbered from 0.")]
    sha256: Sha256


class PlanSettingsBody(InputModel):
    """What a plan is made from beside the measured walls."""

    plan: dict[str, Any] = Field(
        description="PLAN.json's own terms, without reports, practice and prices: these are "
        "filled in. Schema: tapeproof schema plan."
    )
    practice: Annotated[str, Field(max_length=200_000)] | None = Field(
        default=None, description="The shop's own allowances, TOML; null: those shipped."
    )
    prices: Annotated[str, Field(max_length=200_000)] | None = Field(
        default=None, description="The price book, CSV."
    )


class AllowanceChange(InputModel):
    """One allowance set for a job, or left to the shipped practice again."""

    key: Name = Field(examples=["joint.deck"])
    value: Name | None = Field(default=None, description="As written; null: the shipped one.")
    source: Annotated[str, Field(max_length=200)] = Field(default="", description="Why.")


class PracticeBody(InputModel):
    """A practice as text, and what is to be changed in it."""

    practice: Annotated[str, Field(max_length=200_000)] | None = None
    change: AllowanceChange | None = None


class LookBody(InputModel):
    """A second person, or a photo with the tape in it, for what nothing checks."""

    value: Name = Field(
        description="What was looked at, as the plan has it now.",
        examples=["3/4 in above the level line"],
    )
    first: Name | None = Field(default=None, description="Who stated it.")
    second: Name | None = Field(default=None, description="Who looked at it: another person.")
    photo: Id | None = Field(default=None, description="A photo of the job with the tape in it.")


class NamedLook(LookBody):
    """A second look, and at what."""

    what: NothingChecks


class ReleaseBody(InputModel):
    """Who locks a sheet, default: who sends it; and what a second person looked at first."""

    who: Name | None = None
    looks: tuple[NamedLook, ...] = ()
    shown: str | None = Field(
        default=None,
        pattern="^[0-9a-f]{64}$",
        description="What the plan told as `shown` of the sheet that was looked at: the release is "
        "refused where it is another sheet by now. Null: whatever it is.",
    )


class OverrideBody(InputModel):
    """Someone other than the taper lets a reading stand against what the rest expects."""

    reading: Name = Field(description="Id of the reading that is let stand.")
    who: Name | None = Field(default=None, description="Default: who sends it.")
    reason: Name = Field(description="Prints on every later page of the sheet.")


class AsHungBody(InputModel):
    """A width of an end sheet, taped from the face of the hung back panel."""

    id: Id
    down: LengthText = Field(description="Below the level line.", examples=["40"])
    value: LengthText = Field(description="Plumb line to that face.", examples=["11 1/8"])
    who: Name | None = Field(default=None, description="Default: who sends it.")
    at: datetime | None = Field(default=None, description="When; default: when it arrives.")
    instrument: Instrument = Instrument()
    replaces: Name | None = None
