"""Windows and niches: the opening in the sheet and the pieces that line it.

Common practice: the sheet is cut flush with the reveal; sill first, falling into the alcove, then
the head, then both jambs between them. Each piece ends a joint short of the window frame and
covers the cut edge of the sheet. A niche gets its back first, and the other pieces stand on it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from shapely.geometry import Polygon, box

from service.panels.guillotine import Piece
from service.panels.openings import Liner, WindowCut
from service.panels.places import FALLS_TO, Point
from service.panels.problem import PlanError
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.panels.openings import NotchCut
    from service.panels.outline import Outline
    from service.panels.places import Tub
    from service.panels.practice import Practice
    from service.panels.walls import WallShape, Window


def window_cuts(
    shape: WallShape, outline: Outline, tub: Tub, shop: Practice
) -> tuple[WindowCut, ...]:
    """The window openings of one panel, each with its liners; sills fall to what it stands on.

    Raises
    ------
    PlanError
        An opening that does not lie inside the panel with the least web all round.
    """
    return tuple(_cut(shape, window, outline, tub, shop) for window in shape.windows)


def liner_pieces(cuts: Iterable[WindowCut | NotchCut]) -> list[Piece]:
    """Liners as pieces for the sheets' drops; plain, so they may be turned."""
    return [
        Piece(
            f"{cut.name}, {liner.name}", liner.length.mm, liner.depth.mm,
            value=liner.length.mm * liner.depth.mm, turns=True,
        )
        for cut in cuts
        for liner in cut.liners
    ]  # fmt: skip


def _cut(shape: WallShape, window: Window, outline: Outline, tub: Tub, shop: Practice) -> WindowCut:
    sign = -1 if shape.corner == "left" else 1
    xs = sorted(outline.plumb_x_mm + sign * side.mm for side in (window.left, window.right))
    top, low = window.head.mm + outline.level_y_mm, window.sill.mm + outline.level_y_mm
    hole = box(xs[0], top, xs[1], low)
    panel = Polygon(outline.points)
    web = shop["hole.least_web"]
    if not panel.contains(hole.buffer(web, join_style="mitre")):
        raise PlanError(
            f"{shape.wall}.{window.name}",
            f"expected an opening inside the panel with {mark(web).text} in or more of sheet all "
            f"round; {mark(xs[0]).text} to {mark(xs[1]).text} in across and {mark(top).text} to "
            f"{mark(low).text} in down is not",
        )
    return WindowCut(
        name=window.name,
        corner_mm=Point(xs[0], top),
        from_side=mark(xs[0]),
        from_top=mark(top),
        width=mark(xs[1] - xs[0]),
        height=mark(low - top),
        liners=_liners(f"{shape.wall}.{window.name}", xs[1] - xs[0], low - top, window, tub, shop),
        notes=(
            "drill the inside corners first: a square corner cracks",
            f"the sill falls towards {FALLS_TO[tub]}; seal its inner edge before the jambs stand",
        ),
        kind=window.kind,
        drill=mark(shop["hole.corner_drill"]),
    )


def _liners(
    field: str, across: float, down: float, window: Window, tub: Tub, shop: Practice
) -> tuple[Liner, ...]:
    joint, build_up = shop["joint.side"], shop.build_up_mm
    niche = window.kind == "niche"
    # To the new face of the wall, from the window frame less a joint or from the niche's new back.
    deep = window.depth_mm + build_up - (build_up if niche else joint)
    sill = math.hypot(deep, window.fall_mm * deep / window.depth_mm)
    length = across - 2 * joint
    jamb = down - 2 * build_up - 2 * joint
    if jamb <= 0 or length <= 0:
        raise PlanError(field, "expected an opening larger than its own liners")
    back = Liner("back", width(length), width(down - 2 * joint), "first; a joint all round")
    return (
        *((back,) if niche else ()),
        Liner("sill", width(length), width(sill), f"falls towards {FALLS_TO[tub]}"),
        Liner("head", width(length), width(deep), "after the sill"),
        Liner("left jamb", width(jamb), width(deep), "between sill and head"),
        Liner("right jamb", width(jamb), width(deep), "between sill and head"),
    )
