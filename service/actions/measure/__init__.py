"""Measure a wall: photos adjusted, readings judged, the report put together."""

from service.actions.measure.wall import look_at_photos, measure_file, measure_sights

__all__ = ["look_at_photos", "measure_file", "measure_sights"]
