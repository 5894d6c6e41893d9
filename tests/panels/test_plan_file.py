"""PLAN.json in, documents out: the same plan as by values, and nothing lost on an error."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from service.actions.plan import plan_file, plan_only
from service.errors import FileError
from tests.panels.report_rows import proved_row, report_file
from tests.panels.worked_alcove import FOLDER, PLAN, inch, worked_plan

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

NAMES = {
    "panels.json",
    "cutting-sheets.pdf",
    "order.csv",
    "estimate.pdf",
    "elevation.pdf",
    "order.pdf",
    "install.pdf",
    "templates.pdf",
    *(f"{wall}.{kind}" for wall in ("back", "plumbing", "far-end") for kind in ("dxf", "svg")),
}


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A folder with the worked alcove's files; returns its PLAN.json."""
    for path in FOLDER.glob("worked_alcove*"):
        if path.suffix != ".py":
            shutil.copy(path, tmp_path)
    return tmp_path / PLAN.name


def edited(path: Path, edit: Callable[[dict[str, Any]], object]) -> Path:
    """The plan file with one edit."""
    plan = json.loads(path.read_text())
    edit(plan)
    path.write_text(json.dumps(plan))
    return path


def dimension(name: str, text: str) -> dict[str, object]:
    """A row of a report: a size that agrees and is checked."""
    return proved_row(name, inch(text) * 25.4)


def write_report(folder: Path, rows: list[dict[str, object]], wall: str = "back") -> None:
    """A measure report beside the plan."""
    (folder / "back.json").write_text(json.dumps(report_file(wall, rows)))


BACK = {
    "left 0": "30 1/16",
    "left 16": "29 9/16",
    "left 40": "29 3/8",
    "left 64": "29 3/16",
    "right 0": "29 3/8",
    "right 16": "29",
    "right 40": "29 1/16",
    "right 64": "29 1/4",
    "deck -29 3/16": "66",
    "deck -14": "66 1/16",
    "deck 0": "66 3/16",
    "deck 14": "66 1/4",
    "deck 29 1/4": "66 5/16",
}


def test_writes_every_document(job: Path, tmp_path: Path) -> None:
    """Every document of the contract is written, none empty."""
    done = plan_file(job, tmp_path / "out")
    assert {path.name for path in done.written} == NAMES
    assert {path.name for path in (tmp_path / "out").iterdir()} == NAMES
    assert all(path.stat().st_size > 500 for path in done.written)


def test_the_file_gives_the_same_plan_as_the_values(job: Path) -> None:
    """The command and the calculator agree on every panel."""
    assert plan_only(job).panels == worked_plan().panels


def test_the_same_plan_gives_the_same_bytes(job: Path, tmp_path: Path) -> None:
    """Two runs of one plan with one date are equal to the byte."""
    for name in ("one", "two"):
        plan_file(job, tmp_path / name, printed_on="2026-11-24")
    for name in NAMES:
        one, two = (tmp_path / run / name for run in ("one", "two"))
        assert one.read_bytes() == two.read_bytes(), name


def test_plain_readings_are_estimates(job: Path) -> None:
    """Without reports no panel is released, and each says which size stands on what."""
    plan = plan_only(job)
    assert not any(panel.released for panel in plan.panels)
    assert "back left 16: no measure report" in plan.panels[0].why_not


def test_equal_proved_sizes_release_the_back_panel(job: Path) -> None:
    """Readings that equal a report's proved tape values release their sheet, and only it."""
    write_report(job.parent, [dimension(name, text) for name, text in BACK.items()])
    plan = plan_only(edited(job, lambda p: p["walls"][0].update(reports=["back.json"])))
    assert [panel.released for panel in plan.panels] == [True, False, False]


def test_a_wall_may_be_given_by_its_report_alone(job: Path) -> None:
    """Dimensions named `left 16` and `deck -14` are stations without being listed."""

    def report_only(plan: dict[str, Any]) -> None:
        back = plan["walls"][0]
        for key in ("left", "right", "line_to_deck"):
            del back[key]
        back["reports"] = ["back.json"]

    write_report(job.parent, [dimension(name, text) for name, text in BACK.items()])
    plan = plan_only(edited(job, report_only))
    assert plan.panels[0].released
    printed = [mark.how for mark in plan.panels[0].marks]
    assert printed == [mark.how for mark in worked_plan().panels[0].marks]


ALL_CALLED = ["back", "plumbing", "far end"]
ALL = [wall.replace(" ", "-") for wall in ALL_CALLED]
TOGETHER, LATER = ({"walls": ALL, "stamp": stamp} for stamp in ("a1", "b2"))
ENDS = {"walls": ["plumbing", "far end"], "stamp": "a1"}
ALONE = {"walls": [], "stamp": "a1"}


