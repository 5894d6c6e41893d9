"""The height of the finished top: code floors, agreed band, stock, and the course at the deck."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.pattern import bottom_course_mm
from service.panels.room import TopAdvice, TopHeight
from service.panels.sizes import mark, part_words

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.places import Size
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Pattern

_GRAIN_MM = 1e-6


def level_joints(outlines: list[Outline], pattern: Pattern | None) -> int:
    """How many level joints all panels share: those above the highest deck."""
    if pattern is None:
        return 0
    return math.floor((_highest(outlines) + 1e-6) / (pattern.tile_mm[1] + pattern.joint_mm))


def top_advice(alcove: Alcove, outlines: list[Outline], shop: Practice) -> TopAdvice | None:
    """The planned top against every height of the agreed band; None without a floor datum.

    Every height is tried, so that the best is proved among those that can be agreed on.
    """
    top = alcove.top
    if top.line_above_floor_mm is None:
        return None
    planned = top.line_above_floor_mm + top.above_line_mm
    rows = [_judged(h, planned, alcove, outlines, shop) for h in _heights(alcove, planned, shop)]
    fit = [row for row in rows if row.passes]
    nearest = sorted(fit, key=lambda r: (abs(r.above_floor.mm - planned), -r.above_floor.mm))
    best = nearest[0] if nearest else None
    return TopAdvice(mark(planned), best.above_floor if best else None, tuple(rows))


def tops_to_try(alcove: Alcove, shop: Practice) -> list[float]:
    """Every top that may be agreed on, as its move from the planned one, mm; 0 is among them."""
    line = alcove.top.line_above_floor_mm
    if line is None:
        return [0.0]
    planned = line + alcove.top.above_line_mm
    moves = [height - planned for height in _heights(alcove, planned, shop)]
    return [0.0 if abs(move) < _GRAIN_MM else move for move in moves]


def hard_faults(
    move_mm: float, alcove: Alcove, outlines: list[Outline], shop: Practice
) -> int:  # fmt: skip
    """How many of the code's floors and of the sheets' heights a moved top fails.

    Parameters
    ----------
    outlines
        The panels with that top.
    """
    line = alcove.top.line_above_floor_mm
    faults = 0
    if line is not None:
        faults = len(_under_code(line + alcove.top.above_line_mm + move_mm, alcove, shop))
    tallest = max((sheet.height_mm for sheet in alcove.stock), default=math.inf)
    most = max(outline.box[3] - outline.box[1] for outline in outlines)
    return faults + (most > tallest + _GRAIN_MM)


def top_cautions(alcove: Alcove, outlines: list[Outline], shop: Practice) -> tuple[Caution, ...]:
    """What the top's height calls for: the code's floor, and a better height within the band."""
    advice = top_advice(alcove, outlines, shop)
    if advice is None:
        return ()
    planned = advice.planned.mm
    found = [Caution("top-low", why) for why in _under_code(planned, alcove, shop)]
    found += _above_arm(planned, alcove, shop)
    now = next(h for h in advice.heights if abs(h.above_floor.mm - planned) < _GRAIN_MM)
    if alcove.top.band_mm is None or _course_why(now.lowest_course, alcove, shop) is None:
        return tuple(found)
    if advice.best is None:
        return (*found, Caution("no-top", _least_bad(advice)))
    best = next(h for h in advice.heights if h.above_floor == advice.best)
    course = best.lowest_course.text if best.lowest_course else ""
    text = (
        f"a top {best.above_floor.text} in above the floor would leave a lowest course "
        f"of {course} in"
    )
    return (*found, Caution("better-top", text))


def _steps(band_mm: tuple[float, float], shop: Practice) -> list[float]:
    step = shop["pattern.height_step"]
    low, high = band_mm
    count = math.floor((high - low) / step + 1e-9) + 1
    return [low + k * step for k in range(count)]


def _heights(alcove: Alcove, planned: float, shop: Practice) -> list[float]:
    if alcove.top.band_mm is None or alcove.top.to_ceiling:
        return [planned]
    steps = _steps(alcove.top.band_mm, shop)
    return sorted([*(h for h in steps if abs(h - planned) > _GRAIN_MM), planned])


def _judged(
    height: float, planned: float, alcove: Alcove, outlines: list[Outline], shop: Practice
) -> TopHeight:
    """One height: the panels' lower edges stay where they are, so only the tops move."""
    course = None
    if alcove.pattern is not None:
        moved = height - planned
        tile, joint = alcove.pattern.tile_mm[1], alcove.pattern.joint_mm
        courses = [bottom_course_mm(y + moved, tile, joint) for y in _lows(outlines)]
        course = mark(min(courses))
    why = list(_under_code(height, alcove, shop))
    if sliver := _course_why(course, alcove, shop):
        why.append(sliver)
    tallest = max((sheet.height_mm for sheet in alcove.stock), default=math.inf)
    most = max(o.box[3] + height - planned for o in outlines if not o.below_mm)
    if most > tallest + _GRAIN_MM:
        why.append(f"a panel of {mark(most).text} in is higher than any sheet")
    return TopHeight(mark(height), course, tuple(why))


