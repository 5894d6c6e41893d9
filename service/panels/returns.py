"""Turned edges and trims: how deep a return may be, and what ends an end wall."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.model import Caution, Edge, Return, Trim
from service.panels.plane import finished_proud_mm, region_at
from service.panels.shapes import down_mm
from service.panels.sizes import width

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Region, Top, WallShape

_GRAIN_MM = 1e-6


def returns(
    shape: WallShape, outline: Outline, top: Top, shop: Practice
) -> tuple[tuple[Return, ...], tuple[Caution, ...]]:
    """The returns of one panel: the finished top, and the outer edge that ends in one.

    A return covers the step from the finished plane to the bare wall. It is the least step along
    its edge plus sheet and bed, for a longer one would rock the sheet, and never more than the
    factory turns.
    """
    steps: list[tuple[Edge, float]] = []
    if not top.to_ceiling and top.finish == "return" and shape.low_top is None:
        steps.append(("top", top_step_mm(shape.surfaces, -outline.level_y_mm)))
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


def top_step_mm(regions: tuple[Region, ...], top_down_mm: float) -> float:
    """The step from the finished plane at the top to whatever the wall is just above it, mm.

    Kept tile that runs on above the top leaves no step; a packed band always ends below it.
    """
    plane = finished_proud_mm(regions, top_down_mm)
    above = region_at(regions, top_down_mm)
    if above is None or above.from_down_mm >= top_down_mm - _GRAIN_MM:
        return plane
    return plane - (0.0 if above.do == "strip" else above.proud_mm)


def least_step_mm(regions: tuple[Region, ...], from_down_mm: float, to_down_mm: float) -> float:
    """The least step from the finished plane to the bare wall between two depths, mm."""
    starts = [from_down_mm, *(region.from_down_mm for region in regions)]
    inside = [down for down in starts if from_down_mm <= down < to_down_mm]
    ends = [region.to_down_mm for region in regions if region.to_down_mm is not None]
    inside += [down for down in ends if from_down_mm <= down < to_down_mm]
    return min((finished_proud_mm(regions, down) for down in inside), default=0.0)


def trims(shape: WallShape, outline: Outline, top: Top) -> tuple[Trim, ...]:
    """The trim strips of one wall: up the outer end, and along the top where it has a trim.

    An upright runs from the joint at deck or floor to the finished top, mitred where a top trim
    meets it. A top trim runs the panel's width, mitred at the outer end and square into the corner.
    """
    found = []
    along_top = top.finish == "trim" and not top.to_ceiling and shape.low_top is None
    upright = shape.outer is not None and shape.outer.finish != "return"
    if upright and shape.outer is not None:
        low = outline.leg.bottom_mm if outline.leg else outline.bottom.at(outline.box[0])
        if outline.cut:  # over a pony wall, or under a soffit
            ends = down_mm(outline, outline.box[0] + 1.0)
            low = ends[1] - ends[0]
        when = "before" if shape.outer.finish == "trim under" else "after"
        found.append(
            Trim(
                wall=shape.wall,
                edge="outer",
                kind=shape.outer.finish,
                length=width(low),
                why=f"from the lower joint to the finished top, fixed {when} the sheet",
                ends=("square", "mitre 45" if along_top else "square"),
            )
        )
    if along_top:
        # A trim under the sheet stands out of it by the hold-back, and so does the top trim's end.
        out = outline.box[0] if shape.outer and shape.outer.finish == "trim under" else 0.0
        found.append(
            Trim(
                wall=shape.wall,
                edge="top",
                kind="top trim",
                length=width(outline.sides[1].at(0.0) - outline.points[0].x + out),
                why="along the finished top, from the outer end to the corner"
                if shape.outer
                else "along the finished top, corner to corner",
                ends=("mitre 45" if upright else "square", "square"),
            )
        )
    return tuple(found)


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
