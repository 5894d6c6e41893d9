"""What a plan fails by is named by its path in PLAN.json, and what was expected there."""

from __future__ import annotations

import json
import re
import shutil
from typing import TYPE_CHECKING, Any

import pytest

from service.cli import main
from tests.panels.report_rows import proved_row, report_file
from tests.panels.worked_alcove import FOLDER, PLAN

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

Plan = dict[str, Any]
WINDOW = {
    "name": "sash",
    "left": {"value": "-12"},
    "right": {"value": "12"},
    "head": {"value": "20"},
    "sill": {"value": "40"},
    "depth": "4",
}
TURN = {"from_width": "36", "into_width": "36"}
SEAT = {"name": "seat", "kind": "seat", "left": {"value": "-8"}, "right": {"value": "8"}}


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A folder with the worked alcove's files; returns its PLAN.json."""
    for path in FOLDER.glob("worked_alcove*"):
        if path.suffix != ".py":
            shutil.copy(path, tmp_path)
    rows = [proved_row("left 16", 29.5625 * 25.4)]
    (tmp_path / "back.json").write_text(json.dumps(report_file("back", rows)), encoding="utf-8")
    (tmp_path / "again.json").write_text(json.dumps(report_file("back", rows)), encoding="utf-8")
    return tmp_path / PLAN.name


def put(*keys: str | int, to: object) -> Callable[[Plan], None]:
    """An edit of one value."""

    def edit(plan: Plan) -> None:
        node: Any = plan
        for key in keys[:-1]:
            node = node[key]
        node[keys[-1]] = to

    return edit


def both(*edits: Callable[[Plan], None]) -> Callable[[Plan], None]:
    def edit(plan: Plan) -> None:
        for one in edits:
            one(plan)

    return edit


def wall(index: int, key: str, to: object) -> Callable[[Plan], None]:
    return put("walls", index, key, to=to)


REPORT = wall(0, "reports", ["back.json"])
TWICE = wall(0, "reports", ["back.json", "again.json"])
FAULTS = [
    (put("walls", 0, "left", 1, "value", to="200"), "walls[0].left[1].value", "at most 144 in"),
    (put("walls", 0, "right", 2, "down", to="900"), "walls[0].right[2].down", "within 144 in"),
    (put("walls", 0, "line_to_deck", 3, "at", to="900"), "walls[0].line_to_deck[3].at", "within"),
    (
        put("walls", 1, "line_to_deck", 0, "value", to="500"),
        "walls[1].line_to_deck[0].value",
        "at most 132 in, not 500 in",
    ),
    (put("walls", 2, "left", 1, "surface", to="grout"), "walls[2].left[1].surface", "plaster"),
    (put("walls", 0, "left", 1, "down", to="0"), "walls[0].left", "two readings at 0 in: keep one"),
    (
        both(
            put("walls", 0, "left", 1, "down", to="16.0"),
            put("walls", 0, "left", 2, "down", to="16"),
        ),
        "walls[0].left",
        "two readings at 16 in: keep one",
    ),
    (put("walls", 0, "surfaces", 1, "proud", to="3"), "walls[0].surfaces[1].proud", "not 3 in"),
    (put("walls", 0, "surfaces", 0, "to_down", to="-4"), "walls[0].surfaces[0].to_down", "below"),
    (put("walls", 0, "surfaces", 0, "to_down", to="20"), "walls[0].surfaces", "do not overlap"),
    (put("walls", 1, "outer", "from_plumb", to="200"), "walls[1].outer.from_plumb", "at most"),
    (put("walls", 1, "outer", "casing", to="200"), "walls[1].outer.casing", "at most 144 in"),
    (both(wall(1, "outer", None), wall(1, "left", [])), "walls[1].outer", "finished outer edge"),
    (wall(1, "outer", None), "walls[1].corner", "expected left or right: where is the back"),
    (wall(1, "corner", "left"), "walls[2].corner", "expected the other side than"),
    (wall(0, "left", []), "walls[0].left", "expected a reading at one or more heights"),
    (wall(0, "line_to_deck", []), "walls[0].line_to_deck", "expected one height or more"),
    (
        both(
            put("walls", 0, "left", 1, "value", to="120"),
            put("walls", 0, "right", 1, "value", to="120"),
        ),
        "walls[0].left",
        "at most 144 in, not 240",
    ),
    (
        put("walls", 1, "fixtures", 1, "from_plumb", to="500"),
        "walls[1].fixtures[1].from_plumb",
        "within 144 in",
    ),
    (put("walls", 1, "fixtures", 2, "down", to="500"), "walls[1].fixtures[2].down", "within"),
    (put("walls", 1, "fixtures", 0, "pipe", to="200"), "walls[1].fixtures[0].pipe", "at most"),
    (put("walls", 1, "fixtures", 0, "box", to=["3", "200"]), "walls[1].fixtures[0].box[1]", "144"),
    (put("walls", 1, "fixtures", 1, "down", to="66"), "walls[1].fixtures[1]", "hole inside"),
    (
        put("walls", 1, "tub_front", "line_to_floor", "value", to="60"),
        "walls[1].tub_front",
        "expected the floor below the deck",
    ),
    (
        put("walls", 1, "tub_front", "at_deck", "value", to="500"),
        "walls[1].tub_front.at_deck.value",
        "at most 144 in",
    ),
    (wall(0, "flatness", [{"at": "0", "down": "9", "gap": "3", "kind": "hump"}]),
     "walls[0].flatness[0].gap", "expected 0 to 2 in under the edge, not 3 in"),
    (wall(0, "flatness", [{"at": "900", "down": "9", "gap": "1/8", "kind": "hump"}]),
     "walls[0].flatness[0].at", "within 144 in"),
    (wall(0, "windows", [WINDOW | {"depth": "200"}]), "walls[0].windows[0].depth", "at most"),
    (wall(0, "windows", [WINDOW | {"right": {"value": "-20"}}]), "walls[0].windows[0]", "left of"),
    (wall(0, "windows", [WINDOW | {"sill": {"value": "900"}}]),
     "walls[0].windows[0].sill.value", "within 144 in"),
    (wall(0, "obstacles", [SEAT | {"depth": "200"}]), "walls[0].obstacles[0].depth", "at most"),
    (wall(0, "obstacles", [SEAT | {"left": {"value": "900"}}]),
     "walls[0].obstacles[0].left.value", "within 144 in"),
    (wall(1, "low_top", {"down": {"value": "70"}, "thickness": "4"}), "walls[1].low_top.down", ""),
    (wall(0, "low_top", {"down": {"value": "9"}, "thickness": "4"}), "walls[0].low_top", "end"),
    (wall(1, "ceiling", [{"at": "0", "value": "9"}]), "walls[1].ceiling", "top.to_ceiling beside"),
    (put("top", "above_line", to="500"), "walls[0].hold_down", "as top.above_line says, not 1 in"),
    (both(put("top", "above_line", to="500"), *(wall(i, "hold_down", None) for i in range(3))),
     "top.above_line", "expected 0 to 132 in, not 500 in"),
    (put("top", "band", to=["83", "81"]), "top.band", "the lower top first"),
    (put("top", "band", to=["83", "900"]), "top.band[1]", "at most 132 in, not 900 in"),
    (put("walls", 1, "fixtures", 1, "face_to_datum", to="900"),
     "walls[1].fixtures[1].face_to_datum", "at most 144 in, not 900 in"),
    (put("walls", 1, "fixtures", 2, "nipple_out", to="900"),
     "walls[1].fixtures[2].nipple_out", "at most 144 in"),
    (put("walls", 1, "fixtures", 2, "from_corner", to="900"),
     "walls[1].fixtures[2].from_corner", "at most 144 in"),
    (put("opening", to="480"), "opening", "at most 144 in, not 480 in"),
    (put("walls", 0, "left", 2, "down", to="16 1/32"), "walls[0].left", "two readings at 16 in"),
    (put("pattern", "joint", to="13"), "pattern.joint", "less than the tile"),
    (put("openings", to=[{"down": "0", "value": "900"}]), "openings[0].value", "at most 144 in"),
    (put("way_in", to=[{"from_width": "2", "into_width": "30"}]), "way_in[0].from_width", "12 to"),
    (put("way_in", to=[TURN, TURN, TURN | {"into_width": "2"}]), "way_in[2].into_width", "12 to"),
    (put("way_in", to=[TURN, TURN | {"name": "corner"}]), "way_in[1].name", "expected a new one"),
    (
        both(REPORT, put("walls", 0, "left", 1, "dimension", to="left 61")),
        "walls[0].left[1].dimension",
        "'left 61' is in no report; expected one of 'left 16'",
    ),
    (
        both(TWICE, put("walls", 0, "left", 1, "dimension", to="left 16")),
        "walls[0].left[1].dimension",
        "more than one report: back.json, again.json",
    ),
    (both(REPORT, wall(0, "points", {"left": ["c"]})), "walls[0].points", "'c' is in no report"),
]  # fmt: skip


