"""Edges of a wall through points of its measure reports, each with its uncertainty.

A point is in the report's frame: x right, y up from the level line. Its offset from the plumb line
and its depth make a station, as a reading would; a point is an estimate and no sheet is cut by it.
What is uncertain along the edge is left out: an edge that leans little moves little by it.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final, Literal

from pydantic import Field

from service.files.shape import InputModel, Name
from service.panels.problem import PlanError
from service.panels.walls import Given, Station

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.measuring.release.judged import JudgedPoint, JudgedWall

Edge = Literal["left", "right", "deck"]
_SAME_PLACE_MM: Final = 25.4
"""A point nearer than this to a reading's station adds nothing: the reading stands for both."""


class EdgePoints(InputModel):
    """Marks of the wall's reports that lie on its edges; they fill in where no reading is."""

    plumb: Name | None = Field(
        default=None, description="A mark on the plumb line; null: it is at the frame's origin."
    )
    left: tuple[Name, ...] = Field(default=(), description="Marks on the left edge.")
    right: tuple[Name, ...] = Field(default=(), description="Marks on the right edge.")
    deck: tuple[Name, ...] = Field(default=(), description="Marks along the deck.")


def with_points(
    wall: str,
    edge: Edge,
    taped: tuple[Station, ...],
    part: EdgePoints | None,
    reports: Sequence[JudgedWall],
) -> tuple[Station, ...]:
    """The readings of an edge with the points that lie where none was taken.

    Raises
    ------
    PlanError
        A mark in no report, or a report without a level line.
    """
    names = () if part is None else getattr(part, edge)
    if part is None or not names:
        return taped
    plumb = None if part.plumb is None else _find(wall, part.plumb, reports)
    found = [_station(wall, edge, _find(wall, name, reports), plumb) for name in names]
    return (
        *taped,
        *(s for s in found if all(abs(s.at_mm - t.at_mm) >= _SAME_PLACE_MM for t in taped)),
    )


def _find(wall: str, name: str, reports: Sequence[JudgedWall]) -> JudgedPoint:
    for report in reports:
        for point in report.points:
            if point.name != name:
                continue
            if not report.levelled:
                raise PlanError(
                    f"{wall}.points",
                    f"expected a level line in {report.name}: without it {name!r} has no depth",
                )
            return point
    known = ", ".join(repr(p.name) for r in reports for p in r.points) or "none: no report has any"
    raise PlanError(f"{wall}.points", f"mark {name!r} is in no report; expected one of {known}")


def _station(wall: str, edge: Edge, point: JudgedPoint, plumb: JudgedPoint | None) -> Station:
    x = point.x_mm - (plumb.x_mm if plumb is not None else 0.0)
    u_plumb = plumb.u_x_mm if plumb is not None else 0.0
    name = f"{wall} point {point.name}"
    why = f"{name}: seen in photos, not taped"
    if edge == "deck":
        return Station(x, Given(name, -point.y_mm, point.u_y_mm, why, _DO))
    out = -x if edge == "left" else x
    # A plumb line seen too far right makes the left side long and the right side short by as much.
    shared = ((f"{wall} plumb line", u_plumb if edge == "left" else -u_plumb),) if u_plumb else ()
    u = math.hypot(point.u_x_mm, u_plumb)
    return Station(-point.y_mm, Given(name, out, u, why, _DO, shared=shared))


_DO: Final = "tape it from the plumb line, at that depth"
