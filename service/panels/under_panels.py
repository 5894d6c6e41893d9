"""Pack-out and corner backers: what goes on the walls before the panels."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import Backer
from service.panels.outline import side_profile
from service.panels.plane import finished_proud_mm, region_at
from service.panels.shapes import down_mm
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Region, Side, WallShape


def corner_backers(back: Outline, shop: Practice) -> tuple[Backer, ...]:
    """One thin angle per inside corner: up from the deck, down from the top, or it shows."""
    joint = shop["joint.side"]
    to_deck = shop["joint.deck"]
    lost = shop["backer.up"] + shop["backer.down"]
    if back.cut:
        return _beside_cut_panel(back, to_deck - lost)
    ends = back.lows
    left = back.bottom.at(ends[0].x - joint) + to_deck - lost
    right = back.bottom.at(ends[-1].x + joint) + to_deck - lost
    return (Backer("left", mark(left)), Backer("right", mark(right)))


def _beside_cut_panel(back: Outline, more_mm: float) -> tuple[Backer, ...]:
    """Beside a seat or under a soffit a strip is as long as the panel's own side there."""
    made = []
    sides: tuple[tuple[Side, int], ...] = (("left", 1), ("right", -1))
    for side, inward in sides:
        at = [p.x for edge, p in back.edge_points if edge == side]
        if at:
            top, low = down_mm(back, (max(at) if inward > 0 else min(at)) + inward)
            made.append(Backer(side, mark(low - top + more_mm)))
    return tuple(made)


def pack_strips(
    shape: WallShape,
    neighbours: dict[Side, tuple[Region, ...]],
    rise_mm: float,
    shop: Practice,
) -> list[tuple[float, float]]:
    """Pieces of packing board on one wall, (height, length) mm.

    On the back wall from bare corner to bare corner, clear of both; on an end wall from the packed
    back wall to the tile edge. Lengths are taken at the level line where the band holds it.
    """
    pieces = []
    for region in shape.surfaces:
        if region.do != "pack" or region.to_down_mm is None:
            continue
        top = max(region.from_down_mm, -rise_mm)
        if region.to_down_mm <= top:
            continue
        height = region.to_down_mm - top - shop["pack.up"] - shop["pack.down"]
        down = 0.0 if top <= 0.0 <= region.to_down_mm else (top + region.to_down_mm) / 2
        length = _length(shape, neighbours, rise_mm, down, shop["pack.side"])
        pieces.append((height, length))
    return pieces


def _length(
    shape: WallShape,
    neighbours: dict[Side, tuple[Region, ...]],
    rise_mm: float,
    down: float,
    gap: float,
) -> float:
    if shape.corner is None:
        sides: tuple[Side, ...] = ("left", "right")
        return sum(_to_bare(shape, side, neighbours[side], rise_mm, down) for side in sides) - (
            2 * gap
        )
    inner = _finished(shape, shape.corner, neighbours[shape.corner], rise_mm, down)
    outer = shape.left if shape.corner == "right" else shape.right
    if outer:
        return inner + min(outer, key=lambda s: abs(s.at_mm - down)).value.mm - gap
    return inner + (shape.outer.from_plumb_mm if shape.outer else 0.0) - gap


def _finished(
    shape: WallShape, side: Side, regions: tuple[Region, ...], rise_mm: float, down: float
) -> float:
    stations = shape.left if side == "left" else shape.right
    return side_profile(shape.wall, side, stations, regions, rise_mm).at(down + rise_mm)


def _to_bare(
    shape: WallShape, side: Side, regions: tuple[Region, ...], rise_mm: float, down: float
) -> float:
    region = region_at(regions, down)
    bare = region.proud_mm if region else 0.0
    recess = finished_proud_mm(regions, down) - bare
    return _finished(shape, side, regions, rise_mm, down) + recess
