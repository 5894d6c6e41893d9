"""Names that are legal and odd: no wall's name leads out of a folder, no file's name is a fault."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from tests.panels.worked_alcove import PLAN

WIDTH = {"name": "width low", "kind": "distance", "from": "left-low", "to": "right-low"}
READING = {"id": "r", "dimension": "width low", "value": "59 7/8"}
TOO_LONG = "y" * 300


def wall(path: Path, **changes: Any) -> Path:
    document = {"bare_unit": "in", "dimensions": [WIDTH], "readings": [READING], **changes}
    path.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("name", "report"),
    [
        ("far end", "far-end-report.json"),
        ("../../evil", "evil-report.json"),
        ("/etc/passwd", "etc-passwd-report.json"),
        ("..", "unnamed-report.json"),
        ("a\\b: \"c\" 'd'?", "a-b---c---d-report.json"),
        ("浴室", "浴室-report.json"),
        ("ห้องน้ำ", "ห้องน้ำ-report.json"),
        ("浴" * 200, f"{'浴' * 60}-report.json"),
    ],
)
def test_a_walls_report_stays_in_its_folder(tmp_path: Path, name: str, report: str) -> None:
    """Whatever the wall is called, and under a name that a file can have."""
    path = wall(tmp_path / "wall.json", wall=name)
    out = tmp_path / "deep" / "er" / "out"
    assert main(["check", str(path), "--out", str(out)]) == 0

    written = {one for one in tmp_path.rglob("*") if one.is_file()} - {path}
    papers = {"check.json", "check.csv", "check.pdf"}
    assert written == {out / one for one in papers | {report}}
    assert json.loads((out / report).read_text(encoding="utf-8"))["wall"] == name


@pytest.mark.parametrize(
    ("one", "other"), [("far end", "far-end"), ("Back", "back"), ("a/b", "a b")]
)
def test_two_walls_of_one_report_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], one: str, other: str
) -> None:
    """The second report would take the first one's place without a word."""
    paths = [wall(tmp_path / "1.json", wall=one), wall(tmp_path / "2.json", wall=other)]
    assert main(["check", *map(str, paths), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert said.startswith(f"{paths[1]}: wall: expected another wall: {paths[0]} is the ")
    assert not (tmp_path / "out").exists()


def test_more_walls_than_an_alcove_has_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Files of two jobs given at once would judge each other's sizes."""
    paths = [wall(tmp_path / f"{name}.json", wall=name) for name in ("a", "b", "c", "d")]
    assert main(["check", *map(str, paths), "--out", str(tmp_path / "out")]) == 2
    assert "expected one to 3 walls, those of one alcove, not 4" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["check", "panels"])
def test_a_file_is_no_folder_to_write_to(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    """It is said in words, and the file is left as it was."""
    path = wall(tmp_path / "wall.json")
    before = path.read_bytes()
    what = str(path if command == "check" else PLAN)
    assert main([command, what, "--out", str(path)]) == 2
    assert capsys.readouterr().err == f"{path}: expected a folder, and this is a file\n"
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "arguments",
    [
        ["measure", "wall.json", "--out", TOO_LONG],
        ["measure", "wall.json", "--out", f"{TOO_LONG}/report.json"],
        ["check", "wall.json", "--out", TOO_LONG],
        ["panels", str(PLAN), "--out", TOO_LONG],
        ["card", "--out", f"{TOO_LONG}.pdf"],
        ["measure", TOO_LONG],
        ["release", TOO_LONG, "back", "--who", "A"],
    ],
    ids=" ".join,
)
def test_a_name_too_long_for_a_file_is_no_fault_of_the_program(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
) -> None:
    """Exit 2 and one line that says so; nothing is written."""
    monkeypatch.chdir(tmp_path)
    wall(tmp_path / "wall.json")
    assert main(arguments) == 2
    said = capsys.readouterr().err
    assert said.endswith("File name too long\n")
    assert said.count("\n") == 1
    assert [one.name for one in tmp_path.iterdir()] == ["wall.json"]


@pytest.mark.parametrize(
    ("field", "name"),
    [
        *((field, name) for field in ("practice", "prices", "walls[0].reports[0]")
          for name in ("none.x", TOO_LONG, ".")),
        ("release.locked", TOO_LONG),
        ("release.locked", "."),
    ],
)  # fmt: skip
def test_a_file_that_is_not_there_is_named_by_the_field_that_names_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], field: str, name: str
) -> None:
    """Nobody has to search the plan for who asks for it."""
    plan = json.loads(PLAN.read_text(encoding="utf-8"))
    del plan["practice"], plan["prices"]
    if field == "release.locked":
        plan["release"] = {"locked": name}
    elif field == "walls[0].reports[0]":
        plan["walls"][0]["reports"] = [name]
    else:
        plan[field] = name
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["panels", str(path), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err
    assert said.startswith(f"{path}: {field}: ")
    assert not (tmp_path / "out").exists()


def test_a_lens_profile_that_is_not_there_is_named_by_its_field(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As photos are."""
    path = wall(tmp_path / "wall.json", lens=["none.json"])
    assert main(["measure", str(path)]) == 2
    said = f"{path}: lens[0]: {tmp_path / 'none.json'}: expected a JSON file, and there is no such"
    assert capsys.readouterr().err.startswith(said)
