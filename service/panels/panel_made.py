"""Panels from planned walls: holes, windows, returns, pattern, marks, and what holds them back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from service.panels.boxes import box_cuts
from service.panels.closures import APART
from service.panels.holes import cutouts
from service.panels.marks import layout_marks, overall_widths
from service.panels.model import Box, Caution, Panel
from service.panels.notches import notch_cuts
from service.panels.order import short_by
from service.panels.pattern import back_pattern, end_pattern
from service.panels.plane import correction_notes
from service.panels.release import sheet_sizes
from service.panels.returns import returns
from service.panels.scribe import scribe
from service.panels.seams import best_seams
from service.panels.sizes import held
from service.panels.windows import window_cuts

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.panels.cut_plan import Seam
    from service.panels.model import Cutout, PanelPattern, Return, SheetChoice, TopEdge
    from service.panels.order import SheetPick, Sheets
    from service.panels.outline import Outline
    from service.panels.planned_wall import PlannedWall
    from service.panels.practice import Practice
    from service.panels.seams import SeamedPanel
    from service.panels.walls import Alcove, StockSheet, Top, WallShape


@dataclass(frozen=True)
class Made:
    """A panel and what must be looked at on it."""

    panel: Panel
    cautions: tuple[Caution, ...]


def panels_made(
    walls: Sequence[PlannedWall],
    sheets: Sheets,
    alcove: Alcove,
    rows: int,
    shop: Practice,
) -> list[Made]:
    """Every panel with all that is cut and drawn on it; `rows` are the shared level joints."""
    seams = {panel.seams[0].wall: panel.seams for panel in sheets.seamed}
    return [
        _made(
            wall, sheets.picks.get(wall.title), seams.get(wall.shape.wall, ()), alcove, rows, shop
        )
        for wall in walls
    ]


def seams_needed(
    walls: Sequence[PlannedWall], alcove: Alcove, rows: int, shop: Practice
) -> dict[str, SeamedPanel]:
    """A seam for every panel that no sheet of the stock holds, by the panel's title."""
    found: dict[str, SeamedPanel] = {}
    for wall in walls:
        whole = wall.wanted(alcove)
        if not alcove.stock or any(_holds(sheet, wall, alcove) for sheet in alcove.stock):
            continue
        holes, _ = cutouts(wall.shape, wall.outline, shop)
        pattern, _ = _pattern(wall, None, alcove, rows, shop)
        seam = best_seams(wall.shape, wall.outline, holes, pattern, whole, alcove.stock, shop)
        if seam is not None:
            found[wall.title] = seam
    return found


def no_sheet_cautions(
    walls: Sequence[PlannedWall],
    picks: Mapping[str, SheetPick],
    seamed: Mapping[str, SeamedPanel],
    alcove: Alcove,
) -> list[Caution]:
    """Panels that no sheet holds: by how much stock falls short, and the seam if one is allowed."""
    found = []
    for wall in walls:
        if wall.title in picks:
            continue
        box = panel_box(wall.outline)
        text = f"no sheet in stock holds {box.width.text} x {box.height.text} in"
        text += "" if wall.hand == "none" else f" with a finished {wall.hand} edge"
        text += f" ({short_by(wall, alcove)})"
        part = seamed.get(wall.title)
        if part is None:
            found.append(Caution("no-sheet", text, wall.shape.wall, "order a larger sheet"))
            continue
        places = " and ".join(seam.place for seam in part.seams)
        first = part.seams[0]
        some = "one" if len(part.seams) == 1 else f"{len(part.seams)}"
        text += (
            f": {some} {first.direction} seam{'s' if len(part.seams) > 1 else ''} {places}, "
            f"behind a {first.behind}"
        )
        found.append(Caution("seam", text, wall.shape.wall, "agree it, or order a larger sheet"))
    return found


def panel_box(outline: Outline) -> Box:
    """The upright rectangle round a panel, as it must be held."""
    left, top, right, bottom = outline.box
    return Box(held(right - left), held(bottom - top))


