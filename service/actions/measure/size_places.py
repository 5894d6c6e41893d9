"""A report with what each of its sizes is of: where it was taken, and to what."""

from __future__ import annotations

from service.actions.measure.named_sizes import wall_sizes
from service.files.report import Report, SizeOf
from service.files.wall import WallFile
from service.measuring.alcove.vocabulary import OPPOSITE, Side, Size


def with_places(report: Report, wall: WallFile) -> Report:
    """The report of a wall, its sizes told as the wall's file tells them."""
    sizes = wall_sizes(wall)
    known = {size.name: _told(size, sizes.corner) for size in sizes.sizes}
    return report.model_copy(
        update={
            "dimensions": tuple(
                row.model_copy(update={"of": known.get(row.name)}) for row in report.dimensions
            )
        }
    )


def _told(size: Size, corner: Side | None) -> SizeOf:
    return SizeOf(
        role=size.role,
        side=_seen(size.side, corner),
        down_mm=size.down_mm,
        at_mm=size.at_mm,
        fixture=size.fixture,
        surface=size.surface,
    )


def _seen(side: Side | None, corner: Side | None) -> Side | None:
    """As seen from the room, where it is known on which side the back corner is."""
    if corner is None or side not in (Side.INNER, Side.OUTER):
        return side
    return corner if side is Side.INNER else OPPOSITE[corner]
