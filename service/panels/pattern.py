"""Simulated tile: level joints that meet in the corners, balanced cuts, no slivers."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from service.panels.model import Caution, CutTile, Edge, PanelPattern
from service.panels.sizes import mark, marked_mm

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import WallName
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Pattern

_GRAIN_MM = 1e-6


@dataclass(frozen=True)
class Layout:
    """A balanced run of tile: `full` whole tiles between two equal cuts (0: none)."""

    full: int
    cut_mm: float


def balanced_layout(
    width_mm: float,
    tile_mm: float,
    joint_mm: float,
    least_cut_mm: float,
    centre: Literal["free", "tile", "joint"] = "free",
) -> Layout:
    """Whole tiles centred on a width, with equal cuts that are no slivers where that can be.

    ANSI A108.02 4.3.1 and 4.3.2: centre and balance; usually no cuts smaller than half size. The
    largest number of whole tiles wins whose cuts are `least_cut_mm` or more; `centre` allows only
    odd (a tile on the centre) or even numbers (a joint). When no number will do, the widest cut.

    Examples
    --------
    >>> balanced_layout(121.5, 24.0, 0.0, 12.0)
    Layout(full=4, cut_mm=12.75)
    """
    most = math.floor((width_mm + joint_mm + _GRAIN_MM) / (tile_mm + joint_mm))
    numbers = [n for n in range(most, -1, -1) if _allowed(n, centre)][:2]
    layouts = [Layout(n, _cut(width_mm, n, tile_mm, joint_mm)) for n in numbers]
    for layout in layouts:
        if layout.cut_mm >= least_cut_mm - _GRAIN_MM or layout.cut_mm == 0.0:
            return layout
    return max(layouts, key=lambda layout: layout.cut_mm, default=Layout(0, 0.0))


def joint_tops(height_mm: float, tile_mm: float, joint_mm: float) -> tuple[float, ...]:
    """Upper edges of the level joints of a run that starts full, mm from its start."""
    module = tile_mm + joint_mm
    count = math.floor((height_mm + _GRAIN_MM) / module)
    return tuple(k * module - joint_mm for k in range(1, count + 1))


def balanced_centre(left: Sequence[float], right: Sequence[float]) -> float:
    """Centre of the pattern that keeps left and right cuts nearest to equal over a leaning wall.

    `left` and `right` are the panel's half widths at the same heights. Left cut minus right cut is
    left - right + 2c, so the worst difference is least where its two extremes are opposite.
    """
    differences = [a - b for a, b in zip(left, right, strict=True)]
    return -(max(differences) + min(differences)) / 4


def centre_limits(left_mm: float, right_mm: float, sheet_mm: float) -> tuple[float, float]:
    """How far a pattern printed centred on its sheet can be moved, left negative.

    The sheet must still reach the panel's extremes left and right of the plumb line.
    """
    return right_mm - sheet_mm / 2, sheet_mm / 2 - left_mm


def other_course_mm(cut_mm: float, tile_mm: float, joint_mm: float) -> float:
    """The cut at the same edge in a course shifted by half a module."""
    half = (tile_mm + joint_mm) / 2
    return cut_mm - half if cut_mm > half + _GRAIN_MM else min(cut_mm + half, tile_mm)


def bottom_course_mm(top_to_deck_mm: float, tile_mm: float, joint_mm: float) -> float:
    """Height of the lowest course under full courses from the finished top, mm."""
    tops = joint_tops(top_to_deck_mm, tile_mm, joint_mm)
    return top_to_deck_mm - (tops[-1] + joint_mm if tops else 0.0)


def back_pattern(
    outline: Outline, pattern: Pattern, rows: int, sheet_width_mm: float | None, shop: Practice
) -> tuple[PanelPattern, tuple[Caution, ...]]:
    """The pattern on the back panel, balanced over its height.

    Parameters
    ----------
    rows : int
        Level joints, the same on all three walls.
    sheet_width_mm : float or None
        With a pattern printed centred on the sheet, how far it can be moved depends on this.
    """
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    heights = _heights(outline)
    left = [-outline.sides[0].at(y) for y in heights]
    right = [outline.sides[1].at(y) for y in heights]
    narrowest = min(a + b for a, b in zip(left, right, strict=True))
    least = shop["pattern.least_cut"] * tile
    layout = balanced_layout(narrowest, tile, joint, least, pattern.centre)
    centre = marked_mm(balanced_centre(left, right))
    if sheet_width_mm is not None and pattern.centre != "free":
        least_centre, most_centre = centre_limits(max(left), max(right), sheet_width_mm)
        centre = min(max(centre, least_centre), most_centre)
    reach = _span(layout.full, tile, joint) / 2 + joint
    cuts = [_cut_tile("left", y, a + centre - reach) for y, a in zip(heights, left, strict=True)]
    cuts += [_cut_tile("right", y, b - centre - reach) for y, b in zip(heights, right, strict=True)]
    start = centre - reach
    columns = tuple(start + k * (tile + joint) for k in range(layout.full + 1))
    box = outline.box
    made = _pattern(
        pattern, outline, rows, columns, centre, cuts, (("left", box[0]), ("right", box[2]))
    )
    covered = shop.build_up_mm - shop["joint.side"]
    if covered > 0:
        note = f"once the end sheets stand, each cut shows {mark(covered).text} in less"
        made = replace(made, notes=(*made.notes, note))
    return made, _cautions("back", made, pattern, shop)


def end_pattern(
    wall: WallName, outline: Outline, pattern: Pattern, rows: int, shop: Practice
) -> tuple[PanelPattern, tuple[Caution, ...]]:
    """The pattern on an end panel: full at the outer edge, the cut in the back corner."""
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    module = tile + joint
    heights = _heights(outline)
    start = outline.box[0]
    widths = [outline.sides[1].at(y) - start for y in heights]
    full = math.floor((min(widths) - _GRAIN_MM) / module)
    columns = tuple(start + k * module - joint for k in range(1, full + 1))
    cuts = [_cut_tile("inner", y, w - full * module) for y, w in zip(heights, widths, strict=True)]
    front = start if outline.leg is None else outline.leg.tub_front_mm
    corner = outline.sides[1].at(heights[-1])
    made = _pattern(
        pattern, outline, rows, columns, 0.0, cuts, (("inner", corner), ("outer", front))
    )
    return made, _cautions(wall, made, pattern, shop)


def _allowed(count: int, centre: str) -> bool:
    return centre == "free" or (count % 2 == 1) == (centre == "tile")


def _span(count: int, tile: float, joint: float) -> float:
    return count * tile + (count - 1) * joint


def _cut(width: float, count: int, tile: float, joint: float) -> float:
    """Each of two equal cuts; 0 where whole tiles and their outer joints fill the width."""
    cut = (width - _span(count, tile, joint)) / 2 - joint
    return cut if cut > _GRAIN_MM else 0.0


def _heights(outline: Outline) -> tuple[float, ...]:
    sides = [p.y for edge, p in outline.edge_points if edge in ("left", "right", "inner")]
    return tuple(sorted({round(y, 6) for y in sides}))


def _cut_tile(side: Edge, down: float, width: float) -> CutTile:
    return CutTile(side, mark(down), mark(max(width, 0.0)))


def _pattern(
    pattern: Pattern,
    outline: Outline,
    rows: int,
    columns: tuple[float, ...],
    centre: float,
    cuts: list[CutTile],
    bottoms: tuple[tuple[Edge, float], ...],
) -> PanelPattern:
    module = pattern.tile_mm[1] + pattern.joint_mm
    joints = tuple(k * module - pattern.joint_mm for k in range(1, rows + 1))
    lowest = rows * module
    notes = []
    below = [k * module - pattern.joint_mm for k in range(rows + 1, rows + 50)]
    in_leg = [mark(y).text for y in below if outline.leg and y < outline.leg.bottom_mm]
    if in_leg:
        notes.append(f"in the leg the level joints go on at {', '.join(in_leg)} in from the top")
    if pattern.course == "half offset":
        notes.append(_shift_note(pattern, cuts))
    return PanelPattern(
        tile=(mark(pattern.tile_mm[0]), mark(pattern.tile_mm[1])),
        joint_mm=pattern.joint_mm,
        course_joints=tuple(mark(y) for y in joints),
        column_joints=tuple(mark(x) for x in columns),
        offset=mark(centre),
        cuts=tuple(cuts),
        bottom_courses=tuple(
            CutTile(side, mark(lowest), mark(outline.bottom.at(x) - lowest)) for side, x in bottoms
        ),
        notes=tuple(notes),
    )


def _shift_note(pattern: Pattern, cuts: list[CutTile]) -> str:
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    parts = []
    for side in dict.fromkeys(cut.side for cut in cuts):
        there = [other_course_mm(c.width.mm, tile, joint) for c in cuts if c.side == side]
        parts.append(
            f"cuts at the {side} edge {mark(min(there)).text} to {mark(max(there)).text} in there"
        )
    return f"every second course is shifted by {mark((tile + joint) / 2).text} in: " + ", ".join(
        parts
    )


def _cautions(
    wall: WallName, made: PanelPattern, pattern: Pattern, shop: Practice
) -> tuple[Caution, ...]:
    found = []
    for side in dict.fromkeys(cut.side for cut in made.cuts):
        widths = [cut.width.mm for cut in made.cuts if cut.side == side]
        found += _slivers(wall, side, widths, pattern, shop)
        if max(widths) - min(widths) > shop["pattern.taper"]:
            text = (
                f"cut tiles at the {side} edge run from {mark(widths[0]).text} in at the top to "
                f"{mark(widths[-1]).text} in: tell the customer"
            )
            found.append(Caution("taper", text, wall))
    least = shop["pattern.least_cut"]
    lowest = min(made.bottom_courses, key=lambda cut: cut.width.mm)
    if lowest.width.mm < least * pattern.tile_mm[1] - _GRAIN_MM:
        text = f"lowest course is {lowest.width.text} in, under {least:g} of a tile: move the top"
        found.append(Caution("sliver-course", text, wall))
    return tuple(found)


def _slivers(
    wall: WallName, side: Edge, widths: list[float], pattern: Pattern, shop: Practice
) -> list[Caution]:
    tile, least = pattern.tile_mm[0], shop["pattern.least_cut"]
    courses = [("", widths)]
    if pattern.course == "half offset":
        shifted = [other_course_mm(width, tile, pattern.joint_mm) for width in widths]
        courses.append((" in every second course", shifted))
    return [
        Caution(
            "sliver",
            f"cut tile at the {side} edge is {mark(min(found)).text} in{where}, "
            f"under {least:g} of a tile",
            wall,
        )
        for where, found in courses
        if min(found) < least * tile - _GRAIN_MM
    ]
