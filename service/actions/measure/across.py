"""Each wall's report as the whole alcove judges it, marked with the judgement that it is of."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

from service.actions.measure.alcove import CheckedAlcove, check_alcove, wall_name
from service.actions.measure.report import gate_row, print_scale_row, reading_rows, size_rows
from service.actions.measure.size_places import with_places
from service.actions.measure.wall import LookedWall, report_on
from service.files.report import JudgedWith, Report


def alcove_reports(walls: Sequence[LookedWall]) -> dict[str, Report]:
    """The reports of one to three walls that judge each other, by wall; each has its own name."""
    reports = {wall_name(looked): report_on(looked) for looked in walls}
    return judged_across(reports, walls, check_alcove(walls))


def judged_across(
    reports: Mapping[str, Report], walls: Sequence[LookedWall], checked: CheckedAlcove
) -> dict[str, Report]:
    """Reports of walls, by wall, with their sizes as ``checked`` judges them: by the next wall too.

    All carry one stamp, the hash of all of them, so that a plan can tell whether the reports that
    it is given are of one judgement.
    """
    found = {
        name: _as_judged(reports[name], looked, checked)
        for looked in walls
        if (name := wall_name(looked)) in reports
    }
    text = "\n".join(found[name].model_dump_json(by_alias=True) for name in sorted(found))
    stamp = hashlib.sha256(text.encode()).hexdigest()
    return {
        name: report.model_copy(
            update={
                "judged_with": JudgedWith(
                    walls=tuple(other for other in checked.judged if other != name), stamp=stamp
                )
            }
        )
        for name, report in found.items()
    }


def _as_judged(report: Report, looked: LookedWall, checked: CheckedAlcove) -> Report:
    judgement = checked.judged[wall_name(looked)]
    judged = report.model_copy(
        update={
            "dimensions": size_rows(judgement),
            "readings": reading_rows(looked.readings, judgement),
            "gate": gate_row(judgement),
            "print_scale": print_scale_row(judgement),
        }
    )
    return with_places(judged, looked.wall)
