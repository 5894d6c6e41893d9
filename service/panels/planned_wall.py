"""A wall on its way to a panel: its outline, its hand, what is cut into it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from service.panels.box_chance import BoxTerms
from service.panels.outline import Outline, back_outline, end_outline
from service.panels.shapes import cut_round, rise_of_mm
from service.panels.sheets import Wanted

if TYPE_CHECKING:
    from service.panels.model import Hand
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Region, Side, WallShape

_ORDER = {"back": 0, "plumbing": 1, "far end": 2}


@dataclass(frozen=True)
class PlannedWall:
    """One wall with its outline; `neighbours` are the surfaces its readings ran to."""

    shape: WallShape
    outline: Outline
    neighbours: dict[Side, tuple[Region, ...]]

    @property
    def hand(self) -> Hand:
        """The side of an end sheet's finished outer edge, as seen from the room."""
        if self.shape.corner is None:
            return "none"
        return "left" if self.shape.corner == "right" else "right"

    @property
    def title(self) -> str:
        """As the panel is named."""
        hand = "" if self.hand == "none" else f", {self.hand} hand"
        return f"{self.shape.wall} wall{hand}"

    @property
    def terms(self) -> BoxTerms:
        """What the box hangs on, for chances."""
        return BoxTerms(self.shape, self.outline)

    def wanted(self, alcove: Alcove) -> Wanted:
        """The panel as a piece to be cut from a sheet."""
        left, top, right, bottom = self.outline.box
        ceiling = alcove.top.to_ceiling or alcove.top.finish == "trim"
        ceiling = ceiling or self.shape.low_top is not None  # a cap covers its top
        needs: set[str] = set() if ceiling else {"top"}
        outer = self.shape.outer
        if self.hand != "none" and outer is not None and outer.finish == "return":
            needs.add(self.hand)
        starts = None
        if alcove.pattern is not None:
            starts = "centre" if self.hand == "none" else self.hand
        return Wanted(self.title, right - left, bottom - top, frozenset(needs), starts)


def planned_walls(alcove: Alcove, rise_mm: float, shop: Practice) -> list[PlannedWall]:
    """The walls in the order they are hung, each with its outline."""
    shapes = sorted(alcove.walls, key=lambda shape: _ORDER[shape.wall])
    walls = [_wall(shape, alcove, rise_mm, shop) for shape in shapes]
    top = max(wall.outline.level_y_mm for wall in walls)
    return [
        replace(wall, outline=replace(wall.outline, below_mm=top - wall.outline.level_y_mm))
        if wall.outline.level_y_mm < top
        else wall
        for wall in walls
    ]


def _wall(shape: WallShape, alcove: Alcove, rise: float, shop: Practice) -> PlannedWall:
    neighbours = _neighbours(shape, alcove)
    to_ceiling = alcove.top.to_ceiling
    own = rise_of_mm(shape, rise, to_ceiling, shop)
    if shape.wall == "back":
        plain = back_outline(shape, neighbours, own, shop)
    else:
        plain = end_outline(shape, neighbours[shape.corner or "right"], own, shop)
    return PlannedWall(shape, cut_round(shape, plain, to_ceiling, shop), neighbours)


def _neighbours(shape: WallShape, alcove: Alcove) -> dict[Side, tuple[Region, ...]]:
    """Whose surface each side's readings ran to: the end walls for the back, the back for them.

    A wall that is not part of the job is taken to be finished like this one, for the tile usually
    stops at one height all round.
    """
    if shape.wall != "back":
        back = alcove.wall("back")
        regions = back.surfaces if back else shape.surfaces
        return {"left": regions, "right": regions}
    found: dict[Side, tuple[Region, ...]] = {"left": shape.surfaces, "right": shape.surfaces}
    for end in alcove.walls:
        # An end wall whose back corner is at its right stands at the left of the back wall.
        if end.corner == "right":
            found["left"] = end.surfaces
        elif end.corner == "left":
            found["right"] = end.surfaces
    return found
