"""Panels that are no plain alcove's: cut round soffits, seats, curbs and pony walls, or sloped.

What stands out of the wall is an upright rectangle on it; a ceiling that slopes is everything above
a line. Both are taken from the plain outline with a joint all round, and whatever is left must be
one piece that reaches its edges: an opening in the middle is a window.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as Spot
from shapely.geometry.polygon import orient

from service.panels.outline import Notch
from service.panels.places import Point
from service.panels.problem import PlanError
from service.panels.profile import Profile
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.places import Edge
    from service.panels.practice import Practice
    from service.panels.walls import Given, Obstacle, WallShape

_FAR_MM: Final = 1e5
_GRAIN_MM: Final = 1e-4


def rise_of_mm(shape: WallShape, rise_mm: float, to_ceiling: bool, shop: Practice) -> float:
    """How far this wall's own panel rises above the level line, mm.

    A low wall ends at its own top; under a sloped ceiling it is the highest point that counts.
    """
    if shape.low_top is not None:
        return -shape.low_top.down.mm
    if not (to_ceiling and shape.ceiling):
        return rise_mm
    heights = Profile.through(f"{shape.wall}.ceiling", _knots(shape))
    places = [station.at_mm for station in shape.ceiling]
    places += [-max(s.value.mm for s in shape.left)] if shape.left else []
    places += [max(s.value.mm for s in shape.right)] if shape.right else []
    return max(heights.at(place) for place in places) - shop["joint.ceiling"]


def cut_round(shape: WallShape, outline: Outline, to_ceiling: bool, shop: Practice) -> Outline:
    """The outline without what stands in its way; the plain one where nothing does.

    Raises
    ------
    PlanError
        An obstacle that leaves no panel, more than one piece, or a hole in the middle.
    """
    sloped = to_ceiling and bool(shape.ceiling)
    if not shape.obstacles and not sloped:
        return outline
    left = Polygon(outline.points)
    above = _above_ceiling(shape, outline, shop) if sloped else Polygon()
    left = left.difference(above)
    notches = []
    for obstacle in shape.obstacles:
        notch = _notch(shape, obstacle, outline)
        cover = 0.0 if obstacle.depth_mm is None else shop.build_up_mm
        lost = _with_joint(notch, outline, shop["joint.notch"] + cover)
        left = _one_piece(shape, obstacle, left, lost)
        _coverable(shape, notch, shop["joint.notch"])
        notches.append(notch)
    ring = _ring(left, outline)
    used = (*outline.used, *(size for o in shape.obstacles for size in o.sizes))
    if sloped:
        used = (*used, *(station.value for station in shape.ceiling))
    return replace(
        outline,
        points=ring,
        edge_points=_marks(ring, left, above, outline),
        used=used,
        notches=tuple(notches),
        cut=True,
    )


def down_mm(outline: Outline, x: float) -> tuple[float, float]:
    """Upper and lower end of the panel at x, y from the panel's own top; 0, 0 where there is none.

    The lowest and the highest point count: what is cut out between them is not taken off.
    """
    line = LineString([(x, -_FAR_MM), (x, _FAR_MM)])
    found = Polygon(outline.points).intersection(line)
    return (0.0, 0.0) if found.is_empty else (float(found.bounds[1]), float(found.bounds[3]))


def across_mm(outline: Outline, y: float) -> float:
    """The width of the panel at a height, from its first to its last point there, mm."""
    line = LineString([(-_FAR_MM, y), (_FAR_MM, y)])
    found = Polygon(outline.points).intersection(line)
    return 0.0 if found.is_empty else float(found.bounds[2] - found.bounds[0])


def upright_mm(outline: Outline, x: float, inset_mm: float) -> float:
    """How much of an upright line lies on the panel, an inset off all its edges, mm."""
    line = LineString([(x, -_FAR_MM), (x, _FAR_MM)])
    return float(
        Polygon(outline.points).buffer(-inset_mm, join_style="mitre").intersection(line).length
    )


def joint_round_mm(outline: Outline) -> float:
    """How long the joint round all notches is, mm."""
    if not outline.notches:
        return 0.0
    edge = Polygon(outline.points).exterior
    total = 0.0
    for notch in outline.notches:
        near = box(notch.x0, notch.y0, notch.x1, notch.y1).exterior.buffer(25.4 / 2)
        total += float(edge.intersection(near).length)
    return total


def largest_rectangle(outline: Outline) -> tuple[float, float, float, float]:
    """The largest upright rectangle between the outline's own corners' places, x0, y0, x1, y1."""
    panel = Polygon(outline.points).buffer(_GRAIN_MM)
    xs = sorted({round(p.x, 4) for p in outline.points})
    ys = sorted({round(p.y, 4) for p in outline.points})
    sizes = [
        ((b - a) * (d - c), a, c, b, d)
        for k, a in enumerate(xs) for b in xs[k + 1 :]
        for j, c in enumerate(ys) for d in ys[j + 1 :]
    ]  # fmt: skip
    for _, a, c, b, d in sorted(sizes, reverse=True):
        if panel.contains(box(a, c, b, d)):
            return a, c, b, d
    return 0.0, 0.0, 0.0, 0.0


def check_obstacles(shape: WallShape, limit_mm: float) -> None:
    """Refuse obstacles that have no extent, or sides in the wrong order."""
    for obstacle in shape.obstacles:
        field = f"{shape.wall}.{obstacle.name}"
        if not obstacle.sizes:
            raise PlanError(field, "expected one or more of left, right, head and foot")
        for low, high, words in (
            (obstacle.left, obstacle.right, "its left side to the left of its right side"),
            (obstacle.head, obstacle.foot, "its head above its foot"),
        ):
            if low is not None and high is not None and not low.mm < high.mm:
                raise PlanError(field, f"expected {words}")
        depth = obstacle.depth_mm
        if depth is not None and not 0 < depth <= limit_mm:
            raise PlanError(
                f"{field}.depth", f"expected more than 0 and at most {limit_mm / 25.4:g} in"
            )


def _knots(shape: WallShape) -> list[tuple[float, float]]:
    return [(station.at_mm, station.value.mm) for station in shape.ceiling]


def _above_ceiling(shape: WallShape, outline: Outline, shop: Practice) -> Polygon:
    """Everything above the ceiling and its joint, in the panel's frame."""
    sign = -1.0 if shape.corner == "left" else 1.0
    line = Profile.through(f"{shape.wall}.ceiling", _knots(shape)).map(
        lambda at: outline.plumb_x_mm + sign * at, lambda high: outline.level_y_mm - high
    )
    x0, _, x1, _ = outline.box
    places = sorted({x0 - 100.0, x1 + 100.0, *line.between(x0 - 100.0, x1 + 100.0)})
    under = [(x, line.at(x)) for x in places]
    whole = Polygon([*under, (places[-1], -_FAR_MM), (places[0], -_FAR_MM)])
    return whole.buffer(shop["joint.ceiling"], join_style="mitre")


