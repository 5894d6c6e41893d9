"""Measure a wall: photos adjusted, readings judged, the report put together."""

from service.actions.measure.wall import measure_file, measure_sights

__all__ = ["measure_file", "measure_sights"]
