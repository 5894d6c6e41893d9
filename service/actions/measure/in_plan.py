"""A job's alcove from above, as its page draws it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from service.actions.measure.named_sizes import renamed, wall_sizes
from service.actions.measure.stored import JobCheck
from service.files.api.check_answers import FromAboveModel, SizeInPlan, SquareModel
from service.measuring.alcove.from_above import from_above, out_of_square
from service.measuring.alcove.vocabulary import USUAL_ROOM, Role, Side, WallSizes
from service.measuring.cross_check import CheckedSize
from service.store.new_job import wall_around
from service.store.rows import WallName, WallRow
from service.store.wall_document import untaken_file

_SIDES: Final[dict[Side | None, Literal["left", "right"]]] = {
    Side.LEFT: "left",
    Side.RIGHT: "right",
}


def show_from_above(check: JobCheck, walls: Sequence[WallRow]) -> FromAboveModel | None:
    """The alcove by its tape alone; None where no wall has a size in plan.

    Each size counts as it was read, so nothing here tells what the photos or other readings make of
    one that is to be taped, or taped again.
    """
    named = [_named(check, wall) for wall in walls]
    rows = dict(pair for wall in walls for pair in _standing(check, wall.name))
    taped = {name: abs(row.tape.mm) for name, row in rows.items() if row.tape is not None}
    found = from_above(named, taped)
    if found is None:
        return None
    return FromAboveModel(
        outline=found.outline,
        sizes=tuple(
            SizeInPlan(wall=wall.name, size=size.name.removeprefix(f"{wall.name}: "), ends=ends)
            for wall, sizes in zip(walls, named, strict=True)
            for size in sizes.sizes
            if (ends := found.ends.get(size.name)) is not None
        ),
        square=tuple(square for row in rows.values() for square in _square(row)),
        usual=found.usual,
    )


def _named(check: JobCheck, wall: WallRow) -> WallSizes:
    """The sizes of a wall, by their wall and the names that its file has for them."""
    if wall.name in check.looked:
        file = check.looked[wall.name].wall
    else:
        file = untaken_file(wall_around(check.job, wall), wall.facts)
    sizes = wall_sizes(file)
    return renamed(sizes, {size.name: f"{wall.name}: {size.name}" for size in sizes.sizes})


def _standing(check: JobCheck, wall: WallName) -> Iterator[tuple[str, CheckedSize]]:
    """The named sizes of a wall that are taped."""
    walls = () if check.checked is None else check.checked.found.walls
    for found in walls:
        if found.sizes.wall == wall:
            yield from (
                (f"{wall}: {row.name}", row)
                for row in found.rows
                if row.readings and row.size is not None
            )


def _square(row: CheckedSize) -> Iterator[SquareModel]:
    """How far out of square a back corner is whose diagonal is taped."""
    size = row.size
    if size is None or size.role is not Role.CORNER_DIAGONAL or row.tape is None:
        return
    out, side = out_of_square(row.tape), _SIDES.get(size.side)
    if side is not None:
        yield SquareModel(side=side, over_mm=USUAL_ROOM.leg_mm, out_mm=out.mm, u_mm=out.u_mm)
