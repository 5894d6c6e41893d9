"""Plan the panels of an alcove: from files, or from a stored job; and its documents."""

from service.actions.plan.cut_sizes import CutSizes
from service.actions.plan.documents import document_makers, elevation_svg
from service.actions.plan.evidence import evidence_now
from service.actions.plan.faces import planned_faces
from service.actions.plan.file import PlannedFiles, cut_by_file, lock_sheet, plan_file, plan_only
from service.actions.plan.job import (
    ELEVATION,
    PlannedJob,
    WallReport,
    plan_job,
    plan_stored,
    put_settings,
    readings_of,
    settings_of,
    show_plan,
    show_settings,
    show_unplanned,
    untaped_sizes,
)
from service.actions.plan.stored_release import last_revisions, show_revisions

__all__ = [
    "ELEVATION",
    "CutSizes",
    "PlannedFiles",
    "PlannedJob",
    "WallReport",
    "cut_by_file",
    "document_makers",
    "elevation_svg",
    "evidence_now",
    "last_revisions",
    "lock_sheet",
    "plan_file",
    "plan_job",
    "plan_only",
    "plan_stored",
    "planned_faces",
    "put_settings",
    "readings_of",
    "settings_of",
    "show_plan",
    "show_revisions",
    "show_settings",
    "show_unplanned",
    "untaped_sizes",
]
