"""The commands from a plain file to plain files: what is written validates and is repeatable."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from service.cli import main
from service.files.schema import json_schema
from tests.files.contract_examples import PLAN

WALL = {
    "wall": "back",
    "bare_unit": "in",
    "dimensions": [
        {"name": "wide", "from": "a", "to": "b"},
        {"name": "high", "from": "c", "to": "d"},
    ],
    "readings": [
        {"id": "r1", "dimension": "wide", "value": "59 7/8"},
        {"id": "r2", "dimension": "wide", "value": "58 7/8"},
        {"id": "r3", "dimension": "wide", "value": "59 7/8", "replaces": "r2"},
    ],
}


@pytest.fixture
def wall(tmp_path: Path) -> Path:
    """A wall known by tape alone."""
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(WALL), encoding="utf-8")
    return path


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """The published plan, by its readings alone."""
    value = json.loads(PLAN)
    del value["practice"], value["prices"], value["walls"][0]["reports"]
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    return path


def test_report_on_standard_output_is_the_file(
    wall: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Without --out the report is printed, byte for byte what --out writes, time after time."""
    assert main(["measure", str(wall)]) == 0
    printed = capfd.readouterr().out
    out = wall.with_name("report.json")
    assert main(["measure", str(wall), "--out", str(out)]) == 0

    assert out.read_text(encoding="utf-8") == printed
    assert list(Draft202012Validator(json_schema("report")).iter_errors(json.loads(printed))) == []


def test_report_of_tape_alone(wall: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Tape readings alone give their size, and leave the gate shut."""
    assert main(["measure", str(wall)]) == 0
    report = json.loads(capfd.readouterr().out)

    wide = report["dimensions"][0]
    assert (wide["status"], wide["photo_mm"]) == ("tape only", None)
    assert wide["tape_mm"] == pytest.approx(59.875 * 25.4)
    assert [reading["status"] for reading in report["readings"]][1] == "replaced"
    assert not report["gate"]["open"]
    assert {"dimension": "high", "why": "not taped"} in report["gate"]["blocking"]


def test_sizes_are_shown_when_the_report_goes_to_a_file(
    wall: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """With --out a person reads the sizes in the trade's own fractions, and what is missing."""
    assert main(["measure", str(wall), "--out", str(wall.with_name("r.json"))]) == 0
    said = capfd.readouterr().out

    assert '59 7/8"' in said
    assert "Release gate shut: not for cutting" in said
    assert "high: not taped" in said


def test_panels_are_written_beside_the_plan(plan: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Every document of a plan is written, and a plan by plain readings stays an estimate."""
    assert main(["panels", str(plan)]) == 0
    said = capfd.readouterr().out
    folder = plan.parent / "panels"

    assert {path.name for path in folder.iterdir()} == {
        "panels.json",
        "cutting-sheets.pdf",
        "order.csv",
        "estimate.pdf",
        "elevation.pdf",
        "order.pdf",
        "install.pdf",
        "templates.pdf",
        "back.dxf",
        "back.svg",
    }
    assert "ESTIMATE, not for cutting" in said
    panels = json.loads((folder / "panels.json").read_text(encoding="utf-8"))
    assert list(Draft202012Validator(json_schema("panels")).iter_errors(panels)) == []
    assert [panel["released"] for panel in panels["panels"]] == [False]


def test_drawings_of_an_earlier_plan_are_taken_away(
    plan: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A panel's drawings do not outlive it in the folder of its plan; what is not of a plan
    stays, and so does all in a folder that no plan was written to."""
    folder = plan.parent / "panels"
    folder.mkdir()
    (folder / "far-end.svg").write_text("mine")
    assert main(["panels", str(plan)]) == 0
    assert (folder / "far-end.svg").read_text() == "mine"

    (folder / "far-end.dxf").write_text("of the plan before")
    (folder / "notes.txt").write_text("mine")
    capfd.readouterr()
    assert main(["panels", str(plan)]) == 0

    assert f"{folder / 'far-end.dxf'}: of an earlier plan" in capfd.readouterr().out
    assert not (folder / "far-end.dxf").exists()
    assert (folder / "notes.txt").exists()


def test_nothing_is_written_over_what_it_is_made_from(
    plan: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A price book that is called as the order will be keeps its place: exit 2 by its name."""
    prices = plan.with_name("order.csv")
    prices.write_text("item,price\nx,1\n", encoding="utf-8")
    value = json.loads(plan.read_text(encoding="utf-8")) | {"prices": "order.csv"}
    plan.write_text(json.dumps(value), encoding="utf-8")

    assert main(["panels", str(plan), "--out", str(plan.parent)]) == 2

    assert capfd.readouterr().err.startswith(f"{prices}: expected another file")
    assert sorted(path.name for path in plan.parent.iterdir()) == ["order.csv", "plan.json"]
    assert prices.read_text(encoding="utf-8") == "item,price\nx,1\n"


def test_panels_keep_the_published_keys(plan: Path) -> None:
    """A panel has the keys that the contract names, under just those names."""
    assert main(["panels", str(plan)]) == 0
    panels = json.loads((plan.parent / "panels" / "panels.json").read_text(encoding="utf-8"))
    panel = panels["panels"][0]

    assert {"panels", "backers", "trims", "takeoff", "price", "warnings"} <= set(panels)
    assert {
        "wall",
        "hand",
        "released",
        "outline_mm",
        "marks",
        "cutouts",
        "return",
        "box",
        "sheet",
        "pattern",
    } <= set(panel)
    assert {"edge", "station", "value"} <= set(panel["marks"][0])
    assert {"name", "at_mm", "diameter_mm", "saw"} <= set(panel["cutouts"][0])


def test_bad_plan_writes_nothing(plan: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A plan that cannot be drawn exits 2 in one line and leaves no folder behind."""
    value = json.loads(plan.read_text(encoding="utf-8"))
    value["walls"][0]["left"] = []
    plan.write_text(json.dumps(value), encoding="utf-8")

    assert main(["panels", str(plan)]) == 2
    assert capfd.readouterr().err.count("\n") == 1
    assert not (plan.parent / "panels").exists()
