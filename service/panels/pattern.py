"""Simulated tile: level joints that meet in the corners, balanced cuts, no slivers."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from service.panels.model import Caution, CutTile, Edge, PanelPattern
from service.panels.placement import best_placement
from service.panels.problem import PlanError
from service.panels.shapes import down_mm
from service.panels.sizes import mark, part_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.model import WallName
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Pattern

_GRAIN_MM = 1e-6


def joint_tops(height_mm: float, tile_mm: float, joint_mm: float) -> tuple[float, ...]:
    """Upper edges of the level joints of a run that starts full, mm from its start."""
    module = tile_mm + joint_mm
    count = math.floor((height_mm + _GRAIN_MM) / module)
    return tuple(k * module - joint_mm for k in range(1, count + 1))


def centre_limits(left_mm: float, right_mm: float, sheet_mm: float) -> tuple[float, float]:
    """How far a pattern printed centred on its sheet can be moved, mm, left negative.

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


def real_course_mm(course_mm: float, pattern: Pattern) -> float:
    """What is seen of a lowest course: on a deck that falls, one more joint may run part of it."""
    over = course_mm - pattern.tile_mm[1] - pattern.joint_mm
    return over if over > _GRAIN_MM else course_mm


def check_tile(outlines: Sequence[Outline], pattern: Pattern | None) -> None:
    """Refuse a tile that is wider or higher than every panel.

    Raises
    ------
    PlanError
        Naming the largest panel's size as the limit.
    """
    if pattern is None:
        return
    boxes = [outline.box for outline in outlines]
    limits = (
        ("width", max(box[2] - box[0] for box in boxes)),
        ("height", max(box[3] - box[1] for box in boxes)),
    )
    for side, (word, limit) in zip(pattern.tile_mm, limits, strict=True):
        if side > limit + _GRAIN_MM:
            raise PlanError(
                "pattern.tile",
                f"expected a {word} of at most {mark(limit).text} in, the largest panel's own, "
                f"not {mark(side).text} in",
            )


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
    heights = side_heights(outline)
    left = [-outline.sides[0].at(y) for y in heights]
    right = [outline.sides[1].at(y) for y in heights]
    limits = None
    if sheet_width_mm is not None and pattern.centre != "free":
        limits = centre_limits(max(left), max(right), sheet_width_mm)
    least = shop["pattern.least_cut"] * tile
    best = best_placement(left, right, pattern, least, limits)
    first = best.centre_mm + (tile / 2 if best.anchor == "tile" else -joint / 2)
    columns = _inside(first, tile + joint, joint, left, right)
    others: tuple[float, ...] = ()
    if pattern.course == "half offset":
        others = _inside(first + (tile + joint) / 2, tile + joint, joint, left, right)
        if _odd(outline, pattern):
            columns, others = others, columns
    # A panel narrower than a tile and two joints may hold no joint that runs its whole height.
    outer = [columns[0], columns[-1]] if columns else [-min(left), min(right)]
    cuts = [_cut_tile("left", y, a + outer[0]) for y, a in zip(heights, left, strict=True)]
    cuts += [
        _cut_tile("right", y, b - outer[1] - joint) for y, b in zip(heights, right, strict=True)
    ]
    box = outline.box
    made = _pattern(
        pattern, outline, rows, columns, best.centre_mm, cuts, (("left", box[0]), ("right", box[2]))
    )
    made = replace(
        made,
        other_columns=tuple(mark(x) for x in others),
        imbalance=mark(best.imbalance_mm),
        tried=best.tried,
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
    heights = side_heights(outline)
    start = outline.box[0]
    widths = [outline.sides[1].at(y) - start for y in heights]
    full = math.floor((min(widths) - _GRAIN_MM) / module)
    columns = tuple(start + k * module - joint for k in range(1, full + 1))
    cuts = [_cut_tile("inner", y, w - full * module) for y, w in zip(heights, widths, strict=True)]
    front = start if outline.leg is None else outline.leg.tub_front_mm
    corner = outline.sides[1].at(heights[-1])
    if outline.cut:
        corner = outline.box[2] - 1.0
    made = _pattern(
        pattern, outline, rows, columns, 0.0, cuts, (("inner", corner), ("outer", front))
    )
    if pattern.course == "half offset":
        shifted = (start + (k - 0.5) * module - joint for k in range(1, full + 2))
        others = tuple(mark(x) for x in shifted if x < max(widths) + start)
        first = made.column_joints
        if _odd(outline, pattern):
            first, others = others, first
        made = replace(made, column_joints=first, other_columns=others)
    return made, _cautions(wall, made, pattern, shop)


def _odd(outline: Outline, pattern: Pattern) -> bool:
    """Whether an odd number of whole courses lies above this panel's own top."""
    module = pattern.tile_mm[1] + pattern.joint_mm
    return bool(math.floor((outline.below_mm + pattern.joint_mm) / module + 1e-9) % 2)


def _bottom_mm(outline: Outline, x: float) -> float:
    """The panel's lower end at x, y from its top."""
    if not outline.cut:
        return outline.bottom.at(x)
    left, _, right, _ = outline.box
    return down_mm(outline, min(max(x, left + 1.0), right - 1.0))[1]


def _inside(
    first: float, module: float, joint: float, left: Sequence[float], right: Sequence[float]
) -> tuple[float, ...]:
    """The smaller x of every upright joint that runs the panel's whole height."""
    low = math.ceil((-min(left) - first) / module - 1e-9)
    high = math.floor((min(right) - joint - first) / module + 1e-9)
    return tuple(first + k * module for k in range(low, high + 1))


def side_heights(outline: Outline) -> tuple[float, ...]:
    """Every height at which a side of the panel is marked, y from its top, mm."""
    return outline.side_heights or (outline.box[1], outline.box[3])


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
    above = outline.below_mm
    if outline.cut or above:  # a low wall, a seat: its own courses, counted from the room's top
        rows = math.floor((min(p.y for p in outline.lows) + above + _GRAIN_MM) / module)
    joints = tuple(k * module - pattern.joint_mm - above for k in range(1, rows + 1))
    joints = tuple(y for y in joints if y > _GRAIN_MM)
    lowest = max(rows * module - above, 0.0)
    notes = []
    below = [k * module - pattern.joint_mm - above for k in range(rows + 1, rows + 50)]
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
            _lowest(side, _bottom_mm(outline, x), lowest, pattern, outline) for side, x in bottoms
        ),
        notes=tuple(notes),
    )


