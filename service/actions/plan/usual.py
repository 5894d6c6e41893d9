"""Plan settings that nobody has set yet: from the sizes a wall has, by common practice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from service.lengths import inches_text
from service.store.new_job import corner_side

if TYPE_CHECKING:
    from service.files.report import Report, ReportDimension
    from service.store.rows import JobRow, WallName

_OVER_TILE: Final = "over tile"
_TILE_TOP: Final = 15.0
"""Inches below the level line at which old tile usually ends, where it does not reach the top."""
_SURFACES: Final = (
    {"from_down": "-3/4", "to_down": "15", "proud": "0", "do": "pack"},
    {"from_down": "15", "to_down": None, "proud": "3/8", "do": "keep"},
)
_PIPE: Final = {"pipe": "0.840", "plate": "2 1/2"}
"""Half-inch pipe is 0.840 in outside (ASME B36.10M)."""
_VALVE: Final = {"guard": "3 1/2", "plate": "6 1/2"}
_STOCK: Final = (
    {"name": "60 x 96", "size": ["60", "96"], "finished": ["top"]},
    {"name": "72 x 96", "size": ["72", "96"], "finished": ["top"]},
    {"name": "36 x 96 left", "size": ["36", "96"], "finished": ["top", "left"]},
    {"name": "36 x 96 right", "size": ["36", "96"], "finished": ["top", "right"]},
)
USUAL_TOP: Final = {"above_line": "3/4", "to_ceiling": False}
_USUAL_PLACES: Final = {"left": -30.0, "right": 30.0, "inner": 12.0, "front": 18.0, "plumb": 0.0}


def usual_plan(job: JobRow, reports: Mapping[WallName, Report]) -> dict[str, Any]:
    """PLAN.json's terms for a job: every size that its reports have a value for."""
    return {
        "walls": [_wall(job, wall, report) for wall, report in reports.items()],
        "top": dict(USUAL_TOP),
        "stock": [dict(sheet) for sheet in _STOCK],
    }


def usual_surfaces(job: JobRow) -> list[dict[str, Any]]:
    """Old tile that ends below the top, the plaster above it packed out; none on bare studs."""
    return [dict(surface) for surface in _SURFACES] if job.scope == _OVER_TILE else []


def _wall(job: JobRow, wall: WallName, report: Report) -> dict[str, Any]:
    sizes = {size.name: size for size in report.dimensions if _value(size) is not None}
    corner = corner_side(wall, job.plumbing_side)
    over_tile = job.scope == _OVER_TILE
    found: dict[str, Any] = {
        "wall": wall.replace("-", " "),
        "hold_down": "3/4",
        "line_to_deck": _decks(sizes, corner),
        "surfaces": usual_surfaces(job),
    }
    for side in ("left", "right"):
        word = side if corner is None else "inner" if side == corner else "outer"
        found[side] = _offsets(sizes, word, over_tile=over_tile)
    if corner is not None:
        found["corner"] = corner
        edge = next((name for name in ("outer 16", "outer 40", "outer 64") if name in sizes), None)
        if edge is not None:
            found["outer"] = {"finish": "return", "dimension": edge}
    found["fixtures"] = _fixtures(sizes)
    return found


def _decks(sizes: Mapping[str, ReportDimension], corner: str | None) -> list[dict[str, Any]]:
    found = []
    for name in sizes:
        word, _, place = name.partition(" ")
        if word == "deck" and (_is_number(place) or place in _USUAL_PLACES):
            at = float(place) if _is_number(place) else _USUAL_PLACES[place]
            found.append((_place(sizes, place, corner, at), name))
    return [{"at": inches_text(inches * 25.4), "dimension": name} for inches, name in sorted(found)]


def _place(
    sizes: Mapping[str, ReportDimension], place: str, corner: str | None, usual: float
) -> float:
    """Where along the wall a deck height was taken, inches from the plumb line, left negative."""
    if _is_number(place) or place == "plumb":
        return usual
    known = {"front": "tub front"}.get(place, f"{place} 64")
    mm = _value(sizes[known]) if known in sizes else None
    away = abs(usual) if mm is None else abs(mm) / 25.4
    on_left = place == "left" or (place == "inner" and corner == "left")
    on_left |= place == "front" and corner == "right"
    return -away if on_left else away


def _offsets(
    sizes: Mapping[str, ReportDimension], word: str, *, over_tile: bool
) -> list[dict[str, Any]]:
    found = []
    for name in sizes:
        first, _, down = name.partition(" ")
        if first == word and _is_number(down):
            surface = "tile" if over_tile and float(down) >= _TILE_TOP else "plaster"
            found.append((float(down), {"down": down, "dimension": name, "surface": surface}))
    return [entry for _, entry in sorted(found, key=lambda pair: pair[0])]


def _fixtures(sizes: Mapping[str, ReportDimension]) -> list[dict[str, Any]]:
    found = []
    for name in sizes:
        fixture = name.removesuffix(" from plumb")
        if fixture != name and f"{fixture} down" in sizes:
            hole = _VALVE if fixture == "valve" else _PIPE
            down = {"dimension": name, "down_dimension": f"{fixture} down"}
            found.append({"name": fixture, **down, **hole})
    return found


def _value(size: ReportDimension) -> float | None:
    for mm in (size.best_mm, size.tape_mm, size.expected_mm, size.photo_mm):
        if mm is not None:
            return mm
    return None


def _is_number(text: str) -> bool:
    return text.removeprefix("-").isdecimal()