@pytest.mark.parametrize(
    ("judged_with", "apart"),
    [
        ({"back": TOGETHER, "plumbing": TOGETHER, "far end": TOGETHER}, ()),
        ({"back": TOGETHER, "plumbing": TOGETHER}, ()),
        ({"back": TOGETHER}, ()),
        ({"back": None}, ("back",)),
        ({"back": ALONE}, ("back",)),
        ({"back": ALONE, "plumbing": ENDS, "far end": ENDS}, ()),
        ({"plumbing": ENDS, "far end": ENDS}, ("plumbing", "far end")),
        ({"back": None, "plumbing": None}, ("back", "plumbing")),
        ({"back": TOGETHER, "plumbing": None}, ("back", "plumbing")),
        ({"back": TOGETHER, "far end": LATER}, ("back", "far end")),
        ({"back": TOGETHER, "plumbing": TOGETHER, "far end": None}, tuple(ALL_CALLED)),
    ],
)
def test_walls_judged_apart_are_told(
    job: Path, judged_with: dict[str, Any], apart: tuple[str, ...]
) -> None:
    """A wall with a report, and another that was not of its judgement, be it by another report or
    by plain readings: the plan says which and what to do, and so does each of their sheets. One of
    plain readings may have been of the judgement, as the report names it."""
    for wall, with_which in judged_with.items():
        report = report_file(wall, [], judged_with=with_which)
        (job.parent / f"{wall}.json").write_text(json.dumps(report))

    def give_reports(plan: dict[str, Any]) -> None:
        for wall in plan["walls"]:
            if wall["wall"] in judged_with:
                wall["reports"] = [f"{wall['wall']}.json"]

    plan = plan_only(edited(job, give_reports))

    told = [warning for warning in plan.warnings if warning.code == "judged-apart"]
    assert len(told) == bool(apart)
    for warning in told:
        assert all(wall in warning.text for wall in apart)
        assert ("report of" in warning.text) is (len(apart) == 1)
        assert "run tapeproof check on the wall files of all walls" in warning.do
    noted = [p.wall for p in plan.panels if any("judged apart" in n for n in p.notes)]
    assert sorted(noted) == sorted(apart)


def test_a_report_from_before_says_nothing_of_its_judgement(job: Path) -> None:
    """One without the field counts as of a wall judged by itself."""
    for wall in ("back", "plumbing"):
        report = report_file(wall, [])
        assert "judged_with" not in report
        (job.parent / f"{wall}.json").write_text(json.dumps(report))

    def give_reports(plan: dict[str, Any]) -> None:
        for wall in plan["walls"][:2]:
            wall["reports"] = [f"{wall['wall']}.json"]

    assert plan_only(edited(job, give_reports)).warnings[0].code == "judged-apart"


def test_an_open_gate_flag_is_not_believed(job: Path) -> None:
    """A report that calls its gate open while a size conflicts releases nothing."""
    rows = [dimension(name, text) for name, text in BACK.items()]
    rows[5] |= {"status": "conflicts", "en": 9.0, "checked": False}
    write_report(job.parent, rows)
    plan = plan_only(edited(job, lambda p: p["walls"][0].update(reports=["back.json"])))
    assert not plan.panels[0].released
    assert any("right 16" in why for why in plan.panels[0].why_not)


def test_a_report_of_another_wall_is_refused(job: Path) -> None:
    """A report of the far end wall given for the back wall is refused."""
    write_report(job.parent, [dimension("left 16", "29")], wall="far end")
    path = edited(job, lambda p: p["walls"][0].update(reports=["back.json"]))
    with pytest.raises(FileError, match=r"back\.json: wall: expected a report of the back wall"):
        plan_only(path)


@pytest.mark.parametrize(
    ("edit", "message"),
    [
        (
            lambda p: p["top"].update(above_line="2"),
            "hold_down: back wall, hold_down: expected 2",
        ),
        (lambda p: p["walls"][0]["left"][0].update(surface="grout"), "expected tile, bare"),
        (
            lambda p: p["walls"][0]["left"][0].update(value="5000 mm"),
            "].left[0].value: back wall, left 0: ",
        ),
        (lambda p: p.update(practice="none.toml"), "none.toml: expected a practice file"),
        (lambda p: p.update(prices="none.csv"), "none.csv: expected a price book"),
        (lambda p: p["walls"][0].update(reports=["none.json"]), "there is no such file"),
    ],
)
def test_one_clear_line(job: Path, edit: Callable[[dict[str, Any]], object], message: str) -> None:
    """A wrong plan is one line that names the file and the field."""
    with pytest.raises(FileError) as error:
        plan_only(edited(job, edit))
    assert message in str(error.value)
    assert "\n" not in str(error.value)


def test_an_error_leaves_what_was_there(job: Path, tmp_path: Path) -> None:
    """A plan that cannot be made touches no file of an earlier one."""
    out = tmp_path / "out"
    plan_file(job, out, printed_on="2026-11-24")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    edited(job, lambda p: p["walls"][1]["fixtures"][0].update(down="70"))
    with pytest.raises(FileError, match=r"walls\[1\]\.fixtures\[0\]: plumbing wall, arm: expected"):
        plan_file(job, out, printed_on="2026-11-25")
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_corner_side_is_told_by_the_outer_edge(job: Path) -> None:
    """Of two sides given, the one at the outer edge is not the corner's."""
    plan = plan_only(job)
    assert {panel.wall: panel.hand for panel in plan.panels}["plumbing"] == "left"


def test_unclear_corner_side_is_asked_for(job: Path) -> None:
    """Two sides that are equally far from the outer edge need the corner named."""

    def even(plan: dict[str, Any]) -> None:
        plan["walls"][1]["left"] = [{"down": "16", "value": "10"}]

    with pytest.raises(FileError, match=r"walls\[1\]\.corner: .* expected left or right"):
        plan_only(edited(job, even))
