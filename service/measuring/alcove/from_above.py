"""The alcove seen from above: its walls in plan, and where the sizes lie that lie on no wall.

Frame: x right along the back wall from its left corner, y from the back wall out into the room, mm.
It is drawn by sizes as they were read, never by what is expected of them; where nothing is taped,
as an ordinary alcove (common practice: 60 x 30 in, square).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.alcove.placing import Ends, Place
from service.measuring.alcove.square import Corner
from service.measuring.alcove.vocabulary import (
    OPPOSITE,
    USUAL_ROOM,
    Role,
    Room,
    Side,
    Size,
    WallSizes,
)
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH

IN_PLAN: Final = (Role.OPENING, Role.DEPTH, Role.CORNER_DIAGONAL, Role.PLAN_DIAGONAL)
_USUAL_WIDTH_MM: Final = 60 * MM_PER_INCH
_USUAL_DEPTH_MM: Final = 30 * MM_PER_INCH
_MOST_COSINE: Final = math.sin(math.radians(10))
"""A slip in a corner's diagonal must not fold the drawing up."""


@dataclass(frozen=True, slots=True)
class FromAbove:
    """An alcove in plan.

    Attributes
    ----------
    outline
        Left front, left back corner, right back corner, right front.
    ends
        The two ends of every size in plan, by name, taped or not.
    usual
        What of it nothing taped tells: ``width``, ``depth``, ``left corner``, ``right corner``.
    """

    outline: tuple[Place, Place, Place, Place]
    ends: Mapping[str, Ends]
    usual: tuple[str, ...]


def from_above(
    walls: Sequence[WallSizes], taped: Mapping[str, float], room: Room = USUAL_ROOM
) -> FromAbove | None:
    """The alcove in plan, or None where no wall has a size in plan.

    Parameters
    ----------
    walls
        With their sizes, which have names of their own across the walls.
    taped
        Magnitudes by name, mm, of sizes that have a reading and of no others.
    """
    sizes = [size for wall in walls for size in wall.sizes if size.role in IN_PLAN]
    if not sizes:
        return None
    depth = next((taped[s.name] for s in sizes if s.role is Role.DEPTH and s.name in taped), None)
    cosines = {side: _cosine(sizes, side, taped, room) for side in (Side.LEFT, Side.RIGHT)}
    out = _USUAL_DEPTH_MM if depth is None else depth
    turned = out * sum(cosine or 0.0 for cosine in cosines.values())
    width = _width(walls, sizes, taped, turned)
    ways = {side: _way(side, cosine or 0.0) for side, cosine in cosines.items()}
    plan = _Plan(_USUAL_WIDTH_MM if width is None else width, out, ways, room.leg_mm)
    known = {"width": width, "depth": depth}
    known |= {f"{side} corner": cosine for side, cosine in cosines.items()}
    ends = {size.name: found for size in sizes if (found := plan.ends(size)) is not None}
    usual = tuple(what for what, value in known.items() if value is None)
    return FromAbove(plan.outline, ends, usual)


def out_of_square(diagonal: Estimate, room: Room = USUAL_ROOM) -> Estimate:
    """How far the end of a back corner's leg (24 in) is from square, mm, positive where the corner
    is open, by the diagonal across the ends of its two legs."""
    corner = Corner(abs(diagonal.mm), room.leg_mm)
    return Estimate(corner.off_mm, diagonal.u_mm * corner.off_slope)


@dataclass(frozen=True, slots=True)
class _Plan:
    """Four corners: the back wall's width, how far out the front is, and each end wall's way."""

    width_mm: float
    depth_mm: float
    ways: Mapping[Side, Place]
    leg_mm: float

    def back(self, side: Side) -> Place:
        return (0.0, 0.0) if side is Side.LEFT else (self.width_mm, 0.0)

    def along_end(self, side: Side, mm: float) -> Place:
        (x, y), (way_x, way_y) = self.back(side), self.ways[side]
        return x + way_x * mm, y + way_y * mm

    def front(self, side: Side) -> Place:
        return self.along_end(side, self.depth_mm)

    @property
    def outline(self) -> tuple[Place, Place, Place, Place]:
        left, right = Side.LEFT, Side.RIGHT
        return self.front(left), self.back(left), self.back(right), self.front(right)

    def ends(self, size: Size) -> Ends | None:
        if size.role is Role.OPENING:
            return self.front(Side.LEFT), self.front(Side.RIGHT)
        if size.role is Role.DEPTH:
            return (0.0, 0.0), (0.0, self.depth_mm)
        side = size.side
        if side is None or side not in self.ways:
            return None
        if size.role is Role.CORNER_DIAGONAL:
            along = self.leg_mm if side is Side.LEFT else self.width_mm - self.leg_mm
            return (along, 0.0), self.along_end(side, self.leg_mm)
        return self.back(side), self.front(OPPOSITE[side])


def _way(side: Side, cosine: float) -> Place:
    """Along an end wall out of its back corner."""
    inward = cosine if side is Side.LEFT else -cosine
    return inward, math.sqrt(1 - cosine**2)


def _cosine(
    sizes: Sequence[Size], side: Side, taped: Mapping[str, float], room: Room
) -> float | None:
    """Of the angle in a back corner, by its diagonal."""
    for size in sizes:
        if size.role is Role.CORNER_DIAGONAL and size.side is side and size.name in taped:
            cosine = Corner(taped[size.name], room.leg_mm).cosine
            return min(max(cosine, -_MOST_COSINE), _MOST_COSINE)
    return None


def _width(
    walls: Sequence[WallSizes],
    sizes: Sequence[Size],
    taped: Mapping[str, float],
    turned_mm: float,
) -> float | None:
    """Of the back wall: its lowest width, or lowest two offsets, else what the opening leaves."""
    back = next((wall for wall in walls if wall.corner is None), None)
    if back is not None and (near := list(_widths(back, taped))):
        return max(near)[1]
    for size in sizes:
        if size.role is Role.OPENING and size.name in taped:
            return taped[size.name] + turned_mm
    return None


def _widths(back: WallSizes, taped: Mapping[str, float]) -> Iterator[tuple[float, float]]:
    """Height below the level line and width there; a width that was taped stands before two
    offsets at its height."""
    for width in back.of(Role.WIDTH):
        if width.down_mm is not None and width.name in taped:
            yield width.down_mm, taped[width.name]
    widths = {width.down_mm for width in back.of(Role.WIDTH) if width.name in taped}
    rights = {s.down_mm: s.name for s in back.of(Role.OFFSET, side=Side.RIGHT) if s.name in taped}
    for left in back.of(Role.OFFSET, side=Side.LEFT):
        right = rights.get(left.down_mm)
        if left.down_mm is None or left.down_mm in widths or left.name not in taped or not right:
            continue
        yield left.down_mm, taped[left.name] + taped[right]