def _lowest(
    side: Edge, bottom_mm: float, lowest_mm: float, pattern: Pattern, outline: Outline
) -> CutTile:
    """The lowest course at a side: on the deck that all share, or on a seat of its own height."""
    if outline.cut:
        module = pattern.tile_mm[1] + pattern.joint_mm
        rows = math.floor((bottom_mm + outline.below_mm + _GRAIN_MM) / module)
        lowest_mm = max(rows * module - outline.below_mm, 0.0)
    return CutTile(side, mark(lowest_mm), mark(bottom_mm - lowest_mm))


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
                f"{mark(widths[-1]).text} in"
            )
            found.append(Caution("taper", text, wall, "tell the customer"))
    least = shop["pattern.least_cut"]
    courses = [real_course_mm(cut.width.mm, pattern) for cut in made.bottom_courses]
    if min(courses) < least * pattern.tile_mm[1] - _GRAIN_MM:
        lowest = mark(min(courses))
        text = f"lowest course is {lowest.text} in, under {part_words(least)}"
        if lowest.text == "0":
            text = "a level joint lands on the deck, and nothing is left below it"
        found.append(Caution("sliver-course", text, wall, "move the top"))
    return tuple(found)


def _slivers(
    wall: WallName, side: Edge, widths: list[float], pattern: Pattern, shop: Practice
) -> list[Caution]:
    tile, least = pattern.tile_mm[0], shop["pattern.least_cut"]
    courses = [("", widths)]
    if pattern.course == "half offset":
        shifted = [other_course_mm(width, tile, pattern.joint_mm) for width in widths]
        courses.append((" in every second course", shifted))
    courses = [(where, [_real_cut(w, pattern) for w in found]) for where, found in courses]
    return [
        Caution(
            "sliver",
            f"cut tile at the {side} edge is {mark(min(found)).text} in{where}, "
            f"under {part_words(least)}",
            wall,
        )
        for where, found in courses
        if _GRAIN_MM < min(found) < least * tile - _GRAIN_MM
    ]


def _real_cut(width: float, pattern: Pattern) -> float:
    """What is beyond the last joint: on a leaning wall one more may run part of its height."""
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    over = width - tile - joint
    return over if over > _GRAIN_MM else width
