"""The parts of PLAN.json: walls by their stations, pattern, stock, fixtures."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from service.files.plan_points import EdgePoints
from service.files.plan_shapes import CeilingHeight, LowTopPart, ObstaclePart
from service.files.shape import FilePath, InputModel, LengthText, Name
from service.files.sized import DimensionName, Sized

WallName = Literal["back", "plumbing", "far end"]


def _money(value: object) -> Decimal:
    try:
        return Decimal(value if isinstance(value, str | Decimal) else "")
    except InvalidOperation:
        raise ValueError('expected an amount of money in quotes, such as "129.50"') from None


def _signed_money(value: object) -> Decimal:
    amount = _money(value)
    if amount.is_nan() or abs(amount) > 10**10 or amount != round(amount, 2):
        raise ValueError('expected an amount of money in quotes, such as "-45.00"')
    return amount


SignedMoney = Annotated[
    Decimal,
    BeforeValidator(_signed_money),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": r"^-?[0-9]{1,10}(\.[0-9]{1,2})?$",
            "description": "Amount of money, in quotes; negative for a credit.",
        }
    ),
]
Money = Annotated[
    Decimal,
    BeforeValidator(_money),
    Field(ge=0, max_digits=12, decimal_places=2),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": r"^[0-9]{1,10}(\.[0-9]{1,2})?$",
            "description": "Amount of money, in quotes.",
        }
    ),
]


class Job(InputModel):
    """What is planned, and over which walls."""

    name: Name = Field(description="Printed on every page.")
    scope: Name = Field(description="over tile, strip tile, or down to studs.")
    tub: Literal["stays", "new", "base", "floor"] = Field(
        default="stays",
        description="What becomes of the tub; it moves the hours. `floor` is a bare floor, with "
        "neither tub nor base.",
    )
    accessible: bool = Field(
        default=False, description="Whether bars and controls are held to 2010 ADA 607 to 609."
    )
    bonding: Literal["tape and bead", "full spread", "beads only"] = Field(
        default="tape and bead", description="The shop's bonding schedule."
    )


class DeckHeight(InputModel):
    """Level line down to the deck at one place along the wall."""

    at: LengthText = Field(description="From the plumb line, left negative.")
    value: LengthText | None = None
    dimension: DimensionName = None


class Offset(InputModel):
    """Plumb line to the corner at one height."""

    down: LengthText = Field(description="Below the level line.")
    value: LengthText | None = None
    surface: Name | None = Field(
        default=None,
        description="What it was taken to: tile, plaster, finished, or hung: the face of the back "
        "panel as it hangs.",
    )
    dimension: DimensionName = None


class Surface(InputModel):
    """A band of the wall, and how far it stands out of the plane behind it."""

    from_down: LengthText = Field(description="Upper end, below the level line.")
    to_down: LengthText | None = Field(default=None, description="Lower end; null: to the deck.")
    proud: LengthText = Field(description="How far it stands out.")
    do: Literal["keep", "strip", "pack"] = Field(
        description="Leave it, take it off, or pack the wall behind out flush with it."
    )


class Outer(InputModel):
    """The outer end of an end wall."""

    from_plumb: LengthText | None = Field(
        default=None, description="Plumb line to the finished outer edge."
    )
    finish: Literal["return", "trim under", "trim over"] = Field(
        description="Turned edge over the tile edge; trim fixed under the panel; trim over it."
    )
    dimension: DimensionName = None
    paint_scar: LengthText | None = Field(
        default=None, description="Plumb line to the paint scar that the edge must cover."
    )
    casing: LengthText | None = Field(
        default=None, description="Plumb line to the door casing that the edge must clear."
    )
    outside_corner: LengthText | None = Field(
        default=None, description="Plumb line to an outside corner that the edge may not pass."
    )


class Fixture(InputModel):
    """A pipe or valve that comes through the panel."""

    name: Name = Field(description="A name of its own, printed beside the hole.")
    from_plumb: LengthText | None = Field(
        default=None,
        description="From the plumb line, left negative on the back wall; towards "
        "the room on end walls.",
    )
    down: LengthText | None = Field(default=None, description="Below the level line.")
    hole: LengthText | None = Field(
        default=None, description="Diameter of the hole it needs; default: by guard or pipe."
    )
    pipe: LengthText | None = Field(default=None, description="Outside diameter of the pipe.")
    guard: LengthText | None = Field(default=None, description="Across a valve's plaster guard.")
    plate: LengthText | None = Field(
        default=None, description="Across the plate or flange that covers the hole."
    )
    from_corner: LengthText | None = Field(
        default=None, description="From the back corner, as taped; printed beside the plan's own."
    )
    face_to_datum: LengthText | None = Field(
        default=None, description="Wall face to the valve's reference face."
    )
    nipple_out: LengthText | None = Field(
        default=None, description="How far the nipple stands out of the wall face."
    )
    dimension: DimensionName = None
    down_dimension: Name | None = Field(
        default=None, description="Name of the report's dimension that `down` is."
    )
    kind: Literal[
        "pipe", "grab bar", "accessory", "receptacle", "seat", "door rail", "door jamb"
    ] = Field(
        default="pipe",
        description="A bar, seat, rail, jamb or accessory is blocked behind; a receptacle kept out "
        "of the wet zone; none of these needs a hole.",
    )
    box: tuple[LengthText, LengthText] | None = Field(
        default=None,
        description="Width and height of a receptacle's or switch's box, its middle at its place: "
        "a rectangular hole is cut for it.",
    )
    plate_box: tuple[LengthText, LengthText] | None = Field(
        default=None, description="Width and height of the cover plate over the box."
    )
    length: LengthText | None = Field(
        default=None, description="Length of a bar, seat, rail or jamb, its middle at its place."
    )


class TubFront(InputModel):
    """The front of the tub, beside which an end panel's leg runs down to the floor."""

    at_deck: Sized = Field(description="Plumb line to the tub front, at the deck.")
    at_floor: Sized | None = Field(default=None, description="The same at the floor.")
    line_to_floor: Sized = Field(description="Level line down to the floor at the tub front.")


