"""Seams: where a panel that no sheet holds may be made of parts, and where it never may."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from shapely.geometry import Polygon, box

from service.panels.boxes import box_rectangle
from service.panels.cut_plan import Seam
from service.panels.sheets import Wanted
from service.panels.sizes import mark

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from service.panels.model import Cutout, PanelPattern
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import StockSheet, WallShape

_FAR_MM = 1e5
_STEP_MM = 25.4
Direction = Literal["upright", "level"]
Cover = Literal["pattern joint", "batten"]


@dataclass(frozen=True)
class SeamedPanel:
    """A panel in parts, each with a box of its own, and the seams between them, in their order."""

    seams: tuple[Seam, ...]
    parts: tuple[Wanted, ...]


def best_seams(
    shape: WallShape,
    outline: Outline,
    holes: Sequence[Cutout],
    pattern: PanelPattern | None,
    whole: Wanted,
    stock: Sequence[StockSheet],
    shop: Practice,
) -> SeamedPanel | None:
    """The fewest seams, where they hide best: upright pattern joints, level ones, then battens.

    Never through a hole, under the spray of the arm, nor near the deck. Among places that hide as
    well, those nearest to parting the panel evenly. All seams of a panel run one way. None when
    no places are allowed whose parts all fit sheets.
    """
    for number in range(1, int(shop["seam.most"]) + 1):
        for direction, behind, places in _places(outline, pattern, shop):
            allowed = [
                at
                for at in sorted(places)
                if not _forbidden(direction, at, shape, outline, holes, shop)
            ]
            gap = shop["seam.batten"] if behind == "batten" else 0.0
            cutter = _Cutter(whole, outline, direction, gap, stock, number + 1)
            found = _best_places(allowed, number, cutter)
            if found is not None:
                parts = cutter.parts(found)
                return SeamedPanel(_seams(shape, direction, behind, found, parts), parts)
    return None


class _Cutter:
    """Parts of one panel between seams, and whether a sheet holds them; each is cut once."""

    def __init__(
        self,
        whole: Wanted,
        outline: Outline,
        direction: Direction,
        gap: float,
        stock: Sequence[StockSheet],
        number: int,
    ) -> None:
        self._whole, self._panel, self._direction = whole, Polygon(outline.points), direction
        self._gap, self._stock, self._number = gap, stock, number
        left, top, right, low = outline.box
        self.ends = (left, right) if direction == "upright" else (top, low)
        self._known: dict[tuple[float, float, int], Wanted | None] = {}

    def fits(self, start: float, end: float, place: int) -> bool:
        """Whether the part between two seams, or a seam and an edge, is in one piece and held."""
        key = (start, end, place)
        if key not in self._known:
            self._known[key] = self._part(start, end, place)
        part = self._known[key]
        return part is not None and _held(part, self._stock)

    def parts(self, places: Sequence[float]) -> tuple[Wanted, ...]:
        """All parts of the panel between these seams."""
        stops = (self.ends[0], *places, self.ends[1])
        made = [self._part(a, b, k) for k, (a, b) in enumerate(pairwise(stops))]
        return tuple(part for part in made if part is not None)

    def _part(self, start: float, end: float, place: int) -> Wanted | None:
        """Seams' own edges are cut, the other edges stay as needed."""
        first, last = place == 0, place == self._number - 1
        a = -_FAR_MM if first else start + self._gap / 2
        b = _FAR_MM if last else end - self._gap / 2
        if self._direction == "upright":
            cut = box(a, -_FAR_MM, b, _FAR_MM)
            # x grows from the finished outer edge, so that edge is the first part's.
            gone = frozenset[str]() if first else self._whole.needs & {"left", "right"}
        else:
            cut = box(-_FAR_MM, a, _FAR_MM, b)
            gone = frozenset({"bottom"}) if first else frozenset({"top"})
            gone = gone if first or last else frozenset({"top", "bottom"})
        part = self._panel.intersection(cut)
        if part.is_empty or part.geom_type != "Polygon":
            return None
        x0, y0, x1, y1 = part.bounds
        name = f"{self._whole.name}, {self._name(place)}"
        return Wanted(name, x1 - x0, y1 - y0, self._whole.needs - gone)

    def _name(self, place: int) -> str:
        upright, back = self._direction == "upright", self._whole.name == "back wall"
        if self._number == 2:
            sides = ("left part", "right part") if back else ("outer part", "inner part")
            return (sides if upright else ("upper part", "lower part"))[place]
        start = ("left" if back else "outer edge") if upright else "top"
        return f"part {place + 1} of {self._number} from the {start}"


def _best_places(allowed: Sequence[float], number: int, cutter: _Cutter) -> list[float] | None:
    """As many places as seams, all parts held, nearest to even parts; the best of all choices.

    Seam by seam the best way to every place is kept, so that every choice is compared.
    """
    start, end = cutter.ends
    even = [start + (end - start) * k / (number + 1) for k in range(1, number + 1)]
    ways: dict[float, tuple[float, list[float]]] = {start: (0.0, [])}
    for k in range(number):
        reached: dict[float, tuple[float, list[float]]] = {}
        for at in allowed:
            steps = [
                (cost + abs(at - even[k]), [*chosen, at])
                for before, (cost, chosen) in ways.items()
                if before < at and cutter.fits(before, at, k)
            ]
            if steps:
                reached[at] = min(steps)
        ways = reached
    ends = [way for at, way in ways.items() if cutter.fits(at, end, number)]
    return min(ends)[1] if ends else None


def _places(
    outline: Outline, pattern: PanelPattern | None, shop: Practice
) -> Iterator[tuple[Direction, Cover, list[float]]]:
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


def _held(part: Wanted, stock: Sequence[StockSheet]) -> bool:
    return any(
        part.needs <= set(s.finished) and part.width_mm <= s.width_mm + 1e-6
        and part.height_mm <= s.height_mm + 1e-6
        for s in stock
    )  # fmt: skip


def _seams(
    shape: WallShape,
    direction: Direction,
    behind: Cover,
    places: Sequence[float],
    parts: Sequence[Wanted],
) -> tuple[Seam, ...]:
    why = (
        "no sheet holds the panel in one piece; the seam is clear of every hole, of the spray "
        "and of the deck"
    )
    return tuple(
        Seam(shape.wall, direction, mark(at), behind, (one.name, other.name), why)
        for at, (one, other) in zip(places, pairwise(parts), strict=True)
    )
