"""Bodies of answers."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from service.files.api.release_answers import ReleaseModel
from service.files.panels import PanelsFile
from service.files.report import Gate
from service.files.shape import OutputModel
from service.files.wall_parts import (
    Dimension,
    Instrument,
    Mark,
    MarkPair,
    PrintCheck,
    Rectangle,
    StraightLine,
)
from service.measuring.alcove.vocabulary import Role, Side, Surface

WallName = Literal["plumbing", "back", "far-end"]
PhotoState = Literal["looking", "ready", "refused"]


class Problem(OutputModel):
    """An error (RFC 9457); the code is stable."""

    type: str = Field(default="about:blank", examples=["about:blank"])
    title: str
    status: int = Field(ge=400, le=599)
    detail: str
    code: str
    field: str | None = Field(default=None, description="Path of the value at fault.")
    do: str | None = Field(default=None, description="What to do instead.")
    current: dict[str, Any] | None = Field(
        default=None, description="The document as it is now, where the request was on an older."
    )


class Refused(OutputModel):
    """Why a photo, or a wall, cannot be measured."""

    code: str
    text: str
    do: str


class WallInJob(OutputModel):
    """One wall of a job, in short."""

    id: str
    name: WallName
    revision: int
    photos: int = Field(ge=0)
    ready: int = Field(ge=0, description="Photos that have been looked at.")
    readings: int = Field(ge=0)
    dimensions: int = Field(ge=0)
    gate: Gate | None = Field(description="Null where there is nothing to judge yet.")
    refused: Refused | None = Field(description="Why there is no report.")


class JobModel(OutputModel):
    """One alcove; walls in the order in which they unfold, from left to right."""

    id: str
    name: str
    plumbing_side: Literal["left", "right"]
    bare_unit: str | None
    scope: str
    notes: str
    example: bool
    hidden: bool
    revision: int
    created_at: str
    updated_at: str
    walls: tuple[WallInJob, ...]
    released: dict[str, str] = Field(
        description="Letter of each sheet whose release was not taken back, by panel."
    )


class JobList(OutputModel):
    """All jobs, the last changed first."""

    jobs: tuple[JobModel, ...]


class CardOnWall(OutputModel):
    """A card as it was described."""

    serial: int
    print_job: str | None
    standoff_mm: float
    standoff_u_mm: float


class ReadingModel(OutputModel):
    """A reading, with what was understood."""

    id: str
    dimension: str
    value: str
    echo: str = Field(description="The reading as understood.", examples=['59 7/8" = 1520.8 mm'])
    who: str | None
    at: str | None
    instrument: Instrument
    u_mm: float | None
    replaces: str | None
    surface: Surface | None


class KnownSize(OutputModel):
    """Which size of an alcove a name tells, where nothing else is said."""

    role: Role
    side: Side | None = None
    down: str | None = None
    to_down: str | None = None
    at: str | None = None
    fixture: str | None = None


class PhotoOnWall(OutputModel):
    """A photo of the wall, with the marks set in it."""

    id: str
    file: str = Field(description="Its name beside wall.json, and in the report.")
    filename: str
    sha256: str
    bytes: int
    state: PhotoState
    width: int | None
    height: int | None
    added_at: str
    mark_sd_px: float
    marks: dict[str, Mark]


class WallModel(OutputModel):
    """The facts of one wall, in the wall file's own terms."""

    id: str
    job: str
    name: WallName
    revision: int
    bare_unit: str | None
    level: MarkPair | None
    plumb: MarkPair | None
    datum_card: int | None
    cards: tuple[CardOnWall, ...]
    rectangles: tuple[Rectangle, ...]
    lines: tuple[StraightLine, ...] = Field(description="Known to be straight; points by photo.")
    dimensions: tuple[Dimension, ...]
    readings: tuple[ReadingModel, ...]
    photos: tuple[PhotoOnWall, ...]
    marks_wanted: tuple[str, ...] = Field(description="Marks that lines and sizes use, in order.")
    found_cards: tuple[int, ...] = Field(description="Serials seen in the photos.")
    corner: Literal["left", "right"] | None = Field(
        description="Of an end wall: the side, as seen, of its back corner."
    )
    known_by_name: dict[str, KnownSize] = Field(
        description="What sizes are of the alcove by their names and marks."
    )


