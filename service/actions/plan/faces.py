"""The finished top and the surface regions of a job's walls, to be drawn on them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from service.actions.plan.usual import USUAL_TOP, usual_surfaces
from service.files.api.check_answers import FaceModel, RegionModel
from service.lengths import parse_station
from service.store.rows import WALL_NAMES

if TYPE_CHECKING:
    from service.store.rows import JobRow

_INCH: Final = "in"


def planned_faces(job: JobRow) -> dict[str, FaceModel]:
    """By wall: from the plan's settings, or such as the job's scope usually has."""
    kept = job.document["plan"]
    if kept is None:
        face = _face(USUAL_TOP, {"surfaces": usual_surfaces(job)}, _INCH)
        return dict.fromkeys(WALL_NAMES, face)
    plan = kept["plan"]
    unit = plan.get("bare_unit") or _INCH
    own = {str(wall.get("wall")).replace(" ", "-"): wall for wall in plan.get("walls", ())}
    return {
        wall: _face(plan.get("top") or {}, own[wall], unit) for wall in WALL_NAMES if wall in own
    }


def _face(top: Mapping[str, Any], wall: Mapping[str, Any], unit: str) -> FaceModel:
    def mm(text: str | None) -> float | None:
        return None if text is None else float(parse_station(text, unit).mm)

    above = top.get("above_line") or wall.get("hold_down")
    ceiling = bool(top.get("to_ceiling"))
    return FaceModel(
        top_mm=None if ceiling else mm(above),
        regions=tuple(
            RegionModel(
                from_down_mm=float(parse_station(region["from_down"], unit).mm),
                to_down_mm=mm(region.get("to_down")),
                proud=str(region["proud"]),
                do=region["do"],
            )
            for region in wall.get("surfaces") or ()
        ),
    )
