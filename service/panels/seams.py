"""Seams: where a panel that no sheet holds may be made of two, and where it never may."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shapely.geometry import Polygon, box

from service.panels.boxes import box_rectangle
from service.panels.cut_plan import Seam
from service.panels.sheets import Wanted
from service.panels.sizes import mark

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from typing import Literal

    from service.panels.model import Cutout, PanelPattern
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import StockSheet, WallShape

_FAR_MM = 1e5
_STEP_MM = 25.4
_SIDES = ("left part", "right part")


@dataclass(frozen=True)
class SeamedPanel:
    """A panel in two parts, each with a box of its own, and the seam between them."""

    seam: Seam
    parts: tuple[Wanted, Wanted]


def best_seam(
    shape: WallShape,
    outline: Outline,
    holes: Sequence[Cutout],
    pattern: PanelPattern | None,
    whole: Wanted,
    stock: Sequence[StockSheet],
    shop: Practice,
) -> SeamedPanel | None:
    """The seam that hides best: an upright pattern joint, a level one, then behind a batten.

    Never through a hole, under the spray of the arm, nor near the deck. Among places that hide as
    well, the one nearest to the panel's middle. None when no place is allowed whose two parts fit
    sheets.
    """
    for direction, behind, places in _places(outline, pattern, shop):
        left, top, right, low = outline.box
        middle = (left + right) / 2 if direction == "upright" else (top + low) / 2
        for at in sorted(places, key=lambda place: abs(place - middle)):
            if _forbidden(direction, at, shape, outline, holes, shop):
                continue
            gap = shop["seam.batten"] if behind == "batten" else 0.0
            parts = _parts(whole, outline, direction, at, gap)
            if parts and all(_held(part, stock) for part in parts):
                return _made(shape, direction, at, behind, parts)
    return None


def _places(
    outline: Outline, pattern: PanelPattern | None, shop: Practice
) -> Iterator[tuple[Literal["upright", "level"], Literal["pattern joint", "batten"], list[float]]]:
    left, top, right, low = outline.box
    if pattern is not None:
        half = pattern.joint_mm / 2
        if not pattern.other_columns:
            yield "upright", "pattern joint", [c.mm + half for c in pattern.column_joints]
        yield "level", "pattern joint", [c.mm + half for c in pattern.course_joints]
        return
    edge = shop["drop.least"]
    upright = [left + edge + k * _STEP_MM for k in range(int((right - left - 2 * edge) / _STEP_MM))]
    level = [top + edge + k * _STEP_MM for k in range(int((low - top - 2 * edge) / _STEP_MM))]
    yield "upright", "batten", upright
    yield "level", "batten", level


def _forbidden(
    direction: str,
    at: float,
    shape: WallShape,
    outline: Outline,
    holes: Sequence[Cutout],
    shop: Practice,
) -> str:
    """Why a seam may not be here; empty where it may."""
    if direction == "level":
        highest = min(p.y for p in outline.lows)
        if at > highest - shop["seam.above_deck"]:
            return "too near the deck"
    for hole in holes:
        place = hole.at_mm.x if direction == "upright" else hole.at_mm.y
        if abs(at - place) < hole.diameter_mm / 2 + shop["seam.off_hole"]:
            return f"through {hole.name}"
        if "arm" in hole.name.split() and _in_spray(direction, at, place, shop):
            return "under the spray"
    if box := _box_in_the_way(direction, at, shape, outline, shop):
        return box
    for window in shape.windows:
        sides = (window.left.mm, window.right.mm)
        if direction == "level":
            sides = (window.head.mm, window.sill.mm)
        shift = outline.plumb_x_mm if direction == "upright" else outline.level_y_mm
        sign = -1 if direction == "upright" and shape.corner == "left" else 1
        low, high = sorted(shift + sign * side for side in sides)
        if low - shop["seam.off_hole"] < at < high + shop["seam.off_hole"]:
            return f"through {window.name}"
    return ""


def _box_in_the_way(
    direction: str, at: float, shape: WallShape, outline: Outline, shop: Practice
) -> str:
    off = shop["seam.off_hole"]
    for fixture in shape.fixtures:
        if fixture.box_mm is None:
            continue
        x0, y0, x1, y1 = box_rectangle(shape, fixture, outline, shop)
        low, high = (x0, x1) if direction == "upright" else (y0, y1)
        if low - off < at < high + off:
            return f"through {fixture.name}"
    return ""


def _in_spray(direction: str, at: float, arm: float, shop: Practice) -> bool:
    """Upright: under the arm; level: the spray wets everything below it."""
    spray = shop["seam.off_spray"]
    return abs(at - arm) < spray if direction == "upright" else arm < at


def _parts(
    whole: Wanted, outline: Outline, direction: str, at: float, gap: float
) -> tuple[Wanted, Wanted] | None:
    """Both parts by their boxes; the seam's own edge is cut, the other edges stay as needed."""
    panel = Polygon(outline.points)
    before, after = at - gap / 2, at + gap / 2
    if direction == "upright":
        cuts = (
            box(-_FAR_MM, -_FAR_MM, before, _FAR_MM),
            box(after, -_FAR_MM, _FAR_MM, _FAR_MM),
        )
        # x grows from the finished outer edge into the corner, so that edge is the first part's.
        lost = (frozenset[str](), whole.needs & {"left", "right"})
        words = _SIDES if whole.name == "back wall" else ("outer part", "inner part")
    else:
        cuts = (
            box(-_FAR_MM, -_FAR_MM, _FAR_MM, before),
            box(-_FAR_MM, after, _FAR_MM, _FAR_MM),
        )
        lost = (frozenset({"bottom"}), frozenset({"top"}))
        words = ("upper part", "lower part")
    made = []
    for cut, gone, word in zip(cuts, lost, words, strict=True):
        part = panel.intersection(cut)
        if part.is_empty or part.geom_type != "Polygon":
            return None
        x0, y0, x1, y1 = part.bounds
        made.append(Wanted(f"{whole.name}, {word}", x1 - x0, y1 - y0, whole.needs - gone))
    return made[0], made[1]


def _held(part: Wanted, stock: Sequence[StockSheet]) -> bool:
    return any(
        part.needs <= set(s.finished) and part.width_mm <= s.width_mm + 1e-6
        and part.height_mm <= s.height_mm + 1e-6
        for s in stock
    )  # fmt: skip


def _made(
    shape: WallShape,
    direction: Literal["upright", "level"],
    at: float,
    behind: Literal["pattern joint", "batten"],
    parts: tuple[Wanted, Wanted],
) -> SeamedPanel:
    why = (
        "no sheet holds the panel in one piece; the seam is clear of every hole, of the spray "
        "and of the deck"
    )
    seam = Seam(shape.wall, direction, mark(at), behind, (parts[0].name, parts[1].name), why)
    return SeamedPanel(seam, parts)
