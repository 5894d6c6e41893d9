"""The parts of PLAN.json: walls by their stations, pattern, stock, fixtures."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from service.files.shape import FilePath, InputModel, LengthText, Name

WallName = Literal["back", "plumbing", "far end"]


def _money(value: object) -> Decimal:
    try:
        return Decimal(value if isinstance(value, str | Decimal) else "")
    except InvalidOperation:
        raise ValueError('expected an amount of money in quotes, such as "129.50"') from None


Money = Annotated[
    Decimal,
    BeforeValidator(_money),
    Field(ge=0, max_digits=12, decimal_places=2, description="Amount, in quotes."),
]
_DIMENSION = "Name of the report's dimension that this size is; the value may then be left out."
_Dimension = Annotated[Name | None, Field(default=None, description=_DIMENSION)]


class Job(InputModel):
    """What is planned, and over which walls."""

    name: Name
    scope: Name = Field(description="over tile, strip tile, or down to studs.")


class DeckHeight(InputModel):
    """Level line down to the deck at one place along the wall."""

    at: LengthText = Field(description="From the plumb line, left negative.")
    value: LengthText | None = None
    dimension: _Dimension = None


class Offset(InputModel):
    """Plumb line to the corner at one height."""

    down: LengthText = Field(description="Below the level line.")
    value: LengthText | None = None
    surface: Name | None = Field(
        default=None, description="What it was taken to: tile, plaster, finished."
    )
    dimension: _Dimension = None


class Surface(InputModel):
    """A band of the wall, and how far it stands out of the plane behind it."""

    from_down: LengthText = Field(description="Upper end, below the level line.")
    to_down: LengthText | None = Field(default=None, description="Lower end; null: to the deck.")
    proud: LengthText = Field(description="How far it stands out.")
    do: Literal["keep", "strip", "pack"]


class Outer(InputModel):
    """The outer end of an end wall."""

    from_plumb: LengthText | None = Field(
        default=None, description="Plumb line to the finished outer edge."
    )
    finish: Literal["return", "trim under", "trim over"] = Field(
        description="Turned edge over the tile edge; trim fixed under the panel; trim over it."
    )
    dimension: _Dimension = None


class Fixture(InputModel):
    """A pipe or valve that comes through the panel."""

    name: Name
    from_plumb: LengthText | None = Field(
        default=None,
        description="From the plumb line, left negative on the back wall; towards "
        "the room on end walls.",
    )
    down: LengthText | None = Field(default=None, description="Below the level line.")
    hole: LengthText = Field(description="Diameter of the hole it needs.")
    dimension: _Dimension = None
    down_dimension: Name | None = Field(
        default=None, description="Name of the report's dimension that `down` is."
    )


class PlanWall(InputModel):
    """One wall, by readings, by measure reports, or both."""

    wall: WallName
    reports: tuple[FilePath, ...] = Field(default=(), description="Reports of tapeproof measure.")
    hold_down: LengthText | None = Field(
        default=None, description="Level line below the finished top; default: the practice's."
    )
    line_to_deck: tuple[DeckHeight, ...] = ()
    left: tuple[Offset, ...] = ()
    right: tuple[Offset, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    outer: Outer | None = None
    fixtures: tuple[Fixture, ...] = ()


class Top(InputModel):
    """Where the panels end above."""

    above_line: LengthText | None = Field(
        default=None, description="Finished top above the level line; default: the hold-down."
    )
    to_ceiling: bool = False


class Pattern(InputModel):
    """Simulated tile."""

    tile: tuple[LengthText, LengthText] = Field(description="Width, height.")
    joint: LengthText
    course: Literal["stacked", "half offset"] = "stacked"


class Stock(InputModel):
    """A sheet that can be had."""

    name: Name
    size: tuple[LengthText, LengthText] = Field(description="Width, height.")
    finished: tuple[Literal["top", "left", "right", "bottom"], ...] = Field(
        default=(), description="Factory finished edges as seen from the room."
    )
    price: Money | None = None
