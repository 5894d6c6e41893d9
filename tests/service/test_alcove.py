"""The job's walls judged as one alcove: the figures of the command, and walls that check each
other."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

from service.actions.measure.check import check_files
from service.cli import main
from service.lengths import parse_length
from tests.measuring.alcove.files import wall_documents
from tests.service.running import new_job, service_on, wall_of
from tests.service.simulated import photographed
from tests.support.pdf_reader import page_texts, words_of
from tests.support.simulated_wall import simulate

ANY = {"If-Match": "*"}
DOWN_FROM_THE_LINE = ("height", "fixture down", "line to floor", "tile top")
WALLS = {"back": "back", "plumbing": "plumbing", "far end": "far-end"}


@dataclass(frozen=True)
class Alcove:
    """A job whose walls are taped as in the worked alcove, without a photo."""

    client: TestClient
    job: str
    walls: dict[str, str]

    def check(self) -> dict[str, Any]:
        return dict(self.client.get(f"/api/jobs/{self.job}/check").json())

    def wall(self, name: str) -> dict[str, Any]:
        return next(wall for wall in self.check()["walls"] if wall["name"] == name)

    def size(self, wall: str, name: str) -> dict[str, Any]:
        return next(row for row in self.wall(wall)["dimensions"] if row["name"] == name)

    def tape(self, wall: str, reading: dict[str, Any]) -> None:
        answer = self.client.post(f"/api/walls/{self.walls[wall]}/readings", json=reading)
        assert answer.status_code == 201, answer.text

    def paper(self, name: str) -> bytes:
        answer = self.client.get(f"/api/jobs/{self.job}/check/{name}")
        assert answer.status_code == 200, answer.text
        return answer.content


@pytest.fixture(scope="module")
def taped(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Alcove]:
    """The worked alcove, its planted slip among the readings."""
    with service_on(tmp_path_factory.mktemp("alcove") / "data") as client:
        yield worked_alcove(client)


def worked_alcove(client: TestClient, slip: str = "28 1/16") -> Alcove:
    """All sizes with their roles, and all readings, sent as a page sends them."""
    job = new_job(client, sizes="none")
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    for named, document in wall_documents(slip).items():
        wall = alcove.walls[WALLS[named]]
        for size in document["dimensions"]:
            body = {key: value for key, value in size.items() if key != "name"}
            path = f"/api/walls/{wall}/dimensions/{size['name']}"
            answer = client.put(path, json=body, headers=ANY)
            assert answer.status_code == 200, answer.text
        for reading in document["readings"]:
            alcove.tape(WALLS[named], {**reading, "id": reading["id"].replace(" ", "_")})
    return alcove


def test_the_service_checks_as_the_command_does(taped: Alcove, tmp_path: Path) -> None:
    """The files of the three walls, checked by the command, give the service's check.json to the
    last digit, and its table."""
    check_files(_wall_files(taped, tmp_path), tmp_path / "check", job="Hall bath")

    assert taped.paper("check.json") == (tmp_path / "check" / "check.json").read_bytes()
    assert taped.paper("check.csv") == (tmp_path / "check" / "check.csv").read_bytes()


def test_command_and_service_list_what_a_plan_cuts_by(
    client: TestClient, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A plan that cuts each corner by two offsets wants fewer sizes proved than sheets usually do;
    the same of a job with its settings as of the plan's file. Of a plan that cannot be made the
    command says so, and lists what is usual."""
    alcove = worked_alcove(client, "29 1/16")
    paths = _wall_files(alcove, tmp_path)
    usual = json.loads(alcove.paper("check.json"))
    settings = client.get(f"/api/jobs/{alcove.job}/plan-settings").json()["plan"]
    for wall in settings["walls"]:
        corners = ("left", "right") if wall["wall"] == "back" else (wall["corner"],)
        wall.update({side: [wall[side][0], wall[side][-1]] for side in corners})
    path = f"/api/jobs/{alcove.job}/plan-settings"
    kept = client.put(path, json={"plan": settings}, headers=ANY)
    assert kept.status_code == 200, kept.text
    assert client.get(f"/api/jobs/{alcove.job}/plan").status_code == 200
    walls = [{**wall, "reports": ["to-come.json"]} for wall in settings["walls"]]
    plan, named = tmp_path / "plan.json", {"name": "Hall", "scope": "over tile"}

    said, files = [], []
    for number, own in enumerate(
        (walls, [{**walls[0], "outer": {"finish": "return", "dimension": "none"}}, *walls[1:]])
    ):
        plan.write_text(json.dumps({**settings, "job": named, "walls": own}), "utf-8")
        out = tmp_path / str(number)
        assert main(["check", *map(str, paths), "--out", str(out), "--plan", str(plan)]) == 0
        said.append(capsys.readouterr().out)
        files.append(json.loads((out / "check.json").read_text("utf-8")))

    assert files[0] == json.loads(alcove.paper("check.json"))
    assert [_listed(file) for file in files[1:]] == [_listed(usual)]
    assert _listed(files[0]) < _listed(usual)
    assert "usually cut by" not in said[0]
    assert "listed by what sheets are usually cut by, not by the plan" in said[1]


