"""What a page gets while the photos' expectation is kept back until a reading is typed.

Nothing is left by which one could write what one expects: no size that has no reading of its own,
nothing that follows from such a size, no place to the sixteenth. How things stand is still told.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Final

from service.files.api.answers import PlanModel, PlanSettings
from service.files.api.check_answers import AlcoveModel, WallInAlcove
from service.files.cross_check import ClosureRow
from service.files.panels import PanelsFile
from service.files.report import Report, ReportDimension, ReportPoint
from service.files.rough_places import told_roughly

PLACES_TO_MM: Final = 25.4
"""Points are told to the nearest inch: enough to draw a wall by, and no size of it."""
_FIGURES: Final = (
    "photo_mm",
    "photo_u_mm",
    "photo_interval95_mm",
    "expected_mm",
    "expected_u_mm",
    "expected_interval95_mm",
    "best_mm",
    "best_u_mm",
    "best_interval95_mm",
)


def untaped(report: Report) -> frozenset[str]:
    """Sizes without a reading that counts."""
    return frozenset(size.name for size in report.dimensions if not _taped(size))


def report_kept_back(report: Report) -> Report:
    """A wall's report."""
    if not untaped(report):
        return report
    return report.model_copy(
        update={
            "dimensions": _sizes(report.dimensions),
            "points": {name: _roughly(point) for name, point in report.points.items()},
            "lines": (),
            "photo_parts": {},
        }
    )


def alcove_kept_back(alcove: AlcoveModel) -> AlcoveModel:
    """An alcove's judgement."""
    hidden = {
        name
        for wall in alcove.walls
        for size in wall.dimensions
        if not _taped(size)
        for name in (size.name, f"{wall.name}: {size.name}")
    }
    return alcove.model_copy(
        update={
            "walls": tuple(_wall(wall, hidden) for wall in alcove.walls),
            "across": _closures(alcove.across, hidden),
        }
    )


def plan_kept_back(model: PlanModel, sizes: Mapping[str, Collection[str]]) -> PlanModel:
    """A plan without the panels that hang on a size that is not taped, and without what follows
    from all of them together.

    Parameters
    ----------
    sizes
        By panel those of its wall that have no reading.
    """
    plan = model.plan
    if plan is None:
        return model
    waiting = {
        panel.wall.replace(" ", "-"): tuple(
            size.dimension
            for size in panel.sizes
            if size.dimension in sizes.get(panel.wall.replace(" ", "-"), ())
        )
        for panel in plan.panels
    }
    waiting = {panel: names for panel, names in waiting.items() if names}
    if not any(sizes.values()):
        return model
    return model.model_copy(
        update={
            "plan": _plan(plan, waiting),
            "kept_back": waiting,
            "releases": {
                panel: release.model_copy(update={"changes": ()}) if panel in waiting else release
                for panel, release in model.releases.items()
            },
        }
    )


def settings_kept_back(
    settings: PlanSettings, sizes: Mapping[str, Collection[str]]
) -> PlanSettings:
    """What a plan is made from: where along a wall its deck was taken, to the nearest inch as long
    as a size of the wall is not taped, for in a corner that is the size of the wall's own side."""
    waiting = {wall for wall, names in sizes.items() if names}
    return settings.model_copy(update={"plan": told_roughly(settings.plan, waiting)})


def _taped(size: ReportDimension) -> bool:
    return size.tape_mm is not None or size.status not in ("photo only", "tape only")


def _sizes(rows: Sequence[ReportDimension]) -> tuple[ReportDimension, ...]:
    nothing = dict.fromkeys(_FIGURES)
    return tuple(row if _taped(row) else row.model_copy(update=nothing) for row in rows)


def _roughly(point: ReportPoint) -> ReportPoint:
    rough = {
        axis: round(getattr(point, axis) / PLACES_TO_MM) * PLACES_TO_MM for axis in ("x_mm", "y_mm")
    }
    return point.model_copy(update={**rough, "z_mm": 0.0})


def _wall(wall: WallInAlcove, hidden: Collection[str]) -> WallInAlcove:
    all_taped = all(_taped(size) for size in wall.dimensions)
    return wall.model_copy(
        update={
            "dimensions": _sizes(wall.dimensions),
            "closures": _closures(wall.closures, hidden),
            "derived": wall.derived if all_taped else (),
        }
    )


def _closures(rows: Sequence[ClosureRow], hidden: Collection[str]) -> tuple[ClosureRow, ...]:
    nothing = {"out_mm": None, "closes": None}
    return tuple(
        row.model_copy(update=nothing) if any(name in hidden for name in row.sizes) else row
        for row in rows
    )


def _plan(plan: PanelsFile, waiting: Collection[str]) -> PanelsFile:
    """Panels that wait are left out, and whatever is made of several walls' sizes."""
    together = ("backers", "trims", "takeoff", "order", "warnings", "corners", "ends", "flatness")
    return plan.model_copy(
        update={
            **dict.fromkeys((*together, "way_in", "openings"), ()),
            **dict.fromkeys(("finished_opening_mm", "cutting", "top", "layout")),
            "panels": tuple(
                panel for panel in plan.panels if panel.wall.replace(" ", "-") not in waiting
            ),
            "price": plan.price.model_copy(update={"lines": ()}),
        }
    )
