"""The door of the panel calculator: from measured walls to a whole plan."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.blocking import blocking
from service.panels.check import check_alcove
from service.panels.closures import apart_cautions
from service.panels.doors import door_cautions, finished_openings
from service.panels.ends import end_advice
from service.panels.flatness import flat_spots
from service.panels.layout import best_layout, layout_cautions
from service.panels.model import Plan
from service.panels.notches import shape_cautions
from service.panels.order import choose_sheets, cutting_plan, order
from service.panels.panel_made import Made, no_sheet_cautions, panels_made, seams_needed
from service.panels.pattern import check_tile
from service.panels.planned_wall import planned_walls
from service.panels.price import price
from service.panels.returns import trims
from service.panels.room_checks import corners, room_cautions
from service.panels.sizes import mark
from service.panels.takeoff import Work, extents, takeoff
from service.panels.top import level_joints, top_advice, top_cautions
from service.panels.under_panels import corner_backers, pack_strips
from service.panels.way_in import way_in
from service.panels.windows import liner_pieces
from service.panels.zones import zone_cautions

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.panels.model import Caution, Panel, Size, Trim
    from service.panels.order import Sheets
    from service.panels.outline import Outline
    from service.panels.planned_wall import PlannedWall
    from service.panels.practice import Practice
    from service.panels.price import PriceBook
    from service.panels.room import Layout
    from service.panels.seams import SeamedPanel
    from service.panels.walls import Alcove


def plan_panels(
    alcove: Alcove, shop: Practice, book: PriceBook | None = None, practice_name: str = ""
) -> Plan:
    """Plan every panel of an alcove, in the order they are hung: the back, then the ends.

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

    Raises
    ------
    PlanError
        Naming the input and the limit: not finite, negative, past a limit, a self-crossing
        outline, a hole outside its panel.
    """
    check_alcove(alcove, shop)
    if alcove.tub == "floor":
        shop = shop.with_value_of("joint.deck", "joint.floor")
    laid = _laid(alcove, shop)
    walls, panels = laid.walls, laid.panels
    liners = [p for panel in panels for p in liner_pieces((*panel.windows, *panel.notches))]
    cutting, liner_cautions = cutting_plan(laid.sheets, liners, shop)
    layout = best_layout(alcove, walls, _back_sheet_mm(walls, laid.sheets), shop)
    halls, hall_cautions = way_in(panels, alcove.halls, shop)
    edges = tuple(trim for w in walls for trim in trims(w.shape, w.outline, alcove.top))
    backers = next((corner_backers(w.outline, shop) for w in walls if w.hand == "none"), ())
    materials = takeoff(_work(walls, panels, alcove, edges, shop), backers, shop)
    released = all(panel.released for panel in panels)
    lines = order(panels, laid.sheets)
    return Plan(
        job=alcove.name,
        scope=alcove.scope,
        practice=practice_name or f"version {shop.version}",
        released=released,
        panels=panels,
        backers=backers,
        trims=edges,
        takeoff=materials,
        order=tuple(sheet.line for sheet in lines),
        price=price(lines, materials, book, released, alcove, shop),
        warnings=(*_warnings(alcove, laid, layout, shop), *liner_cautions, *hall_cautions),
        finished_opening=_finished_opening(alcove, shop),
        changed_allowances=tuple(f"{a.key} {a.written} ({a.source})" for a in shop.own),
        cutting=cutting,
        top=top_advice(alcove, laid.outlines, shop),
        layout=layout,
        corners=corners(walls, panels, shop),
        ends=tuple(end for w in walls if (end := end_advice(w.shape, shop))),
        flatness=tuple(spot for w in walls for spot in flat_spots(w.shape, shop)),
        blocking=tuple(piece for w in walls for piece in blocking(w.shape, shop)),
        way_in=halls,
        openings=finished_openings(alcove, shop),
        tub=alcove.tub,
    )


def _finished_opening(alcove: Alcove, shop: Practice) -> Size | None:
    """Between the faces of the end panels; None where the opening was not taken."""
    if alcove.opening_mm is None:
        return None
    return mark(alcove.opening_mm - 2 * shop.build_up_mm)


@dataclass(frozen=True)
class _Laid:
    """The panels on their sheets, before anything is counted or priced.

    ``seamed`` holds a seam for each panel that no single sheet can give, by its title.
    """

    walls: Sequence[PlannedWall]
    seamed: Mapping[str, SeamedPanel]
    sheets: Sheets
    made: Sequence[Made]

    @property
    def outlines(self) -> list[Outline]:
        return [wall.outline for wall in self.walls]

    @property
    def panels(self) -> tuple[Panel, ...]:
        return tuple(one.panel for one in self.made)


def _laid(alcove: Alcove, shop: Practice) -> _Laid:
    rise = alcove.top.above_line_mm - (shop["joint.ceiling"] if alcove.top.to_ceiling else 0.0)
    walls = planned_walls(alcove, rise, shop)
    outlines = [wall.outline for wall in walls]
    check_tile(outlines, alcove.pattern)
    rows = level_joints(outlines, alcove.pattern)
    seamed = seams_needed(walls, alcove, rows, shop)
    sheets = choose_sheets(walls, seamed, alcove, shop)
    return _Laid(walls, seamed, sheets, panels_made(walls, sheets, alcove, rows, shop))


def _warnings(
    alcove: Alcove, laid: _Laid, layout: Layout | None, shop: Practice
) -> tuple[Caution, ...]:
    return (
        *apart_cautions(alcove),
        *room_cautions(laid.walls, shop),
        *top_cautions(alcove, laid.outlines, shop),
        *zone_cautions(alcove, shop),
        *shape_cautions(alcove, shop),
        *layout_cautions(layout),
        *door_cautions(alcove, shop),
        *(caution for one in laid.made for caution in one.cautions),
        *no_sheet_cautions(laid.walls, laid.sheets.picks, laid.seamed, alcove),
    )


def _back_sheet_mm(walls: Sequence[PlannedWall], sheets: Sheets) -> float | None:
    """Width of the sheet that the back panel is cut from, None where it has none of its own."""
    back = next((wall for wall in walls if wall.hand == "none"), None)
    pick = sheets.picks.get(back.title) if back is not None else None
    return None if pick is None else pick.sheet.width_mm


def _work(
    walls: Sequence[PlannedWall],
    panels: Sequence[Panel],
    alcove: Alcove,
    edges: tuple[Trim, ...],
    shop: Practice,
) -> Work:
    reveals = [
        2 * (cut.width.mm + cut.height.mm)
        for panel in panels
        for cut in panel.windows
        if cut.kind != "box"
    ]
    return Work(
        sizes=tuple(extents(wall.outline, wall.hand == "none", shop) for wall in walls),
        trims=edges,
        strips=tuple(
            s for w in walls for s in pack_strips(w.shape, w.neighbours, w.outline.level_y_mm, shop)
        ),
        reveal_mm=sum(reveals),
        area_mm2=sum(panel.area_mm2 for panel in panels),
        cut_mm=sum(_around(panel) for panel in panels),
        saws=tuple(sorted({hole.saw for panel in panels for hole in panel.cutouts})),
        bonding=alcove.bonding,
    )


def _around(panel: Panel) -> float:
    """How much is sawn: the outline without its finished top, and the window openings."""
    points = panel.outline_mm
    whole = sum(
        math.hypot(a.x - b.x, a.y - b.y)
        for a, b in zip(points, points[1:] + points[:1], strict=True)
    )
    openings = sum(2 * (cut.width.mm + cut.height.mm) for cut in panel.windows)
    return whole - abs(points[1].x - points[0].x) + openings
