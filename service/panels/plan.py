"""The door of the panel calculator: from measured walls to a whole plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.check import check_alcove
from service.panels.closures import corner_cautions, pipe_cautions, station_cautions
from service.panels.holes import cutouts
from service.panels.marks import layout_marks, overall_widths
from service.panels.model import (
    Box,
    Caution,
    Hand,
    Panel,
    PanelPattern,
    Plan,
)
from service.panels.order import SheetPick, order, pick_sheet
from service.panels.outline import Outline, back_outline, end_outline
from service.panels.pattern import back_pattern, end_pattern
from service.panels.plane import correction_notes, surface_cautions
from service.panels.price import PriceBook, price
from service.panels.returns import returns, trims
from service.panels.sizes import held, mark
from service.panels.takeoff import extents, takeoff
from service.panels.top import level_joints, top_cautions
from service.panels.under_panels import corner_backers, pack_strips

if TYPE_CHECKING:
    from service.panels.model import Cutout, Return
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Region, Side, WallShape

_ORDER = {"back": 0, "plumbing": 1, "far end": 2}


@dataclass(frozen=True)
class _Wall:
    """One wall with its outline, on the way to a panel."""

    shape: WallShape
    outline: Outline
    neighbours: dict[Side, tuple[Region, ...]]

    @property
    def hand(self) -> Hand:
        """The side of an end sheet's finished outer edge, as seen from the room."""
        if self.shape.corner is None:
            return "none"
        return "left" if self.shape.corner == "right" else "right"


def plan_panels(
    alcove: Alcove, shop: Practice, book: PriceBook | None = None, practice_name: str = ""
) -> Plan:
    """Plan every panel of an alcove.

    Parameters
    ----------
    alcove : Alcove
        The walls as measured, in the frames stated in `walls`.
    shop : Practice
        The allowances.
    book : PriceBook, optional
        Prices of materials, labour and allowances for what cannot be seen.
    practice_name : str
        How the practice is named on every page.

    Returns
    -------
    Plan
        Panels in the order they are hung: the back, then the ends.

    Raises
    ------
    PlanError
        Naming the input and the limit: not finite, negative, past a limit, a self-crossing
        outline, a hole outside its panel.
    """
    check_alcove(alcove, shop)
    rise = alcove.top.above_line_mm - (shop["joint.ceiling"] if alcove.top.to_ceiling else 0.0)
    shapes = sorted(alcove.walls, key=lambda shape: _ORDER[shape.wall])
    walls = [_wall(shape, alcove, rise, shop) for shape in shapes]
    picks = [_pick(wall, alcove, shop) for wall in walls]
    rows = level_joints([wall.outline for wall in walls], alcove.pattern)
    cautions = _room_cautions(walls, shop)
    cautions += top_cautions(alcove, [wall.outline for wall in walls], shop)
    panels = []
    for wall, pick in zip(walls, picks, strict=True):
        panel, warned = _panel(wall, pick, alcove, rows, shop)
        panels.append(panel)
        cautions += warned
    back = next((wall.outline for wall in walls if wall.shape.wall == "back"), None)
    backers = corner_backers(back, shop) if back else ()
    strips = [s for w in walls for s in pack_strips(w.shape, w.neighbours, rise, shop)]
    edges = tuple(trim for wall in walls for trim in trims(wall.shape, wall.outline))
    sizes = tuple(extents(wall.outline, wall.shape.wall == "back") for wall in walls)
    materials = takeoff(sizes, backers, edges, tuple(strips), shop)
    released = all(panel.released for panel in panels)
    sheets = order(panels, picks)
    opening = alcove.opening_mm
    return Plan(
        job=alcove.name,
        scope=alcove.scope,
        practice=practice_name or f"version {shop.version}",
        released=released,
        panels=tuple(panels),
        backers=backers,
        trims=edges,
        takeoff=materials,
        order=tuple(sheet.line for sheet in sheets),
        price=price(sheets, materials, book, released, shop),
        warnings=tuple(cautions),
        finished_opening=mark(opening - 2 * shop.build_up_mm) if opening is not None else None,
        changed_allowances=tuple(f"{a.key} {a.written} ({a.source})" for a in shop.own),
    )


def _wall(shape: WallShape, alcove: Alcove, rise: float, shop: Practice) -> _Wall:
    neighbours = _neighbours(shape, alcove)
    if shape.wall == "back":
        return _Wall(shape, back_outline(shape, neighbours, rise, shop), neighbours)
    corner = shape.corner or "right"
    return _Wall(shape, end_outline(shape, neighbours[corner], rise, shop), neighbours)