class Said(OutputModel):
    """A stable code and one sentence."""

    code: str
    text: str


class Seen(OutputModel):
    """Something seen and not used."""

    code: str
    text: str
    serial: int
    at: tuple[float, float]


class CardInPhoto(OutputModel):
    """A card found in a photo."""

    serial: int
    corners: int
    outline: tuple[tuple[float, float], ...] = Field(
        description="Outer corners in pixels, clockwise from the sheet's own top left."
    )
    contrast: float
    blur_px: float
    tilt_deg: float
    pixels_per_cell: float
    saturated: float


class HeaderModel(OutputModel):
    """What the photo says of its camera."""

    make: str | None
    model: str | None
    lens_model: str | None
    focal_mm: float | None
    focal_35mm_mm: float | None
    digital_zoom: float | None


class PhotoModel(OutputModel):
    """One photo and what was found in it."""

    id: str
    wall: str
    job: str
    file: str
    filename: str
    sha256: str
    bytes: int
    state: PhotoState
    width: int | None
    height: int | None
    added_at: str
    on_wall: bool = Field(description="False once it was taken off.")
    cards: tuple[CardInPhoto, ...]
    notes: tuple[Seen, ...] = Field(description="What looked like a card and was not used.")
    advice: tuple[Said, ...]
    refusal: Refused | None
    header: HeaderModel | None
    mark_sd_px: float
    marks: dict[str, Mark]


class LengthModel(OutputModel):
    """A length as it was understood."""

    mm: float
    echo: str = Field(examples=['59 7/8" = 1520.8 mm'])
    unit: str


class PrintJobs(OutputModel):
    """Ruler checks by print job."""

    revision: int = Field(description="The job's.")
    print_jobs: dict[str, tuple[PrintCheck, ...]]


class EventModel(OutputModel):
    """One change; never altered, chained to the one before it by its hash."""

    seq: int
    at: str
    who: str
    device: str
    wall: str | None
    kind: str
    what: str
    path: tuple[str, ...]
    before: Any
    after: Any
    undoes: int | None
    hash: str


class EventList(OutputModel):
    """Changes of a job."""

    events: tuple[EventModel, ...]


class PlanSettings(OutputModel):
    """What a plan is made from beside the measured walls."""

    revision: int = Field(description="The job's.")
    derived: bool = Field(description="True while nobody has set them.")
    plan: dict[str, Any]
    practice: str | None
    prices: str | None


class AllowanceModel(OutputModel):
    """One allowance of the shop's practice."""

    key: str = Field(examples=["joint.deck"])
    value: str = Field(description="As written, in the unit.", examples=["1/8"])
    unit: str
    low: float = Field(description="Least that is taken, in the unit.")
    high: float = Field(description="Greatest that is taken, in the unit.")
    range: str = Field(description="The same, as it is printed.", examples=["1/16 to 3/8 in"])
    source: str = Field(description="A published source, or common practice.")
    own: bool = Field(description="Whether the job has its own.")
    shipped: str = Field(description="What it is without.")


class PracticeModel(OutputModel):
    """A practice: the text, and every allowance as the text leaves it."""

    practice: str | None
    allowances: tuple[AllowanceModel, ...]


class PlanModel(OutputModel):
    """The planned panels, and which sheets are locked."""

    revision: int = Field(description="The job's.")
    plan: PanelsFile | None = Field(
        description="Null only in answer to a change that holds without a plan: a release, look or "
        "override that was taken back, an override; `cannot_plan` says why."
    )
    cannot_plan: Refused | None = None
    kept_back: dict[str, tuple[str, ...]] = Field(
        default={},
        description="Asked for with expectation=hidden: panels that are left out, for these sizes "
        "of their walls are not taped yet.",
    )
    releases: dict[str, ReleaseModel]
    elevation_svg: str


class Health(OutputModel):
    """Alive."""

    status: Literal["ok"]
    tasks: int = Field(ge=0, description="Photos still to be looked at.")


class Version(OutputModel):
    """Which program answers, and the media types of photos that it reads."""

    name: str
    version: str
    photos: tuple[str, ...] = Field(examples=[["image/jpeg", "image/png", "image/webp"]])
