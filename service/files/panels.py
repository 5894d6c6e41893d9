"""panels.json: the planned panels, their material and their price, as they are printed."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from service.files.panels_release import SheetReleaseRow, SheetSizeRow
from service.files.panels_room import (
    BlockingRow,
    CornerRow,
    CuttingRow,
    EndRow,
    FlatSpotRow,
    LayoutRow,
    NotchRow,
    OfferedRow,
    OpeningRow,
    OtherSheetRow,
    ScribeRow,
    SeamRow,
    TopRow,
    WayInRow,
    WindowRow,
)
from service.files.shape import OutputModel

Edge = Literal["top", "left", "right", "inner", "outer", "bottom", "leg", "notch"]
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

    order: int = Field(ge=1, description="1 for the first mark made on this panel.")
    edge: Edge = Field(description="Edge of the panel that the mark is a point of.")
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

    name: str = Field(description="The pipe, valve or other thing.")
    at_mm: At
    diameter_mm: float = Field(gt=0, description="Diameter to be cut, mm.")
    diameter: Printed
    saw: str = Field(description="The next hole saw that the shop owns.")
    from_side: Printed
    from_top: Printed
    max_diameter_mm: Mm | None = Field(description="What the plate still covers; null: no plate.")
    valve_datum_mm: Mm | None = Field(description="New face to the valve's reference face.")
    nipple_out_mm: Mm | None = Field(description="Nipple out of the new face.")
    notes: tuple[str, ...] = Field(description="What the installer must know of it.")


class ReturnRow(OutputModel):
    """A turned edge."""

    edge: Edge = Field(description="The turned edge.")
    depth_mm: Mm
    depth: Printed
    why: str = Field(description="The step that sets its depth.")


class BoxRow(OutputModel):
    """The upright rectangle that must fit on a sheet."""

    width_mm: Mm
    width: Printed
    height_mm: Mm
    height: Printed


class SheetRow(OutputModel):
    """The stock sheet a panel is cut from."""

    name: str = Field(description="Name of the stock sheet.")
    width_mm: Mm
    height_mm: Mm
    finished: tuple[str, ...] = Field(description="Factory finished edges, as seen from the room.")
    hand: Hand = Field(description="Side of its finished outer edge; none: either.")
    spare_width_mm: Mm
    spare_height_mm: Mm
    drop_mm: Mm
    chance: float = Field(ge=0, le=1, description="That the sheet is wide enough.")
    chance_fits: float = Field(ge=0, le=1, description="That it is wide and high enough.")
    shared: bool = Field(description="Whether another panel is cut from it too.")
    others: tuple[OtherSheetRow, ...] = Field(
        description="Every sheet with the edges this panel needs."
    )
    price: Decimal | None = Field(description="Of one sheet; null: not known.")


class CutTileRow(OutputModel):
    """A cut tile at the end of a course, or in the lowest course."""

    side: Edge = Field(description="Side of the panel, as seen from the room.")
    down_mm: Mm
    down: Printed
    width_mm: Mm
    width: Printed


class PatternRow(OutputModel):
    """Simulated tile on one panel."""

    tile: tuple[Printed, Printed] = Field(description="Width and height, as printed.")
    joint_mm: Mm
    joint_heights_mm: tuple[float, ...] = Field(
        description="Upper edge of each level joint, y from the finished top, mm."
    )
    joint_heights: tuple[str, ...] = Field(description="The same, as printed.")
    column_joints_mm: tuple[float, ...] = Field(
        description="Edge of each upright joint at its smaller x, mm."
    )
    column_joints: tuple[str, ...] = Field(description="The same, as printed.")
    offset_mm: Mm
    offset: Printed
    cuts: tuple[CutTileRow, ...]
    bottom_courses: tuple[CutTileRow, ...]
    notes: tuple[str, ...] = Field(
        description="What the customer and the installer must know of it."
    )
    other_columns_mm: tuple[float, ...] = Field(
        description="Upright joints of every second course, edge at smaller x, mm; empty where all "
        "courses are alike."
    )
    imbalance_mm: Mm | None = Field(
        description="Greatest difference between left and right cut; null on an end panel."
    )
    tried: int = Field(description="Places of the pattern that were compared; 0: none to choose.")


class PanelRow(OutputModel):
    """One panel, ready to draw."""

    wall: WallName = Field(description="Wall that it covers.")
    hand: Hand = Field(description="Side of the finished outer edge, as seen from the room.")
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
    area_mm2: float = Field(ge=0, description="Area inside the outline, mm².")
    sheet: SheetRow | None = Field(description="Null where no stock sheet holds it.")
    pattern: PatternRow | None = Field(description="Null where the sheet is plain.")
    notes: tuple[str, ...] = Field(description="What the installer must know of it.")
    windows: tuple[WindowRow, ...] = Field(description="Rectangular openings.")
    scribe: ScribeRow | None = Field(description="Null: not worked out.")
    seam: SeamRow | None = Field(
        description="Where it is made of two sheets or more, the first place; null: of one."
    )
    seams: tuple[SeamRow, ...] = Field(description="Every place, from the left, outer edge or top.")
    sizes: tuple[SheetSizeRow, ...] = Field(description="The measured sizes that it is cut by.")
    release: SheetReleaseRow | None = Field(
        description="Null where the plan does not say how its sheets are released."
    )
    notches: tuple[NotchRow, ...] = Field(description="What it is cut round.")
    top: str = Field(
        description="How it ends above: finished, trim, ceiling, sloped ceiling or cap."
    )


class BackerRow(OutputModel):
    """A thin angle bedded in one inside corner."""

    corner: Literal["left", "right"] = Field(
        description="Which back corner, as seen from the room."
    )
    length_mm: Mm
    length: Printed


class TrimRow(OutputModel):
    """A trim strip along one edge of a panel."""

    wall: WallName = Field(description="Wall that it is on.")
    edge: Edge = Field(description="Edge of the panel that it covers.")
    kind: str = Field(description="Kind of trim.")
    length_mm: Mm
    length: Printed
    why: str = Field(description="Why it is this long.")
    ends: tuple[str, str] = Field(
        description="Cut of its lower and upper end, or of its outer and inner end along the top."
    )


class TakeoffRow(OutputModel):
    """One material: net before waste, gross after it, and the whole packages to buy."""

    item: str = Field(description="Name of the material.")
    net: float = Field(description="Before waste, in the unit.")
    gross: float = Field(description="With waste, in the unit.")
    unit: str = Field(description="Unit of net and gross.")
    packages: int = Field(ge=0, description="Whole packages to buy.")
    package: str = Field(description="How it is sold.")
    why: str = Field(description="How the number was reached.")
    sundry: bool = Field(description="Charged only where the price book has it.")


class OrderRow(OutputModel):
    """One kind of sheet to order, with its hand and finished edges."""

    sheet: str = Field(description="Name of the stock sheet.")
    width: Printed
    height: Printed
    finished: tuple[str, ...] = Field(description="Factory finished edges, as seen from the room.")
    hand: Hand = Field(description="Side of its finished outer edge; none: either.")
    quantity: int = Field(ge=1, description="Sheets to order.")
    panels: tuple[str, ...] = Field(description="Panels cut from it.")
    released: bool = Field(description="Whether all of them are released.")
    price: Decimal | None = Field(description="For one sheet; null: not known.")


class PriceRow(OutputModel):
    """One line of the price."""

    item: str = Field(description="What is paid for.")
    quantity: int = Field(description="How many.")
    unit_price: Decimal = Field(description="For one.")
    low: Decimal = Field(description="Least amount.")
    high: Decimal = Field(description="Greatest amount; equals low where the quantity is certain.")
    why: str = Field(description="Where the quantity comes from.")
    kind: str = Field(description="sheet, material, labour, unseen, change or tax.")


class PriceTable(OutputModel):
    """The price: one figure when every panel is released, else a range."""

    currency: str = Field(description="Of every amount.")
    lines: tuple[PriceRow, ...]
    low: Decimal = Field(description="Sum of the least amounts.")
    high: Decimal = Field(description="Sum of the greatest amounts.")
    figure: Decimal | None = Field(description="The one price; null: a range.")
    unpriced: tuple[str, ...] = Field(description="Items that the price book lacks.")
    book: str = Field(description="The price book used.")
    book_version: str = Field(description="Its stated version and the start of its SHA-256.")
    cost_low: Decimal | None = Field(description="Least cost, before markup, tax and changes.")
    cost_high: Decimal | None = Field(description="Greatest cost, likewise.")
    drivers: tuple[str, ...] = Field(description="What makes the range, the widest first.")
    offered: tuple[OfferedRow, ...] = Field(description="Changes not signed, not in the price.")
    valid_days: int = Field(description="How long the price holds.")


class WarningRow(OutputModel):
    """Something a person must look at; the code is stable."""

    code: str = Field(description="Stable, documented code.")
    text: str = Field(description="What was found.")
    wall: WallName | None = Field(description="Wall that it concerns; null: all.")
    do: str = Field(description="What the shop does about it; empty: no more than the text.")


class PanelsFile(OutputModel):
    """What `tapeproof panels` writes as panels.json. Money is text, lengths carry their unit."""

    job: str = Field(description="Name of the job.")
    scope: str = Field(description="What the panels go over.")
    practice: str = Field(description="The shop practice used.")
    released: bool = Field(description="Whether every panel is released.")
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
    cutting: CuttingRow | None = Field(description="Null where no sheet holds any panel.")
    top: TopRow | None = Field(description="Null where the floor is not known.")
    layout: LayoutRow | None = Field(description="Null on plain sheets.")
    corners: tuple[CornerRow, ...]
    ends: tuple[EndRow, ...]
    flatness: tuple[FlatSpotRow, ...]
    blocking: tuple[BlockingRow, ...]
    way_in: tuple[WayInRow, ...]
    openings: tuple[OpeningRow, ...]
