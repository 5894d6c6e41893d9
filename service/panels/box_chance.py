"""A panel's box as what its readings make of it, for the chance that a sheet holds it."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from service.panels.chance import Term, chance_within, draws
from service.panels.errors import causes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.errors import Cause, Weighed
    from service.panels.outline import Outline
    from service.panels.walls import Side, StockSheet, WallShape


class BoxTerms:
    """The candidates for the farthest points of one panel's box."""

    def __init__(self, shape: WallShape, outline: Outline) -> None:
        self._shape, self._outline = shape, outline
        self.width = self._widths()
        self.height = (self._heights(),)

    def chance_wide(self, limit_mm: float) -> float:
        """The chance that the box is no wider than this."""
        return chance_within(self.width, limit_mm, lambda: self._drawn[0])

    def chance_high(self, limit_mm: float) -> float:
        """The chance that the box is no higher than this."""
        return chance_within(self.height, limit_mm, lambda: self._drawn[1])

    def chance_fits(self, sheet: StockSheet) -> float:
        """The chance that a sheet holds the box in width and in height together."""
        wide, high = self.chance_wide(sheet.width_mm), self.chance_high(sheet.height_mm)
        if wide in (0.0, 1.0) or high in (0.0, 1.0):
            return wide * high
        within = [
            width <= sheet.width_mm and height <= sheet.height_mm
            for width, height in zip(*self._drawn, strict=True)
        ]
        return sum(within) / len(within)

    @cached_property
    def _drawn(self) -> tuple[list[float], list[float]]:
        """Width and height in the same draws, for they may have causes of error in common."""
        widths, heights = draws([self.width, self.height])
        return widths, heights

    def _widths(self) -> tuple[tuple[Term, ...], ...]:
        outline = self._outline
        if self._shape.corner is None:
            return self._side("left", -1.0), self._side("right", 1.0)
        edge = self._shape.outer.taped if self._shape.outer is not None else None
        outer = Term(-outline.box[0], () if edge is None else _errors([(edge, 1.0)]))
        return (outer,), self._side(self._shape.corner, 1.0)

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
                _errors([(by_y[at], w) for at, w in profile.weights(y)]),
            )
            for y in ys
        )  # fmt: skip

    def _heights(self) -> tuple[Term, ...]:
        """The lowest point: of the deck edge, or of the leg beside the tub."""
        outline, shape = self._outline, self._shape
        front = shape.tub_front
        if outline.leg is not None and front is not None:
            floor = front.line_to_floor
            return (Term(outline.leg.bottom_mm, _errors([(floor, 1.0)])),)
        sign = -1.0 if shape.corner == "left" else 1.0
        by_x = {outline.plumb_x_mm + sign * s.at_mm: s.value for s in shape.line_to_deck}
        xs = [p.x for e, p in outline.edge_points if e == "bottom"]
        if not xs:
            return (self._at_obstacle(outline.box[3] - outline.box[1], "foot"),)
        top, low = outline.box[1], shape.low_top
        own_top = [(low.down, -1.0)] if low is not None else []
        return tuple(
            Term(
                outline.bottom.at(x) - top,
                _errors([(by_x[at], w) for at, w in outline.bottom.weights(x)] + own_top),
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
        return Term(mm, _errors([(least, 1.0)]))


def _errors(weighed: Sequence[Weighed]) -> tuple[tuple[Cause, float], ...]:
    """All errors of a weighed sum of readings, each cause once."""
    return tuple(causes(weighed).items())
