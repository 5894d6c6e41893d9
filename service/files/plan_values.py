"""PLAN.json and measure reports as the values that the panel calculator takes."""

from __future__ import annotations

from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from service.files.plan_beside import hall_names
from service.files.plan_judged import judged_apart
from service.files.plan_places import (
    CEILING,
    FLOOR,
    TUB_FRONT,
    UNTOLD,
    TakenFor,
    fixture_taken_for,
    height_taken_for,
    offset_taken_for,
    outer_edge_taken_for,
)
from service.files.plan_points import with_points
from service.files.plan_shapes import ceiling_values, low_top_value, obstacle_value
from service.files.plan_sizes import given
from service.lengths import LengthError, parse_station
from service.panels.problem import PlanError
from service.panels.walls import (
    Alcove,
    Change,
    Fixture,
    Gap,
    Given,
    Hall,
    Opening,
    Outer,
    Pattern,
    Region,
    Station,
    StockSheet,
    Surface,
    Top,
    TubFront,
    WallShape,
    Window,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.files import plan_parts
    from service.files.plan import PlanFile
    from service.files.plan_points import Edge
    from service.measuring.release.facts import Override
    from service.measuring.release.judged import JudgedWall
    from service.panels.practice import Practice

_Side = Literal["left", "right"]
_SURFACES: dict[str | None, Surface | None] = {
    None: None,
    "tile": "tile",
    "bare": "bare",
    "plaster": "bare",
    "finished": "finished",
    "hung": "hung",
}
_CLEARLY_NEARER_MM = 50.8
_SAME_MM = 1.0
"""Readings nearer than this are at one height."""


def alcove_values(
    plan: PlanFile,
    reports: Mapping[str, Sequence[JudgedWall]],
    shop: Practice,
    overrides: Mapping[str, Sequence[Override]] = MappingProxyType({}),
) -> Alcove:
    """The plan file as an alcove.

    Parameters
    ----------
    reports, overrides : mapping
        The reports of each wall, and what was overridden on it, by the wall's name.

    Raises
    ------
    PlanError
        A dimension in no report, hold-downs that differ, an end wall whose corner side is unclear.
    """
    unit = plan.bare_unit
    walls = tuple(
        _Reader(
            wall,
            unit,
            tuple(reports.get(wall.wall, ())),
            shop,
            tuple(overrides.get(wall.wall, ())),
        ).wall_shape()
        for wall in plan.walls
    )
    return Alcove(
        name=plan.job.name,
        scope=plan.job.scope,
        walls=walls,
        top=_top(plan, shop),
        pattern=_pattern(plan),
        stock=_stock(plan),
        opening_mm=_maybe(plan.opening, unit),
        openings=tuple(Opening(_mm(o.down, unit), _mm(o.value, unit)) for o in plan.openings),
        halls=tuple(
            Hall(_mm(hall.from_width, unit), _mm(hall.into_width, unit), name)
            for hall, name in zip(plan.way_in, hall_names(plan.way_in), strict=True)
        ),
        accessible=plan.job.accessible,
        tub=plan.job.tub,
        bonding=plan.job.bonding,
        changes=tuple(Change(c.name, c.amount, c.signed) for c in plan.changes),
        judged_apart=judged_apart(plan, reports),
    )


def _pattern(plan: PlanFile) -> Pattern | None:
    given, unit = plan.pattern, plan.bare_unit
    if given is None:
        return None
    tile = (_mm(given.tile[0], unit), _mm(given.tile[1], unit))
    return Pattern(tile, _mm(given.joint, unit), given.course, given.centre)


def _stock(plan: PlanFile) -> tuple[StockSheet, ...]:
    unit = plan.bare_unit
    return tuple(
        StockSheet(
            name=s.name,
            width_mm=_mm(s.size[0], unit),
            height_mm=_mm(s.size[1], unit),
            finished=s.finished,
            price=s.price,
            printed=s.printed,
            lot=s.lot,
        )
        for s in plan.stock
    )


def _top(plan: PlanFile, shop: Practice) -> Top:
    unit = plan.bare_unit
    stated = {
        f"{wall.wall}.hold_down": _mm(wall.hold_down, unit)
        for wall in plan.walls
        if wall.hold_down is not None
    }
    if plan.top.above_line is not None:
        stated = {"top.above_line": _mm(plan.top.above_line, unit), **stated}
    if not stated:
        stated = {"practice top.hold_down": shop["top.hold_down"]}
    first, above = next(iter(stated.items()))
    for field, mm in stated.items():
        if abs(mm - above) > 1e-6:
            expected = f"expected {above / 25.4:g} in as {first} says, not {mm / 25.4:g} in: "
            raise PlanError(field, expected + "the finished top runs level round all walls")
    band = plan.top.band
    return Top(
        above_line_mm=above,
        to_ceiling=plan.top.to_ceiling,
        line_above_floor_mm=_maybe(plan.top.line_above_floor, unit),
        band_mm=None if band is None else (_mm(band[0], unit), _mm(band[1], unit)),
        drain_below_line_mm=_maybe(plan.top.drain_below_line, unit),
        finish=plan.top.finish,
    )


class _Reader:
    """One wall of the file, with the reports its dimensions stand in."""

    def __init__(
        self,
        wall: plan_parts.PlanWall,
        unit: str,
        reports: tuple[JudgedWall, ...],
        shop: Practice,
        overrides: tuple[Override, ...],
    ) -> None:
        self.wall, self.unit, self.reports, self.shop = wall, unit, reports, shop
        self.overrides = overrides

    def wall_shape(self) -> WallShape:
        wall = self.wall
        left, right, deck = (
            with_points(wall.wall, edge, stations, wall.points, self.reports)
            for edge, stations in self._edges()
        )
        outer = self._outer()
        return WallShape(
            wall=wall.wall,
            line_to_deck=deck,
            left=left,
            right=right,
            surfaces=tuple(self._region(s) for s in wall.surfaces),
            corner=self._corner(left, right, outer),
            outer=outer,
            tub_front=self._tub_front(),
            fixtures=tuple(self._fixture(f) for f in wall.fixtures),
            flatness=tuple(
                Gap(_mm(g.at, self.unit), _mm(g.down, self.unit), _mm(g.gap, self.unit), g.kind)
                for g in wall.flatness
            ),
            windows=tuple(self._window(w) for w in wall.windows),
            obstacles=tuple(obstacle_value(o, self._given, self.unit) for o in wall.obstacles),
            ceiling=ceiling_values(
                wall.ceiling, partial(self._given, taken_for=CEILING), self.unit
            ),
            low_top=low_top_value(wall.low_top, self._given, self.unit),
        )

    def _edges(self) -> tuple[tuple[Edge, tuple[Station, ...]], ...]:
        return (
            ("left", self._offsets("left")),
            ("right", self._offsets("right")),
            ("deck", self._heights()),
        )

    def _heights(self) -> tuple[Station, ...]:
        heights = self.wall.line_to_deck
        if not heights:
            return self._from_reports("deck")
        found = [(_mm(h.at, self.unit), h) for h in heights]
        return tuple(
            Station(at, self._given(f"deck {h.at}", h.value, h.dimension, height_taken_for(at)))
            for at, h in found
        )

    def _offsets(self, side: _Side) -> tuple[Station, ...]:
        offsets = self.wall.left if side == "left" else self.wall.right
        if not offsets:
            words = (side, "inner") if self.wall.corner == side else (side,)
            return self._from_reports(*words)
        return tuple(_as_hung([self._offset(side, o) for o in offsets]))

    def _offset(self, side: _Side, offset: plan_parts.Offset) -> Station:
        what = f"{side} {offset.down}"
        down, surface = _mm(offset.down, self.unit), self._surface(what, offset.surface)
        asked = offset_taken_for(side, down, surface)
        return Station(down, self._given(what, offset.value, offset.dimension, asked), surface)

    def _from_reports(self, *words: str) -> tuple[Station, ...]:
        """Stations of a wall given by reports alone: dimensions named `left 16`, `deck -14`."""
        found = []
        for report in self.reports:
            for size in report.sizes:
                word, _, place = size.name.partition(" ")
                at = _place(place, self.unit) if word in words else None
                if at is not None:
                    found.append(Station(at, self._given(size.name, None, size.name)))
        return tuple(found)

    def _surface(self, what: str, written: str | None) -> Surface | None:
        if written not in _SURFACES:
            expected = "expected tile, bare, plaster, finished or hung"
            raise PlanError(f"{self.wall.wall} {what} surface", f"{expected}, not {written!r}")
        return _SURFACES[written]

    def _given(
        self,
        what: str,
        written: str | None,
        dimension: str | None,
        taken_for: TakenFor = UNTOLD,
    ) -> Given:
        value = _maybe(written, self.unit)
        name = f"{self.wall.wall} {what}"
        return given(name, value, dimension, self.reports, self.shop, self.overrides, taken_for)

    def _region(self, surface: plan_parts.Surface) -> Region:
        to_down = _maybe(surface.to_down, self.unit)
        proud = _mm(surface.proud, self.unit)
        return Region(_mm(surface.from_down, self.unit), to_down, proud, surface.do)

    def _outer(self) -> Outer | None:
        outer = self.wall.outer
        if outer is None or self.wall.wall == "back":
            return None
        asked = outer_edge_taken_for(self.wall.corner)
        place = self._given("outer edge", outer.from_plumb, outer.dimension, asked)
        return Outer(
            place.mm,
            outer.finish,
            _maybe(outer.paint_scar, self.unit),
            _maybe(outer.casing, self.unit),
            _maybe(outer.outside_corner, self.unit),
            place if place.dimension else None,
        )

    def _window(self, window: plan_parts.WindowPart) -> Window:
        left, right, head, sill = (
            self._given(f"{window.name} {side}", size.value, size.dimension)
            for side, size in (
                ("left", window.left),
                ("right", window.right),
                ("head", window.head),
                ("sill", window.sill),
            )
        )
        depth, fall = _mm(window.depth, self.unit), _mm(window.fall, self.unit)
        return Window(window.name, left, right, head, sill, depth, fall, window.kind)

    def _corner(
        self, left: tuple[Station, ...], right: tuple[Station, ...], outer: Outer | None
    ) -> _Side | None:
        """The corner's side: stated, the only side given, or the side that is not the edge's."""
        name = self.wall.wall
        if name == "back":
            return None
        if self.wall.corner is not None:
            return self.wall.corner
        if bool(left) != bool(right):
            return "left" if left else "right"
        if left and right and outer is not None:
            away_left, away_right = (
                min(abs(s.value.mm - outer.from_plumb_mm) for s in side) for side in (left, right)
            )
            if abs(away_left - away_right) >= _CLEARLY_NEARER_MM:
                return "left" if away_left > away_right else "right"
        raise PlanError(f"{name}.corner", "expected left or right: where is the back corner?")

    def _tub_front(self) -> TubFront | None:
        front = self.wall.tub_front
        if front is None:
            return None
        deck, floor, line = front.at_deck, front.at_floor, front.line_to_floor
        return TubFront(
            self._given("tub front at deck", deck.value, deck.dimension, TUB_FRONT),
            None
            if floor is None
            else self._given("tub front at floor", floor.value, floor.dimension, TUB_FRONT),
            self._given("line to floor", line.value, line.dimension, FLOOR),
        )

    def _fixture(self, fixture: plan_parts.Fixture) -> Fixture:
        name, unit = fixture.name, self.unit
        across, below = fixture_taken_for(name, [one.name for one in self.wall.fixtures])
        return Fixture(
            name=name,
            from_plumb=self._given(
                f"{name} from plumb", fixture.from_plumb, fixture.dimension, across
            ),
            down=self._given(f"{name} down", fixture.down, fixture.down_dimension, below),
            hole_mm=_maybe(fixture.hole, unit),
            pipe_mm=_maybe(fixture.pipe, unit),
            guard_mm=_maybe(fixture.guard, unit),
            plate_mm=_maybe(fixture.plate, unit),
            from_corner_mm=_maybe(fixture.from_corner, unit),
            datum_mm=_maybe(fixture.face_to_datum, unit),
            nipple_mm=_maybe(fixture.nipple_out, unit),
            kind=fixture.kind,
            length_mm=_maybe(fixture.length, unit),
            box_mm=_pair(fixture.box, unit),
            plate_box_mm=_pair(fixture.plate_box, unit),
        )


def _as_hung(stations: Sequence[Station]) -> list[Station]:
    """Once taped from the face of the hung back panel, a height is cut by that reading alone: the
    bed over a hollow is not its nominal."""
    hung = [station.at_mm for station in stations if station.surface == "hung"]
    return [
        station
        for station in stations
        if station.surface == "hung" or not any(abs(at - station.at_mm) < _SAME_MM for at in hung)
    ]


def _place(text: str, unit: str) -> float | None:
    try:
        return _mm(text, unit)
    except LengthError:
        return None


def _pair(texts: tuple[str, str] | None, unit: str) -> tuple[float, float] | None:
    return None if texts is None else (_mm(texts[0], unit), _mm(texts[1], unit))


def _maybe(text: str | None, unit: str) -> float | None:
    return None if text is None else _mm(text, unit)


def _mm(text: str, unit: str) -> float:
    return float(parse_station(text, unit).mm)
