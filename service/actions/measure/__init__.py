"""Measure a wall: photos adjusted, readings judged, the report put together."""

from service.actions.measure.across import alcove_reports
from service.actions.measure.field import show_field_truth
from service.actions.measure.job_check import job_paper, show_check
from service.actions.measure.on_photo import PhotoPlace, photo_place
from service.actions.measure.stored import WallReports, stored_wall_file, wall_json
from service.actions.measure.wall import look_at_photos, looked_sights, measure_file

__all__ = [
    "PhotoPlace",
    "WallReports",
    "alcove_reports",
    "job_paper",
    "look_at_photos",
    "looked_sights",
    "measure_file",
    "photo_place",
    "show_check",
    "show_field_truth",
    "stored_wall_file",
    "wall_json",
]
