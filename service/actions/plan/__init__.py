"""Plan the panels of an alcove: from files, or from a stored job; and its documents."""

from service.actions.plan.documents import document_makers, elevation_svg
from service.actions.plan.file import PlannedFiles, plan_file, plan_only
from service.actions.plan.job import (
    PlannedJob,
    WallReport,
    plan_job,
    put_settings,
    settings_of,
    show_settings,
)

__all__ = [
    "PlannedFiles",
    "PlannedJob",
    "WallReport",
    "document_makers",
    "elevation_svg",
    "plan_file",
    "plan_job",
    "plan_only",
    "put_settings",
    "settings_of",
    "show_settings",
]
