"""The best top, pattern place and outer edges together: every allowed combination is compared.

For one top the back wall's cuts hang on the pattern's place alone and those of each end on its own
outer edge, and the shortfalls of slivers add up. So the best of every part is the best of the
whole, and the comparison over all tops is one over all combinations.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from service.panels.model import Caution
from service.panels.pattern import bottom_course_mm, centre_limits, side_heights
from service.panels.placement import Placement, best_placement
from service.panels.planned_wall import planned_walls
from service.panels.room import EndMove, Layout
from service.panels.sizes import mark
from service.panels.top import hard_faults, tops_to_try

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.planned_wall import PlannedWall
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Pattern, WallShape

_GRAIN_MM: Final = 1e-6
_STEP_MM: Final = 25.4 / 16


@dataclass(frozen=True)
class _Edge:
    """One place of an outer edge: how far it is moved outwards, and the narrowest cut it leaves."""

    move_mm: float
    cut_mm: float


@dataclass(frozen=True)
class _Try:
    """The best of one top: faults of code and stock, shortfalls, and what was chosen."""

    top_move_mm: float
    faults: int
    course_short_mm: float
    back: Placement | None
    back_short_mm: float
    ends: tuple[tuple[PlannedWall, _Edge], ...]
    ends_short_mm: float
    tried: int

    @property
    def short_mm(self) -> float:
        return self.course_short_mm + self.back_short_mm + self.ends_short_mm

    @property
    def key(self) -> tuple[float, ...]:
        """The less the better: faults, slivers, uneven cuts, then how far anything is moved."""
        uneven = self.back.imbalance_mm if self.back is not None else 0.0
        moved = abs(self.top_move_mm) + sum(abs(edge.move_mm) for _, edge in self.ends)
        return self.faults, round(self.short_mm, 4), round(uneven, 4), round(moved, 4)


def best_layout(
    alcove: Alcove, walls: Sequence[PlannedWall], back_sheet_mm: float | None, shop: Practice
) -> Layout | None:
    """The best of all allowed tops, places and edges; None on plain sheets.

    Parameters
    ----------
    back_sheet_mm
        Width of the back's sheet, where a pattern printed on its centre limits the place.
    """
    if alcove.pattern is None:
        return None
    line = alcove.top.line_above_floor_mm
    tries = [_tried(move, alcove, walls, back_sheet_mm, shop) for move in tops_to_try(alcove, shop)]
    best = min(tries, key=lambda one: one.key)
    now = next(one for one in tries if one.top_move_mm == 0.0)
    planned = None if line is None else line + alcove.top.above_line_mm
    ends_now = {wall.shape.wall: _as_planned(wall, alcove.pattern) for wall, _ in now.ends}
    short_now = now.course_short_mm + now.back_short_mm
    short_now += sum(_short(cut, alcove.pattern, shop) for cut in ends_now.values())
    return Layout(
        top=None if planned is None else mark(planned + best.top_move_mm),
        planned_top=None if planned is None else mark(planned),
        ends=tuple(
            _end(wall, edge, ends_now[wall.shape.wall], alcove, shop) for wall, edge in best.ends
        ),
        short_now=mark(short_now),
        short=mark(best.short_mm),
        imbalance=None if best.back is None else mark(best.back.imbalance_mm),
        tried=sum(one.tried for one in tries),
    )


def layout_cautions(layout: Layout | None) -> tuple[Caution, ...]:
    """Which edges to move for the pattern, or that no allowed move helps; the least bad is said."""
    if layout is None:
        return ()
    found = []
    for end in layout.ends:
        moved = end.best.mm - end.planned.mm
        if abs(moved) > _GRAIN_MM and end.cut.mm > end.cut_now.mm + _GRAIN_MM:
            way = "out" if moved > 0 else "in"
            text = (
                f"an outer edge {mark(abs(moved)).text} in further {way}, {end.best.text} in from "
                f"plumb, would leave {end.cut.text} in in the corner instead of "
                f"{end.cut_now.text} in: agree it before ordering"
            )
            found.append(Caution("move-outer", text, end.wall))
    if layout.short.mm > _GRAIN_MM:
        text = (
            f"no allowed top, place or edge avoids every sliver ({layout.tried:,} compared): the "
            f"least bad lacks {layout.short.text} in of the least cut"
        )
        found.append(Caution("no-layout", text))
    return tuple(found)


def end_cut_mm(widths_mm: Sequence[float], pattern: Pattern) -> float:
    """The narrowest tile in the corner of an end wall whose courses start full at the other end.

    A course shifted by half a module starts with half of one. Where the edge falls within a joint,
    a whole tile ends there.
    """
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    module = tile + joint
    shifts = (0.0, module / 2) if pattern.course == "half offset" else (0.0,)
    cuts = []
    for width in widths_mm:
        for shift in shifts:
            over = (width + shift) % module
            cuts.append(tile if over > tile - _GRAIN_MM or over < _GRAIN_MM else over)
    return min(cuts)


def allowed_edges_mm(
    wall: PlannedWall, alcove: Alcove, shop: Practice
) -> tuple[float, float]:  # fmt: skip
    """How far the outer edge may be moved in (negative) and out, with the planned place always in.

    It must still cover the tile edge and the paint scar, clear the casing, not pass an outside
    corner, stay past the tub's front where it has a leg, and leave a panel that some sheet holds.
    """
    shape, outer = wall.shape, wall.shape.outer
    most = shop["pattern.edge_move"]
    if outer is None:
        return 0.0, 0.0
    edge, cover = outer.from_plumb_mm, shop["trim.least_cover"]
    tile = [s.value.mm for s in (shape.left if shape.corner == "right" else shape.right)]
    lows = [place + cover - edge for place in (*tile, outer.scar_mm) if place is not None]
    if wall.outline.leg is not None and shape.tub_front is not None:
        lows.append(_past_front(shape, shop) - edge)
    highs = [] if outer.casing_mm is None else [outer.casing_mm - shop["trim.casing_clear"] - edge]
    if outer.outside_corner_mm is not None:
        highs.append(outer.outside_corner_mm - edge)
    want = wall.wanted(alcove)
    sheets = [s.width_mm for s in alcove.stock if want.needs <= set(s.finished)]
    if sheets:
        highs.append(max(sheets) - want.width_mm)
    return min(max([-most, *lows]), 0.0), max(min([most, *highs]), 0.0)


def _past_front(shape: WallShape, shop: Practice) -> float:
    front = shape.tub_front
    if front is None:
        return 0.0
    furthest = max(front.at_deck.mm, (front.at_floor or front.at_deck).mm)
    return furthest + shop["joint.apron"] + _STEP_MM


def _tried(
    move: float,
    alcove: Alcove,
    walls: Sequence[PlannedWall],
    back_sheet_mm: float | None,
    shop: Practice,
) -> _Try:
    pattern = alcove.pattern
    if pattern is None:
        raise ValueError("expected a pattern")
    if move:
        top = replace(alcove.top, above_line_mm=alcove.top.above_line_mm + move)
        walls = planned_walls(replace(alcove, top=top), top.above_line_mm, shop)
    tile, joint = pattern.tile_mm[1], pattern.joint_mm
    lows = [p.y + w.outline.below_mm for w in walls for p in w.outline.lows]
    course = min(bottom_course_mm(low, tile, joint) for low in lows)
    least = shop["pattern.least_cut"]
    back = next((w for w in walls if w.hand == "none"), None)
    place = None if back is None else _placed(back, pattern, back_sheet_mm, shop)
    ends = [(w, *_best_edge(w, alcove, pattern, shop)) for w in walls if w.hand != "none"]
    tried = (place.tried if place is not None else 1) * math.prod(n for *_, n in ends)
    back_cut = place.least_cut_mm if place is not None else pattern.tile_mm[0]
    return _Try(
        top_move_mm=move,
        faults=hard_faults(move, alcove, [w.outline for w in walls], shop),
        course_short_mm=max(least * tile - course, 0.0),
        back=place,
        back_short_mm=_short(back_cut, pattern, shop),
        ends=tuple((wall, edge) for wall, edge, _ in ends),
        ends_short_mm=sum(_short(edge.cut_mm, pattern, shop) for _, edge, _ in ends),
        tried=tried,
    )


def _placed(
    back: PlannedWall, pattern: Pattern, sheet_mm: float | None, shop: Practice
) -> Placement:
    heights = side_heights(back.outline)
    left = [-back.outline.sides[0].at(y) for y in heights]
    right = [back.outline.sides[1].at(y) for y in heights]
    limits = None
    if sheet_mm is not None and pattern.centre != "free":
        limits = centre_limits(max(left), max(right), sheet_mm)
    return best_placement(
        left, right, pattern, shop["pattern.least_cut"] * pattern.tile_mm[0], limits
    )


def _best_edge(
    wall: PlannedWall, alcove: Alcove, pattern: Pattern, shop: Practice
) -> tuple[_Edge, int]:
    """No sliver first, then the least moved, then inwards; with the number of places compared."""
    low, high = allowed_edges_mm(wall, alcove, shop)
    first, last = math.ceil(low / _STEP_MM - 1e-9), math.floor(high / _STEP_MM + 1e-9)
    moves = [k * _STEP_MM for k in range(first, last + 1)]
    widths = _widths(wall)
    edges = [_Edge(m, end_cut_mm([w + m for w in widths], pattern)) for m in moves]
    best = min(
        edges,
        key=lambda e: (round(_short(e.cut_mm, pattern, shop), 4), abs(e.move_mm), e.move_mm),
    )
    return best, len(edges)


def _as_planned(wall: PlannedWall, pattern: Pattern) -> float:
    return end_cut_mm(_widths(wall), pattern)


def _widths(wall: PlannedWall) -> list[float]:
    outline = wall.outline
    start = outline.box[0]
    return [outline.sides[1].at(y) - start for y in side_heights(outline)]


def _short(cut_mm: float, pattern: Pattern, shop: Practice) -> float:
    return max(shop["pattern.least_cut"] * pattern.tile_mm[0] - cut_mm, 0.0)


def _end(wall: PlannedWall, edge: _Edge, cut_now: float, alcove: Alcove, shop: Practice) -> EndMove:
    outer = wall.shape.outer
    planned = outer.from_plumb_mm if outer is not None else 0.0
    low, high = allowed_edges_mm(wall, alcove, shop)
    return EndMove(
        wall=wall.shape.wall,
        planned=mark(planned),
        best=mark(planned + edge.move_mm),
        low=mark(planned + low),
        high=mark(planned + high),
        cut_now=mark(cut_now),
        cut=mark(edge.cut_mm),
    )