def _neighbours(shape: WallShape, alcove: Alcove) -> dict[Side, tuple[Region, ...]]:
    """Whose surface each side's readings ran to: the end walls for the back, the back for them.

    A wall that is not part of the job is taken to be finished like this one, for the tile usually
    stops at one height all round.
    """
    if shape.wall != "back":
        back = alcove.wall("back")
        regions = back.surfaces if back else shape.surfaces
        return {"left": regions, "right": regions}
    found: dict[Side, tuple[Region, ...]] = {"left": shape.surfaces, "right": shape.surfaces}
    for end in alcove.walls:
        # An end wall whose back corner is at its right stands at the left of the back wall.
        if end.corner == "right":
            found["left"] = end.surfaces
        elif end.corner == "left":
            found["right"] = end.surfaces
    return found


def _room_cautions(walls: list[_Wall], shop: Practice) -> list[Caution]:
    found: list[Caution] = []
    back = next((wall for wall in walls if wall.shape.wall == "back"), None)
    for wall in walls:
        bottoms = [p.y for edge, p in wall.outline.edge_points if edge == "bottom"]
        low = max(bottoms) - wall.outline.level_y_mm
        found += surface_cautions(wall.shape, wall.neighbours)
        found += station_cautions(wall.shape, low, shop)
        if wall.shape.corner is not None:
            found += pipe_cautions(wall.shape, wall.neighbours[wall.shape.corner], shop)
            if back is not None:
                found += corner_cautions(back.shape, back.neighbours, wall.shape, shop)
    return found


def _pick(wall: _Wall, alcove: Alcove, shop: Practice) -> SheetPick | None:
    edges = set() if alcove.top.to_ceiling else {"top"}
    outer = wall.shape.outer
    if wall.hand != "none" and outer is not None and outer.finish == "return":
        edges.add(wall.hand)
    return pick_sheet(alcove.stock, wall.outline, frozenset(edges), shop)


def _panel(
    wall: _Wall, pick: SheetPick | None, alcove: Alcove, rows: int, shop: Practice
) -> tuple[Panel, list[Caution]]:
    shape, outline = wall.shape, wall.outline
    holes, hole_cautions = cutouts(shape, outline, shop)
    turned, return_cautions = returns(shape, outline, alcove.top, shop)
    pattern, pattern_cautions = _pattern(wall, pick, alcove, rows, shop)
    cautions = [*hole_cautions, *return_cautions, *pattern_cautions]
    if pick is None:
        box = _box(outline)
        text = f"no sheet in stock holds {box.width.text} x {box.height.text} in"
        hand = "" if wall.hand == "none" else f" with a finished {wall.hand} edge"
        cautions.append(Caution("no-sheet", text + hand, shape.wall))
    return _made(wall, pick, holes, turned, pattern), cautions


def _pattern(
    wall: _Wall, pick: SheetPick | None, alcove: Alcove, rows: int, shop: Practice
) -> tuple[PanelPattern | None, tuple[Caution, ...]]:
    if alcove.pattern is None:
        return None, ()
    if wall.shape.wall == "back":
        sheet_width = pick.sheet.width_mm if pick else None
        return back_pattern(wall.outline, alcove.pattern, rows, sheet_width, shop)
    return end_pattern(wall.shape.wall, wall.outline, alcove.pattern, rows, shop)


def _made(
    wall: _Wall,
    pick: SheetPick | None,
    holes: tuple[Cutout, ...],
    turned: tuple[Return, ...],
    pattern: PanelPattern | None,
) -> Panel:
    shape, outline = wall.shape, wall.outline
    fixtures = [g for f in shape.fixtures for g in (f.from_plumb, f.down)]
    why_not = tuple(dict.fromkeys(g.why_not for g in (*outline.used, *fixtures) if g.why_not))
    return Panel(
        wall=shape.wall,
        hand=wall.hand,
        released=not why_not,
        why_not=why_not,
        outline_mm=outline.points,
        plumb_x_mm=outline.plumb_x_mm,
        level_y_mm=outline.level_y_mm,
        marks=layout_marks(shape.wall, outline),
        widths=overall_widths(outline),
        cutouts=holes,
        returns=turned,
        box=_box(outline),
        area_mm2=outline.area_mm2,
        sheet=pick.choice if pick else None,
        pattern=pattern,
        notes=_notes(wall),
    )


def _box(outline: Outline) -> Box:
    left, top, right, bottom = outline.box
    return Box(held(right - left), held(bottom - top))


def _notes(wall: _Wall) -> tuple[str, ...]:
    hung = (
        "cut and hung first: re-tape the ends' widths and holes from its hung face"
        if wall.shape.wall == "back"
        else "re-tape the width and each hole from the hung back panel before cutting"
    )
    return (hung, *correction_notes(wall.shape, wall.neighbours))
