"""What the panel calculator hands out: a plan of three panels, their order and their price.

Frames. `outline_mm` and every `at_mm` of a panel are in the panel's own frame, front view:
x from the panel's reference vertical (the plumb line on the back wall, positive to the right;
the finished outer edge on an end wall, positive **into the alcove corner**), y down from the
finished top. Whoever draws the front view multiplies x by `Panel.front_sign`; the back view is
its mirror image. A size carries its exact millimetres beside the text as it is printed, so that
no writer rounds for itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from service.panels.places import Edge, Hand, Point, Size, Tub, WallName

if TYPE_CHECKING:
    from decimal import Decimal

    from service.panels.cut_plan import CuttingPlan, Seam
    from service.panels.openings import NotchCut, WindowCut
    from service.panels.room import (
        Blocking,
        CornerJoints,
        EndAdvice,
        FinishedOpening,
        FlatSpot,
        Layout,
        Scribe,
        TopAdvice,
        WayIn,
    )
    from service.panels.sheet_release import SheetRelease, SheetSize

TopEdge = Literal["finished", "trim", "ceiling", "sloped ceiling", "cap"]
"""How a panel ends above: turned, under a trim, at a level or a sloped ceiling, under a cap."""

__all__ = ["Edge", "Hand", "Point", "Size", "WallName"]


@dataclass(frozen=True)
class Mark:
    """One layout mark, in the order it is made.

    Attributes
    ----------
    order : int
        1 for the first mark made on this panel.
    edge : Edge
        The edge this mark is a point of; `notch` is a corner cut round a soffit, seat or the like.
    station : Size
        Where the mark is measured: y from the finished top for `left`, `right`, `inner` and
        `leg`; x from the reference vertical for `bottom`.
    value : Size
        What is measured there: x from the reference vertical for the sides; y from the finished
        top for `bottom` and `leg`.
    at_mm : Point
        The same mark as a point of the outline, unrounded.
    how : str
        One sentence for the cutting sheet.
    """

    order: int
    edge: Edge
    station: Size
    value: Size
    at_mm: Point
    how: str


@dataclass(frozen=True)
class Cutout:
    """A round hole, dimensioned from the finished top and the finished outer edge.

    `from_side` is x from the panel's reference vertical (outer edge on end walls, plumb line on
    the back wall); `max_diameter` is what the plate still covers, None when no plate is given.
    `valve_datum` and `nipple_out` are depths from the new face, None when not measured.
    """

    name: str
    at_mm: Point
    diameter_mm: float
    diameter: Size
    saw: str
    from_side: Size
    from_top: Size
    max_diameter: Size | None
    valve_datum: Size | None = None
    nipple_out: Size | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Return:
    """The turned edge of a panel: how deep it may be, and the step that sets it."""

    edge: Edge
    depth: Size
    why: str


@dataclass(frozen=True)
class Box:
    """The upright rectangle round a panel: what must fit on a sheet."""

    width: Size
    height: Size


@dataclass(frozen=True)
class Width:
    """Overall width at one height, rounded down."""

    down: Size
    value: Size


@dataclass(frozen=True)
class OtherSheet:
    """A kind of sheet with the edges a panel needs, and the chance that it holds the panel."""

    name: str
    chance_fits: float


@dataclass(frozen=True)
class SheetChoice:
    """The stock sheet a panel is cut from.

    `drop` is the height of the piece left below the panel, less the kerf; `chance` that the sheet
    is wide enough, given the uncertainty of the sizes, `chance_fits` that it is wide and high
    enough; `others` the same for every sheet with the edges it needs; `shared` where another panel
    is cut from it too.
    """

    name: str
    width: Size
    height: Size
    finished: tuple[str, ...]
    hand: Hand
    spare_width: Size
    spare_height: Size
    drop: Size
    chance: float
    price: Decimal | None
    chance_fits: float = 1.0
    shared: bool = False
    others: tuple[OtherSheet, ...] = ()


@dataclass(frozen=True)
class CutTile:
    """The cut tile that ends a course: `side` as on the panel, `width` at height `down`."""

    side: Edge
    down: Size
    width: Size


@dataclass(frozen=True)
class PanelPattern:
    """Simulated tile on one panel.

    Attributes
    ----------
    course_joints : tuple of Size
        Heights of the upper edge of each level joint, y from the finished top.
    column_joints : tuple of Size
        The edge with the smaller x of each upright joint, in the panel's frame.
    joint_mm : float
        Width of a joint.
    offset : Size
        Centre of the pattern from the plumb line on the back wall (negative is left); 0 on an
        end wall, where full tiles start at the outer edge.
    cuts : tuple of CutTile
        Cut widths down both sides (back) or in the corner (ends).
    bottom_courses : tuple of CutTile
        Height of the lowest course at each side; `down` is the height of its upper edge.
    other_columns : tuple of Size
        Upright joints of every second course, from the second down; empty where all are alike.
    imbalance : Size or None
        Greatest difference between the left and the right cut on the back panel.
    tried : int
        Places of the pattern that were compared.
    """

    tile: tuple[Size, Size]
    joint_mm: float
    course_joints: tuple[Size, ...]
    column_joints: tuple[Size, ...]
    offset: Size
    cuts: tuple[CutTile, ...]
    bottom_courses: tuple[CutTile, ...]
    notes: tuple[str, ...] = ()
    other_columns: tuple[Size, ...] = ()
    imbalance: Size | None = None
    tried: int = 0


@dataclass(frozen=True)
class Caution:
    """Something a person must look at; `code` is stable, `do` what the shop does about it."""

    code: str
    text: str
    wall: WallName | None = None
    do: str = ""


@dataclass(frozen=True)
class Panel:
    """One panel, ready to draw.

    `plumb_x_mm` and `level_y_mm` place the wall's plumb line and level line in the panel's frame.
    `why_not` lists what keeps an unreleased panel from the saw; empty exactly when `released`.
    """

    wall: WallName
    hand: Hand
    released: bool
    why_not: tuple[str, ...]
    outline_mm: tuple[Point, ...]
    plumb_x_mm: float
    level_y_mm: float
    marks: tuple[Mark, ...]
    widths: tuple[Width, ...]
    cutouts: tuple[Cutout, ...]
    returns: tuple[Return, ...]
    box: Box
    area_mm2: float
    sheet: SheetChoice | None
    pattern: PanelPattern | None
    notes: tuple[str, ...] = ()
    windows: tuple[WindowCut, ...] = ()
    seams: tuple[Seam, ...] = ()
    scribe: Scribe | None = None
    sizes: tuple[SheetSize, ...] = ()
    release: SheetRelease | None = None
    notches: tuple[NotchCut, ...] = ()
    top: TopEdge = "finished"

    @property
    def seam(self) -> Seam | None:
        """The first seam of a panel of more than one sheet."""
        return self.seams[0] if self.seams else None

    @property
    def front_sign(self) -> int:
        """+1 when x grows to the right in the front view, -1 when it grows to the left."""
        return -1 if self.hand == "right" else 1

    @property
    def title(self) -> str:
        """The panel as it is named wherever it is spoken of, with its hand."""
        hand = "" if self.hand == "none" else f", {self.hand} hand"
        return f"{self.wall} wall{hand}"


@dataclass(frozen=True)
class Backer:
    """A thin angle bedded in one inside corner."""

    corner: Literal["left", "right"]
    length: Size


@dataclass(frozen=True)
class Trim:
    """A trim strip along one edge of a panel; `length` to the long point of a mitre.

    `ends` are how its lower and upper end are cut, or its outer and inner end along the top.
    """

    wall: WallName
    edge: Edge
    kind: str
    length: Size
    why: str
    ends: tuple[str, str] = ("square", "square")


@dataclass(frozen=True)
class TakeoffLine:
    """One material: what is needed, in which packages, and why that number.

    `net` is before waste, `gross` after it, both in `unit`; `packages` whole packages of
    `package`. A `sundry` is charged only where the price book has it.
    """

    item: str
    net: float
    gross: float
    unit: str
    packages: int
    package: str
    why: str
    sundry: bool = False


@dataclass(frozen=True)
class OrderLine:
    """One kind of sheet to order, with its hand and finished edges."""

    sheet: str
    width: Size
    height: Size
    finished: tuple[str, ...]
    hand: Hand
    quantity: int
    panels: tuple[str, ...]
    released: bool
    price: Decimal | None


@dataclass(frozen=True)
class PriceLine:
    """One line of the price; `low` equals `high` when the quantity is certain.

    `kind` is sheet, material, labour, unseen, change or tax.
    """

    item: str
    quantity: int
    unit_price: Decimal
    low: Decimal
    high: Decimal
    why: str
    kind: str = "material"


@dataclass(frozen=True)
class Price:
    """The price: one figure when every panel is released, else a range.

    `figure` is None while any size is an estimate. `unpriced` names items the price book lacks.
    `cost_low` and `cost_high` are the shop's own, before markup, tax and changes; `drivers` what
    makes the range, the widest first; `offered` changes that are not signed and not in the price.
    """

    currency: str
    lines: tuple[PriceLine, ...]
    low: Decimal
    high: Decimal
    figure: Decimal | None
    unpriced: tuple[str, ...]
    book: str
    book_version: str = ""
    cost_low: Decimal | None = None
    cost_high: Decimal | None = None
    drivers: tuple[str, ...] = ()
    offered: tuple[PriceLine, ...] = ()
    valid_days: int = 30


@dataclass(frozen=True)
class Plan:
    """The whole plan; mirrors panels.json.

    `finished_opening` is the tub-front opening between the hung end panels, None if not measured;
    `changed_allowances` what this job's practice changed, with its source.
    """

    job: str
    scope: str
    practice: str
    released: bool
    panels: tuple[Panel, ...]
    backers: tuple[Backer, ...]
    trims: tuple[Trim, ...]
    takeoff: tuple[TakeoffLine, ...]
    order: tuple[OrderLine, ...]
    price: Price
    warnings: tuple[Caution, ...]
    finished_opening: Size | None = None
    changed_allowances: tuple[str, ...] = ()
    cutting: CuttingPlan | None = None
    top: TopAdvice | None = None
    layout: Layout | None = None
    corners: tuple[CornerJoints, ...] = ()
    ends: tuple[EndAdvice, ...] = ()
    flatness: tuple[FlatSpot, ...] = ()
    blocking: tuple[Blocking, ...] = ()
    way_in: tuple[WayIn, ...] = ()
    openings: tuple[FinishedOpening, ...] = ()
    tub: Tub = "stays"
