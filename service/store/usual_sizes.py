"""The lines and sizes that a plan of an alcove needs, wall by wall (common practice).

Stations 0, 16, 40 and 64 in below the level line: on the plaster above old tile, near the tile's
top, at the middle, near the tub. Marks and sizes are named as the panel calculator looks for them.
"""

from __future__ import annotations

from typing import Any, Literal

from service.store.rows import Facts, WallName
from service.store.wall_document import empty_facts

Side = Literal["left", "right"]
STATIONS = ("0", "16", "40", "64")
FIXTURES = ("arm", "valve", "spout")


def usual_facts(wall: WallName, corner: Side | None) -> Facts:
    """Facts of an unseen wall; ``corner`` is the side of an end wall's back corner."""
    facts = empty_facts()
    facts["plumb"] = ["plumb 16", "plumb 64"]
    if corner is None:
        facts["level"] = ["level left", "level right"]
        sizes = _back()
    else:
        level = ["level outer", "level inner"]
        facts["level"] = level if corner == "right" else level[::-1]
        sizes = _end(corner, facts["level"])
        if wall == "plumbing":
            sizes += _fixtures(corner, facts["level"])
    facts["dimensions"] = {size["name"]: size for size in sizes}
    return facts


def _back() -> list[dict[str, Any]]:
    sizes = [_from_plumb(f"{side} {s}", side) for side in ("left", "right") for s in STATIONS]
    sizes += [_between(f"width {s}", f"left {s}", f"right {s}") for s in STATIONS]
    level = ["level left", "level right"]
    places = ("left", "-14", "0", "14", "right")
    sizes += [_below(f"deck {place}", f"deck {place}", level) for place in places]
    sizes += [
        _between("diagonal left-low", "right 16", "deck left"),
        _between("diagonal right-low", "left 16", "deck right"),
    ]
    return sizes


def _end(corner: Side, level: list[str]) -> list[dict[str, Any]]:
    outer: Side = "left" if corner == "right" else "right"
    low = STATIONS[1:]
    sizes = [_from_plumb(f"inner {s}", corner) for s in STATIONS]
    sizes += [_from_plumb(f"outer {s}", outer) for s in low]
    sizes += [_between(f"width {s}", f"inner {s}", f"outer {s}") for s in low]
    sizes += [_below(f"deck {place}", f"deck {place}", level) for place in ("inner", "plumb")]
    sizes += [
        _below("deck front", "deck front", level),
        _from_plumb("tub front", outer, "deck front"),
        _between("diagonal inner-low", "outer 16", "deck inner"),
        _between("diagonal outer-low", "inner 16", "deck front"),
    ]
    return sizes


def _fixtures(corner: Side, level: list[str]) -> list[dict[str, Any]]:
    outer: Side = "left" if corner == "right" else "right"
    sizes = []
    for name in FIXTURES:
        sizes.append(_below(f"{name} down", name, level))
        sizes.append(_from_plumb(f"{name} from plumb", outer, name))
    return sizes


def _from_plumb(name: str, side: Side, mark: str | None = None) -> dict[str, Any]:
    """Square from the plumb line; a line has its left hand side positive."""
    line = ["plumb 16", "plumb 64"] if side == "right" else ["plumb 64", "plumb 16"]
    return _size(name, "to_line", mark or name, line=line)


def _below(name: str, mark: str, level: list[str]) -> dict[str, Any]:
    """Square below the level line, whose marks stand from left to right."""
    return _size(name, "to_line", mark, line=level[::-1])


def _between(name: str, first: str, second: str) -> dict[str, Any]:
    return _size(name, "distance", first, to=second)


def _size(
    name: str, kind: str, mark: str, to: str | None = None, line: list[str] | None = None
) -> dict[str, Any]:
    return {"name": name, "kind": kind, "from": mark, "to": to, "line": line}
