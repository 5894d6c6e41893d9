"""What a page gets while the photos' expectation is kept back until a reading is typed.

Nothing is left by which one could write what one expects: no size that has no reading of its own,
or whose one reading is to be taken again, nothing that follows from such a size, no place to the
sixteenth. How things stand is still told, and of a reading in doubt what is asked of it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from typing import Final

from service.files.api.answers import PlanModel, PlanSettings
from service.files.api.check_answers import AlcoveModel, WallInAlcove
from service.files.cross_check import ClosureRow
from service.files.panels import PanelsFile
from service.files.plan_sizes import report_values
from service.files.report import Report, ReportDimension, ReportPoint, ReportReading, Suspect
from service.files.rough_places import told_roughly
from service.measuring.blind import is_blind
from service.measuring.release.facts import Override
from service.measuring.release.size import Proof, ProvedSize, size_proof
from service.measuring.slip_kinds import question

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
    "en",
    "w",
)


def blind_sizes(report: Report, overrides: Sequence[Override]) -> frozenset[str]:
    """Sizes of a wall that are to be taped, or taped again, with nothing told of what would fit;
    not what an override of the wall lets stand."""
    wall = report_values("", report)
    proofs = (size_proof(size, wall, overrides) for size in wall.sizes)
    stand = {p.name for p in proofs if isinstance(p, ProvedSize) and p.proof is Proof.OVERRIDE}
    return _blind(report.dimensions, report.readings, stand)


def report_kept_back(report: Report, overrides: Sequence[Override]) -> Report:
    """A wall's report."""
    hidden = blind_sizes(report, overrides)
    if not hidden:
        return report
    return report.model_copy(
        update={
            "dimensions": _sizes(report.dimensions, hidden),
            "readings": _readings(report.readings, hidden),
            "points": {name: _roughly(point) for name, point in report.points.items()},
            "lines": (),
            "photo_parts": {},
        }
    )


def alcove_kept_back(alcove: AlcoveModel) -> AlcoveModel:
    """An alcove's judgement."""
    own = {
        wall.name: _blind(wall.dimensions, wall.readings, wall.let_stand) for wall in alcove.walls
    }
    called = {
        name for wall, sizes in own.items() for size in sizes for name in (size, f"{wall}: {size}")
    }
    taped = {
        name
        for wall in alcove.walls
        for row in wall.dimensions
        if _taped(row)
        for name in (row.name, f"{wall.name}: {row.name}")
    }
    return alcove.model_copy(
        update={
            "walls": tuple(_wall(wall, own[wall.name], called, taped) for wall in alcove.walls),
            "across": _closures(alcove.across, called, taped),
        }
    )


def plan_kept_back(model: PlanModel, sizes: Mapping[str, Collection[str]]) -> PlanModel:
    """A plan without the panels that hang on a size that is not taped, and without what follows
    from all of them together.

    Parameters
    ----------
    sizes
        By panel those of its wall that are to be taped, or taped again.
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
                panel: release.model_copy(update={"changes": (), "shown": ""})
                if panel in waiting
                else release
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


def _blind(
    sizes: Sequence[ReportDimension], readings: Sequence[ReportReading], stand: Collection[str]
) -> frozenset[str]:
    taken = Counter(reading.dimension for reading in readings)
    return frozenset(
        size.name
        for size in sizes
        if is_blind(
            size.status,
            taken[size.name],
            accused=size.suspect is not None,
            let_stand=size.name in stand,
        )
    )


def _sizes(rows: Sequence[ReportDimension], hidden: Collection[str]) -> tuple[ReportDimension, ...]:
    return tuple(
        row.model_copy(update=dict.fromkeys(_FIGURES) | {"suspect": _asked(row.suspect)})
        if row.name in hidden
        else row
        for row in rows
    )


def _asked(suspect: Suspect | None) -> Suspect | None:
    """What is asked of a reading, without what would fit."""
    if suspect is None:
        return None
    said = question(suspect.kind, suspect.meant, suspect.text or "") or None
    return suspect.model_copy(update={"meant": None, "text": said})


def _readings(rows: Sequence[ReportReading], hidden: Collection[str]) -> tuple[ReportReading, ...]:
    return tuple(
        row.model_copy(update={"w": None}) if row.dimension in hidden else row for row in rows
    )


def _roughly(point: ReportPoint) -> ReportPoint:
    x_mm, y_mm = _place((point.x_mm, point.y_mm))
    return point.model_copy(update={"x_mm": x_mm, "y_mm": y_mm, "z_mm": 0.0})


def _place(place: tuple[float, float]) -> tuple[float, float]:
    x_mm, y_mm = (round(mm / PLACES_TO_MM) * PLACES_TO_MM for mm in place)
    return x_mm, y_mm


def _wall(
    wall: WallInAlcove, own: Collection[str], called: Collection[str], taped: Collection[str]
) -> WallInAlcove:
    return wall.model_copy(
        update={
            "dimensions": _sizes(wall.dimensions, own),
            "readings": _readings(wall.readings, own),
            "closures": _closures(wall.closures, called, taped),
            "derived": () if own else wall.derived,
            "places": {
                name: (_place(ends[0]), _place(ends[1])) if own else ends
                for name, ends in wall.places.items()
            },
        }
    )


def _closures(
    rows: Sequence[ClosureRow], hidden: Collection[str], taped: Collection[str]
) -> tuple[ClosureRow, ...]:
    """Whether all that is taped closes is told, and not by how much it does not."""
    return tuple(
        row.model_copy(
            update={
                "out_mm": None,
                "closes": row.closes if all(name in taped for name in row.sizes) else None,
            }
        )
        if any(name in hidden for name in row.sizes)
        else row
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
