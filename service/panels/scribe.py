"""What of a panel is a plain rectangle and what must be scribed to the walls."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.room import Scribe
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