def _wall_files(alcove: Alcove, folder: Path) -> list[Path]:
    paths = []
    for name, wall in alcove.walls.items():
        paths.append(folder / f"{name}.json")
        paths[-1].write_bytes(alcove.client.get(f"/api/walls/{wall}/wall.json").content)
    return paths


def _listed(file: dict[str, Any]) -> set[str]:
    lists = ("tape_next", "tape_again", "tape_anew")
    return {f"{key} {name}" for wall in file["walls"] for key in lists for name in wall[key]}


def test_what_is_shown_is_what_is_handed_out(taped: Alcove) -> None:
    """The page's figures of each size are those of check.json."""
    handed = json.loads(taped.paper("check.json"))
    shown = {wall["name"]: wall for wall in taped.check()["walls"]}

    for wall in handed["walls"]:
        for row in wall["sizes"]:
            size = next(d for d in shown[wall["wall"]]["dimensions"] if d["name"] == row["name"])
            keys = ("status", "checked", "tape_mm", "expected_mm", "best_mm", "best_u_mm")
            assert [size[key] for key in keys] == [row[key] for key in keys]


def test_tape_alone_is_judged(taped: Alcove) -> None:
    """With no photo at all the planted inch on the right at 40 is found and named."""
    slipped = taped.size("back", "right 40")

    assert (slipped["status"], slipped["suspect"]["kind"]) == ("conflicts", "inch")
    assert slipped["suspect"]["meant"] == "29 1/16"
    others = [d for wall in taped.check()["walls"] for d in wall["dimensions"]]
    assert {d["status"] for d in others if d["name"] != "right 40"} == {"agrees"}


def test_a_corner_is_seen_from_both_walls(taped: Alcove) -> None:
    """What must close between the walls is told, sizes named with their wall."""
    across = taped.check()["across"]

    assert [row["name"] for row in across] == [
        "left corner: its height from back and plumbing",
        "right corner: its height from back and far-end",
    ]
    assert all(row["closes"] for row in across)
    assert {name.partition(":")[0] for name in across[0]["sizes"]} == {"back", "plumbing"}


def test_the_report_is_a_paper(taped: Alcove) -> None:
    """check.pdf names the job, the slip and each wall; check.csv has a line a size."""
    words = "\n".join(page_texts(taped.paper("check.pdf")))
    table, _, _ = taped.paper("check.csv").decode().partition("\r\n\r\n")
    rows = list(csv.DictReader(StringIO(table, newline="")))

    assert "Hall bath" in words
    assert "did you burn an inch?" in words
    assert len(rows) == sum(len(wall["dimensions"]) for wall in taped.check()["walls"])


def test_walls_check_one_another(client: TestClient) -> None:
    """A deck height in the corner, an inch out, that its own wall cannot check conflicts with what
    the back wall's heights make of that corner; right, it agrees with them. Sizes of the usual
    names are known for what they are with no line marked."""
    job = new_job(client)
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    heights = {"left": "66", "-14": "66 1/16", "0": "66 1/8", "14": "66 3/16", "right": "66 1/4"}
    for place, value in heights.items():
        alcove.tape("back", {"id": f"b{place}", "dimension": f"deck {place}", "value": value})
    alcove.tape("back", {"id": "left", "dimension": "left 64", "value": "28"})
    alcove.tape("back", {"id": "right", "dimension": "right 64", "value": "28"})
    alcove.tape("plumbing", {"id": "inch", "dimension": "deck inner", "value": "67"})

    report = client.get(f"/api/walls/{alcove.walls['plumbing']}/report").json()
    alone = next(row for row in report["dimensions"] if row["name"] == "deck inner")
    slipped = alcove.size("plumbing", "deck inner")
    alcove.tape(
        "plumbing", {"id": "again", "dimension": "deck inner", "value": "66", "replaces": "inch"}
    )

    assert (alone["status"], slipped["status"]) == ("tape only", "conflicts")
    assert alcove.size("plumbing", "deck inner")["status"] == "agrees"