def _notch(shape: WallShape, obstacle: Obstacle, outline: Outline) -> Notch:
    sign = -1.0 if shape.corner == "left" else 1.0

    def across(size: Given | None, beyond: float) -> float:
        return sign * beyond if size is None else outline.plumb_x_mm + sign * size.mm

    def down(size: Given | None, beyond: float) -> float:
        return beyond if size is None else outline.level_y_mm + size.mm

    x0, x1 = sorted((across(obstacle.left, -_FAR_MM), across(obstacle.right, _FAR_MM)))
    left, top, right, low = outline.box
    y0, y1 = down(obstacle.head, -_FAR_MM), down(obstacle.foot, _FAR_MM)
    return Notch(obstacle, max(x0, left), max(y0, top), min(x1, right), min(y1, low))


def _with_joint(notch: Notch, outline: Outline, joint: float) -> Polygon:
    """The notch and its joint; a side that runs past the panel runs on well past it."""
    left, top, right, low = outline.box
    past = 10.0 * joint + 1.0
    return box(
        notch.x0 - (past if notch.x0 <= left else joint),
        notch.y0 - (past if notch.y0 <= top else joint),
        notch.x1 + (past if notch.x1 >= right else joint),
        notch.y1 + (past if notch.y1 >= low else joint),
    )


