"""The measure report: points and sizes with their uncertainty, and whether tape and photo agree."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.files.shape import Interval, OutputModel
from service.measuring.alcove.vocabulary import Role, Side, Surface
from service.measuring.slip_kinds import SlipKind

Status = Literal["photo only", "tape only", "agrees", "unsure", "conflicts"]
ReadingStatus = Literal[Status, "replaced"]

Mm = Annotated[float, Field(description="mm")]
StandardU = Annotated[float, Field(description="Standard uncertainty (k = 1), mm.")]
Row = tuple[float, float, float]


class ReportPoint(OutputModel):
    """One marked point, in the wall frame."""

    x_mm: float = Field(description="Right along the wall, mm.")
    y_mm: float = Field(description="Up, mm.")
    z_mm: float = Field(description="Out of the wall towards the viewer, mm.")
    cov_mm2: tuple[Row, Row, Row] = Field(description="Covariance of x, y, z, mm².")
    photos: int = Field(ge=1, description="Number of photos in which it is marked.")


class Suspect(OutputModel):
    """The likeliest slip behind a conflict."""

    reading: str = Field(description="Id of the reading.")
    kind: SlipKind = Field(description="Kind of slip; 'take again' where none is clearly likelier.")
    meant: str | None = Field(description="What was probably meant, as it would be written.")
    odds: float = Field(ge=0, description="How many times likelier than the next explanation.")
    runner_up: str | None = Field(description="The next explanation.")
    text: str | None = Field(default=None, description="As a colleague would say it.")
    again: str | None = Field(
        default=None,
        description="Id of the reading whose repeat would tell most, where readings contradict "
        "one another; null: this one.",
    )


class SizeOf(OutputModel):
    """Which size of its wall one is, as the wall's file says by role, or by names and marks."""

    role: Role
    side: Side | None = Field(description="As seen from the room; inner or outer: not known.")
    down_mm: Mm | None = Field(description="Below the level line.")
    at_mm: Mm | None = Field(description="Of a height: from the plumb line, left negative.")
    fixture: str | None = Field(description="Name of the pipe or valve.")
    surface: Surface | None = Field(description="What the tape touched.")


class ReportDimension(OutputModel):
    """One size: by photo, by tape, as expected without its own readings, and at best."""

    name: str = Field(description="As in WALL.json.")
    status: Status = Field(
        description="photo only, tape only, agrees, unsure (take it again) or conflicts."
    )
    photo_mm: Mm | None = Field(description="By photos and cards alone, no tape.")
    photo_u_mm: StandardU | None
    photo_interval95_mm: Interval | None
    tape_mm: Mm | None = Field(description="By this dimension's own readings.")
    tape_u_mm: StandardU | None
    expected_mm: Mm | None = Field(
        description="What everything but this dimension's own readings says."
    )
    expected_u_mm: StandardU | None
    expected_interval95_mm: Interval | None
    en: float | None = Field(description="Difference / sqrt(U² + U²) with U = 2u (ISO 13528).")
    w: float | None = Field(description="Standardised difference by deletion.")
    mdb_mm: float | None = Field(
        description="Least slip this check would have caught (0.1 %, 80 % power), mm."
    )
    checked: bool = Field(
        description="Whether tape and expectation agree and mdb_mm is within the shop's limit."
    )
    best_mm: Mm | None = Field(description="By everything that agrees.")
    best_u_mm: StandardU | None
    best_interval95_mm: Interval | None
    suspect: Suspect | None = Field(description="Null unless a reading conflicts.")
    birge: float | None = Field(
        default=None,
        description="Birge ratio of repeated readings, about 1 where they agree as they should; "
        "null for a single one. The uncertainty is never widened by it.",
    )
    tape_stays_mm: float | None = Field(
        default=None,
        description="The part of tape_u_mm that more repeats with the same instruments would not "
        "shrink, mm.",
    )
    of: SizeOf | None = Field(
        default=None, description="Which size of its wall it is; null where nothing tells."
    )


class ReportReading(OutputModel):
    """One reading and what became of it."""

    id: str = Field(description="As in WALL.json.")
    status: ReadingStatus = Field(description="As of a dimension; or replaced by a later reading.")
    u_mm: float = Field(gt=0, description="Standard uncertainty that it was given, mm.")
    clashes_with: tuple[str, ...] = Field(
        default=(),
        description="Ids of readings of which one is wrong, and it cannot be told which.",
    )
    dimension: str | None = Field(default=None, description="Name of the size it is of.")
    mm: float | None = Field(default=None, description="What was read, mm.")
    who: str | None = Field(default=None, description="Who took it.")
    method: str | None = Field(default=None, description="How, as in WALL.json.")
    w: float | None = Field(
        default=None,
        description="Standardised difference of this reading alone from everything else, its "
        "repeats among it; of one set aside, the one that set it aside.",
    )
    mdb_mm: float | None = Field(
        default=None,
        description="Least slip of this reading alone that would have been caught (0.1 %, 80 % "
        "power), mm; null where nothing checks it.",
    )


class FoundCardRow(OutputModel):
    """One card found in one photo."""

    serial: int = Field(description="Number printed on the card.")
    corners: int = Field(ge=0, description="X-corners used.")
    rms_px: float | None = Field(description="Root mean square residual after adjustment, pixels.")


class CameraRow(OutputModel):
    """The camera of one photo, after adjustment."""

    f_px: float = Field(gt=0, description="Focal length, pixels.")
    source: str = Field(
        description="Where its prior came from: profile, exif (zoomed, cropped) or none; with `set "
        "aside` where that did not fit the photos and was left out."
    )