def _holds(sheet: StockSheet, wall: PlannedWall, alcove: Alcove) -> bool:
    want = wall.wanted(alcove)
    return (
        want.needs <= set(sheet.finished)
        and want.width_mm <= sheet.width_mm + 1e-6
        and want.height_mm <= sheet.height_mm + 1e-6
    )


def _made(
    wall: PlannedWall,
    pick: SheetPick | None,
    seams: tuple[Seam, ...],
    alcove: Alcove,
    rows: int,
    shop: Practice,
) -> Made:
    shape, outline = wall.shape, wall.outline
    holes, hole_cautions = cutouts(shape, outline, shop)
    boxes, box_cautions = box_cuts(shape, outline, shop)
    turned, return_cautions = returns(shape, outline, alcove.top, shop)
    pattern, pattern_cautions = _pattern(wall, pick, alcove, rows, shop)
    chosen = pick.choice if pick is not None else None
    panel = _panel(wall, chosen, holes, turned, pattern, alcove, shop)
    panel = replace(panel, windows=(*panel.windows, *boxes), seams=seams)
    return Made(panel, (*hole_cautions, *box_cautions, *return_cautions, *pattern_cautions))


def _pattern(
    wall: PlannedWall, pick: SheetPick | None, alcove: Alcove, rows: int, shop: Practice
) -> tuple[PanelPattern | None, tuple[Caution, ...]]:
    if alcove.pattern is None:
        return None, ()
    if wall.hand == "none":
        width = pick.sheet.width_mm if pick else None
        return back_pattern(wall.outline, alcove.pattern, rows, width, shop)
    return end_pattern(wall.shape.wall, wall.outline, alcove.pattern, rows, shop)


def _panel(
    wall: PlannedWall,
    sheet: SheetChoice | None,
    holes: tuple[Cutout, ...],
    turned: tuple[Return, ...],
    pattern: PanelPattern | None,
    alcove: Alcove,
    shop: Practice,
) -> Panel:
    shape, outline = wall.shape, wall.outline
    cut_by = [g for f in shape.fixtures if f.pierces for g in (f.from_plumb, f.down)]
    cut_by += [g for w in shape.windows for g in (w.left, w.right, w.head, w.sill)]
    if shape.outer is not None and shape.outer.taped is not None:
        cut_by.append(shape.outer.taped)
    sizes = sheet_sizes((*outline.used, *cut_by))
    why_not = tuple(dict.fromkeys(size.why_not for size in sizes if size.why_not))
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
        box=panel_box(outline),
        area_mm2=outline.area_mm2,
        sheet=sheet,
        pattern=pattern,
        notes=_notes(wall, alcove),
        windows=window_cuts(shape, outline, alcove.tub, shop),
        scribe=scribe(outline),
        sizes=sizes,
        notches=notch_cuts(shape, outline, alcove.tub, shop),
        top=_top_edge(shape, alcove.top),
    )


def _top_edge(shape: WallShape, top: Top) -> TopEdge:
    if shape.low_top is not None:
        return "cap"
    if top.to_ceiling:
        return "sloped ceiling" if shape.ceiling else "ceiling"
    return "trim" if top.finish == "trim" else "finished"


def _notes(wall: PlannedWall, alcove: Alcove) -> tuple[str, ...]:
    shape = wall.shape
    stations = () if shape.corner is None else shape.right
    if shape.corner == "left":
        stations = shape.left
    if wall.hand == "none":
        first = "cut and hung first: re-tape the ends' widths and holes from its hung face"
    elif stations and all(station.surface == "hung" for station in stations):
        first = "widths were taped from the hung back panel: check each hole from it too"
    else:
        first = "re-tape the width and each hole from the hung back panel before cutting"
    apart = (APART,) if shape.wall in alcove.judged_apart else ()
    return (*apart, first, *correction_notes(shape, wall.neighbours))
