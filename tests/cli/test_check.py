"""`tapeproof check`: the worked alcove's three walls, as files, without a photo."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.cli import main
from service.files.schema import json_schema
from tests.measuring.alcove.files import wall_documents
from tests.panels.worked_alcove import PLAN
from tests.support.pdf_reader import page_texts


@pytest.fixture
def walls(tmp_path: Path) -> list[Path]:
    return _written(tmp_path, wall_documents())


def _written(folder: Path, documents: dict[str, dict[str, Any]]) -> list[Path]:
    paths = []
    for name, document in documents.items():
        path = folder / f"{name.replace(' ', '-')}.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        paths.append(path)
    return paths


def _run(walls: list[Path], out: Path) -> int:
    return main(["check", *map(str, walls), "--out", str(out)])


def test_the_slip_is_found_from_files(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """28 1/16 for 29 1/16 on the right at 40 is said, with the width that it does not close, and
    the files are written."""
    assert _run(walls, tmp_path / "out") == 0

    said = capsys.readouterr().out
    assert "back wall, right 40, 28 1/16 (A): did you burn an inch? (29 1/16)" in said
    assert 'does not close, 1" out: back: offsets make width 40' in said
    assert said.count("does not close") == 3
    names = {path.name for path in (tmp_path / "out").iterdir()}
    reports = {"back-report.json", "plumbing-report.json", "far-end-report.json"}
    assert names == {"check.json", "check.csv", "check.pdf"} | reports


def test_surfaces_may_be_said_of_readings(walls: list[Path], tmp_path: Path) -> None:
    """What the tape touched, said of each reading in place of its size, gives the same judgement;
    said of neither, a step of tile could hide a slip and fewer sizes are checked."""
    documents = wall_documents()
    for document in documents.values():
        said = {size["name"]: size.pop("surface", None) for size in document["dimensions"]}
        for reading in document["readings"]:
            reading["surface"] = said[reading["dimension"]]
    (tmp_path / "said").mkdir()
    (tmp_path / "unsaid").mkdir()
    by_readings = _written(tmp_path / "said", documents)
    for document in documents.values():
        for reading in document["readings"]:
            del reading["surface"]
    unsaid = _written(tmp_path / "unsaid", documents)

    files = []
    for number, asked in enumerate((walls, by_readings, unsaid)):
        assert _run(asked, tmp_path / str(number)) == 0
        files.append(json.loads((tmp_path / str(number) / "check.json").read_text("utf-8")))
    assert files[0]["walls"] == files[1]["walls"]
    checked = [sum(s["checked"] for w in file["walls"] for s in w["sizes"]) for file in files]
    assert checked[2] < checked[0]


def test_a_wall_is_reported_as_the_others_judge_it(walls: list[Path], tmp_path: Path) -> None:
    """The back wall's height at its right corner is checked by the far end wall beside it; alone
    its check is too weak. The slip at 40 conflicts either way."""
    assert _run(walls, tmp_path / "out") == 0
    alone = tmp_path / "alone.json"
    assert main(["measure", str(tmp_path / "back.json"), "--out", str(alone)]) == 0

    own, beside = _sizes(alone), _sizes(tmp_path / "out" / "back-report.json")

    more = {name for name, size in beside.items() if size["checked"] and not own[name]["checked"]}
    assert more == {"deck right"}
    assert beside["deck right"]["mdb_mm"] <= 6.35 < own["deck right"]["mdb_mm"]
    assert own["right 40"]["status"] == beside["right 40"]["status"] == "conflicts"


def test_a_plan_tells_walls_judged_apart_from_walls_judged_together(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """From reports of `measure` the panels' command and the papers of the shop say so, and what to
    do; from those of `check` they do not; and again once one wall was judged anew by itself."""
    folder = tmp_path / "out"
    assert _run(walls, folder) == 0
    together = _planned(folder, capsys)
    assert main(["check", str(walls[1]), "--out", str(folder)]) == 0
    one_anew = _planned(folder, capsys)
    for wall in walls:
        out = folder / f"{wall.stem}-report.json"
        assert main(["measure", str(wall), "--out", str(out)]) == 0
    apart = _planned(folder, capsys)

    for word in ("not judged together", "judged apart"):
        assert word not in together
        assert word in one_anew
        assert word in apart
    assert "run tapeproof check on the wall files of all walls" in apart.partition("\f")[0]


def _planned(folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What `panels` says of the worked alcove with these reports, then its papers in the shop."""
    plan = json.loads(PLAN.read_text(encoding="utf-8")) | {"practice": None, "prices": None}
    for wall in plan["walls"]:
        wall["reports"] = [f"{wall['wall'].replace(' ', '-')}-report.json"]
    path = folder / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    capsys.readouterr()
    assert main(["panels", str(path)]) == 0
    pages = [capsys.readouterr().out]
    for paper in ("cutting-sheets", "install"):
        pages += page_texts((folder / "panels" / f"{paper}.pdf").read_bytes())
    return "\f".join(pages)