class Advice(OutputModel):
    """What would make this photo better; the code is stable."""

    code: str = Field(description="Stable, documented code.")
    text: str = Field(description="What was seen and what to do, in a sentence or two.")


class ReportPhoto(OutputModel):
    """What one photo gave; a photo that could not be used has no camera and says why."""

    file: str = Field(description="As in WALL.json.")
    phone: str | None = Field(
        default=None, description="What took it, by its header; null where that says nothing."
    )
    cards: tuple[FoundCardRow, ...]
    camera: CameraRow | None = Field(description="Null where the photo could not be used.")
    advice: tuple[Advice, ...]


class IntrinsicsRow(OutputModel):
    """One lens group: what the photos added to what was known of it before."""

    group: str = Field(description="The photos that share this lens: camera, lens, size, zoom.")
    f_px: float = Field(gt=0, description="Focal length, pixels.")
    posterior_over_prior: dict[str, float] = Field(
        description="Standard uncertainty after / before, per parameter; 1 means nothing learnt."
    )


class LineRow(OutputModel):
    """A straight line as the photos and the readings that agree have it."""

    name: str = Field(description="As in WALL.json.")
    nearest: Literal["level", "plumb"] = Field(description="Which of the two it is nearer to.")
    lean_mm_per_m: float = Field(
        description="Turned from level or plumb, counter-clockwise as seen, mm over 1 m; level is "
        "that of the level marks, without them along the datum card."
    )
    lean_u_mm_per_m: float = Field(ge=0, description="Its standard uncertainty, mm over 1 m.")
    bow_mm: float = Field(
        description="Its middle off the straight line between its ends: up where it is near level, "
        "to the right where it is near plumb."
    )
    bow_u_mm: float = Field(ge=0, description="Its standard uncertainty, mm.")
    photos: int = Field(ge=1, description="In how many photos it was followed.")


class AdjustmentRow(OutputModel):
    """How the least-squares adjustment went."""

    variance_factor: float | None = Field(description="About 1 when the stated noise is right.")
    bounds: tuple[float, float] | None = Field(
        description="95 % bounds of the variance factor at these degrees of freedom."
    )
    degrees_of_freedom: int = Field(ge=0, description="Observations beyond the unknowns.")
    iterations: int = Field(ge=0, description="Steps until nothing moved.")
    datum: str = Field(description="What set the wall frame: level, card or none.")


class PrintScaleRow(OutputModel):
    """Photos and tape differ by one factor: the card was not printed at its size."""

    factor: float = Field(gt=0, description="Tape over photo.")
    u: float = Field(gt=0, description="Its standard uncertainty.")
    odds: float = Field(ge=0, description="How many times likelier than the likeliest single slip.")


class UnseenSlipRow(OutputModel):
    """The slip in one mark that could harm a size most before the photos would show it."""

    mark: str = Field(description="Name of the mark.")
    photo: str = Field(description="The photo in which it would be set wrong.")
    mm: float | None = Field(
        description="How far it could move the size unseen (limit 1 in 10,000, power 80 %); null "
        "where nothing would show it, however large: the mark is in one photo only."
    )


class Blocking(OutputModel):
    """A dimension that keeps the release gate shut."""

    dimension: str = Field(description="Name of the dimension.")
    why: str = Field(description="What is missing, in words.")


class Gate(OutputModel):
    """Whether sizes may be released for cutting."""

    open: bool = Field(description="Whether every dimension is taped and checked.")
    blocking: tuple[Blocking, ...]


class JudgedWith(OutputModel):
    """The judgement that a wall's report is of, where the walls of an alcove judge each other."""

    walls: tuple[str, ...] = Field(description="Names of the other walls that it was judged with.")
    stamp: str = Field(
        description="SHA-256 over all reports of that judgement: theirs alike, any other's not."
    )


class Report(OutputModel):
    """What `tapeproof measure` writes. Lengths in mm, absent figures null."""

    wall: str | None = Field(default=None, description="Name of the wall, as in WALL.json.")
    points: dict[str, ReportPoint] = Field(description="Every mark whose place is known, by name.")
    dimensions: tuple[ReportDimension, ...]
    readings: tuple[ReportReading, ...]
    photos: tuple[ReportPhoto, ...]
    intrinsics: tuple[IntrinsicsRow, ...]
    lines: tuple[LineRow, ...] = Field(default=(), description="The wall's straight lines.")
    adjustment: AdjustmentRow | None = Field(description="Null where there was nothing to adjust.")
    print_scale: PrintScaleRow | None = Field(
        default=None, description="Null unless photos and tape differ by one factor."
    )
    advice: tuple[Advice, ...] = Field(
        default=(), description="What would narrow this wall's sizes most, before leaving the room."
    )
    photo_parts: dict[str, tuple[float, ...]] = Field(
        default={},
        description="Uncertainty of each size by photo as signed parts, mm: the same place in two "
        "sizes is the same error, and the squares of a size's parts add up to photo_u_mm squared.",
    )
    unseen_slips: dict[str, UnseenSlipRow] = Field(
        default={}, description="For each size by photo what a slip in a mark could do unseen."
    )
    judged_with: JudgedWith | None = Field(
        default=None,
        description="Null where the wall was judged by itself, as `tapeproof measure` does. "
        "`tapeproof check` judges the walls together: what two of them share is held against both.",
    )
    gate: Gate
