"""Full-size templates: each hole with its references, and each return's depth as a gauge.

Frame: y up, mm, 1:1. A hole's origin is its centre, x to the right on the FRONT of the sheet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from service.documents.drawing import (
    Circle,
    Dimension,
    Drawing,
    Layer,
    Line,
    Place,
    Polyline,
    Primitive,
    Text,
)
from service.documents.wording import edge_words, inches

if TYPE_CHECKING:
    from service.panels.model import Cutout, Panel, Return

_TEXT_MM: Final = 3.0
_PAST_MM: Final = 18.0
_GAUGE_MM: Final = 60.0


@dataclass(frozen=True)
class Template:
    """One template: what it is called, how it is laid on, and its drawing at full size."""

    title: str
    how: str
    drawing: Drawing


def templates(panel: Panel) -> tuple[Template, ...]:
    """Every hole of a panel, then every return."""
    return (
        *(_hole(panel, hole) for hole in panel.cutouts),
        *(_gauge(panel, turn) for turn in panel.returns),
    )


def _hole(panel: Panel, hole: Cutout) -> Template:
    radius = hole.diameter_mm / 2
    arm = radius + _PAST_MM
    outward = -panel.front_sign
    wall = panel.wall == "back"
    edge = "plumb line" if wall else "finished OUTER edge"
    if wall:  # towards the plumb line, from whichever side the hole is on
        outward = -1 if hole.at_mm.x > 0 else 1
    drawn: list[Primitive] = [
        Circle(Layer.CUTOUT, Place(0.0, 0.0), radius),
        Line(Layer.CENTRE, Place(-arm, 0.0), Place(arm, 0.0)),
        Line(Layer.CENTRE, Place(0.0, -arm), Place(0.0, arm)),
        *_arrow(Place(outward * arm, 0.0), (float(outward), 0.0)),
        *_arrow(Place(0.0, arm), (0.0, 1.0)),
        Text(
            Layer.NOTE, Place(0.0, arm + 9.0), f"{inches(hole.from_top)} to the finished TOP",
            _TEXT_MM, upright="base", bold=True,
        ),
        Text(
            Layer.NOTE, Place(0.0, -arm - 5.0), f"{inches(hole.from_side)} to the {edge}, "
            f"on the {'left' if outward < 0 else 'right'}", _TEXT_MM, upright="top", bold=True,
        ),
        Dimension(
            Place(-radius, 0.0), Place(radius, 0.0), -(radius + 8.0), inches(hole.diameter),
            _TEXT_MM,
        ),
    ]  # fmt: skip
    if hole.max_diameter is not None:
        drawn.append(Circle(Layer.PATTERN, Place(0.0, 0.0), hole.max_diameter.mm / 2))
    how = (
        f"{hole.saw}. Printed side up on the FRONT of the sheet, the cross on both marks. The "
        "dashed circle is the most that the plate covers."
    )
    return Template(f"{panel.title}: {hole.name}", how, tuple(drawn))


def _gauge(panel: Panel, turn: Return) -> Template:
    """A strip as wide as the return is deep: held behind the edge it must not stand proud."""
    depth = turn.depth.mm
    corners = ((0.0, 0.0), (_GAUGE_MM, 0.0), (_GAUGE_MM, depth), (0.0, depth))
    drawn: tuple[Primitive, ...] = (
        Polyline(Layer.OUTLINE, tuple(Place(x, y) for x, y in corners), closed=True),
        Dimension(
            Place(_GAUGE_MM, 0.0), Place(_GAUGE_MM, depth), -9.0, inches(turn.depth), _TEXT_MM
        ),
        Text(
            Layer.NOTE, Place(0.0, -4.0), f"return depth, {edge_words(turn.edge)}: {turn.why}",
            _TEXT_MM, "left", "top",
        ),
    )  # fmt: skip
    how = "Cut out and hold behind the turned edge: deeper than this and the sheet rocks."
    return Template(f"{panel.title}: return at the {edge_words(turn.edge)}", how, drawn)


def _arrow(tip: Place, way: tuple[float, float], size: float = 3.0) -> tuple[Primitive, ...]:
    angle = math.atan2(way[1], way[0])
    wings = tuple(
        Place(tip.x - size * math.cos(angle + turn), tip.y - size * math.sin(angle + turn))
        for turn in (0.4, -0.4)
    )
    return (Polyline(Layer.MARK, (wings[0], tip, wings[1]), closed=True, filled=True),)
