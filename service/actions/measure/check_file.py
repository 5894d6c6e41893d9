"""CHECK.json from the cross-check's values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.actions.measure.report import interval_of, mm_of, u_of
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
                tape_anew=to_tape[wall.sizes.wall].anew,
            )
            for wall in found.walls
        ),
        across=closure_rows(found.across),
        print_scale=found.print_scale,
        slip_mm=found.slip_mm,
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
        photo_mm=mm_of(row.photo),
        photo_interval95_mm=interval_of(row.photo),
        tape_mm=mm_of(row.tape),
        expected_mm=mm_of(row.expected),
        expected_interval95_mm=interval_of(row.expected),
        best_mm=mm_of(row.best),
        best_u_mm=u_of(row.best),
        holds=row.holds,
        suspect=row.suspect,
        done=row.done,
        let_stand_by=row.let_stand_by,
        en=row.en,
        w=row.w,
        mdb_mm=row.mdb_mm,
        birge=row.birge,
    )
