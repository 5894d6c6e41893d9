"""Sheets locked from files: the plan says how, the revisions lie beside it."""

from __future__ import annotations

import json
import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from service.actions.plan import plan_only
from service.cli import main
from service.errors import EXIT_BAD_INPUT, EXIT_WRITTEN
from service.files.panels_values import panels_file
from service.files.writing import folder_held
from service.measuring.release.revision import fingerprint
from service.measuring.release.sealed import cut_lines
from tests.panels.report_rows import proved_row, report_file
from tests.panels.test_plan_file import BACK
from tests.panels.worked_alcove import FOLDER, PLAN, inch

LOOKS = [
    {"wall": "back", "what": "hold-down", "value": "3/4 in", "first": "A", "second": "B"},
    {"wall": "back", "what": "agreed top", "first": "A", "second": "B"},
]
TAPED = {"dimension": "left 16", "u_mm": 0.7, "clashes_with": []}


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """The worked alcove with a proved back wall, and looks for all that nothing checks."""
    for path in FOLDER.glob("worked_alcove*"):
        if path.suffix != ".py":
            shutil.copy(path, tmp_path)
    report(tmp_path)
    path = tmp_path / PLAN.name
    edit(path, release={"second_looks": []})
    wanted = dict(row(path)["release"]["wanted"])
    looks = [{**look, "value": wanted[look["what"]]} for look in LOOKS]
    edit(path, release={"second_looks": looks})
    return path


def report(folder: Path, readings: tuple[dict[str, Any], ...] = (), **left: Any) -> None:
    rows = [proved_row(name, inch(text) * 25.4) for name, text in BACK.items()]
    rows = [one | left if one["name"] == "left 16" else one for one in rows]
    text = json.dumps(report_file("back", rows, readings=list(readings)))
    (folder / "back.json").write_text(text)


def edit(path: Path, **changes: Any) -> None:
    found = json.loads(path.read_text())
    found["walls"][0]["reports"] = ["back.json"]
    path.write_text(json.dumps(found | changes))


def row(path: Path, wall: str = "back") -> dict[str, Any]:
    """The row of a panel in panels.json, planned anew."""
    panels = json.loads(panels_file(plan_only(path)).model_dump_json(by_alias=True))["panels"]
    return next(dict(found) for found in panels if found["wall"] == wall)


def lock(path: Path, sheet: str = "back") -> int:
    return main(["release", str(path), sheet, "--who", "R. Fitter"])


def test_proved_sizes_are_not_a_release_where_sheets_are_locked(plan: Path) -> None:
    """With every size proved and looked at the sheet is ready; it is released once it is locked."""
    ready = row(plan)
    assert lock(plan) == EXIT_WRITTEN
    locked = row(plan)

    assert (ready["released"], ready["release"]["state"]) == (False, "open")
    assert (locked["released"], locked["release"]["state"]) == (True, "released")
    assert locked["release"]["revision"] == "A"
    kept = json.loads((plan.parent / "releases.json").read_text())["revisions"]
    assert kept[0]["fingerprint"] == locked["release"]["fingerprint"]