def test_the_walls_of_one_check_have_one_stamp(walls: list[Path], tmp_path: Path) -> None:
    """Each report names the others, keeps its published schema, and has the stamp of all; it
    changes with a reading of any of them. A wall measured by itself names none."""
    _run(walls, tmp_path / "out")
    first = _judged_with(tmp_path / "out")
    document = json.loads(walls[2].read_text(encoding="utf-8"))
    document["readings"][0]["who"] = "B"
    walls[2].write_text(json.dumps(document), encoding="utf-8")
    _run(walls, tmp_path / "out")
    later = _judged_with(tmp_path / "out")
    assert main(["measure", str(walls[0]), "--out", str(tmp_path / "alone.json")]) == 0

    assert [set(found["walls"]) for found in first] == [
        {"plumbing", "far end"},
        {"back", "far end"},
        {"back", "plumbing"},
    ]
    ((one,), (other,)) = ({found["stamp"] for found in found_by} for found_by in (first, later))
    assert one != other
    assert json.loads((tmp_path / "alone.json").read_text())["judged_with"] is None


def _judged_with(folder: Path) -> list[dict[str, Any]]:
    found = []
    for wall in ("back", "plumbing", "far-end"):
        report = json.loads((folder / f"{wall}-report.json").read_text(encoding="utf-8"))
        Draft202012Validator(json_schema("report")).validate(report)
        found.append(report["judged_with"])
    return found


def _sizes(report: Path) -> dict[str, dict[str, Any]]:
    rows = json.loads(report.read_text(encoding="utf-8"))["dimensions"]
    return {row["name"]: row for row in rows}


def test_the_file_keeps_its_schema(walls: list[Path], tmp_path: Path) -> None:
    """check.json is right by the published schema; walls list sizes, closures, what to tape."""
    _run(walls, tmp_path / "out")
    found = json.loads((tmp_path / "out" / "check.json").read_text(encoding="utf-8"))

    Draft202012Validator(json_schema("check")).validate(found)
    back = next(wall for wall in found["walls"] if wall["wall"] == "back")
    slipped = next(size for size in back["sizes"] if size["name"] == "right 40")
    assert (slipped["status"], slipped["role"]) == ("conflicts", "offset")
    assert slipped["best_mm"] == pytest.approx(29.0625 * 25.4, abs=2.0)
    assert [c["name"] for c in found["across"]] == [
        "left corner: its height from back and plumbing",
        "right corner: its height from back and far end",
    ]
    assert all(closure["closes"] for closure in found["across"])
    level = next(d for d in back["derived"] if d["what"] == "out of level")
    assert level["value_mm"] == pytest.approx(5 / 16 * 25.4, abs=1.0)


def test_the_table_reads_back(walls: list[Path], tmp_path: Path) -> None:
    """check.csv has a line for each size, and one for each closure below."""
    _run(walls, tmp_path / "out")
    text = (tmp_path / "out" / "check.csv").read_bytes().decode("utf-8")
    above, below = text.split("\r\n\r\n")

    rows = list(csv.DictReader(StringIO(above, newline="")))
    documents = wall_documents()
    assert len(rows) == sum(len(document["dimensions"]) for document in documents.values())
    (slipped,) = [row for row in rows if row["status"] == "conflicts"]
    assert (slipped["tape in"], slipped["readings"]) == ('28 1/16"', "28 1/16 (A)")
    closures = list(csv.DictReader(StringIO(below, newline="")))
    assert next(c["out in"] for c in closures if "width 40" in c["closure"]) == "-1"


def test_the_report_shows_each_wall(walls: list[Path], tmp_path: Path) -> None:
    """check.pdf draws and tables all three walls, with the slip's words and what is open."""
    _run(walls, tmp_path / "out")
    words = "\n".join(page_texts((tmp_path / "out" / "check.pdf").read_bytes()))

    for text in (
        "back wall",
        "plumbing wall",
        "far end wall",
        "did you burn an inch?",
        "DOES NOT CLOSE",
        'out of plumb left 1/2" inwards going down',
        '28 1/16" conflicts',
        "never a cutting dimension",
    ):
        assert text in words


def test_a_retaping_is_told(tmp_path: Path) -> None:
    """Taken again by B, nothing conflicts any more, and the report says what was done."""
    documents = wall_documents()
    again = {
        "id": "again",
        "dimension": "right 40",
        "value": "29 1/16",
        "who": "B",
        "replaces": "r right 40",
    }
    documents["back"]["readings"].append(again)
    assert _run(_written(tmp_path, documents), tmp_path / "out") == 0

    found = json.loads((tmp_path / "out" / "check.json").read_text(encoding="utf-8"))
    sizes = [size for wall in found["walls"] for size in wall["sizes"]]
    assert {size["status"] for size in sizes} == {"agrees"}
    (told,) = [size["done"] for size in sizes if size["done"]]
    assert told == ["28 1/16 (A) was taken again: 29 1/16 (B, hook to mark)"]


