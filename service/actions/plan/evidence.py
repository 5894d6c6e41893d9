"""What photos and tape say of the sizes that a sheet is cut by, to be kept when it is locked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.actions.plan.cut_sizes import cut_by
from service.files.field_truth import evidence_of
from service.files.report import Report

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.actions.plan.job import Reports
    from service.measuring.field_truth import Evidence
    from service.panels.model import Plan
    from service.panels.places import WallName as PanelWall
    from service.store.rows import JobRow, WallName
    from service.store.unit import Unit


def evidence_by(plan: Plan, wall: PanelWall, reports: Sequence[Report]) -> Evidence:
    """Of a wall's sheet, by the wall's reports. Where a photo shows nothing of what it is cut by
    that is kept as well: photos that come later say nothing of this sheet."""
    return evidence_of(reports, cut_by(plan).get(wall, frozenset()))


def evidence_now(
    unit: Unit, job: JobRow, reports: Reports, panel: WallName, plan: Plan
) -> Evidence:
    """The same of a stored job as its facts stand."""
    report = reports.of_walls(unit, job).get(panel)
    walls: dict[WallName, PanelWall] = {
        "plumbing": "plumbing",
        "back": "back",
        "far-end": "far end",
    }
    return evidence_by(plan, walls[panel], [report] if isinstance(report, Report) else [])