def _one_piece(shape: WallShape, obstacle: Obstacle, panel: Polygon, lost: Polygon) -> Polygon:
    field = f"{shape.wall}.{obstacle.name}"
    x0, y0, x1, y1 = lost.bounds
    if not lost.intersects(panel):
        raise PlanError(
            field,
            f"expected a {obstacle.kind} that meets the panel; {mark(x0).text} to {mark(x1).text} "
            f"in across and {mark(y0).text} to {mark(y1).text} in down does not",
        )
    left = panel.difference(lost)
    if left.is_empty:
        raise PlanError(field, "expected a panel beside it, and it takes all of it")
    if left.geom_type != "Polygon":
        raise PlanError(
            field,
            f"expected the panel to stay in one piece; this leaves {len(left.geoms)}: plan what "
            "is above and below it as walls of their own",
        )
    if left.interiors:
        raise PlanError(
            field,
            "expected it to reach an edge of the panel: else it is a window or niche",
        )
    return left


def _coverable(shape: WallShape, notch: Notch, joint: float) -> None:
    """Refuse to cover what is no larger than the joint below its cover."""
    across, high = notch.x1 - notch.x0, notch.y1 - notch.y0
    if notch.obstacle.depth_mm is not None and min(across, high) <= joint:
        raise PlanError(
            f"{shape.wall}.{notch.obstacle.name}",
            f"expected more than its joint of {mark(joint).text} in each way to cover; "
            f"{mark(max(across, 0.0)).text} by {mark(max(high, 0.0)).text} in are on the panel",
        )


def _ring(panel: Polygon, outline: Outline) -> tuple[Point, ...]:
    """The corners clockwise as seen in the panel's frame, from the upper one at the least x."""
    # y grows downwards, so that what is clockwise to the eye is counter-clockwise in numbers.
    ring = [Point(*p[:2]) for p in orient(panel, 1.0).exterior.coords[:-1]]
    ring = [_exact(p, outline) for p in ring]
    at_side = [p for p in ring if abs(p.x - outline.sides[0].at(p.y)) < _GRAIN_MM * 10]
    start = min(at_side, key=lambda p: p.y) if at_side else min(ring)
    first = ring.index(start)
    return tuple(ring[first:] + ring[:first])


def _exact(point: Point, outline: Outline) -> Point:
    """The plain outline's own corner where it is one, free of the grain of the cutting."""
    for own in outline.points:
        if abs(own.x - point.x) < _GRAIN_MM and abs(own.y - point.y) < _GRAIN_MM:
            return own
    return point


def _marks(
    ring: tuple[Point, ...], panel: Polygon, above: Polygon, outline: Outline
) -> tuple[tuple[Edge, Point], ...]:
    """The plain outline's marks that are left, then those along the ceiling and round notches."""
    edge = panel.exterior
    kept = [(e, p) for e, p in outline.edge_points if edge.distance(Spot(p)) < _GRAIN_MM]
    known = {(round(p.x, 3), round(p.y, 3)) for _, p in kept}
    known |= {(round(p.x, 3), round(p.y, 3)) for p in outline.points}
    new = [p for p in ring if (round(p.x, 3), round(p.y, 3)) not in known]
    slope = above.exterior if not above.is_empty else None
    top = [p for p in new if slope is not None and slope.distance(Spot(p)) < _GRAIN_MM]
    rest = [p for p in new if p not in top]
    made: list[tuple[Edge, Point]] = [("top", p) for p in sorted(top)]
    return (*made, *kept, *(("notch", p) for p in rest))
