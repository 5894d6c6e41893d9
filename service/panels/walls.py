"""What the panel calculator takes in: the walls of an alcove as measured, mm.

Frames, as read on the wall seen from the room: `down` is below the level line, `at` is from the
plumb line, left negative. On an end wall `Fixture.from_plumb` and `Outer.from_plumb` run from the
plumb line towards the finished outer edge; on the back wall `Fixture.from_plumb` is positive to
the right.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.panels.model import Hand, WallName
from service.panels.places import Tub

Surface = Literal["tile", "bare", "finished", "hung"]
Treatment = Literal["keep", "strip", "pack"]
Finish = Literal["return", "trim under", "trim over"]
Side = Literal["left", "right"]
Bonding = Literal["tape and bead", "full spread", "beads only"]
ObstacleKind = Literal["soffit", "pony wall", "seat", "curb", "ledge"]
FixtureKind = Literal[
    "pipe", "grab bar", "accessory", "receptacle", "seat", "door rail", "door jamb"
]


@dataclass(frozen=True)
class Given:
    """A size with what stands behind it.

    Attributes
    ----------
    name : str
        How messages call it: `back left 16`.
    mm : float
    u_mm : float
        Standard uncertainty, mm.
    why_not : str
        Why it may not be cut by; empty exactly when it is proved.
    do : str
        What would let it go.
    proof, note : str
        What proves it, and what prints with it.
    dimension : str
        The report's dimension behind it; empty where there is none.
    taped, corrected : tuple of str
        Its readings in words, each with who took it: those that stand, and those taken again.
    shared : tuple of (cause, mm)
        Parts of that uncertainty that are the same error in every size with the same cause, signed.
    """

    name: str
    mm: float
    u_mm: float
    why_not: str
    do: str = ""
    proof: str = ""
    note: str = ""
    dimension: str = ""
    taped: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()
    shared: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Station:
    """A reading at a place: `surface` is what the tape touched.

    `finished` means the plane that the sheet will lie on, `hung` the face of the back panel as it
    hangs; None, whatever is there.
    """

    at_mm: float
    value: Given
    surface: Surface | None = None


@dataclass(frozen=True)
class Region:
    """A band of a wall, from one depth below the level line to another (None: to the bottom).

    `proud_mm` is how far its face stands in front of the bare wall.
    """

    from_down_mm: float
    to_down_mm: float | None
    proud_mm: float
    do: Treatment


@dataclass(frozen=True)
class Fixture:
    """A pipe, valve or other thing that comes through the panel.

    `hole_mm` is a hole diameter given outright; else it comes from `guard_mm` (a valve's plaster
    guard) or `pipe_mm` (outside diameter). `plate_mm` is the plate or flange that covers it.
    `datum_mm` is from the wall face to the valve's reference, `nipple_mm` how far a nipple stands
    out of the wall face. `kind` tells what must be blocked behind or kept out of a wet zone; a bar,
    rail or seat has its middle at its place and is `length_mm` long; a door jamb is as high and
    `plate_mm` wide. `box_mm` is the width and height of a receptacle's or switch's box, its middle
    at its place, `plate_box_mm` those of its cover plate.
    """

    name: str
    from_plumb: Given
    down: Given
    hole_mm: float | None = None
    pipe_mm: float | None = None
    guard_mm: float | None = None
    plate_mm: float | None = None
    from_corner_mm: float | None = None
    datum_mm: float | None = None
    nipple_mm: float | None = None
    kind: FixtureKind = "pipe"
    length_mm: float | None = None
    box_mm: tuple[float, float] | None = None
    plate_box_mm: tuple[float, float] | None = None

    @property
    def round(self) -> bool:
        """Whether a round hole is cut for it."""
        return any(mm is not None for mm in (self.hole_mm, self.pipe_mm, self.guard_mm))

    @property
    def pierces(self) -> bool:
        """Whether it comes through the sheet; what is only screwed on needs blocking instead."""
        return self.round or self.box_mm is not None


@dataclass(frozen=True)
class Outer:
    """How an end wall ends: its finished outer edge, from the plumb line outwards.

    What it must cover (paint scar) and clear (door casing), and an outside corner that it may not
    pass, are from the plumb line outwards too; the tile edge is the wall's off-side stations.
    `taped` is the size that the edge was put at; None where the edge was chosen and agreed.
    """

    from_plumb_mm: float
    finish: Finish = "return"
    scar_mm: float | None = None
    casing_mm: float | None = None
    outside_corner_mm: float | None = None
    taped: Given | None = None


@dataclass(frozen=True)
class Gap:
    """One finding of the straightedge: a hump or hollow of `gap_mm` at a place on the wall."""

    at_mm: float
    down_mm: float
    gap_mm: float
    kind: Literal["hump", "hollow"]


@dataclass(frozen=True)
class Window:
    """A window or niche inside the alcove: its opening, from the plumb line and the level line.

    `left` and `right` are places from the plumb line, left negative; `depth_mm` from the finished
    plane to the window frame or the niche's back, `fall_mm` how much the sill falls into the
    alcove over that depth.
    """

    name: str
    left: Given
    right: Given
    head: Given
    sill: Given
    depth_mm: float
    fall_mm: float = 0.0
    kind: Literal["window", "niche"] = "window"


@dataclass(frozen=True)
class Obstacle:
    """What stands out of a wall and is no part of the panel, which is cut round it.

    `left` and `right` are from the plumb line, left negative, `head` and `foot` from the level
    line down; None where it runs on past the panel: into a corner, past the outer edge, up to the
    ceiling, down to the floor. `depth_mm` is how far it stands out; None leaves it uncovered.
    """

    name: str
    kind: ObstacleKind
    left: Given | None = None
    right: Given | None = None
    head: Given | None = None
    foot: Given | None = None
    depth_mm: float | None = None

    @property
    def sizes(self) -> tuple[Given, ...]:
        """The sizes that stand behind its sides."""
        return tuple(s for s in (self.left, self.right, self.head, self.foot) if s is not None)


@dataclass(frozen=True)
class LowTop:
    """The top of a wall that is lower than the others, such as a pony wall: line down to it."""

    down: Given
    thickness_mm: float


@dataclass(frozen=True)
class TubFront:
    """The front of the tub beside which an end panel's leg runs down to the floor.

    `at_deck` and `at_floor` are from the plumb line outwards; `line_to_floor` from the level line
    to the floor there.
    """

    at_deck: Given
    at_floor: Given | None
    line_to_floor: Given


@dataclass(frozen=True)
class WallShape:
    """One wall as measured.

    `left` and `right` are offsets from the plumb line, as seen from the room. On an end wall the
    side `corner` runs to the back corner and the other side to the tile edge. `ceiling` are
    heights above the level line where the ceiling slopes; `low_top` where the wall is a low one.
    """

    wall: WallName
    line_to_deck: tuple[Station, ...]
    left: tuple[Station, ...]
    right: tuple[Station, ...]
    surfaces: tuple[Region, ...] = ()
    corner: Side | None = None
    outer: Outer | None = None
    tub_front: TubFront | None = None
    fixtures: tuple[Fixture, ...] = ()
    flatness: tuple[Gap, ...] = ()
    windows: tuple[Window, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    ceiling: tuple[Station, ...] = ()
    low_top: LowTop | None = None


@dataclass(frozen=True)
class Top:
    """The finished top: `above_line_mm` is the hold-down, or the ceiling's height above the line.

    `band_mm` is the agreed band of tops above the floor, `line_above_floor_mm` the level line
    above the floor datum, `drain_below_line_mm` the drain's outlet below the level line. A `trim`
    along the top is mitred to the uprights.
    """

    above_line_mm: float
    to_ceiling: bool = False
    line_above_floor_mm: float | None = None
    band_mm: tuple[float, float] | None = None
    drain_below_line_mm: float | None = None
    finish: Literal["return", "trim"] = "return"


@dataclass(frozen=True)
class Pattern:
    """Simulated tile: width and height of one tile, joint width.

    `centre` says what stands on the centre of the back sheet; `free` leaves it to the layout.
    """

    tile_mm: tuple[float, float]
    joint_mm: float
    course: Literal["stacked", "half offset"] = "stacked"
    centre: Literal["free", "tile", "joint"] = "free"


@dataclass(frozen=True)
class StockSheet:
    """A sheet that can be ordered; width x height as it stands, `finished` edges as seen.

    `printed` is where its pattern starts full: at a side, or centred; None prints it to suit, which
    is from its one finished side, or else centred. Sheets of one `lot` match in colour.
    """

    name: str
    width_mm: float
    height_mm: float
    finished: tuple[Literal["top", "left", "right", "bottom"], ...] = ()
    price: Decimal | None = None
    printed: Literal["left", "right", "centre"] | None = None
    lot: str = ""

    @property
    def hand(self) -> Hand:
        """The hand of a sheet with one finished side."""
        sides = [edge for edge in self.finished if edge in ("left", "right")]
        if len(sides) != 1:
            return "none"
        return "left" if sides[0] == "left" else "right"


@dataclass(frozen=True)
class Hall:
    """A turn on the way in: from a passage of one clear width into another, mm."""

    from_mm: float
    into_mm: float
    name: str = "corner"


@dataclass(frozen=True)
class Opening:
    """The opening between the end walls at the tub front, at one height below the level line."""

    down_mm: float
    width_mm: float


@dataclass(frozen=True)
class Change:
    """A change order: its price, negative for a credit, and whether the customer has signed it."""

    name: str
    amount: Decimal
    signed: bool


@dataclass(frozen=True)
class Alcove:
    """The whole job, as the calculator takes it.

    `judged_apart` are the walls whose sizes were not held against those of every other wall.
    """

    name: str
    scope: str
    walls: tuple[WallShape, ...]
    top: Top
    pattern: Pattern | None = None
    stock: tuple[StockSheet, ...] = ()
    opening_mm: float | None = None
    openings: tuple[Opening, ...] = ()
    halls: tuple[Hall, ...] = ()
    accessible: bool = False
    tub: Tub = "stays"
    bonding: Bonding = "tape and bead"
    changes: tuple[Change, ...] = ()
    judged_apart: tuple[WallName, ...] = ()

    def wall(self, name: WallName) -> WallShape | None:
        """The wall of this name, if it is part of the job."""
        return next((shape for shape in self.walls if shape.wall == name), None)
