"""Rectangular holes for the boxes of receptacles and switches.

The hole clears the box all round and hides under its plate. The box is brought out flush with the
new face by an extension ring: acrylic burns, and a box in a combustible surface ends flush with it
(NEC 314.20, from memory; the local code governs).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shapely.geometry import Polygon, box

from service.panels.model import Caution
from service.panels.openings import WindowCut
from service.panels.places import Point
from service.panels.problem import PlanError
from service.panels.sizes import mark, needed, width

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Fixture, WallShape

_GRAIN_MM = 1e-6


def box_cuts(
    shape: WallShape, outline: Outline, shop: Practice
) -> tuple[tuple[WindowCut, ...], tuple[Caution, ...]]:
    """The rectangular holes of one panel, and what must be looked at.

    Raises
    ------
    PlanError
        A box that does not lie wholly inside the panel.
    """
    made = [_cut(shape, f, outline, shop) for f in shape.fixtures if f.box_mm is not None]
    cautions = [
        caution
        for fixture, cut in zip((f for f in shape.fixtures if f.box_mm), made, strict=True)
        for caution in _cautions(shape, fixture, cut, outline, shop)
    ]
    return tuple(made), tuple(cautions)


def box_rectangle(
    shape: WallShape, fixture: Fixture, outline: Outline, shop: Practice
) -> tuple[float, float, float, float]:
    """The hole of one box in the panel's frame: x0, y0, x1, y1, mm."""
    across, high = fixture.box_mm or (0.0, 0.0)
    clear = shop["hole.box_clearance"]
    toward = 1 if shape.wall == "back" else -1
    x = outline.plumb_x_mm + toward * fixture.from_plumb.mm
    y = outline.level_y_mm + fixture.down.mm
    half, low = across / 2 + clear, high / 2 + clear
    return x - half, y - low, x + half, y + low


def _cut(shape: WallShape, fixture: Fixture, outline: Outline, shop: Practice) -> WindowCut:
    x0, y0, x1, y1 = box_rectangle(shape, fixture, outline, shop)
    if not Polygon(outline.points).contains(box(x0, y0, x1, y1)):
        raise PlanError(
            f"{shape.wall}.{fixture.name}",
            f"expected a box inside the panel; {mark(x0).text} to {mark(x1).text} in across and "
            f"{mark(y0).text} to {mark(y1).text} in down is not",
        )
    return WindowCut(
        name=fixture.name,
        corner_mm=Point(x0, y0),
        from_side=mark(x0),
        from_top=mark(y0),
        width=needed(x1 - x0),
        height=needed(y1 - y0),
        liners=(),
        notes=(
            "power off and proved dead before the plate comes off; by a licensed electrician where "
            "the rules say so",
            "drill the inside corners first: a square corner cracks",
            f"bring the box out {mark(shop.build_up_mm).text} in, flush with the new face "
            "(extension ring; NEC 314.20, local code governs)",
        ),
        kind="box",
        drill=mark(shop["hole.corner_drill"]),
    )


def _cautions(
    shape: WallShape, fixture: Fixture, cut: WindowCut, outline: Outline, shop: Practice
) -> list[Caution]:
    found = []
    (x, y), across, high = cut.corner_mm, cut.width.mm, cut.height.mm
    plate = fixture.plate_box_mm
    if plate is not None:
        most = [side - 2 * shop["hole.box_cover"] for side in plate]
        if across > most[0] + _GRAIN_MM or high > most[1] + _GRAIN_MM:
            text = (
                f"{fixture.name}: a hole of {cut.width.text} x {cut.height.text} in is more than "
                f"its plate covers ({width(most[0]).text} x {width(most[1]).text} in)"
            )
            found.append(Caution("plate-too-small", text, shape.wall))
    web = Polygon(outline.points).exterior.distance(box(x, y, x + across, y + high))
    if web < shop["hole.least_web"]:
        text = f"{fixture.name}: only {width(web).text} in of sheet between its box and the edge"
        found.append(Caution("thin-web", text, shape.wall))
    return found
