"""What must close between the readings of one room, and readings too few to cut by.

The plan sees a corner from both of its walls, and a pipe from plumb line and corner at once. What
fails to close is a caution: it says that a reading is off, not which. What else two walls share is
closed where the readings are judged; where each wall was judged by itself, that is said.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.corners import corner_height
from service.panels.model import Caution
from service.panels.outline import side_profile
from service.panels.plane import finished_proud_mm, region_at
from service.panels.profile import Profile
from service.panels.sizes import mark
from service.product import COMMAND

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Fixture, Region, Side, Station, WallShape

APART: Final = "its sizes were judged apart from some other wall, which may contradict them"


def apart_cautions(alcove: Alcove) -> tuple[Caution, ...]:
    """That walls were judged apart from others, and how they come to judge each other."""
    apart = alcove.judged_apart
    if not apart:
        return ()
    text = (
        f"{_reports_of(apart)} not judged together with every other wall: a slip that only another "
        "wall shows, in a corner's height, the front opening or a height to floor or ceiling, "
        "would stay hidden in sizes that pass"
    )
    do = f"run {COMMAND} check on the wall files of all walls, and plan from the reports it writes"
    return (Caution("judged-apart", text, None, do),)


def _reports_of(walls: Sequence[str]) -> str:
    if len(walls) == 1:
        return f"the report of the {walls[0]} wall was"
    return f"the reports of the {', '.join(walls[:-1])} and {walls[-1]} walls were"


def corner_cautions(
    back: WallShape, around: Mapping[Side, tuple[Region, ...]], end: WallShape, shop: Practice
) -> tuple[Caution, ...]:
    """The deck's height in the corner of the back wall and one end wall, read from both."""
    if end.corner is None:
        return ()
    side: Side = "left" if end.corner == "right" else "right"
    seen_back, _ = corner_height(back, side, around[side])
    seen_end, _ = corner_height(end, end.corner, back.surfaces)
    gap = abs(seen_back - seen_end)
    if gap <= shop["limits.closure"] + 1e-6:
        return ()
    text = (
        f"line to deck in the {side} corner is {mark(seen_back).text} in on the back wall and "
        f"{mark(seen_end).text} in on the {end.wall} wall: one of them is off"
    )
    return (Caution("does-not-close", text, end.wall),)


def pipe_cautions(
    end: WallShape, back_regions: tuple[Region, ...], shop: Practice
) -> tuple[Caution, ...]:
    """Each pipe from the plumb line and from the corner against the wall's own offset there."""
    if end.corner is None:
        return ()
    found = []
    for fixture in end.fixtures:
        offset = _to_surface(end, end.corner, back_regions, fixture.down.mm)
        gap = _pipe_gap(fixture, offset)
        if gap is not None and abs(gap) > shop["limits.closure"] + 1e-6:
            text = (
                f"{fixture.name}: from the corner it is {mark(abs(gap)).text} in "
                f"{'more' if gap > 0 else 'less'} than the wall and its place from the plumb line "
                "make: measure it again from both"
            )
            found.append(Caution("does-not-close", text, end.wall))
    return tuple(found)


def station_cautions(
    shape: WallShape, bottom_down_mm: float, shop: Practice
) -> tuple[Caution, ...]:
    """Too few heights on a side or along the deck, or a panel that runs on far past the last."""
    least = int(shop["limits.least_stations"])
    sides: list[tuple[str, tuple[Station, ...]]] = [("line to deck", shape.line_to_deck)]
    measured = ("left", "right") if shape.corner is None else (shape.corner,)
    sides += [(side, shape.left if side == "left" else shape.right) for side in measured]
    found = []
    for name, stations in sides:
        if len(stations) < least:
            text = (
                f"{name}: {len(stations)} of {least} stations; between and beyond them the edge is "
                "drawn straight, not measured"
            )
            found.append(Caution("few-stations", text, shape.wall))
    for name, stations in sides[1:]:
        beyond = bottom_down_mm - max(station.at_mm for station in stations)
        if beyond > shop["limits.beyond"] + 1e-6:
            text = f"{name}: the edge is drawn on {mark(beyond).text} in below the last reading"
            found.append(Caution("few-stations", text, shape.wall))
    return tuple(found)


def straight_cautions(
    shape: WallShape, neighbours: Mapping[Side, tuple[Region, ...]], shop: Practice
) -> tuple[Caution, ...]:
    """The reading of each edge that lies farthest off the straight line between the next ones: a
    sheet cut by it would have a notch."""
    sides: tuple[Side, ...] = ("left", "right") if shape.corner is None else (shape.corner,)
    edges = {
        f"{side}: # in down": side_profile(shape.wall, side, stations, neighbours[side], 0.0).knots
        for side in sides
        if (stations := shape.left if side == "left" else shape.right)
    }
    heights = tuple(sorted((s.at_mm, s.value.mm) for s in shape.line_to_deck))
    found = []
    for words, knots in {**edges, "line to deck: # in along": heights}.items():
        off = [
            (abs(here[1] - Profile((before, after)).at(here[0])), before[0], here[0], after[0])
            for before, here, after in zip(knots, knots[1:], knots[2:], strict=False)
        ]
        gap, *places = max(off, default=(0.0, 0.0, 0.0, 0.0))
        if gap > shop["limits.straight"] + 1e-6:
            before, here, after = (mark(place).text for place in places)
            text = (
                f"{words.replace('#', here)} it is {mark(gap).text} in off the straight line "
                f"between {before} and {after} in: one of the three is off, or there is a hump "
                "or hollow"
            )
            found.append(Caution("does-not-close", text, shape.wall, "tape the three again"))
    return tuple(found)


def _to_surface(shape: WallShape, side: Side, regions: tuple[Region, ...], down_mm: float) -> float:
    """Offset from the plumb line to whatever surface is there now, before packing, mm."""
    stations = shape.left if side == "left" else shape.right
    finished = side_profile(shape.wall, side, stations, regions, 0.0).at(down_mm)
    region = region_at(regions, down_mm)
    return finished + finished_proud_mm(regions, down_mm) - (region.proud_mm if region else 0.0)


def _pipe_gap(fixture: Fixture, offset_mm: float) -> float | None:
    if fixture.from_corner_mm is None:
        return None
    return fixture.from_corner_mm - (offset_mm + fixture.from_plumb.mm)