def _course_why(course: Size | None, alcove: Alcove, shop: Practice) -> str | None:
    pattern = alcove.pattern
    if pattern is None or course is None:
        return None
    least = shop["pattern.least_cut"]
    if course.mm >= least * pattern.tile_mm[1] - _GRAIN_MM:
        return None
    return f"lowest course {course.text} in, under {part_words(least)}"


def _under_code(height: float, alcove: Alcove, shop: Practice) -> list[str]:
    found = []
    least = shop["limits.least_top_above_floor"]
    if height < least - _GRAIN_MM:
        found.append(
            f"the top is {mark(height).text} in above the floor, under {mark(least).text} in "
            "(IRC R307.2; local code governs)"
        )
    top = alcove.top
    if top.drain_below_line_mm is not None and top.line_above_floor_mm is not None:
        above = height - top.line_above_floor_mm + top.drain_below_line_mm
        least = shop["limits.least_top_above_drain"]
        if above < least - _GRAIN_MM:
            found.append(
                f"the top is {mark(above).text} in above the drain, under {mark(least).text} in "
                "(IPC 417.4.1, IBC 1210; local code governs)"
            )
    return found


def _above_arm(height: float, alcove: Alcove, shop: Practice) -> list[Caution]:
    """The usual band above the arm outlet; a caution only, for the customer agrees the top."""
    line, low, high = (
        alcove.top.line_above_floor_mm,
        shop["top.above_arm_least"],
        shop["top.above_arm_most"],
    )
    if line is None or alcove.top.to_ceiling:
        return []
    arms = [(s.wall, f) for s in alcove.walls for f in s.fixtures if "arm" in f.name.split()]
    found = []
    for wall, arm in arms:
        above = height - (line - arm.down.mm)
        if not low - _GRAIN_MM <= above <= high + _GRAIN_MM:
            text = (
                f"the top is {mark(above).text} in above the arm outlet; usual are "
                f"{mark(low).text} to {mark(high).text} in"
            )
            found.append(Caution("top-above-arm", text, wall))
    return found


def _least_bad(advice: TopAdvice) -> str:
    courses = [h for h in advice.heights if h.lowest_course is not None]
    text = "no top within the agreed band avoids a sliver course"
    fit = [h for h in courses if len(h.why_not) == 1] or courses
    if not fit:
        return text
    best = max(fit, key=lambda h: h.lowest_course.mm if h.lowest_course else 0.0)
    course = best.lowest_course.text if best.lowest_course else ""
    return f"{text}; the least bad is {best.above_floor.text} in above the floor with {course} in"


def _lows(outlines: list[Outline]) -> list[float]:
    """Every marked point of the panels' lower edges, y from the room's highest top, mm."""
    return [p.y + o.below_mm for o in outlines for p in o.lows]


def _highest(outlines: list[Outline]) -> float:
    """The highest point of the panels' lower edges, y from the room's highest top, mm."""
    return min(_lows(outlines))