def test_a_sheet_is_locked_once(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """While nothing has changed there is no revision B."""
    assert lock(plan) == EXIT_WRITTEN
    assert lock(plan) == EXIT_BAD_INPUT
    assert "released as revision A, and nothing has changed" in capsys.readouterr().err


def test_one_release_waits_for_another(plan: Path) -> None:
    """While somebody else releases a sheet of the plan nothing is read and nothing written, so that
    neither writes over the other's revision."""
    kept = plan.parent / "releases.json"
    with ThreadPoolExecutor(1) as other:
        with folder_held(plan.parent):
            code = other.submit(lock, plan)
            with pytest.raises(TimeoutError):
                code.result(timeout=2)
            waited = not kept.exists()
        done = code.result(timeout=60)

    assert waited
    assert (done, kept.exists()) == (EXIT_WRITTEN, True)


def test_what_holds_a_sheet_is_one_line(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet of plain readings is not locked, and nothing is written."""
    assert lock(plan, "far end") == EXIT_BAD_INPUT
    said = capsys.readouterr().err
    assert "far end" in said
    assert said.count("\n") == 1
    assert not (plan.parent / "releases.json").exists()


def test_a_photo_vouches_while_it_is_there(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In place of a second person; one that is not there, or not any more, is an error by name."""
    looks = json.loads(plan.read_text())["release"]["second_looks"]
    alone = [{key: look[key] for key in ("wall", "what", "value")} for look in looks]
    edit(plan, release={"second_looks": [{**look, "photo": "top.jpg"} for look in alone]})
    assert lock(plan) == EXIT_BAD_INPUT
    missing = "release.second_looks[0].photo: expected a photo with the tape in it"
    assert missing in capsys.readouterr().err

    (plan.parent / "top.jpg").write_bytes(b"a photo")
    assert lock(plan) == EXIT_WRITTEN
    assert row(plan)["release"]["state"] == "released"
    (plan.parent / "top.jpg").unlink()
    assert main(["panels", str(plan)]) == EXIT_BAD_INPUT


def test_a_change_reopens_and_is_said(plan: Path) -> None:
    """Another reading of one size: the sheet is no longer for cutting, and the row says why."""
    assert lock(plan) == EXIT_WRITTEN
    mm = inch("29 3/4") * 25.4
    report(plan.parent, tape_mm=mm, best_mm=mm)
    changed = json.loads(plan.read_text())
    changed["walls"][0]["left"][1]["value"] = "29 3/4"
    plan.write_text(json.dumps(changed))

    found = row(plan)

    assert (found["released"], found["release"]["state"]) == (False, "reopened")
    assert found["release"]["changes"][0].startswith('size back left 16: was 29 9/16"')
    assert lock(plan) == EXIT_WRITTEN
    assert row(plan)["release"]["revision"] == "B"


def test_walls_judged_together_later_leave_a_sheet_locked(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Locking a sheet of walls judged apart says so; once they judge each other and its sizes are
    the same, the revision still holds, and the warning is gone."""
    found = json.loads(plan.read_text())
    found["walls"][1]["reports"] = ["plumbing.json"]
    plan.write_text(json.dumps(found))
    other = plan.parent / "plumbing.json"
    other.write_text(json.dumps(report_file("plumbing", [])))
    assert lock(plan) == EXIT_WRITTEN
    said = capsys.readouterr().out

    for path in (plan.parent / "back.json", other):
        judged = {"walls": ["back", "plumbing", "far end"], "stamp": "a1"}
        path.write_text(json.dumps(json.loads(path.read_text()) | {"judged_with": judged}))

    assert "the reports of the back and plumbing walls were not judged together" in said
    assert row(plan)["release"]["state"] == "released"
    assert main(["panels", str(plan)]) == EXIT_WRITTEN
    assert "judged together" not in capsys.readouterr().out


def test_a_revision_that_was_edited_is_refused(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The fingerprint holds the file to what it was."""
    assert lock(plan) == EXIT_WRITTEN
    path = plan.parent / "releases.json"
    path.write_text(path.read_text().replace("29 9/16", "29 5/16"))
    assert main(["panels", str(plan)]) == EXIT_BAD_INPUT
    assert "revisions[0]: is not what its fingerprint was made of" in capsys.readouterr().err


@pytest.mark.parametrize(("who", "released"), [("B", True), ("A", False)])
def test_an_override_in_the_plan_counts_by_another_person(
    plan: Path, who: str, released: bool
) -> None:
    """The same rules as in the service: the taper's own word lets nothing stand."""
    mm = inch("29 9/16") * 25.4
    reading = {"id": "r1", "status": "conflicts", "mm": mm, "who": "A", "method": "rod", **TAPED}
    report(plan.parent, (reading,), status="conflicts", checked=False, en=9.0)
    found = json.loads(plan.read_text())
    override = {"wall": "back", "dimension": "left 16", "reading": "r1", "who": who, "reason": "ok"}
    found["release"]["overrides"] = [override]
    found["walls"][0]["left"][1] = {"down": "16", "dimension": "left 16", "surface": "tile"}
    plan.write_text(json.dumps(found))

    assert (lock(plan) == EXIT_WRITTEN) is released
    size = next(s for s in row(plan)["sizes"] if s["dimension"] == "left 16")
    assert size["proof"] == ("override" if released else "")


def test_as_hung_readings_take_the_place_of_those_to_the_wall(plan: Path) -> None:
    """Where both are given at one height the hung one cuts: 1/4 in less, no build-up taken off."""
    found = json.loads(plan.read_text())
    end = next(wall for wall in found["walls"] if wall["wall"] == "far end")
    side = end.get("corner", "left")
    before = row(plan, "far end")
    station = next(one for one in end[side] if one["down"] == "40")
    hung = inch(station["value"]) - 0.25 - 0.25
    end[side].append({"down": "40", "value": f"{hung} in", "surface": "hung"})
    plan.write_text(json.dumps(found))

    after = row(plan, "far end")

    at = 41 * 25.4
    was, now = (
        next(m["value_mm"] for m in one["marks"] if m["edge"] == "inner" and
             abs(m["station_mm"] - at) < 1)
        for one in (before, after)
    )  # fmt: skip
    assert now == pytest.approx(was - 0.25 * 25.4, abs=0.2)


@pytest.mark.parametrize(
    ("release", "field"),
    [
        ({"overrides": [{"wall": "far end", "dimension": "d", "reading": "r", "who": "B",
                         "reason": "x"}]}, "release.overrides[0].wall"),
        ({"second_looks": [{"wall": "back", "what": "colour", "value": "x"}]},
         "release.second_looks[0].what"),
        ({"lock": True}, "release.lock"),
    ],
)  # fmt: skip
def test_a_wrong_release_is_named(
    plan: Path, capsys: pytest.CaptureFixture[str], release: dict[str, Any], field: str
) -> None:
    """One line with the path of what is wrong."""
    edit(plan, release=release)
    assert main(["panels", str(plan)]) == EXIT_BAD_INPUT
    assert field in capsys.readouterr().err


def test_field_truth_is_read_from_locked_sheets(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What photos and tape said of a sheet when it was locked is counted by phone, whatever its
    report says later. A file that was edited is refused; a sheet of an earlier version, with
    which nothing of the kind was kept, is told."""
    reported = plan.parent / "back.json"
    photo: dict[str, Any] = {"file": "1.jpg", "phone": "Phone One", "camera": None, "advice": []}
    cards = [{"serial": 1, "corners": 9, "rms_px": None}]
    photos = {"photos": [photo | {"cards": cards}]}
    reported.write_text(json.dumps(json.loads(reported.read_text()) | photos))
    assert lock(plan) == EXIT_WRITTEN
    releases = plan.parent / "releases.json"
    first = _field_truth(capsys, releases)
    rows = json.loads(reported.read_text())["dimensions"]
    off = [row | {"photo_mm": row["photo_mm"] + 40} for row in rows]
    reported.write_text(json.dumps(json.loads(reported.read_text()) | {"dimensions": off}))

    assert first[0] == "North yard: 1 released sheet"
    count = len(json.loads(releases.read_text())["revisions"][0]["evidence"]["sizes"])
    assert count > 5
    assert first[1].startswith(f"Phone One: {count} of {count} photo intervals held the tape")
    assert first[1].endswith("too few to tell")
    assert _field_truth(capsys, releases) == first

    kept = json.loads(releases.read_text())
    revision = kept["revisions"][0]
    del revision["evidence"]
    releases.write_text(json.dumps(kept))
    assert main(["field-truth", str(releases)]) == EXIT_BAD_INPUT
    revision["content"] = cut_lines(revision["content"])
    revision["fingerprint"] = fingerprint("back", "A", revision["content"])
    releases.write_text(json.dumps(kept))
    without = "1 of them without a size that a photo shows"
    assert _field_truth(capsys, releases) == ["North yard: 1 released sheet", without]
    kept["revisions"][0]["content"]["hold-down"] = "9 in"
    releases.write_text(json.dumps(kept))
    assert main(["field-truth", str(releases)]) == EXIT_BAD_INPUT


def _field_truth(capsys: pytest.CaptureFixture[str], path: Path) -> list[str]:
    capsys.readouterr()
    assert main(["field-truth", str(path), "--shop", "North yard"]) == EXIT_WRITTEN
    return capsys.readouterr().out.splitlines()
