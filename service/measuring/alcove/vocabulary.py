"""Named sizes of an alcove: which wall, between which points and lines, to which surface.

Frames, as read on a wall from the room: ``down`` is below the level line, ``at`` is from the plumb
line, left negative. The back wall has a left and a right side; an end wall has an inner side (its
back corner) and an outer one (tile edge, tub front).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from service.measuring.instruments import MM_PER_INCH


class Role(StrEnum):
    """What a size is of; the value is the word in a wall file."""

    OFFSET = "offset"
    """Plumb line to the corner or edge of a side, level."""
    WIDTH = "width"
    """Corner to corner, or corner to tile edge, level."""
    HEIGHT = "height"
    """Level line to the deck."""
    DIAGONAL = "diagonal"
    """From a side at one height to the other side at another, or to the deck there."""
    FIXTURE_FROM_PLUMB = "fixture from plumb"
    FIXTURE_FROM_CORNER = "fixture from corner"
    FIXTURE_DOWN = "fixture down"
    """Level line down to the fixture."""
    FIXTURE_ABOVE_DECK = "fixture above deck"
    TUB_FRONT = "tub front"
    """Plumb line to the front of the tub, at the deck."""
    LINE_TO_FLOOR = "line to floor"
    """At the tub front, as the next one."""
    DECK_TO_FLOOR = "deck to floor"
    LINE_TO_CEILING = "line to ceiling"
    FLOOR_TO_CEILING = "floor to ceiling"
    CORNER_DIAGONAL = "corner diagonal"
    """Across a back corner in plan, between marks 24 in along each wall."""
    OPENING = "opening"
    """Between the end walls at the tub front, level."""
    DEPTH = "depth"
    """Back wall to the line on which the opening is taken."""
    PLAN_DIAGONAL = "plan diagonal"
    """Back corner of a side to the other end wall where the opening is taken."""
    TILE_TOP = "tile top"
    """Level line down to the top of the tile, in the corner of a side."""
    COURSES = "courses"
    """All whole courses together; or, with a count, one course, tile and joint."""
    CUT_ROW = "cut row"
    """The cut course at the deck."""
    STEP = "step"
    """How far the tile stands proud of the plaster, in the corner of a side."""


class Side(StrEnum):
    """The side of a wall as seen; of an end wall also its back corner and its tile edge."""

    LEFT = "left"
    RIGHT = "right"
    INNER = "inner"
    OUTER = "outer"
    FRONT = "front"
    """Of a height: at the tub front."""


class Surface(StrEnum):
    """What the tape touched."""

    TILE = "tile"
    BARE = "bare"
    HUNG = "hung"
    """The face of a sheet that hangs already."""


OPPOSITE: Final = {
    Side.LEFT: Side.RIGHT,
    Side.RIGHT: Side.LEFT,
    Side.INNER: Side.OUTER,
    Side.OUTER: Side.INNER,
}


@dataclass(frozen=True, slots=True)
class Size:
    """One size of an alcove.

    Attributes
    ----------
    name
        Of the dimension that readings are taken of.
    wall
        ``back``, or an end wall by its name.
    role
        What it is of.
    side
        Of an offset, a diagonal (where it starts), a corner diagonal, a height in a corner.
    down_mm
        Height below the level line at which it is taken; of a diagonal, where it starts.
    at_mm
        Of a height: place along the wall, from the plumb line.
    to_down_mm
        Of a diagonal: height at which it ends; None is the deck.
    surface
        What its tape touches; None where nobody said.
    fixture
        Name of the pipe or valve.
    count
        Whole courses of tile.
    """

    name: str
    wall: str
    role: Role
    side: Side | None = None
    down_mm: float | None = None
    at_mm: float | None = None
    to_down_mm: float | None = None
    surface: Surface | None = None
    fixture: str | None = None
    count: int | None = None


@dataclass(frozen=True, slots=True)
class WallSizes:
    """The sizes of one wall.

    ``corner`` is the side, as seen, on which an end wall has its back corner; None for the back
    wall. An end wall with its corner on the right stands on the left of the back wall.
    """

    wall: str
    sizes: tuple[Size, ...]
    corner: Side | None = None

    @property
    def meets(self) -> Side | None:
        """The side of the back wall that this end wall stands on."""
        return None if self.corner is None else OPPOSITE[self.corner]

    def of(self, role: Role, **fields: object) -> list[Size]:
        """Its sizes of one role whose named fields have these values."""
        return [
            size
            for size in self.sizes
            if size.role is role and all(getattr(size, k) == v for k, v in fields.items())
        ]


@dataclass(frozen=True, slots=True)
class Room:
    """How far a real alcove keeps to its equations: standard uncertainties, mm.

    Half-widths behind them (common practice): wall edges bow 1/8 in between stations, a rim 1/16,
    the level line closes within 1/16, tile varies 1/16 in thickness, a bed is 1/8 to 3/8.

    Attributes
    ----------
    definition_u_mm
        Two readings at one station are not at quite the same height.
    wall_straight_u_mm, deck_straight_u_mm
        A point of an edge against the line through its neighbours.
    level_u_mm
        The level line on one wall against the next.
    step_mm, step_u_mm
        Tile proud of plaster where no step was measured.
    build_up_mm, build_up_u_mm
        Sheet and bed, where a hung face is measured.
    joint_mm, joint_u_mm
        Joint under the lowest course of tile.
    plan_u_mm
        An end wall's angle at the back corner, carried out to the tub front.
    leg_mm
        Along each wall from a back corner to the marks of the corner diagonal.
    """

    definition_u_mm: float = 0.3
    wall_straight_u_mm: float = MM_PER_INCH / 8 / 3**0.5
    deck_straight_u_mm: float = MM_PER_INCH / 16 / 3**0.5
    level_u_mm: float = MM_PER_INCH / 16 / 3**0.5
    step_mm: float = 0.375 * MM_PER_INCH
    step_u_mm: float = MM_PER_INCH / 16 / 3**0.5
    build_up_mm: float = 0.25 * MM_PER_INCH
    build_up_u_mm: float = MM_PER_INCH / 8 / 3**0.5
    joint_mm: float = MM_PER_INCH / 8
    joint_u_mm: float = MM_PER_INCH / 16 / 3**0.5
    plan_u_mm: float = MM_PER_INCH / 8 / 3**0.5
    leg_mm: float = 24 * MM_PER_INCH


USUAL_ROOM: Final = Room()
