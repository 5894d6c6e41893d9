"""What of a panel is a plain rectangle and what must be scribed to the walls."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.room import Scribe
from service.panels.shapes import largest_rectangle
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.places import Edge


def scribe(outline: Outline) -> Scribe:
    """The largest upright rectangle under the finished top that goes in, and the rest by edges.

    An upright rectangle is as wide as the innermost points of both sides and as high as the
    highest point of the lower edge allow; the sides are straight between their marks, so that no
    point between two of them is further in.
    """
    if outline.cut:
        return _cut(outline)
    by_edge: dict[Edge, list[float]] = {}
    for edge, point in outline.edge_points:
        if edge != "leg":
            by_edge.setdefault(edge, []).append(point.y if edge == "bottom" else point.x)
    first = by_edge.get("left", [outline.points[0].x])
    second = by_edge.get("right") or by_edge["inner"]
    off = [(edge, mark(max(at) - min(at))) for edge, at in by_edge.items()]
    return Scribe(
        width=width(min(second) - max(first)),
        height=width(min(by_edge["bottom"])),
        edges=tuple((edge, size) for edge, size in off if size.text != "0"),
    )


def _cut(outline: Outline) -> Scribe:
    """Of a panel that is cut round something: the largest rectangle in what is left of it."""
    x0, y0, x1, y1 = largest_rectangle(outline)
    by_edge: dict[Edge, list[float]] = {}
    for edge, point in outline.edge_points:
        if edge in ("left", "right", "inner", "bottom", "top"):
            at = point.y if edge in ("bottom", "top") else point.x
            by_edge.setdefault(edge, []).append(at)
    off = [(edge, mark(max(at) - min(at))) for edge, at in by_edge.items()]
    return Scribe(width(x1 - x0), width(y1 - y0), tuple((e, s) for e, s in off if s.text != "0"))
