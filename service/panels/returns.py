"""Turned edges and trims: how deep a return may be, and what ends an end wall."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.model import Caution, Edge, Return, Trim
from service.panels.plane import finished_proud_mm
from service.panels.sizes import width

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Region, Top, WallShape


def returns(
    shape: WallShape, outline: Outline, top: Top, shop: Practice
) -> tuple[tuple[Return, ...], tuple[Caution, ...]]:
    """The returns of one panel: the finished top, and the outer edge that ends in one.

    A return covers the step from the finished plane to the bare wall. It is the least step along
    its edge plus sheet and bed, for a longer one would rock the sheet, and never more than the
    factory turns.
    """
    steps: list[tuple[Edge, float]] = []
    if not top.to_ceiling:
        steps.append(("top", finished_proud_mm(shape.surfaces, -outline.level_y_mm)))
    if shape.outer is not None and shape.outer.finish == "return":
        end = outline.box[3] - outline.level_y_mm
        steps.append(("outer", least_step_mm(shape.surfaces, -outline.level_y_mm, end)))
    made = [_return(edge, step, shop) for edge, step in steps]
    short = [edge for edge, step in steps if step + shop.build_up_mm > _factory(shop) + 1e-6]
    cautions = [
        Caution("return-short", f"the factory return does not cover the step at the {edge}",
                shape.wall)
        for edge in short
    ]  # fmt: skip
    return tuple(made), tuple(cautions)


def least_step_mm(regions: tuple[Region, ...], from_down_mm: float, to_down_mm: float) -> float:
    """The least step from the finished plane to the bare wall between two depths, mm."""
    starts = [from_down_mm, *(region.from_down_mm for region in regions)]
    inside = [down for down in starts if from_down_mm <= down < to_down_mm]
    ends = [region.to_down_mm for region in regions if region.to_down_mm is not None]
    inside += [down for down in ends if from_down_mm <= down < to_down_mm]
    return min((finished_proud_mm(regions, down) for down in inside), default=0.0)


def trims(shape: WallShape, outline: Outline) -> tuple[Trim, ...]:
    """The trim strips of an end wall: deck or floor to the finished top, less the joints."""
    if shape.outer is None or shape.outer.finish == "return":
        return ()
    low = outline.leg.bottom_mm if outline.leg else outline.bottom.at(outline.box[0])
    when = "before" if shape.outer.finish == "trim under" else "after"
    return (
        Trim(
            wall=shape.wall,
            edge="outer",
            kind=shape.outer.finish,
            length=width(low),
            why=f"from the lower joint to the finished top, fixed {when} the sheet",
        ),
    )


def _return(edge: Edge, step_mm: float, shop: Practice) -> Return:
    depth = min(step_mm + shop.build_up_mm, _factory(shop))
    why = (
        f"step {width(step_mm).text} + sheet {width(shop['build_up.sheet']).text} "
        f"+ bed {width(shop['build_up.bed']).text}"
    )
    return Return(edge, width(depth), why)


def _factory(shop: Practice) -> float:
    factory = shop["build_up.factory_return"]
    return factory if factory > 0 else math.inf
