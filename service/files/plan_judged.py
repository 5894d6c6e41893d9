"""Which walls of a plan were judged without one of the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.files.plan import PlanFile
    from service.measuring.release.judged import JudgedWall
    from service.panels.model import WallName


def judged_apart(
    plan: PlanFile, reports: Mapping[str, Sequence[JudgedWall]]
) -> tuple[WallName, ...]:
    """The walls with reports that were not judged together with every other wall of the plan."""
    own = {wall.wall: tuple(reports.get(wall.wall, ())) for wall in plan.walls}
    return tuple(
        wall
        for wall, found in own.items()
        if found and not all(_together(found, other, own[other]) for other in own if other != wall)
    )


def _together(found: Sequence[JudgedWall], other: WallName, theirs: Sequence[JudgedWall]) -> bool:
    """Whether a wall's reports are of one judgement with another wall: with the reports that the
    plan has of it, or, where it has none, with that wall as they name it."""
    marks = {report.together for report in found}
    if len(marks) > 1 or "" in marks:
        return False
    if theirs:
        return {report.together for report in theirs} == marks
    return all(other in report.judged_with for report in found)
