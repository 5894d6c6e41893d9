"""CHECK.json from the cross-check's values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.files.cross_check import (
    CheckedSizeRow,
    CheckedWallRow,
    CheckFile,
    ClosureRow,
    DerivedRow,
)
from service.measuring.alcove.closing import Closing
from service.measuring.alcove.derived import Derived
from service.measuring.alcove.next_to_tape import ToTape
from service.measuring.cross_check import CheckedSize, CrossCheck
from service.measuring.estimates import Estimate


def check_file(found: CrossCheck, to_tape: Mapping[str, ToTape]) -> CheckFile:
    """The file, with what each wall's sheet still wants taped."""
    return CheckFile(
        walls=tuple(
            CheckedWallRow(
                wall=wall.sizes.wall,
                sizes=tuple(_row(row) for row in wall.rows),
                closures=closure_rows(wall.closings),
                derived=derived_rows(wall.derived),
                tape_next=to_tape[wall.sizes.wall].first,
                tape_again=to_tape[wall.sizes.wall].again,
            )
            for wall in found.walls
        ),
        across=closure_rows(found.across),
        print_scale=found.print_scale,
    )


def closure_rows(closings: Sequence[Closing]) -> tuple[ClosureRow, ...]:
    """Every closure as read."""
    return tuple(
        ClosureRow(
            name=closing.name,
            sizes=closing.sizes,
            out_mm=closing.out_mm,
            limit_mm=closing.limit_mm,
            closes=closing.closes,
        )
        for closing in closings
    )


def derived_rows(derived: Sequence[Derived]) -> tuple[DerivedRow, ...]:
    """What follows from a wall's sizes."""
    return tuple(
        DerivedRow(
            what=found.what,
            over_mm=float(found.over_mm),
            value_mm=float(found.value.mm),
            u_mm=float(found.value.u_mm),
        )
        for found in derived
    )


def _row(row: CheckedSize) -> CheckedSizeRow:
    return CheckedSizeRow(
        name=row.name,
        role=None if row.size is None else row.size.role.value,
        status=row.status.value,
        checked=row.checked,
        readings=row.readings,
        photo_mm=_mm(row.photo),
        photo_interval95_mm=_interval(row.photo),
        tape_mm=_mm(row.tape),
        expected_mm=_mm(row.expected),
        expected_interval95_mm=_interval(row.expected),
        best_mm=_mm(row.best),
        best_u_mm=None if row.best is None else float(row.best.u_mm),
        holds=row.holds,
        suspect=row.suspect,
        done=row.done,
    )


def _mm(estimate: Estimate | None) -> float | None:
    return None if estimate is None else float(estimate.mm)


def _interval(estimate: Estimate | None) -> tuple[float, float] | None:
    if estimate is None:
        return None
    low, high = estimate.interval95_mm
    return float(low), float(high)
