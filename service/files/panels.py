"""panels.json: the planned panels, their material and their price, as they are printed."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from service.files.shape import OutputModel

Edge = Literal["top", "left", "right", "inner", "outer", "bottom", "leg"]
Hand = Literal["none", "left", "right"]
WallName = Literal["back", "plumbing", "far end"]
Mm = Annotated[float, Field(description="mm, exact, unrounded.")]
Printed = Annotated[str, Field(description="As printed: inches and a fraction.")]
At = Annotated[
    tuple[float, float],
    Field(
        description="x, y in mm, front view: x from the panel's reference vertical (plumb line on "
        "the back wall, positive to the right; finished outer edge on end walls, positive into the "
        "alcove corner), y down from the finished top."
    ),
]


class MarkRow(OutputModel):
    """One layout mark, in the order it is made."""

    order: int = Field(ge=1)
    edge: Edge
    station_mm: Mm
    station: Printed
    value_mm: Mm
    value: Printed
    at_mm: At
    how: str = Field(description="What the installer does, in one sentence.")


class WidthRow(OutputModel):
    """Overall width at one height, rounded down."""

    down_mm: Mm
    down: Printed
    width_mm: Mm
    width: Printed


class CutoutRow(OutputModel):
    """A round hole, dimensioned from two edges."""

    name: str
    at_mm: At
    diameter_mm: float = Field(gt=0, description="Diameter to be cut, mm.")
    diameter: Printed
    saw: str = Field(description="The next hole saw that the shop owns.")
    from_side: Printed
    from_top: Printed
    max_diameter_mm: Mm | None = Field(description="What the plate still covers; null: no plate.")
    valve_datum_mm: Mm | None = Field(description="New face to the valve's reference face.")
    nipple_out_mm: Mm | None = Field(description="Nipple out of the new face.")
    notes: tuple[str, ...]


class ReturnRow(OutputModel):
    """A turned edge."""

    edge: Edge
    depth_mm: Mm
    depth: Printed
    why: str


class BoxRow(OutputModel):
    """The upright rectangle that must fit on a sheet."""

    width_mm: Mm
    width: Printed
    height_mm: Mm
    height: Printed


class SheetRow(OutputModel):
    """The stock sheet a panel is cut from."""

    name: str
    width_mm: Mm
    height_mm: Mm
    finished: tuple[str, ...]
    hand: Hand
    spare_width_mm: Mm
    spare_height_mm: Mm
    drop_mm: Mm
    chance: float = Field(ge=0, le=1, description="That the sheet is wide enough.")
    price: Decimal | None


class CutTileRow(OutputModel):
    """A cut tile at the end of a course, or in the lowest course."""

    side: Edge
    down_mm: Mm
    down: Printed
    width_mm: Mm
    width: Printed


class PatternRow(OutputModel):
    """Simulated tile on one panel."""

    tile: tuple[Printed, Printed]
    joint_mm: Mm
    joint_heights_mm: tuple[float, ...] = Field(
        description="Upper edge of each level joint, y from the finished top, mm."
    )
    joint_heights: tuple[str, ...]
    column_joints_mm: tuple[float, ...]
    column_joints: tuple[str, ...]
    offset_mm: Mm
    offset: Printed
    cuts: tuple[CutTileRow, ...]
    bottom_courses: tuple[CutTileRow, ...]
    notes: tuple[str, ...]


class PanelRow(OutputModel):
    """One panel, ready to draw."""

    wall: WallName
    hand: Hand
    released: bool = Field(description="Whether every size it needs is taped and checked.")
    why_not: tuple[str, ...] = Field(description="What keeps it from the saw; empty if released.")
    outline_mm: tuple[At, ...] = Field(
        description="First vertex top at smallest x; clockwise on the back wall; along top, inner "
        "edge, bottom, outer edge on end walls."
    )
    plumb_x_mm: Mm
    level_y_mm: Mm
    marks: tuple[MarkRow, ...]
    widths: tuple[WidthRow, ...]
    cutouts: tuple[CutoutRow, ...]
    return_: tuple[ReturnRow, ...] = Field(validation_alias="return", serialization_alias="return")
    box: BoxRow
    area_mm2: float = Field(ge=0)
    sheet: SheetRow | None
    pattern: PatternRow | None
    notes: tuple[str, ...]


class BackerRow(OutputModel):
    """A thin angle bedded in one inside corner."""

    corner: Literal["left", "right"]
    length_mm: Mm
    length: Printed


class TrimRow(OutputModel):
    """A trim strip along one edge of a panel."""

    wall: WallName
    edge: Edge
    kind: str
    length_mm: Mm
    length: Printed
    why: str


class TakeoffRow(OutputModel):
    """One material: net before waste, gross after it, and the whole packages to buy."""

    item: str
    net: float
    gross: float
    unit: str
    packages: int = Field(ge=0)
    package: str
    why: str


class OrderRow(OutputModel):
    """One kind of sheet to order, with its hand and finished edges."""

    sheet: str
    width: Printed
    height: Printed
    finished: tuple[str, ...]
    hand: Hand
    quantity: int = Field(ge=1)
    panels: tuple[str, ...]
    released: bool
    price: Decimal | None


class PriceRow(OutputModel):
    """One line of the price."""

    item: str
    quantity: int
    unit_price: Decimal
    low: Decimal
    high: Decimal
    why: str


class PriceTable(OutputModel):
    """The price: one figure when every panel is released, else a range."""

    currency: str
    lines: tuple[PriceRow, ...]
    low: Decimal
    high: Decimal
    figure: Decimal | None
    unpriced: tuple[str, ...]
    book: str = Field(description="The price book used.")


class WarningRow(OutputModel):
    """Something a person must look at; the code is stable."""

    code: str
    text: str
    wall: WallName | None


class PanelsFile(OutputModel):
    """What `tapeproof panels` writes as panels.json. Money is text, lengths carry their unit."""

    job: str
    scope: str
    practice: str
    released: bool
    panels: tuple[PanelRow, ...]
    backers: tuple[BackerRow, ...]
    trims: tuple[TrimRow, ...]
    takeoff: tuple[TakeoffRow, ...]
    order: tuple[OrderRow, ...]
    price: PriceTable
    warnings: tuple[WarningRow, ...]
    changed_allowances: tuple[str, ...] = Field(
        description="What the job's practice file changed, with its source."
    )
    finished_opening_mm: Mm | None = Field(
        description="Opening at the tub front between the hung end panels; null: not measured."
    )
