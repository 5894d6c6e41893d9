"""Where in PLAN.json the things stand that the panel calculator speaks of.

The calculator knows no files: it says `back left 16` of a size, `plumbing.valve.hole` of a part.
Somebody who wrote a file looks for `walls[0].left[1].value`.
"""

from __future__ import annotations

import re
from itertools import takewhile
from typing import TYPE_CHECKING

from service.errors import FileError
from service.files.plan_beside import hall_names

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from service.files.plan import PlanFile
    from service.files.plan_parts import PlanWall
    from service.files.sized import Sized
    from service.panels.problem import PlanError

Place = tuple[str, str]
"""What something is called, and its path."""
_EDGES = (("left", "left", "down"), ("right", "right", "down"), ("line_to_deck", "deck", "at"))


def plan_fault(source: str, plan: PlanFile, error: PlanError) -> FileError:
    """What a plan fails by as an error of its file: the path, then how the trade calls it."""
    path = path_in_plan(plan, error.field)
    words = called_in_words(plan, error.field)
    return FileError(
        source, path, error.expected if words == path else f"{words}: {error.expected}"
    )


def called_in_words(plan: PlanFile, field: str) -> str:
    """The same for somebody who sees no file: `plumbing wall, valve.hole`."""
    for wall in plan.walls:
        rest = field.removeprefix(wall.wall)
        if rest != field and rest[:1] in (".", " "):
            return f"{wall.wall} wall, {rest[1:]}"
    return field


def path_in_plan(plan: PlanFile, field: str) -> str:
    """The path in the plan's file of what the calculator calls so.

    Two entries of one name have the path of what both stand in; what stands in a report has that
    of the wall's reports; words that are no name are a path already.

    Examples
    --------
    `back left 16` is `walls[0].left[1].value`, `plumbing.valve.hole` is
    `walls[1].fixtures[1].hole`.
    """
    names: dict[str, list[str]] = {}
    for called, path in _places(plan):
        names.setdefault(called, []).append(path)
    for cut in range(len(field), 0, -1):
        paths, rest = names.get(field[:cut], []), field[cut:]
        if paths and rest[:1] in ("", ".", "["):
            return paths[0] + rest if len(paths) == 1 else _holds_all(paths)
    of_wall = next((i for i, w in enumerate(plan.walls) if field.startswith(f"{w.wall} ")), None)
    return field if of_wall is None else f"walls[{of_wall}].reports"


def _holds_all(paths: Sequence[str]) -> str:
    """The path of what all of them stand in."""
    steps = zip(*(re.split(r"(?=[.[])", path) for path in paths), strict=False)
    return "".join(same[0] for same in takewhile(lambda same: len(set(same)) == 1, steps))


def _places(plan: PlanFile) -> Iterator[Place]:
    for index, wall in enumerate(plan.walls):
        yield from _in_wall(f"walls[{index}]", wall)
    for index, sheet in enumerate(plan.stock):
        yield f"stock.{sheet.name}", f"stock[{index}]"
    for index, name in enumerate(hall_names(plan.way_in)):
        yield f"way_in.{name}", f"way_in[{index}]"


def _in_wall(path: str, wall: PlanWall) -> Iterator[Place]:
    name = wall.wall
    yield name, path
    yield f"{name}.outline", path
    yield f"{name}.left + {name}.right", f"{path}.left"
    for key, words, station in _EDGES:
        for place, entry in enumerate(getattr(wall, key)):
            where, called = f"{path}.{key}[{place}]", f"{name} {words} {getattr(entry, station)}"
            yield from _sized(called, where, entry)
            yield f"{called} station", f"{where}.{station}"
            yield f"{called} surface", f"{where}.surface"
    if wall.outer is not None:
        key = "dimension" if wall.outer.from_plumb is None else "from_plumb"
        yield f"{name} outer edge", f"{path}.outer.{key}"
        yield f"{name} outer edge dimension", f"{path}.outer.dimension"
    yield from _openings(path, wall)
    for place, fixture in enumerate(wall.fixtures):
        where, called = f"{path}.fixtures[{place}]", f"{name} {fixture.name}"
        yield f"{name}.{fixture.name}", where
        for words, key, dimension in (
            ("from plumb", "from_plumb", "dimension"),
            ("down", "down", "down_dimension"),
        ):
            given = getattr(fixture, key) is not None
            yield f"{called} {words}", f"{where}.{key if given else dimension}"
            yield f"{called} {words} dimension", f"{where}.{dimension}"


def _openings(path: str, wall: PlanWall) -> Iterator[Place]:
    """Windows, what stands out of the wall, and where it ends above and beside the tub."""
    name = wall.wall
    for key, sides in (
        ("windows", ("left", "right", "head", "sill")),
        ("obstacles", ("left", "right", "head", "foot")),
    ):
        for place, part in enumerate(getattr(wall, key)):
            yield f"{name}.{part.name}", f"{path}.{key}[{place}]"
            for side in sides:
                size, where = getattr(part, side), f"{path}.{key}[{place}].{side}"
                if size is not None:
                    yield from _sized(f"{name} {part.name} {side}", where, size)
    for place, height in enumerate(wall.ceiling):
        yield f"{name} ceiling {height.at}", f"{path}.ceiling[{place}].value"
        yield f"{name} ceiling {height.at} station", f"{path}.ceiling[{place}].at"
    if wall.low_top is not None:
        yield from _sized(f"{name} low top down", f"{path}.low_top.down", wall.low_top.down)
    front = wall.tub_front
    if front is not None:
        for called, key in (
            ("tub front at deck", "at_deck"),
            ("tub front at floor", "at_floor"),
            ("line to floor", "line_to_floor"),
        ):
            size = getattr(front, key)
            if size is not None:
                yield from _sized(f"{name} {called}", f"{path}.tub_front.{key}", size)


def _sized(called: str, path: str, size: Sized) -> Iterator[Place]:
    yield called, f"{path}.{'dimension' if size.value is None else 'value'}"
    yield f"{called} dimension", f"{path}.dimension"
