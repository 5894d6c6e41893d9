"""Field truth: photos held against the tape of the sheets that were released."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.actions.measure.named_sizes import wall_sizes
from service.actions.measure.stored import WallReports, stored_wall_file
from service.errors import ServiceError
from service.files.api.check_answers import FieldTruth, FieldTruthRow
from service.files.report import ReportDimension
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.estimates import Estimate
from service.measuring.field_truth import ProvedInField, field_truth
from service.store.rows import JobRow, WallRow
from service.store.unit import Unit

_UNNAMED: Final = "a phone that does not say its name"


def show_field_truth(unit: Unit, reports: WallReports, shop: str) -> FieldTruth:
    """The share per phone of this shop, from every released sheet of every job; the example is no
    evidence."""
    sheets = [
        (job, wall)
        for job in unit.jobs.all(hidden=True)
        if not job.example
        for wall in unit.jobs.walls(job.id)
        if job.document["releases"].get(wall.name, {}).get("state") == "released"
    ]
    proved = [size for job, wall in sheets for size in _proved(unit, reports, shop, job, wall)]
    return FieldTruth(
        shop=shop,
        sheets=len(sheets),
        phones=tuple(
            FieldTruthRow(
                phone=found.phone,
                held=found.held,
                count=found.count,
                low=found.low,
                high=found.high,
                bears_out=found.bears_out,
                enough=found.enough,
            )
            for found in field_truth(proved)
        ),
    )


def _proved(
    unit: Unit, reports: WallReports, shop: str, job: JobRow, wall: WallRow
) -> Iterator[ProvedInField]:
    """What the sheet is cut by, for all of that was proved when it was released.

    Whether the photo agreed is never asked: to leave out what two persons had to tape because it
    did not would make every interval look good. Only a conflict that nobody has dealt with since
    counts for nothing.
    """
    try:
        report = reports.of_wall(unit, wall)
    except ServiceError:
        return
    overridden = job.document["overrides"].get(wall.name, {})
    phone = _phones(unit, wall)
    cut_by = _cut_by(unit, wall)
    for size in report.dimensions:
        estimates = _photo_and_tape(size)
        stands = size.status != "conflicts" or size.name in overridden
        if stands and estimates is not None and (not cut_by or size.name in cut_by):
            yield ProvedInField(shop, phone, *estimates)


def _cut_by(unit: Unit, wall: WallRow) -> frozenset[str]:
    """The sizes that a sheet is usually cut by; empty where none of the wall's is known as one."""
    file = stored_wall_file(unit, wall)
    return frozenset() if file is None else frozenset(sheet_needs(wall_sizes(file)))


def _photo_and_tape(size: ReportDimension) -> tuple[Estimate, Estimate] | None:
    figures = (size.photo_mm, size.photo_u_mm, size.tape_mm, size.tape_u_mm)
    if any(figure is None for figure in figures):
        return None
    photo_mm, photo_u, tape_mm, tape_u = (figure or 0.0 for figure in figures)
    return Estimate(photo_mm, photo_u), Estimate(tape_mm, tape_u)


def _phones(unit: Unit, wall: WallRow) -> str:
    """By what the photos of the wall were taken; several phones are one of their own."""
    photos = unit.photos.of_wall(wall.id)
    names = set()
    for photo_id in wall.facts["photos"]:
        found = photos[photo_id].found
        header = None if found is None else found["sight"]["header"]
        if header is not None:
            words = [header[key] for key in ("make", "model") if header[key]]
            names.add(" ".join(words) or _UNNAMED)
    return " and ".join(sorted(names)) or _UNNAMED
