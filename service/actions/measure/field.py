"""Field truth: photos held against the tape of the sheets that were released."""

from __future__ import annotations

from service.actions.measure.named_sizes import wall_sizes
from service.actions.measure.stored import WallReports, stored_wall_file
from service.errors import ServiceError
from service.files.api.check_answers import FieldTruth, FieldTruthRow
from service.files.field_truth import evidence_of
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.field_truth import Evidence, field_truth
from service.measuring.release.revision import Revision, is_intact
from service.store.rows import JobRow, WallRow
from service.store.unit import Unit


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
    kept = [_evidence(unit, reports, job, wall) for job, wall in sheets]
    proved = [size for evidence in kept if evidence is not None for size in evidence.proved(shop)]
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
                more=found.more,
                enough=found.enough,
            )
            for found in field_truth(proved)
        ),
    )


def _evidence(unit: Unit, reports: WallReports, job: JobRow, wall: WallRow) -> Evidence | None:
    """What was kept when the sheet was locked, whatever became of the job since; nothing of a
    revision that is not as it was locked. Of a sheet that was locked before any was kept it is what
    the job says now of what sheets are usually cut by; there a conflict that nobody has dealt with
    since counts for nothing."""
    last: Revision | None = next(reversed(unit.revisions.of_job(job.id, wall.name)), None)
    if last is not None and not is_intact(last):
        return None
    if last is not None and last.evidence is not None:
        return last.evidence
    try:
        report = reports.of_wall(unit, wall)
    except ServiceError:
        return None
    overridden = job.document["overrides"].get(wall.name, {})
    cut_by = _cut_by(unit, wall)
    stand = {
        size.name
        for size in report.dimensions
        if (size.status != "conflicts" or size.name in overridden)
        and (not cut_by or size.name in cut_by)
    }
    return evidence_of([report], stand)


def _cut_by(unit: Unit, wall: WallRow) -> frozenset[str]:
    """The sizes that a sheet is usually cut by; empty where none of the wall's is known as one."""
    file = stored_wall_file(unit, wall)
    return frozenset() if file is None else frozenset(sheet_needs(wall_sizes(file)))