def test_what_to_tape_next_shortens(client: TestClient) -> None:
    """A new wall wants all its sheet is cut by, in walking order; what is taped is wanted no more;
    a wall that nothing is known of is told so."""
    job = new_job(client)
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    before = alcove.wall("back")
    alcove.tape("back", {"id": "r1", "dimension": "left 0", "value": "28 7/8"})
    after = alcove.wall("back")

    assert before["refused"]["code"] == "nothing-yet"
    assert [row["size"] for row in before["tape_next"][:3]] == ["left 0", "left 16", "left 40"]
    assert {row["wall"] for row in before["tape_next"]} == {"back"}
    assert after["refused"] is None
    assert after["tape_next"] == before["tape_next"][1:]


def test_what_to_tape_next_is_by_wall(client: TestClient) -> None:
    """With two walls begun, each wants its own sizes, called as on the wall itself."""
    job = new_job(client)
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    alcove.tape("back", {"id": "r1", "dimension": "left 0", "value": "28 7/8"})
    alcove.tape("plumbing", {"id": "r2", "dimension": "inner 16", "value": "11 1/2"})

    wanted = alcove.wall("plumbing")["tape_next"]

    assert wanted[0] == {"wall": "plumbing", "size": "inner 0"}
    assert {"wall": "plumbing", "size": "inner 16"} not in wanted


def test_what_does_not_fit_is_to_be_taken_anew(taped: Alcove) -> None:
    """The size with the planted slip, whose conflict holds the back sheet, is on the back wall's
    list; so it is in the file."""
    wall = taped.wall("back")
    file = json.loads(taped.paper("check.json"))["walls"]

    assert wall["tape_anew"] == [{"wall": "back", "size": "right 40"}]
    assert next(row for row in file if row["wall"] == "back")["tape_anew"] == ["back: right 40"]
    text = words_of(taped.paper("check.pdf"))
    assert "To take again, for it does not fit: right 40." in text


def test_a_second_person_takes_a_size_off_the_list(client: TestClient) -> None:
    """What nothing checks is to be taped once more; by the same person it still is, by another it
    is not."""
    alcove = worked_alcove(client, "29 1/16")
    size = alcove.wall("far-end")["tape_again"][0]["size"]
    rows = wall_documents()["far end"]["readings"]
    row = next(row for row in rows if row["dimension"] == size)
    named = {key: value for key, value in row.items() if key != "id"}
    listed = []
    for number, who in enumerate(("A", "a.", "S. Mate")):
        alcove.tape("far-end", {**named, "id": f"more-{number}", "who": who})
        listed.append({"wall": "far-end", "size": size} in alcove.wall("far-end")["tape_again"])

    assert listed == [True, True, False]


def test_a_size_of_ones_own_breaks_nothing(client: TestClient) -> None:
    """Beside sizes of an alcove one of nobody's vocabulary, seen in the photos: the alcove is
    judged all the same, and what its sheet is cut by is to be taped."""
    taken = simulate(np.random.default_rng(5), print_check_half_width_mm=0.25)
    job = new_job(client)
    wall = wall_of(client, job)
    photographed(client, wall, taken, "2026-01-01T00:00:00.000Z")
    alcove = Alcove(client, job["id"], {"back": wall["id"]})
    mark = taken.request.sizes[0].start
    body = {"from": mark, "to": mark, "role": "height", "at": "0"}
    path = f"/api/walls/{wall['id']}/dimensions/deck 0"
    client.put(path, json={**body, "to": taken.request.sizes[0].end}, headers=ANY)

    found = alcove.wall("back")

    assert sum(row["photo_mm"] is not None for row in found["dimensions"]) > 1
    assert "deck 0" in [row["size"] for row in found["tape_next"]]


