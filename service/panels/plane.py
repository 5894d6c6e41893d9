"""The finished plane: what the sheet will lie on, and what that does to a reading.

Old tile tends to stop below the new top, and above it the bare wall sits a tile thickness back.
A corner reading ends on the *neighbouring* wall, so it is that wall's surface that it ran to and
that wall's finished plane that counts.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.problem import PlanError
from service.panels.sizes import mark

if TYPE_CHECKING:
    from collections.abc import Mapping

    from service.panels.walls import Region, Side, Station, Surface, WallShape


def finished_proud_mm(regions: tuple[Region, ...], down_mm: float) -> float:
    """How far the finished plane stands in front of the bare wall at a depth, mm.

    Kept tile stays as proud as it is, stripped wall is bare, and a packed band comes flush with
    the nearest region that is not packed. No regions: one plane, 0.
    """
    region = region_at(regions, down_mm)
    if region is None:
        return 0.0
    return _treated(region) if region.do != "pack" else _treated(_flush_with(regions, region))


def to_finished_mm(regions: tuple[Region, ...], down_mm: float, surface: Surface | None) -> float:
    """What to add to a reading that ran to this wall at this depth, mm (negative: shorter)."""
    region = region_at(regions, down_mm)
    if region is None or surface in ("finished", "hung"):
        return 0.0
    return _touched(regions, region, surface) - finished_proud_mm(regions, down_mm)


def surface_cautions(
    shape: WallShape, neighbours: Mapping[Side, tuple[Region, ...]]
) -> tuple[Caution, ...]:
    """Readings that name a surface of a wall whose surfaces are not given: nothing is corrected."""
    if not shape.surfaces:
        return ()
    sides: tuple[tuple[Side, tuple[Station, ...]], ...] = (
        ("left", shape.left),
        ("right", shape.right),
    )
    return tuple(
        Caution(
            "surface-unknown",
            f"{side} readings name the surface they ran to, but the wall there has no surfaces "
            "listed: nothing was added or taken off",
            shape.wall,
        )
        for side, stations in sides
        if not neighbours[side] and any(s.surface in ("tile", "bare") for s in stations)
    )


def correction_notes(
    shape: WallShape, neighbours: Mapping[Side, tuple[Region, ...]]
) -> tuple[str, ...]:
    """What was added to or taken off readings: a stated thickness that no tape has proved."""
    notes = []
    for side, stations in (("left", shape.left), ("right", shape.right)):
        if shape.corner not in (None, side):
            continue
        regions = neighbours["left" if side == "left" else "right"]
        for station in stations:
            change = to_finished_mm(regions, station.at_mm, station.surface)
            if change:
                what = "taken off" if change < 0 else "added to"
                notes.append(
                    f"{mark(abs(change)).text} in {what} the {side} reading "
                    f"{mark(station.at_mm).text} in below the line for the finished plane: check "
                    "it there before cutting"
                )
    return tuple(notes)


def region_at(regions: tuple[Region, ...], down_mm: float) -> Region | None:
    """The region that holds a depth; beyond all of them, the nearest."""
    if not regions:
        return None
    return min(regions, key=lambda region: _distance(region, down_mm))


def check_regions(field: str, regions: tuple[Region, ...]) -> None:
    """Refuse regions that overlap, run upwards or are proud of nothing finite."""
    for index, region in enumerate(regions):
        where = f"{field}[{index}]"
        if not math.isfinite(region.proud_mm) or region.proud_mm < 0:
            raise PlanError(f"{where}.proud", "expected a thickness of 0 or more")
        if region.to_down_mm is not None and region.to_down_mm <= region.from_down_mm:
            raise PlanError(f"{where}.to_down", "expected a depth below from_down")
    ordered = sorted(regions, key=lambda region: region.from_down_mm)
    for upper, lower in itertools.pairwise(ordered):
        if upper.to_down_mm is None or upper.to_down_mm > lower.from_down_mm + 1e-6:
            raise PlanError(field, "expected regions that do not overlap")


def _distance(region: Region, down_mm: float) -> float:
    """0 inside; a depth on a border belongs to the lower region, where tile stops tile begins."""
    end = math.inf if region.to_down_mm is None else region.to_down_mm
    if region.from_down_mm - 1e-9 <= down_mm < end - 1e-9:
        return 0.0
    return max(region.from_down_mm - down_mm, down_mm - end, 1e-12)


def _treated(region: Region) -> float:
    return 0.0 if region.do == "strip" else region.proud_mm


def _flush_with(regions: tuple[Region, ...], band: Region) -> Region:
    others = [region for region in regions if region.do != "pack"]
    if not others:
        return band
    return min(others, key=lambda region: abs(region.from_down_mm - band.from_down_mm))


def _touched(regions: tuple[Region, ...], region: Region, surface: Surface | None) -> float:
    if surface is None:
        return region.proud_mm
    if surface == "tile":
        return region.proud_mm or max(other.proud_mm for other in regions)
    return region.proud_mm if region.do == "pack" else 0.0
