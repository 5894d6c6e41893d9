"""What is found wrong in the photos of a wall reaches the person under its own code."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_lines import TrueLine, TrueRectangle
from tests.support.simulated_wall import Plan, SimulatedWall, simulate
from tests.vision.test_doubts import THREE, codes
from vision.measure_wall import Habits, LineRequest, measure_wall, photo_advice
from vision.units import FloatArray

Rows = tuple[tuple[float, float], ...]


def checked(seed: int, plan: Plan | None = None, *, plumb: bool = False) -> SimulatedWall:
    return simulate(np.random.default_rng(seed), plan, None, 0.25, plumb=plumb)


def mark_off(plan: Plan | None) -> SimulatedWall:
    """One mark of the second photo 60 px to the right."""
    wall = checked(1, plan)
    photos = list(wall.request.photos)
    taps = tuple(
        replace(tap, at_px=(tap.at_px[0] + 60.0, tap.at_px[1])) if tap.name == "valve" else tap
        for tap in photos[1].taps
    )
    photos[1] = replace(photos[1], taps=taps)
    return replace(wall, request=replace(wall.request, photos=tuple(photos)))


def card_off(
    shift: Callable[[np.random.Generator], np.ndarray[tuple[int, ...], np.dtype[np.float64]]],
) -> SimulatedWall:
    """Corners of card 1 in the first photo are off."""
    wall = checked(7)
    first, second = wall.sights[0].cards
    spoilt = replace(first, pixels=first.pixels + shift(np.random.default_rng(3)))
    sight = replace(wall.sights[0], cards=(spoilt, second))
    return replace(wall, sights=(sight, *wall.sights[1:]))


def one_corner(_: np.random.Generator) -> FloatArray:
    return np.where(np.arange(24)[:, None] == 5, 3.0, 0.0)


def bubbles(rng: np.random.Generator) -> FloatArray:
    return 0.4 * rng.standard_normal((24, 2))


DECK = {"deck": TrueLine((-150.0, -250.0), (1400.0, -240.0))}


def with_deck(change: Callable[[LineRequest], LineRequest], bow_mm: float = 0.5) -> SimulatedWall:
    lines = {"deck": replace(DECK["deck"], bow_mm=bow_mm)}
    wall = checked(9, replace(Plan(), lines=lines))
    changed = tuple(change(line) for line in wall.request.lines)
    habits = Habits(flatness_u_mm=0.5) if bow_mm > 1 else Habits()
    return replace(wall, request=replace(wall.request, lines=changed, habits=habits))


def kinked(line: LineRequest) -> LineRequest:
    """One of its points 30 px beside it."""
    points: dict[str, Rows] = dict(line.points_px)
    first, (x, y), *rest = points["0.jpg"]
    points["0.jpg"] = (first, (x, y + 30.0), *rest)
    return replace(line, points_px=points)


def edge_off() -> SimulatedWall:
    """One point 40 px beside the edge of a rectangle."""
    sheet = {"sheet": TrueRectangle((620.0, 560.0, 0.1), (300.0, 200.0))}
    wall = checked(5, replace(Plan(), rectangles=sheet))
    (rectangle,) = wall.request.rectangles
    low, *others = rectangle.edges_px["0.jpg"]
    first, (x, y), *rest = low
    edges = {**rectangle.edges_px, "0.jpg": ((first, (x, y + 40.0), *rest), *others)}
    spoilt = replace(rectangle, edges_px=edges)
    return replace(wall, request=replace(wall.request, rectangles=(spoilt,)))


def tile_by_its_name() -> SimulatedWall:
    tile = {"tile": TrueRectangle((620.0, 560.0, 0.1), (304.8, 304.8))}
    wall = checked(6, replace(Plan(), rectangles=tile))
    named = tuple(replace(each, is_nominal=True) for each in wall.request.rectangles)
    return replace(wall, request=replace(wall.request, rectangles=named))


def untied() -> SimulatedWall:
    """The second photo shows no card and one mark."""
    wall = checked(4)
    photos = (wall.request.photos[0], replace(wall.request.photos[1], taps=()))
    sights = (wall.sights[0], replace(wall.sights[1], cards=()))
    return replace(wall, request=replace(wall.request, photos=photos), sights=sights)


WALLS: dict[str, Callable[[], SimulatedWall]] = {
    "mark-set-aside": lambda: mark_off(THREE),
    "marks-disagree": lambda: mark_off(None),
    "card-corners-set-aside": lambda: card_off(one_corner),
    "card-uneven": lambda: card_off(bubbles),
    "line-point-set-aside": lambda: with_deck(kinked),
    "line-bent": lambda: with_deck(lambda line: replace(line, bow_u_mm=0.05), 25.0),
    "edge-point-set-aside": edge_off,
    "plumb-off": lambda: checked(3, plumb=True),
    "nominal-size-left-out": tile_by_its_name,
    "not-tied": untied,
    "no-card-in-photo": untied,
}


@pytest.mark.parametrize("code", WALLS)
def test_the_advice_is_reached(code: str) -> None:
    """The wall is measured all the same, and the advice says what to do in a sentence."""
    wall = WALLS[code]()
    measured = measure_wall(wall.request, wall.sights)
    assert code in codes(wall, measured)
    for index in range(len(wall.sights)):
        for item in photo_advice(wall.request, wall.sights, index, measured):
            assert item.text.endswith((".", "?"))
            assert "{" not in item.text