def test_a_job_with_nothing_has_no_report(client: TestClient) -> None:
    """Papers of an empty job are refused with what to do."""
    job = new_job(client)
    answer = client.get(f"/api/jobs/{job['id']}/check/check.pdf")

    assert (answer.status_code, answer.json()["code"]) == (409, "nothing-yet")
    known = wall_of(client, job)["known_by_name"]["left 16"]
    assert (known["role"], known["side"], known["down"]) == ("offset", "left", "16 in")


def test_walls_that_contradict_one_another_hold_their_sheets(client: TestClient) -> None:
    """A level line that came round 1/2 in too high on the plumbing wall shows in none of its own
    closures; between the walls it does, and shuts a gate that the wall's own report leaves open
    there."""
    alcove = worked_alcove(client, "29 1/16")
    moved = {"line to ceiling": -12.7, **dict.fromkeys(DOWN_FROM_THE_LINE, 12.7)}
    document = wall_documents()["plumbing"]
    by_name = {row["name"]: row["role"] for row in document["dimensions"]}
    for reading in document["readings"]:
        more_mm = moved.get(by_name[reading["dimension"]])
        if more_mm is not None:
            mm = float(parse_length(reading["value"], "in").mm) + more_mm
            replaced = reading["id"].replace(" ", "_")
            new = {"id": f"up_{replaced}", "value": f"{mm:.1f} mm", "replaces": replaced}
            alcove.tape("plumbing", {"dimension": reading["dimension"], **new})

    tools = client.app.state.tools  # type: ignore[attr-defined]
    with tools.store.read() as unit:
        held = tools.reports.of_walls(unit, unit.jobs.get(alcove.job))
    own = {
        name: client.get(f"/api/walls/{wall}/report").json()["gate"]["blocking"]
        for name, wall in alcove.walls.items()
    }
    more = {name: len(report.gate.blocking) - len(own[name]) for name, report in held.items()}

    assert alcove.check()["across"][0]["closes"] is False
    assert sum(more.values()) > 0
    assert not any(report.gate.open for name, report in held.items() if more[name])


def test_a_size_that_the_next_wall_checks_is_proved(client: TestClient) -> None:
    """The back's height at its right corner is vague by its own wall, and proved for its sheet,
    for the far end wall has the same corner."""
    alcove = worked_alcove(client, "29 1/16")
    tools = client.app.state.tools  # type: ignore[attr-defined]
    with tools.store.read() as unit:
        found = tools.reports.of_walls(unit, unit.jobs.get(alcove.job))["back"]
    proved = {row.name: row.checked for row in found.dimensions}
    report = client.get(f"/api/walls/{alcove.walls['back']}/report").json()
    alone = {row["name"]: row["checked"] for row in report["dimensions"]}

    assert (alone["deck right"], proved["deck right"]) == (False, True)


def test_readings_are_called_by_their_sizes(client: TestClient) -> None:
    """Where nothing tells which of three readings is off, each is called by its size, not by the
    id that a page gave it; on the papers too."""
    job = new_job(client)
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    taken = {"left 16": "28 1/8", "right 16": "28 1/4", "width 16": "55 3/8"}
    for name, value in taken.items():
        reading_id = f"0b7c2f0e-{name.replace(' ', '-')}"
        alcove.tape("back", {"id": reading_id, "dimension": name, "value": value})
    alcove.tape("plumbing", {"id": "other-wall", "dimension": "deck inner", "value": "66"})

    said = alcove.size("back", "left 16")["suspect"]["text"]

    assert "0b7c2f0e" not in said
    assert "right 16" in said
    assert "width 16" in said
    assert said in alcove.paper("check.csv").decode()
    assert "0b7c2f0e" not in alcove.paper("check.csv").decode()


def test_a_reading_of_another_size_is_put_right(client: TestClient) -> None:
    """What was put down to the right side is the left's: it takes that place, and the job is judged
    as if it had been put there at once."""
    alcove = worked_alcove(client)
    moved = {"id": "moved", "dimension": "left 40", "value": "29 3/8", "replaces": "r_right_40"}
    alcove.tape("back", {**moved, "who": "B"})

    assert alcove.size("back", "right 40")["tape_mm"] is None
    assert {"wall": "back", "size": "right 40"} in alcove.wall("back")["tape_next"]
    assert "28 1/16 (A) was taken back: it is 29 3/8 (B" in alcove.paper("check.csv").decode()
