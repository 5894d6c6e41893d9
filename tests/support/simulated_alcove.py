"""A whole alcove of known truth, with every size that the trade tapes in it.

Each size is worked out here from the room's edges, in plain plane geometry, and shares no code
with the closures that judge it. Inches inside; the sizes come out in millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from service.lengths import inches_text
from service.measuring.alcove.vocabulary import Role, Side, Size, Surface, WallSizes
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.reading import Reading

MM = 25.4
STEP = 0.375
JOINT = 0.125
COURSE = 4.3125
LEG = 24.0
TAPE = Instrument(id="t1")
ROD = Instrument(InstrumentKind.ROD, id="r1", method=Method.ROD)
RODDED = (Role.WIDTH, Role.DIAGONAL, Role.OPENING, Role.CORNER_DIAGONAL, Role.DEPTH)


@dataclass(frozen=True)
class Plan:
    """Which sizes an alcove has, and between what inches they are drawn.

    ``left``, ``right``, ``inner`` and ``outer`` are offsets from the plumb lines, ``line`` and
    ``floor`` heights from the level line to the deck and from the deck to the floor.
    """

    stations: tuple[int, ...] = (0, 16, 40, 64)
    tile_top: float = 15.0
    left: tuple[float, float] = (28.5, 31)
    right: tuple[float, float] = (28.5, 31)
    line: tuple[float, float] = (62, 68)
    along: tuple[int, ...] = (-14, 0, 14)
    inner: tuple[float, float] = (9, 11)
    outer: tuple[float, float] = (19.5, 21)
    floor: tuple[float, float] = (14.5, 15.5)
    pipes: tuple[tuple[str, float], ...] = (("arm", 3.0), ("valve", 51.0), ("spout", 57.0))
    depth: float = 29.0


USUAL_TUB = Plan()


def other_plan(rng: np.random.Generator) -> Plan:
    """An alcove of another sort than the usual tub: a shower, or a tub with its plumb lines and
    stations elsewhere."""
    if rng.random() < 0.5:
        depth = float(rng.uniform(31, 42))
        inner = float(rng.uniform(0.35, 0.55)) * depth
        half = float(rng.uniform(17, 30))
        return Plan(
            stations=(2, 20, 36, 52, 70),
            tile_top=18.0,
            left=(half - 3, half),
            right=(half, half + 4),
            line=(72, 78),
            along=(-9, 0, 9),
            inner=(inner - 1, inner + 1),
            outer=(depth - inner, depth - inner + 2),
            floor=(3.0, 6.0),
            pipes=(("arm", 4.0), ("valve", 36.0)),
            depth=depth,
        )
    return Plan(
        stations=(0, 20, 38, 56),
        tile_top=12.0,
        left=(18, 24),
        right=(32, 40),
        line=(54, 60),
        along=(-8, 12),
        inner=(13, 16),
        outer=(15, 19),
        floor=(17, 20),
        pipes=(("arm", 2.0), ("valve", 40.0), ("spout", 48.0)),
        depth=float(rng.uniform(28, 32)),
    )


@dataclass(frozen=True)
class Edge:
    """Distance as a function of place: a line with a bow (a parabola over 0..length)."""

    start: float
    slope: float
    bow: float
    length: float

    def at(self, place: float) -> float:
        t = place / self.length
        return self.start + self.slope * t + self.bow * 4 * t * (1 - t)


@dataclass
class Alcove:
    """Sizes wall by wall, and the truth of each, mm."""

    sizes: dict[str, list[Size]] = field(default_factory=dict)
    truth_mm: dict[str, float] = field(default_factory=dict)

    def walls(self) -> tuple[WallSizes, ...]:
        corners = {"back": None, "plumbing": Side.RIGHT, "far end": Side.LEFT}
        return tuple(WallSizes(w, tuple(s), corners[w]) for w, s in self.sizes.items())

    def put(self, wall: str, name: str, role: Role, inches: float, **fields: object) -> None:
        size = Size(f"{wall} {name}", wall, role, **fields)  # type: ignore[arg-type]
        self.sizes.setdefault(wall, []).append(size)
        self.truth_mm[size.name] = inches * MM

    def all_sizes(self) -> Iterator[Size]:
        for sizes in self.sizes.values():
            yield from sizes


def instrument_for(size: Size) -> Instrument:
    return ROD if size.role in RODDED else TAPE


def drawn_alcove(rng: np.random.Generator, bow: float = 1.0, plan: Plan = USUAL_TUB) -> Alcove:
    """An alcove whose edges bow by up to ``bow`` times the trade's limits."""
    alcove = Alcove()
    length = plan.stations[-1] + 2.0
    edges = {
        side: Edge(
            rng.uniform(*reach), rng.uniform(-0.5, 0.5), bow * rng.uniform(-1 / 8, 1 / 8), length
        )
        for side, reach in ((Side.LEFT, plan.left), (Side.RIGHT, plan.right))
    }
    across = edges[Side.LEFT].start + edges[Side.RIGHT].start
    rim = Edge(
        rng.uniform(*plan.line), rng.uniform(-0.3, 0.3), bow * rng.uniform(-1 / 16, 1 / 16), across
    )
    _back(alcove, edges, rim, plan)
    cosines = []
    for wall, meets in (("plumbing", Side.LEFT), ("far end", Side.RIGHT)):
        level = bow * rng.uniform(-1 / 16, 1 / 16)
        corner = rim.at(0.0 if meets is Side.LEFT else rim.length) + level
        _end(alcove, wall, corner, bow, rng, plan)
        square = LEG * math.sqrt(2) + rng.uniform(-0.3, 0.3)
        cosines.append(1 - square**2 / (2 * LEG**2))
        alcove.put("back", f"square {meets}", Role.CORNER_DIAGONAL, square, side=meets)
    low = plan.stations[-1]
    width = edges[Side.LEFT].at(low) + edges[Side.RIGHT].at(low)
    carried = bow * rng.uniform(-1 / 8, 1 / 8)
    alcove.put("back", "opening", Role.OPENING, width - plan.depth * sum(cosines) + carried)
    alcove.put("back", "depth", Role.DEPTH, plan.depth)
    return alcove