OVERRIDE = {
    "wall": "back",
    "dimension": "right 40",
    "reading": "r right 40",
    "who": "C",
    "reason": "the wall is notched there",
}


def test_what_a_plan_lets_stand_is_told(walls: list[Path], tmp_path: Path) -> None:
    """C, who did not tape it, lets the slip stand: the report says who and why, and that size
    holds nothing any more; its conflict is not hidden."""
    assert _run_with(walls, tmp_path, OVERRIDE) == 0

    found = json.loads((tmp_path / "out" / "check.json").read_text(encoding="utf-8"))
    Draft202012Validator(json_schema("check")).validate(found)
    size = next(s for wall in found["walls"] for s in wall["sizes"] if s["name"] == "right 40")
    assert (size["status"], size["let_stand_by"], size["holds"]) == ("conflicts", "C", "")
    assert size["done"] == ["let stand by C: the wall is notched there"]
    assert all(s["let_stand_by"] == "" for w in found["walls"] for s in w["sizes"] if s != size)


@pytest.mark.parametrize(
    ("key", "value", "expected"),
    [
        ("dimension", "right 41", "expected one of the back wall's dimensions: left 0, "),
        ("reading", "r right 41", "expected one of the back wall's readings: r left 0, "),
    ],
)
def test_an_override_of_what_is_not_there_is_refused(
    walls: list[Path],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    key: str,
    value: str,
    expected: str,
) -> None:
    """A size or reading that the wall's file lacks is named, and nothing is written."""
    assert _run_with(walls, tmp_path, OVERRIDE | {key: value}) == 2
    assert f"plan.json: release.overrides[0].{key}: {expected}" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def _run_with(walls: list[Path], folder: Path, override: dict[str, str]) -> int:
    """Checked beside the worked alcove's plan, with an override in it."""
    plan = json.loads(PLAN.read_text(encoding="utf-8")) | {"practice": None}
    plan["walls"][0]["reports"] = ["back-report.json"]
    path = folder / "plan.json"
    path.write_text(json.dumps(plan | {"release": {"overrides": [override]}}), encoding="utf-8")
    arguments = ["check", *map(str, walls), "--out", str(folder / "out"), "--plan", str(path)]
    return main(arguments)


def test_a_check_beside_a_plan_tells_which_walls_it_went_without(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Given one wall of the plan's three, two, or all."""
    said = []
    for given in (walls[:1], walls[:2], walls):
        assert _run_with(given, tmp_path, OVERRIDE) == 0
        said += [line for line in capsys.readouterr().out.splitlines() if "judged without" in line]

    assert [line.partition(":")[0] for line in said] == [
        "judged without the plumbing and far end walls of the plan",
        "judged without the far end wall of the plan",
    ]


def test_one_wall_alone_can_be_checked(walls: list[Path], tmp_path: Path) -> None:
    """The back wall by itself: its own closures find the same slip."""
    assert _run(walls[:1], tmp_path / "out") == 0
    found = json.loads((tmp_path / "out" / "check.json").read_text(encoding="utf-8"))
    conflicts = [s["name"] for s in found["walls"][0]["sizes"] if s["status"] == "conflicts"]
    assert conflicts == ["right 40"]
    assert found["across"] == []


def test_the_same_wall_twice_is_refused(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two files of the back wall are one error that names the second."""
    copy = tmp_path / "copy.json"
    copy.write_text(walls[0].read_text(encoding="utf-8"), encoding="utf-8")
    assert _run([walls[0], copy], tmp_path / "out") == 2
    assert "copy.json: wall: expected another wall" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_shop_without_burnt_inches_gets_none_named(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The shop's own rates decide what is asked; the conflict stays."""
    slips = tmp_path / "slips.toml"
    slips.write_text("[per_thousand]\ninch = 0\n", encoding="utf-8")
    arguments = ["check", *map(str, walls), "--out", str(tmp_path / "out"), "--slips", str(slips)]
    assert main(arguments) == 0

    said = capsys.readouterr().out
    assert "back wall, right 40, 28 1/16 (A): " in said
    assert "burn an inch" not in said


def test_measure_uses_the_same_closures(walls: list[Path], tmp_path: Path) -> None:
    """`measure` of the back wall alone, without a photo, accuses the same reading of an inch."""
    out = tmp_path / "report.json"
    assert main(["measure", str(walls[0]), "--out", str(out)]) == 0

    report = json.loads(out.read_text(encoding="utf-8"))
    suspects = {d["name"]: d["suspect"] for d in report["dimensions"] if d["suspect"]}
    assert list(suspects) == ["right 40"]
    assert (suspects["right 40"]["kind"], suspects["right 40"]["meant"]) == ("inch", "29 1/16")
    assert "right 40" in {row["dimension"] for row in report["gate"]["blocking"]}
