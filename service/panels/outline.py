"""The outline of each panel: what the walls leave between joints.

Both kinds are built from the same three things, in the panel's frame (x from the reference
vertical, y down from the finished top): an upright profile x(y) for each measured side, a lying
profile y(x) for the bottom, and the flat finished top at y = 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING, Final

from shapely.geometry import Polygon
from shapely.validation import explain_validity

from service.panels.model import Edge, Point
from service.panels.plane import to_finished_mm
from service.panels.problem import PlanError
from service.panels.profile import Profile, meet

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import Given, Obstacle, Region, Side, Station, WallShape


@dataclass(frozen=True)
class Leg:
    """The strip of an end panel beside the tub's apron, from outer edge to apron joint."""

    x_deck_mm: float
    x_floor_mm: float
    bottom_mm: float
    tub_front_mm: float


@dataclass(frozen=True)
class Notch:
    """Where an obstacle meets the panel's box, without the joint: x0, y0, x1, y1, mm."""

    obstacle: Obstacle
    x0: float
    y0: float
    x1: float
    y1: float


SAME_HEIGHT_MM: Final = 0.1
"""A tenth of a pencil's line."""


@dataclass(frozen=True)
class Outline:
    """One panel's outline with the edges it was made from.

    Attributes
    ----------
    points : tuple of Point
        As `model.Panel.outline_mm`.
    edge_points : tuple of (Edge, Point)
        The points that are marked, by edge, from the top down, then along the bottom.
    sides : (Profile, Profile)
        x(y) of the smaller-x and the larger-x side.
    bottom : Profile
        y(x), without the leg.
    plumb_x_mm, level_y_mm : float
        The wall's plumb line and level line in the panel's frame.
    used : tuple of Given
        Every measured size the outline depends on.
    notches : tuple of Notch
        What it is cut round.
    cut : bool
        Whether it differs from the plain outline between sides, top and bottom.
    below_mm : float
        Its own top below the highest of the room, from which level joints are counted.
    """

    points: tuple[Point, ...]
    edge_points: tuple[tuple[Edge, Point], ...]
    sides: tuple[Profile, Profile]
    bottom: Profile
    leg: Leg | None
    plumb_x_mm: float
    level_y_mm: float
    used: tuple[Given, ...]
    notches: tuple[Notch, ...] = ()
    cut: bool = False
    below_mm: float = 0.0

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y."""
        xs, ys = [p.x for p in self.points], [p.y for p in self.points]
        return min(xs), min(ys), max(xs), max(ys)

    @property
    def area_mm2(self) -> float:
        return float(Polygon(self.points).area)

    @property
    def lows(self) -> tuple[Point, ...]:
        """The marks of the lower edge; of a panel that ends on a seat all along, its lowest."""
        found = tuple(p for edge, p in self.edge_points if edge == "bottom")
        low = self.box[3]
        return found or tuple(sorted(p for p in self.points if abs(p.y - low) < 1e-6))

    @property
    def side_heights(self) -> tuple[float, ...]:
        """Heights at which a side is marked, from the top down; of those that are alike, the lower.

        Two corners on a deck that is all but level are at one height.
        """
        found = sorted({p.y for edge, p in self.edge_points if edge in ("left", "right", "inner")})
        return tuple(y for y, below in pairwise([*found, inf]) if below - y > SAME_HEIGHT_MM)

    def width_at(self, y: float) -> float:
        """Clear width between the two sides at a height, mm."""
        return self.sides[1].at(y) - self.sides[0].at(y)


def back_outline(
    shape: WallShape, neighbours: dict[Side, tuple[Region, ...]], rise_mm: float, shop: Practice
) -> Outline:
    """The back panel: corner to corner less a joint at both sides.

    Parameters
    ----------
    neighbours : dict
        Surface regions of the wall that each side's readings run to.
    rise_mm : float
        The panel's top above the level line.
    """
    joint = shop["joint.side"]
    left = side_profile(shape.wall, "left", shape.left, neighbours["left"], rise_mm)
    right = side_profile(shape.wall, "right", shape.right, neighbours["right"], rise_mm)
    x_left = left.map(lambda y: y, lambda v: joint - v)
    x_right = right.map(lambda y: y, lambda v: v - joint)
    deck = _deck(shape, 1, 0.0, rise_mm - shop["joint.deck"])
    bottom_left = Point(*meet(shape.wall, x_left, deck, 0.0))
    bottom_right = Point(*meet(shape.wall, x_right, deck, 0.0))
    down_right = _down(x_right, bottom_right.y)
    down_left = _down(x_left, bottom_left.y)
    along = [Point(x, deck.at(x)) for x in deck.between(bottom_left.x, bottom_right.x)]
    points = (
        Point(x_left.at(0.0), 0.0),
        Point(x_right.at(0.0), 0.0),
        *down_right,
        bottom_right,
        *reversed(along),
        bottom_left,
        *reversed(down_left),
    )
    edges: list[tuple[Edge, Point]] = [("left", p) for p in (points[0], *down_left, bottom_left)]
    edges += [("right", p) for p in (points[1], *down_right, bottom_right)]
    edges += [("bottom", p) for p in (bottom_left, *along, bottom_right)]
    used = tuple(s.value for s in (*shape.left, *shape.right, *shape.line_to_deck))
    return _checked(
        shape.wall,
        Outline(points, tuple(edges), (x_left, x_right), deck, None, 0.0, rise_mm, used),
    )


def end_outline(
    shape: WallShape, back_regions: tuple[Region, ...], rise_mm: float, shop: Practice
) -> Outline:
    """An end panel: finished outer edge to the hung back panel less a joint.

    The inner edge loses the back panel's build-up, for it stands on that panel's face.
    """
    if shape.outer is None or shape.corner is None:
        raise PlanError(f"{shape.wall}.outer", "expected where the finished outer edge is")
    edge = shape.outer.from_plumb_mm
    held_back = shop["trim.hold_back"] if shape.outer.finish == "trim under" else 0.0
    lost = shop.build_up_mm + shop["joint.corner"]
    stations = shape.right if shape.corner == "right" else shape.left
    inner = side_profile(
        shape.wall, shape.corner, stations, back_regions, rise_mm, shop.build_up_mm
    )
    x_inner = inner.map(lambda y: y, lambda v: edge + v - lost)
    x_outer = Profile(((0.0, held_back),))
    deck = _deck(shape, 1 if shape.corner == "right" else -1, edge, rise_mm - shop["joint.deck"])
    leg = _leg(shape, edge, held_back, rise_mm, shop)
    corner = Point(*meet(shape.wall, x_inner, deck, 0.0))
    down_inner = _down(x_inner, corner.y)
    start = held_back if leg is None else leg.x_deck_mm
    clear = start if leg is None else leg.tub_front_mm
    along = [Point(x, deck.at(x)) for x in deck.between(clear, corner.x)]
    first = Point(start, deck.at(start))
    outer_end = (
        (first,)
        if leg is None
        else (first, Point(leg.x_floor_mm, leg.bottom_mm), Point(held_back, leg.bottom_mm))
    )
    points = (
        Point(held_back, 0.0),
        Point(x_inner.at(0.0), 0.0),
        *down_inner,
        corner,
        *reversed(along),
        *outer_end,
    )
    edges: list[tuple[Edge, Point]] = [("inner", p) for p in (points[1], *down_inner, corner)]
    edges += [("bottom", p) for p in (first, *along, corner)]
    edges += [("leg", p) for p in outer_end[1:]]
    used = [s.value for s in (*stations, *shape.line_to_deck)]
    if shape.low_top is not None:
        used.append(shape.low_top.down)
    if leg is not None and shape.tub_front is not None:
        front = shape.tub_front
        used += [front.at_deck, front.line_to_floor, *([front.at_floor] if front.at_floor else [])]
    return _checked(
        shape.wall,
        Outline(points, tuple(edges), (x_outer, x_inner), deck, leg, edge, rise_mm, tuple(used)),
    )


def side_profile(
    wall: str,
    side: Side,
    stations: tuple[Station, ...],
    regions: tuple[Region, ...],
    rise_mm: float,
    hung_build_up_mm: float = 0.0,
) -> Profile:
    """Offset from the plumb line to the finished plane of the wall it runs to, over y.

    A reading to the face of the hung back panel is that panel's build-up short of the plane.
    """
    return Profile.through(
        f"{wall}.{side}",
        [
            (
                s.at_mm + rise_mm,
                s.value.mm + hung_build_up_mm
                if s.surface == "hung"
                else s.value.mm + to_finished_mm(regions, s.at_mm, s.surface),
            )
            for s in stations
        ],
    )


def _deck(shape: WallShape, sign: int, plumb_x_mm: float, to_y_mm: float) -> Profile:
    heights = Profile.through(
        f"{shape.wall}.line_to_deck", [(s.at_mm, s.value.mm) for s in shape.line_to_deck]
    )
    return heights.map(lambda at: plumb_x_mm + sign * at, lambda h: h + to_y_mm)


def _leg(
    shape: WallShape, edge_mm: float, held_back_mm: float, rise_mm: float, shop: Practice
) -> Leg | None:
    front = shape.tub_front
    if front is None:
        return None
    joint = shop["joint.apron"]
    at_deck = edge_mm - front.at_deck.mm
    at_floor = edge_mm - (front.at_floor or front.at_deck).mm
    if min(at_deck, at_floor) - joint <= held_back_mm:
        return None
    bottom = front.line_to_floor.mm + rise_mm - shop["joint.floor"]
    deck = max(station.value.mm for station in shape.line_to_deck)
    if front.line_to_floor.mm <= deck:
        raise PlanError(f"{shape.wall}.tub_front", "expected the floor below the deck")
    return Leg(at_deck - joint, at_floor - joint, bottom, at_deck)


def _down(side: Profile, y_end: float) -> list[Point]:
    return [Point(side.at(y), y) for y in side.between(0.0, y_end)]


def _checked(wall: str, outline: Outline) -> Outline:
    polygon = Polygon(outline.points)
    if not polygon.is_valid:
        raise PlanError(
            f"{wall}.outline",
            f"expected sides that do not cross ({explain_validity(polygon)}): check the offsets",
        )
    if polygon.area <= 0 or outline.box[2] <= outline.box[0]:
        raise PlanError(f"{wall}.outline", "expected offsets that leave a panel between them")
    return outline