def _back(alcove: Alcove, edges: dict[Side, Edge], rim: Edge, plan: Plan) -> None:
    for side, edge in edges.items():
        for down in plan.stations:
            value, surface = _faced(edge, down, plan)
            name = f"{side} {down}"
            alcove.put(
                "back", name, Role.OFFSET, value, side=side, down_mm=down * MM, surface=surface
            )
    for down in plan.stations:
        value = sum(_faced(edge, down, plan)[0] for edge in edges.values())
        surface = _faced(edges[Side.LEFT], down, plan)[1]
        alcove.put("back", f"width {down}", Role.WIDTH, value, down_mm=down * MM, surface=surface)
    # Places along the rim are counted from its left end, which the left offset near it puts there.
    low, high = plan.stations[-1], plan.stations[1]
    left, right = edges[Side.LEFT].at(low), edges[Side.RIGHT].at(low)
    scale = rim.length / (left + right)
    alcove.put("back", "deck left", Role.HEIGHT, rim.at(0), side=Side.LEFT)
    for at in plan.along:
        height = rim.at((left + at) * scale)
        alcove.put("back", f"deck {at}", Role.HEIGHT, height, at_mm=at * MM)
    alcove.put("back", "deck right", Role.HEIGHT, rim.at(rim.length), side=Side.RIGHT)
    ends = {Side.LEFT: rim.at(0), Side.RIGHT: rim.at(rim.length)}
    for side, other in ((Side.LEFT, Side.RIGHT), (Side.RIGHT, Side.LEFT)):
        across = edges[side].at(high) + edges[other].at(ends[other])
        length = math.hypot(across, ends[other] - high)
        alcove.put("back", f"diagonal {side}", Role.DIAGONAL, length, side=side, down_mm=high * MM)
    tiled = ends[Side.LEFT] - plan.tile_top - JOINT
    courses = COURSE * ((tiled - 0.5) // COURSE)
    alcove.put("back", "tile top", Role.TILE_TOP, plan.tile_top, side=Side.LEFT)
    alcove.put("back", "courses", Role.COURSES, courses, side=Side.LEFT)
    alcove.put("back", "cut row", Role.CUT_ROW, tiled - courses, side=Side.LEFT)


def _end(
    alcove: Alcove, wall: str, corner: float, bow: float, rng: np.random.Generator, plan: Plan
) -> None:
    low, high = plan.stations[-1], plan.stations[1]
    inner = Edge(
        rng.uniform(*plan.inner), rng.uniform(-0.4, 0.4), bow * rng.uniform(-1 / 8, 1 / 8), low + 2
    )
    outer = Edge(
        rng.uniform(*plan.outer),
        rng.uniform(-0.1, 0.1),
        bow * rng.uniform(-1 / 16, 1 / 16),
        low + 2,
    )
    for down in plan.stations:
        value, surface = _faced(inner, down, plan)
        fields = {"side": Side.INNER, "down_mm": down * MM, "surface": surface}
        alcove.put(wall, f"inner {down}", Role.OFFSET, value, **fields)
    for down in plan.stations[1:]:
        fields = {"side": Side.OUTER, "down_mm": down * MM, "surface": Surface.TILE}
        alcove.put(wall, f"outer {down}", Role.OFFSET, outer.at(down), **fields)
        width = inner.at(down) + outer.at(down)
        fields = {"down_mm": down * MM, "surface": Surface.TILE}
        alcove.put(wall, f"width {down}", Role.WIDTH, width, **fields)
    front, foot = outer.at(low + 2) - rng.uniform(1.5, 2.0), inner.at(low)
    rim = Edge(corner, rng.uniform(0.0, 0.2), bow * rng.uniform(-1 / 16, 1 / 16), foot + front)
    heights = (rim.at(0), rim.at(foot), rim.at(foot + front))
    alcove.put(wall, "deck inner", Role.HEIGHT, heights[0], side=Side.INNER)
    alcove.put(wall, "deck plumb", Role.HEIGHT, heights[1], at_mm=0.0)
    alcove.put(wall, "deck front", Role.HEIGHT, heights[2], side=Side.FRONT)
    alcove.put(wall, "tub front", Role.TUB_FRONT, front)
    floor = rng.uniform(*plan.floor)
    alcove.put(wall, "deck to floor", Role.DECK_TO_FLOOR, floor)
    alcove.put(wall, "line to floor", Role.LINE_TO_FLOOR, heights[2] + floor)
    across = outer.at(high) + inner.at(heights[0])
    length = math.hypot(across, heights[0] - high)
    fields = {"down_mm": high * MM}
    alcove.put(wall, "diagonal outer", Role.DIAGONAL, length, side=Side.OUTER, **fields)
    length = math.hypot(inner.at(high) + front, heights[2] - high)
    alcove.put(wall, "diagonal inner", Role.DIAGONAL, length, side=Side.INNER, **fields)
    if wall == "plumbing":
        _pipes(alcove, wall, inner, rim, foot, rng, plan)


def _pipes(
    alcove: Alcove,
    wall: str,
    inner: Edge,
    rim: Edge,
    low: float,
    rng: np.random.Generator,
    plan: Plan,
) -> None:
    for pipe, down in plan.pipes:
        down += rng.uniform(-1, 1)
        out = rng.uniform(3.5, 4.5)
        value, surface = _faced(inner, down, plan)
        alcove.put(wall, f"{pipe} from plumb", Role.FIXTURE_FROM_PLUMB, out, fixture=pipe)
        alcove.put(
            wall,
            f"{pipe} from corner",
            Role.FIXTURE_FROM_CORNER,
            value + out,
            fixture=pipe,
            surface=surface,
        )
        alcove.put(wall, f"{pipe} down", Role.FIXTURE_DOWN, down, fixture=pipe)
        above = rim.at(low + out) - down
        alcove.put(wall, f"{pipe} above deck", Role.FIXTURE_ABOVE_DECK, above, fixture=pipe)


def _faced(edge: Edge, down: float, plan: Plan) -> tuple[float, Surface]:
    """To the tile, or above its top to the plaster a step behind."""
    if down < plan.tile_top:
        return edge.at(down) + STEP, Surface.BARE
    return edge.at(down), Surface.TILE


def taped(size: Size, mm: float, who: str = "A") -> Reading:
    """A reading as written, to the nearest sixteenth."""
    text = inches_text(mm)
    instrument = instrument_for(size)
    return Reading(size.name, size.name, _inches(text) * MM, "in", text, instrument, who)


def exact(size: Size, mm: float) -> Reading:
    """A reading that is not rounded: for draws whose errors must be just those stated."""
    return Reading(size.name, size.name, mm, instrument=instrument_for(size))


def rectangular_error_mm(size: Size, rng: np.random.Generator) -> float:
    """Within the trade's limit for the method, all of it as likely: half a sixteenth is left
    for the rounding."""
    limit = (1 / 16 - 1 / 32) * MM
    hand = rng.uniform(-limit, limit)
    return float(hand + (0.0 if size.role in RODDED else rng.uniform(-0.4, 0.4)))


def _inches(text: str) -> float:
    whole, _, fraction = text.rpartition(" ")
    if "/" not in fraction:
        return float(fraction)
    top, bottom = fraction.split("/")
    return float(whole or 0) + float(top) / float(bottom)