class FlatGap(InputModel):
    """A hump or hollow under the straightedge."""

    at: LengthText = Field(description="From the plumb line, left negative.")
    down: LengthText = Field(description="Below the level line.")
    gap: LengthText = Field(description="How high it stands or how deep it lies.")
    kind: Literal["hump", "hollow"] = Field(description="Which of the two.")


class WindowPart(InputModel):
    """A window or niche inside the alcove: its opening as it is finished now."""

    kind: Literal["window", "niche"] = Field(
        default="window", description="A niche has a back of sheet instead of a frame."
    )
    name: Name = Field(description="A name of its own.")
    left: Sized = Field(description="Plumb line to its left side, left negative.")
    right: Sized = Field(description="Plumb line to its right side, left negative.")
    head: Sized = Field(description="Level line down to its head.")
    sill: Sized = Field(description="Level line down to its sill.")
    depth: LengthText = Field(
        description="Finished plane to the window frame, or to the niche's back."
    )
    fall: LengthText = Field(default="0", description="Fall of the sill over that depth.")


class PlanWall(InputModel):
    """One wall, by readings, by measure reports, or both."""

    wall: WallName = Field(
        description="back, the long one; plumbing or far end, an end wall; seen from the room."
    )
    reports: tuple[FilePath, ...] = Field(
        default=(),
        description="Its reports: of tapeproof check, where the walls judge each other, or of "
        "tapeproof measure, where each is judged by itself.",
    )
    hold_down: LengthText | None = Field(
        default=None, description="Level line below the finished top; default: the practice's."
    )
    line_to_deck: tuple[DeckHeight, ...] = ()
    left: tuple[Offset, ...] = ()
    right: tuple[Offset, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    corner: Literal["left", "right"] | None = Field(
        default=None,
        description="Side of an end wall's back corner, as seen from the room; default: the side "
        "whose offsets are not the outer edge's.",
    )
    outer: Outer | None = Field(default=None, description="For end walls.")
    tub_front: TubFront | None = Field(default=None, description="For end walls.")
    fixtures: tuple[Fixture, ...] = ()
    flatness: tuple[FlatGap, ...] = Field(default=(), description="What the straightedge found.")
    windows: tuple[WindowPart, ...] = Field(default=(), description="Windows inside the alcove.")
    obstacles: tuple[ObstaclePart, ...] = Field(
        default=(), description="Soffits, seats, curbs, ledges and pony walls to cut round."
    )
    ceiling: tuple[CeilingHeight, ...] = Field(
        default=(), description="A sloped ceiling, at two places or more; beside top.to_ceiling."
    )
    points: EdgePoints | None = Field(
        default=None, description="Marks of the reports that lie on the wall's edges."
    )
    low_top: LowTopPart | None = Field(
        default=None, description="For an end wall that is lower than the others."
    )


class Top(InputModel):
    """Where the panels end above."""

    above_line: LengthText | None = Field(
        default=None, description="Finished top above the level line; default: the hold-down."
    )
    to_ceiling: bool = Field(default=False, description="Whether the panels meet the ceiling.")
    line_above_floor: LengthText | None = Field(
        default=None, description="Level line above the floor; the code's least top needs it."
    )
    band: tuple[LengthText, LengthText] | None = Field(
        default=None, description="Lowest and highest agreed top, above the floor."
    )
    drain_below_line: LengthText | None = Field(
        default=None, description="Level line down to the drain; the code's least top needs it."
    )
    finish: Literal["return", "trim"] = Field(
        default="return", description="Turned edge, or a trim mitred to the uprights."
    )


class Pattern(InputModel):
    """Simulated tile."""

    tile: tuple[LengthText, LengthText] = Field(description="Width, height.")
    joint: LengthText
    course: Literal["stacked", "half offset"] = Field(
        default="stacked", description="How one course stands on the next."
    )
    centre: Literal["free", "tile", "joint"] = Field(
        default="free", description="What is printed on the centre of a back sheet."
    )


class Stock(InputModel):
    """A sheet that can be had."""

    name: Name = Field(description="A name of its own.")
    size: tuple[LengthText, LengthText] = Field(description="Width, height.")
    finished: tuple[Literal["top", "left", "right", "bottom"], ...] = Field(
        default=(), description="Factory finished edges as seen from the room."
    )
    price: Money | None = None
    printed: Literal["left", "right", "centre"] | None = Field(
        default=None,
        description="Where its printed pattern starts with a whole tile; null: printed to suit.",
    )
    lot: str = Field(default="", max_length=100, description="Sheets of one lot match in colour.")


class HallTurn(InputModel):
    """A turn on the way in, from one passage into another."""

    name: Name = Field(default="corner", description="Printed in the verdict.")
    from_width: LengthText = Field(description="Clear width of the passage before the turn.")
    into_width: LengthText = Field(description="Clear width of the passage after it.")


class FrontOpening(InputModel):
    """The opening between the end walls at the tub front, at one height."""

    down: LengthText = Field(description="Below the level line.")
    value: LengthText = Field(description="Wall to wall.")


class ChangeOrder(InputModel):
    """A change to what was agreed."""

    name: Name = Field(description="What is changed.")
    amount: SignedMoney
    signed: bool = Field(default=False, description="Signed ones are in the price.")
