"""The example's plan file: what it names exists, and it is released once every size is proved.

The reports here are made of the example's true sizes; those of the photos are the example's own.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from service.actions.plan import plan_only
from tests.panels.report_rows import proved_row, report_file

EXAMPLE = Path(__file__).parents[2] / "fixtures" / "example"
WALLS = ("back", "plumbing", "far-end")


def named(node: Any) -> set[str]:
    """Every dimension that a part of the plan file names."""
    if isinstance(node, list):
        return set().union(*(named(item) for item in node))
    if not isinstance(node, dict):
        return set()
    own = {value for key, value in node.items() if key in ("dimension", "down_dimension")}
    return own.union(*(named(value) for value in node.values()))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The example's plan beside reports in which every size is proved."""
    truth = json.loads((EXAMPLE / "truth.json").read_text())
    for name in ("plan.json", "practice.toml", "prices.csv"):
        shutil.copy(EXAMPLE / name, tmp_path)
    for wall in WALLS:
        rows = [proved_row(k, mm) for k, mm in truth["walls"][wall]["dimensions"].items()]
        judged_with = {"walls": [other for other in WALLS if other != wall], "stamp": "a1"}
        report = report_file(wall, rows, judged_with=judged_with)
        (tmp_path / f"{wall}-report.json").write_text(json.dumps(report))
    return tmp_path / "plan.json"


@pytest.mark.parametrize("seed", ["seed-1", "seed-2", "seed-3"])
@pytest.mark.parametrize("wall", WALLS)
def test_named_dimensions_are_measured(seed: str, wall: str) -> None:
    """Every dimension the plan names is one that the wall's file wants measured."""
    measured = json.loads((EXAMPLE / seed / f"{wall}.json").read_text())["dimensions"]
    plan = json.loads((EXAMPLE / "plan.json").read_text())
    entry = next(w for w in plan["walls"] if w["wall"] == wall.replace("-", " "))
    assert named(entry)
    assert named(entry) <= {dimension["name"] for dimension in measured}


def test_proved_example_is_released(job: Path) -> None:
    """With every size proved, every sheet is released and the price is one figure."""
    plan = plan_only(job)
    assert [panel.why_not for panel in plan.panels] == [(), (), ()]
    assert plan.price.figure is not None


def test_one_conflict_holds_its_own_wall_back(job: Path) -> None:
    """A conflict on the back wall holds the back panel, and the ends are still released."""
    path = job.parent / "back-report.json"
    report = json.loads(path.read_text())
    row = next(row for row in report["dimensions"] if row["name"] == "left 40")
    row.update(status="conflicts", checked=False, en=7.0, tape_mm=row["tape_mm"] - 25.4)
    path.write_text(json.dumps(report))
    plan = plan_only(job)
    assert [panel.released for panel in plan.panels] == [False, True, True]
    assert plan.price.figure is None


def test_every_panel_of_the_example_has_a_sheet(job: Path) -> None:
    """The stock holds a sheet of the right hand for each panel."""
    sheets = {panel.wall: panel.sheet and panel.sheet.name for panel in plan_only(job).panels}
    assert sheets == {
        "back": "60 x 96",
        "plumbing": "36 x 96 left",
        "far end": "36 x 96 right",
    }


def test_the_example_closes(job: Path) -> None:
    """Nothing in the example's room fails to close, and no cut is a sliver."""
    codes = {warning.code for warning in plan_only(job).warnings}
    assert codes <= {"taper"}
