"""What a plan says of the room itself: top, corners, ends, flatness, blocking, the way in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service.panels.places import Edge, Size, WallName


@dataclass(frozen=True)
class TopHeight:
    """One top that could be agreed on, and what speaks against it.

    `lowest_course` is the least height of the lowest course of tile, None on a plain sheet.
    """

    above_floor: Size
    lowest_course: Size | None
    why_not: tuple[str, ...]

    @property
    def passes(self) -> bool:
        """Whether nothing speaks against it."""
        return not self.why_not


@dataclass(frozen=True)
class TopAdvice:
    """The top as planned and every top in the agreed band.

    `best` is the passing height nearest to the planned one, None where none passes.
    """

    planned: Size
    best: Size | None
    heights: tuple[TopHeight, ...]


@dataclass(frozen=True)
class EndMove:
    """Where the outer edge of one end wall may stand, and where its pattern cuts best.

    Places are from the plumb line outwards; `low` to `high` is what covers, clears and fits a
    sheet. `cut_now` and `cut` are the narrowest tile in the corner as planned and at the best.
    """

    wall: WallName
    planned: Size
    best: Size
    low: Size
    high: Size
    cut_now: Size
    cut: Size


@dataclass(frozen=True)
class Layout:
    """The best top, pattern place and outer edges together, of all that are allowed.

    `short_now` and `short` are what slivers lack of the least cut, added up over courses, back and
    ends, as planned and at the best; `imbalance` the most that left and right cuts of the back
    differ at the best. `tried` combinations were compared; none is better.
    """

    top: Size | None
    planned_top: Size | None
    ends: tuple[EndMove, ...]
    short_now: Size
    short: Size
    imbalance: Size | None
    tried: int


@dataclass(frozen=True)
class CornerJoints:
    """The level joints where the back panel and one end panel meet.

    `mismatch` is how much the end wall's joints are expected to stand lower (negative: higher)
    than the back's, from the corner's height read on both walls; `u95` the half width of a 95 %
    interval round it, from the readings and the level line's own closure.
    """

    side: Literal["left", "right"]
    wall: WallName
    heights: tuple[Size, ...]
    mismatch: Size
    u95: Size


@dataclass(frozen=True)
class Cover:
    """One thing at the outer end of an end wall that its edge must cover or clear.

    `by` is the least overlap, or the least clearance; negative where it fails.
    """

    what: str
    rule: Literal["cover", "clear"]
    by: Size
    passes: bool


@dataclass(frozen=True)
class EndAdvice:
    """How one end wall ends, and what its edge covers and clears."""

    wall: WallName
    finish: str
    how: str
    covers: tuple[Cover, ...]


@dataclass(frozen=True)
class FlatSpot:
    """One hump or hollow, and what is done about it before the sheet goes on."""

    wall: WallName
    at: Size
    down: Size
    gap: Size
    kind: Literal["hump", "hollow"]
    advice: str
    must: bool


@dataclass(frozen=True)
class Blocking:
    """Blocking that must stand in the wall before the sheet covers it.

    `from_plumb` is to the middle, `down` from the level line to the middle.
    """

    wall: WallName
    what: str
    from_plumb: Size
    down: Size
    width: Size
    height: Size
    why: str


@dataclass(frozen=True)
class WayIn:
    """Whether one kind of sheet will go round the corners on its way in.

    `longest` is the longest stiff edge that turns in the tightest corner; `verdict` says whether
    the sheet goes in whole, must be cut outside, or does not go in at all.
    """

    sheet: str
    longest: Size
    verdict: Literal["goes in", "cut outside", "does not go in"]
    why: str


@dataclass(frozen=True)
class Scribe:
    """The largest upright rectangle that goes in, and how far each edge leaves the straight.

    `width` and `height` are rounded down, without the leg beside the tub; `edges` are (edge, most
    that is scribed along it), without those that are straight.
    """

    width: Size
    height: Size
    edges: tuple[tuple[Edge, Size], ...]


@dataclass(frozen=True)
class FinishedOpening:
    """The opening at the tub front between the hung end panels, at one height."""

    down: Size
    width: Size