@pytest.mark.parametrize(("edit", "path", "expected"), FAULTS, ids=[f[1] for f in FAULTS])
def test_a_fault_is_named_by_its_path(
    job: Path,
    capsys: pytest.CaptureFixture[str],
    edit: Callable[[Plan], None],
    path: str,
    expected: str,
) -> None:
    """One line with file, path and what was expected; the path is one of that file; exit 2."""
    plan = json.loads(job.read_text(encoding="utf-8"))
    edit(plan)
    job.write_text(json.dumps(plan), encoding="utf-8")

    assert main(["panels", str(job), "--out", str(job.parent / "out")]) == 2
    said = capsys.readouterr().err
    assert said.startswith(f"{job}: {path}: ")
    assert expected in said
    assert said.count("\n") == 1
    assert stands_in(plan, path)
    assert not (job.parent / "out").exists()


def stands_in(plan: Plan, path: str) -> bool:
    """Whether all of the path but its last step is in the file."""
    node: Any = plan
    steps = re.findall(r"\w+", path)
    for step in steps[:-1]:
        node = node[int(step)] if isinstance(node, list) else node[step]
    return not isinstance(node, list) or int(steps[-1]) < len(node)


def test_an_allowance_is_named_in_its_own_file(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What two allowances make impossible together is no fault of the plan's file."""
    practice = job.parent / "worked_alcove_practice.toml"
    text = practice.read_text(encoding="utf-8")
    practice.write_text(f"{text}\n[estimate]\nmarkup = 0.2\nmargin = 0.2\n", encoding="utf-8")
    assert main(["panels", str(job), "--out", str(job.parent / "out")]) == 2
    assert capsys.readouterr().err.startswith(f"{practice}: estimate.margin: expected 0 beside")


@pytest.mark.parametrize("name", ["left", "line_to_deck", "outer", "left 16", "3.5 in"])
def test_a_pipe_may_be_called_as_a_field_is(
    job: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """Its place is told as the pipe's, or as that of what both names stand in."""
    plan = json.loads(job.read_text(encoding="utf-8"))
    plan["walls"][1]["fixtures"][1] |= {"name": name, "from_plumb": "500"}
    job.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["panels", str(job), "--out", str(job.parent / "out")]) == 2
    assert f"{job}: walls[1].fixtures[1].from_plumb: " in capsys.readouterr().err
