"""What must close between the walls of an alcove."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from service.measuring.alcove.combination import Combination, known, size
from service.measuring.alcove.edges import height_at, place_along
from service.measuring.alcove.in_wall import Named
from service.measuring.alcove.square import Corner
from service.measuring.alcove.vocabulary import OPPOSITE, Role, Room, Side, Size, WallSizes


def room_closures(
    walls: Sequence[WallSizes], values: Mapping[str, float], room: Room
) -> Iterator[Named]:
    """Combinations that are zero between the back wall and its end walls."""
    backs = [wall for wall in walls if wall.corner is None]
    if len(backs) != 1:
        return
    for end in walls:
        if end.meets is not None:
            yield from _corner(backs[0], end, values, room)
    for opening in _all(walls, Role.OPENING):
        yield from _opening(walls, backs[0], opening, values, room)
    for diagonal in _all(walls, Role.PLAN_DIAGONAL):
        yield from _plan_diagonal(walls, backs[0], diagonal, values, room)


def _corner(
    back: WallSizes, end: WallSizes, values: Mapping[str, float], room: Room
) -> Iterator[Named]:
    """The same corner's height, seen from both walls."""
    seen = []
    for wall, side in ((back, end.meets), (end, Side.INNER)):
        own = wall.of(Role.HEIGHT, side=side)
        if own:
            seen.append(size(own[0].name))
            continue
        at_mm = place_along(wall, Size("", wall.wall, Role.HEIGHT, side=side), values)
        height = None if at_mm is None else height_at(wall, at_mm, values, room)
        if height is not None:
            seen.append(height)
    if len(seen) == 2:
        gap = seen[0].minus(seen[1]).within(room.level_u_mm)
        yield f"{end.meets} corner: its height from {back.wall} and {end.wall}", gap


def _opening(
    walls: Sequence[WallSizes],
    back: WallSizes,
    opening: Size,
    values: Mapping[str, float],
    room: Room,
) -> Iterator[Named]:
    """Front opening = back width - depth (cos θ left + cos θ right)."""
    width, depth = _width_near(back, opening.down_mm), _all(walls, Role.DEPTH)
    corners = [_corner_diagonal(walls, side) for side in (Side.LEFT, Side.RIGHT)]
    if width is None or not depth or None in corners or depth[0].name not in values:
        return
    depth_mm = values[depth[0].name]
    gap = size(width.name).minus(size(opening.name))
    turned = 0.0
    for corner in corners:
        cosine = None if corner is None else _cosine(corner, values, room)
        if cosine is None:
            return
        gap = gap.minus(cosine[0].times(depth_mm))
        turned += cosine[1]
    # Depth moves it by the two cosines, both near zero.
    gap = gap.plus(size(depth[0].name), -turned).plus(known(turned * depth_mm))
    yield f"{opening.name} from the back wall's width and its corners", gap.within(room.plan_u_mm)


def _plan_diagonal(
    walls: Sequence[WallSizes],
    back: WallSizes,
    diagonal: Size,
    values: Mapping[str, float],
    room: Room,
) -> Iterator[Named]:
    """From one back corner to the other end wall's front: the law of cosines in plan."""
    width, depth = _width_near(back, diagonal.down_mm), _all(walls, Role.DEPTH)
    if diagonal.side not in OPPOSITE or width is None or not depth:
        return
    corner = _corner_diagonal(walls, OPPOSITE[diagonal.side])
    parts = [part for part in (width, depth[0], corner) if part is not None]
    if len(parts) < 3 or any(part.name not in values for part in parts):
        return
    w, d, c = (values[part.name] for part in parts)
    angle = Corner(c, room.leg_mm)
    length = math.sqrt(max(w**2 + d**2 - 2 * w * d * angle.cosine, 1.0))
    slopes = (w - d * angle.cosine, d - w * angle.cosine, -w * d * angle.cosine_slope)
    gap = known(length).minus(size(diagonal.name))
    for part, slope in zip(parts, slopes, strict=True):
        gap = gap.plus(size(part.name), slope / length)
        gap = gap.plus(known(-values[part.name] * slope / length))
    yield f"{diagonal.name} from width, depth and corner", gap.within(room.plan_u_mm)


def _cosine(
    corner: Size, values: Mapping[str, float], room: Room
) -> tuple[Combination, float] | None:
    """cos θ = 1 - c² / (2 leg²) of one back corner, linear at the reading, and its value."""
    if corner.name not in values:
        return None
    # A corner is square within 5 degrees, whatever was read: a slip must not bend the closure.
    square = math.sqrt(2) * room.leg_mm
    c = min(max(values[corner.name], 0.955 * square), 1.045 * square)
    found = Corner(c, room.leg_mm)
    return found.cosine_of(corner.name), found.cosine


def _corner_diagonal(walls: Sequence[WallSizes], side: Side) -> Size | None:
    return next((s for s in _all(walls, Role.CORNER_DIAGONAL) if s.side is side), None)


def _width_near(back: WallSizes, down_mm: float | None) -> Size | None:
    """The width nearest to a height; the lowest where none is told."""
    taken = [(s.down_mm, s) for s in back.of(Role.WIDTH) if s.down_mm is not None]
    if not taken:
        return None
    if down_mm is None:
        return max(taken, key=lambda pair: pair[0])[1]
    return min(taken, key=lambda pair: abs(pair[0] - down_mm))[1]


def _all(walls: Sequence[WallSizes], role: Role) -> list[Size]:
    return [size for wall in walls for size in wall.of(role)]
