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
from service.documents.wording import edge_words, hole_letters, inches
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.model import Cutout, Panel, Return, Size
    from service.panels.openings import WindowCut

_TEXT_MM: Final = 3.0
_PAST_MM: Final = 18.0
_GAUGE_MM: Final = 60.0
_ARM_MM: Final = 60.0
_WHOLE_MM: Final = 150.0
"""An opening no larger than this is one template; a larger one has one for each corner."""


@dataclass(frozen=True)
class Template:
    """One template: what it is called, how it is laid on, and its drawing at full size."""

    title: str
    how: str
    drawing: Drawing


def templates(panel: Panel) -> tuple[Template, ...]:
    """Every hole of a panel, every opening or its corners, then every return."""
    letters, count = hole_letters(panel), len(panel.cutouts)
    holes = zip(letters[:count], panel.cutouts, strict=True)
    openings = zip(letters[count:], panel.windows, strict=True)
    return (
        *(_hole(panel, letter, hole) for letter, hole in holes),
        *(t for letter, cut in openings for t in _opening(panel, letter, cut)),
        *(_gauge(panel, turn) for turn in panel.returns),
    )


def _hole(panel: Panel, letter: str, hole: Cutout) -> Template:
    radius = hole.diameter_mm / 2
    arm = radius + _PAST_MM
    if hole.max_diameter is not None:  # the words above and below stand clear of its circle
        arm = max(arm, hole.max_diameter.mm / 2)
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
    how = f"{hole.saw}. Printed side up on the FRONT of the sheet, the cross on both marks."
    if hole.max_diameter is not None:
        drawn.append(Circle(Layer.PATTERN, Place(0.0, 0.0), hole.max_diameter.mm / 2))
        how += " The dashed circle is the most that the plate covers."
    return Template(f"{panel.title}: {letter} {hole.name}", how, tuple(drawn))


def _opening(panel: Panel, letter: str, cut: WindowCut) -> tuple[Template, ...]:
    """A small opening whole; a large one by its four corners, for only they need the drill."""
    name = f"{letter} {cut.name}"
    if max(cut.width.mm, cut.height.mm) <= _WHOLE_MM:
        return (_whole(panel, name, cut),)
    sign = panel.front_sign
    (x, y), across, high = cut.corner_mm, cut.width.mm, cut.height.mm
    return tuple(
        _corner(panel, name, cut, (px, py), (along, down))
        for py, down in ((y, 1.0), (y + high, -1.0))
        for px, along in sorted(
            ((x, float(sign)), (x + across, float(-sign))), key=lambda pair: sign * pair[0]
        )
    )


def _whole(panel: Panel, name: str, cut: WindowCut) -> Template:
    """The opening round its own middle, its corner drills inside it."""
    half, low = cut.width.mm / 2, cut.height.mm / 2
    corners = tuple(Place(sx * half, sy * low) for sx, sy in ((-1, 1), (1, 1), (1, -1), (-1, -1)))
    (x, y) = cut.corner_mm
    drawn: list[Primitive] = [
        Polyline(Layer.CUTOUT, corners, closed=True),
        Line(Layer.CENTRE, Place(-half - 6.0, 0.0), Place(half + 6.0, 0.0)),
        Line(Layer.CENTRE, Place(0.0, -low - 6.0), Place(0.0, low + 6.0)),
        *(d for c in corners for d in _drill(c, -_sign(c.x), -_sign(c.y), cut)),
        *_references(panel, mark(x + half), mark(y + low), low + _PAST_MM),
        Dimension(
            Place(-half, -low), Place(half, -low), -10.0, inches(cut.width), _TEXT_MM
        ),
        Dimension(Place(half, -low), Place(half, low), -10.0, inches(cut.height), _TEXT_MM),
    ]  # fmt: skip
    how = (
        "Printed side up on the FRONT of the sheet, the cross on both marks. Drill the corners "
        "inside the lines, then jigsaw."
    )
    return Template(f"{panel.title}: {name}", how, tuple(drawn))


def _corner(
    panel: Panel,
    name: str,
    cut: WindowCut,
    place: tuple[float, float],
    way: tuple[float, float],
) -> Template:
    """One corner at the origin; the opening lies along (on the front, right is 1) and down."""
    (x, y), (along, down) = place, way
    drawn: list[Primitive] = [
        Line(Layer.CUTOUT, Place(0.0, 0.0), Place(along * _ARM_MM, 0.0)),
        Line(Layer.CUTOUT, Place(0.0, 0.0), Place(0.0, -down * _ARM_MM)),
        Line(Layer.CENTRE, Place(0.0, 0.0), Place(-along * _PAST_MM, 0.0)),
        Line(Layer.CENTRE, Place(0.0, 0.0), Place(0.0, down * _PAST_MM)),
        *_drill(Place(0.0, 0.0), along, -down, cut),
        *_references(panel, mark(x), mark(y), _ARM_MM),
    ]
    where = f"{'upper' if down > 0 else 'lower'} {'left' if along > 0 else 'right'} corner"
    how = (
        "Printed side up on the FRONT of the sheet, the two lines on the marked sides of the "
        "opening. Drill inside the corner, then jigsaw from drill to drill."
    )
    return Template(f"{panel.title}: {name}, {where} as seen", how, tuple(drawn))


def _drill(corner: Place, along: float, up: float, cut: WindowCut) -> tuple[Primitive, ...]:
    """The drilled hole that touches both sides of a corner from inside, with its centre."""
    if cut.drill is None:
        return ()
    radius = cut.drill.mm / 2
    centre = Place(corner.x + along * radius, corner.y + up * radius)
    arm = radius * 1.4
    return (
        Circle(Layer.MARK, centre, radius),
        Line(Layer.MARK, Place(centre.x - arm, centre.y), Place(centre.x + arm, centre.y)),
        Line(Layer.MARK, Place(centre.x, centre.y - arm), Place(centre.x, centre.y + arm)),
    )


def _references(panel: Panel, side: Size, top: Size, arm: float) -> tuple[Primitive, ...]:
    """How far the origin is from the top and from the reference upright, and on which hand."""
    edge = "plumb line" if panel.wall == "back" else "finished OUTER edge"
    outward = -panel.front_sign
    if panel.wall == "back":
        outward = -1 if side.mm > 0 else 1
    hand = "left" if outward < 0 else "right"
    return (
        Text(
            Layer.NOTE, Place(0.0, arm + 9.0), f"{inches(top)} to the TOP", _TEXT_MM,
            upright="base", bold=True,
        ),
        Text(
            Layer.NOTE, Place(0.0, -arm - 14.0), f"{inches(side)} to the {edge}, on the {hand}",
            _TEXT_MM, upright="top", bold=True,
        ),
    )  # fmt: skip


def _sign(value: float) -> float:
    return math.copysign(1.0, value)


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
