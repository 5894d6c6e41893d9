"""The parts of WALL.json: cards, rectangles, lines, photos and marks, dimensions, readings."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field, GetJsonSchemaHandler, model_validator

from service.files.shape import (
    CovariancePx,
    FilePath,
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
from service.measuring.alcove.vocabulary import Role, Side, Surface
from service.measuring.instruments import METHOD_OF_KIND, InstrumentKind, Method

if TYPE_CHECKING:
    from pydantic.json_schema import JsonSchemaValue
    from pydantic_core import CoreSchema

BareUnit = Literal["in", "mm", "cm", "m"]
MarkPair = tuple[Name, Name]


class PrintCheck(InputModel):
    """A ruler laid along one printed check bar of a card."""

    axis: Literal["x", "y"] = Field(description="x across the page, y along it.")
    nominal_mm: Positive = Field(description="Length of the bar as designed, mm.")
    measured: LengthText
    half_width_mm: Positive = Field(
        default=0.25, description="Limit that the ruler reading's error does not pass, mm."
    )


class Card(InputModel):
    """A printed card that was on the wall; unlisted cards are used at these defaults."""

    serial: int = Field(ge=1, description="Number printed on the card.")
    print_job: Name | None = Field(
        default=None, description="Cards of one print job share their print scale."
    )
    standoff_mm: StandOff = Field(
        default=0.5, description="Face of the card out of the wall plane, mm; may be negative."
    )
    standoff_u_mm: Positive = Field(default=1.0, description="Its standard uncertainty, mm.")
    print_check: tuple[PrintCheck, ...] = ()


class Rectangle(InputModel):
    """A plain rectangle of known size, by points along its edges or by where they meet."""

    name: Name = Field(description="A name of its own.")
    size_mm: tuple[Positive, Positive] = Field(description="First side, second side, mm.")
    u_mm: tuple[Positive, Positive] = Field(
        description="Standard uncertainty of the two sides, mm."
    )
    known_by: Literal["standard", "tape", "nominal"] = Field(
        default="standard",
        description="How the size is known: a standard's own, taped, or a tile's or board's name; "
        "a nominal size is no scale, so such a rectangle is left out.",
    )
    standoff_mm: StandOff = Field(
        default=0.0, description="Face of the object out of the wall plane, mm; may be negative."
    )
    edge_u_px: SpreadPx = Field(
        default=0.3, description="Standard uncertainty of each edge's offset, pixels."
    )
    corners: dict[FilePath, tuple[Pixel, Pixel, Pixel, Pixel]] = Field(
        default_factory=dict,
        description="Per photo: from the object's lower left, counter-clockwise as seen from the "
        "room; rounded corners mean the meeting points of the edges.",
    )
    edges: dict[FilePath, tuple[PixelRow, PixelRow, PixelRow, PixelRow]] = Field(
        default_factory=dict,
        description="Per photo, in place of its corners: points along each edge, from the edge "
        "between the first two corners on; none on a rounded corner.",
    )
    point_sd_px: SpreadPx = Field(
        default=1.0, description="Standard deviation of each point of an edge across it, pixels."
    )


class StraightLine(InputModel):
    """A line of the wall that is straight but for its bow: a tile joint, the deck, a ceiling."""

    name: Name = Field(description="A name of its own.")
    points: dict[FilePath, PixelRow] = Field(
        min_length=1,
        description="Per photo: points along it, as far apart as it can be followed. They need "
        "not be the same points in each.",
    )
    sd_px: SpreadPx = Field(
        default=1.0, description="Standard deviation of each point across the line, pixels."
    )
    defined_mm: NotNegative = Field(
        default=0.0, description="How sharply the line itself is defined, mm."
    )
    bow_u_mm: Positive = Field(
        default=0.5,
        description="Standard uncertainty of its bow: its middle against its ends, mm, over the "
        "stretch that is marked.",
    )
    direction: Literal["level", "plumb"] | None = Field(
        default=None,
        description="What it is known to be; held against the level marks, else against the other "
        "lines of which a direction is known.",
    )
    direction_u_mm_per_m: Positive = Field(
        default=1.0, description="Standard uncertainty of that direction, mm over 1 m."
    )
    standoff_mm: StandOff = Field(
        default=0.0, description="Out of the wall plane, mm; may be negative."
    )
    standoff_u_mm: Positive | None = Field(
        default=None, description="Standard uncertainty of the stand-off, mm."
    )


class Mark(InputModel):
    """A named point tapped in one photo; a bare [x, y] is a mark with nothing but its place."""

    at: Pixel
    sd_px: SpreadPx | None = Field(
        default=None, description="Standard deviation per axis, pixels; default mark_sd_px."
    )
    cov_px2: CovariancePx | None = Field(
        default=None,
        description="Covariance of x and y, pixels², in place of sd_px where the two differ: a "
        "point on an edge is known across it only.",
    )
    defined_mm: NotNegative = Field(
        default=0.0, description="How sharply the thing itself is defined, mm."
    )
    standoff_mm: StandOff | None = Field(
        default=None, description="Out of the wall plane, mm; negative is behind it; default 0."
    )
    standoff_u_mm: Positive | None = Field(
        default=None, description="Standard uncertainty of the stand-off, mm."
    )

    @model_validator(mode="before")
    @classmethod
    def _bare_pair(cls, value: Any) -> Any:
        if isinstance(value, list | tuple):
            value = {"at": value}
        if not isinstance(value, dict | Mark):
            raise ValueError('expected [x, y], or an object in braces with "at"')
        if isinstance(value, dict):
            rows = {key: value[key] for key in ("at", "cov_px2") if key in value}
            return value | {key: _tuples(row) for key, row in rows.items()}
        return value

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        schema = handler(core)
        place = handler.resolve_ref_schema(schema)["properties"]["at"]
        return {"anyOf": [schema, {k: v for k, v in place.items() if k != "title"}]}


def _tuples(rows: Any) -> Any:
    """Lists as the tuples that a strict model takes once JSON has been read."""
    return tuple(map(_tuples, rows)) if isinstance(rows, list) else rows


class WallPhoto(InputModel):
    """One photo and what was marked in it."""

    file: FilePath
    mark_sd_px: SpreadPx = Field(
        default=1.0, description="Standard deviation per axis of this photo's marks, pixels."
    )
    marks: dict[Name, Mark] = Field(
        default_factory=dict, description="The same name in two photos is the same point."
    )


class Dimension(InputModel):
    """A size wanted from the wall, between named marks."""

    name: Name = Field(description="A name of its own, by which readings and plans call it.")
    kind: Literal["distance", "dx", "dy", "to_line"] = Field(
        default="distance",
        description="distance: straight line in space; dx, dy: in the wall frame; to_line: signed "
        "perpendicular, positive on the left of the line from its first to its second mark.",
    )
    from_: Name | None = Field(
        default=None,
        alias="from",
        description="The mark it starts at; left out with all other marks where it is in no photo "
        "and its role says what it is.",
    )
    to: Name | None = Field(default=None, description="The mark it ends at; not for to_line.")
    line: MarkPair | None = Field(default=None, description="Two marks; for to_line only.")
    role: Role | None = Field(
        default=None,
        description="What size of an alcove it is, so that what must close with it is checked.",
    )
    side: Side | None = Field(
        default=None,
        description="Side it is on: left, right; on an end wall also inner (back corner), outer "
        "(tile edge); of a height also front (tub front). A diagonal starts on it.",
    )
    down: LengthText | None = Field(
        default=None, description="How far below the level line it is taken, or starts."
    )
    to_down: LengthText | None = Field(
        default=None, description="Of a diagonal: where it ends below the level line; null: deck."
    )
    at: LengthText | None = Field(
        default=None, description="Of a height: place from the plumb line, left negative."
    )
    surface: Surface | None = Field(
        default=None, description="What its tape touches: tile, bare, or a hung sheet's face."
    )
    fixture: Name | None = Field(default=None, description="Of a pipe or valve: its name.")
    count: int | None = Field(
        default=None, ge=1, le=200, description="Of courses: one course is read, times this many."
    )

    @property
    def points(self) -> tuple[str, ...]:
        """Every mark this dimension is made of."""
        return tuple(name for name in (self.from_, self.to, *(self.line or ())) if name is not None)


class Instrument(InputModel):
    """What a reading was taken with, and how."""

    kind: Literal["tape", "laser", "rod"] = Field(
        default="tape", description="What it was taken with."
    )
    id: Name | None = Field(default=None, description="Which one; readings of one tape share it.")
    class_: Literal["I", "II", "III", "HB44"] = Field(
        default="II",
        alias="class",
        description="Accuracy class of OIML R 35-1, or HB44 for NIST Handbook 44.",
    )
    graduation: LengthText = Field(default="1/16 in")
    tolerance: LengthText | None = Field(
        default=None,
        description="Of a laser meter (ISO 16331-1) or a rod: what its maker states that it keeps "
        "to, either way; default: 1/16 in.",
    )
    method: Literal[
        "hook to mark", "bent inside", "mark and add", "rod", "laser rear", "laser front"
    ] = Field(
        default="hook to mark",
        description="How its ends were found; left out, the instrument's usual way.",
    )

    @property
    def used_method(self) -> Method:
        """As told; where only the instrument is told, the way it is usually held."""
        told = "method" in self.model_fields_set
        return Method(self.method) if told else METHOD_OF_KIND[InstrumentKind(self.kind)]


class Reading(InputModel):
    """One tape, rod or laser reading of one dimension."""

    id: Name = Field(description="A name of its own, by which a later reading can replace it.")
    dimension: Name = Field(description="Name of the dimension that was read.")
    value: LengthText
    who: Name | None = Field(default=None, description="Who took it.")
    at: datetime | None = Field(default=None, description="When (ISO 8601).")
    instrument: Instrument = Instrument()
    u_mm: ReadingU | None = Field(
        default=None, description="Standard uncertainty given outright, mm; wins over the rest."
    )
    replaces: Name | None = Field(
        default=None, description="The id of the reading that this one takes the place of."
    )
    surface: Surface | None = Field(
        default=None, description="What the tape touched; where told, as its dimension says."
    )
