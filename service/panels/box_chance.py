"""A panel's box as what its readings make of it, for the chance that a sheet holds it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.chance import Term, chance_within

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.walls import Side, StockSheet, WallShape


class BoxTerms:
    """The candidates for the farthest points of one panel's box."""

    def __init__(self, shape: WallShape, outline: Outline) -> None:
        self._shape, self._outline = shape, outline
        self._number = {id(size): number for number, size in enumerate(outline.used)}
        self.width = self._widths()
        self.height = (self._heights(),)

    def chance_wide(self, limit_mm: float) -> float:
        """The chance that the box is no wider than this."""
        return chance_within(self.width, limit_mm)

    def chance_high(self, limit_mm: float) -> float:
        """The chance that the box is no higher than this."""
        return chance_within(self.height, limit_mm)

    def chance_fits(self, sheet: StockSheet) -> float:
        """The chance that a sheet holds the box; width and height hang on different readings."""
        return self.chance_wide(sheet.width_mm) * self.chance_high(sheet.height_mm)

    def _widths(self) -> tuple[tuple[Term, ...], ...]:
        outline = self._outline
        if self._shape.corner is None:
            return self._side("left", -1.0), self._side("right", 1.0)
        return (Term(-outline.box[0]),), self._side(self._shape.corner, 1.0)

    def _side(self, side: Side, sign: float) -> tuple[Term, ...]:
        """How far each marked point of a side reaches outwards."""
        outline, shape = self._outline, self._shape
        stations = shape.left if side == "left" else shape.right
        by_y = {s.at_mm + outline.level_y_mm: s.value for s in stations}
        profile = outline.sides[0 if sign < 0 else 1]
        edge = side if shape.corner is None else "inner"
        ys = [p.y for e, p in outline.edge_points if e == edge]
        if not ys:  # cut away from top to bottom by what stands beside it
            reach = outline.box[2] if sign > 0 else -outline.box[0]
            return (self._at_obstacle(reach, "right" if sign > 0 else "left"),)
        return tuple(
            Term(
                sign * profile.at(y),
                tuple((self._number[id(by_y[at])], w * by_y[at].u_mm)
                      for at, w in profile.weights(y)),
            )
            for y in ys
        )  # fmt: skip

    def _heights(self) -> tuple[Term, ...]:
        """The lowest point: of the deck edge, or of the leg beside the tub."""
        outline, shape = self._outline, self._shape
        front = shape.tub_front
        if outline.leg is not None and front is not None:
            floor = front.line_to_floor
            return (Term(outline.leg.bottom_mm, ((self._number[id(floor)], floor.u_mm),)),)
        sign = -1.0 if shape.corner == "left" else 1.0
        by_x = {outline.plumb_x_mm + sign * s.at_mm: s.value for s in shape.line_to_deck}
        xs = [p.x for e, p in outline.edge_points if e == "bottom"]
        if not xs:
            return (self._at_obstacle(outline.box[3] - outline.box[1], "foot"),)
        top = outline.box[1]
        return tuple(
            Term(
                outline.bottom.at(x) - top,
                tuple((self._number[id(by_x[at])], w * by_x[at].u_mm)
                      for at, w in outline.bottom.weights(x)),
            )
            for x in xs
        )  # fmt: skip

    def _at_obstacle(self, mm: float, side: str) -> Term:
        """An edge that an obstacle sets: as sure as the least sure of the sizes that may set it."""
        other = {"right": "left", "left": "right", "foot": "head"}[side]
        sizes = [getattr(o, other) for o in self._shape.obstacles] + [
            getattr(o, side) for o in self._shape.obstacles
        ]
        known = [size for size in sizes if size is not None]
        if not known:
            return Term(mm)
        least = max(known, key=lambda size: size.u_mm)
        return Term(mm, ((self._number[id(least)], least.u_mm),))
