"""The example in the service: the numbers of the command, and a slip on its way to a released
sheet."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pytest
from fastapi.testclient import TestClient

from service.actions.measure import measure_file
from service.actions.measure.check import check_files
from service.actions.plan import plan_only
from service.files.panels_values import panels_file
from service.files.report import Report
from service.files.writing import json_text
from service.measuring.field_truth import Evidence
from service.settings import Settings
from tests.service.running import service_on, wait_looked, wall_of

pytestmark = pytest.mark.example

ANY = {"If-Match": "*"}
WALLS = ("plumbing", "back", "far-end")
EXAMPLE = Settings().example_folder
RETAPED = json.loads((EXAMPLE / "retape.json").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Example:
    """A service with the example in it, all its photos looked at."""

    client: TestClient
    job: dict[str, Any]

    def wall(self, name: str) -> dict[str, Any]:
        return wall_of(self.client, self.job, name)

    def report(self, name: str) -> Report:
        answer = self.client.get(f"/api/walls/{self.wall(name)['id']}/report")
        assert answer.status_code == 200, answer.text
        return Report.model_validate_json(answer.text)

    def get(self, path: str) -> Any:
        return self.client.get(f"/api/jobs/{self.job['id']}/{path}")

    def locked(self, panel: str) -> Evidence:
        """What is kept of its last revision."""
        tools = self.client.app.state.tools  # type: ignore[attr-defined]
        with tools.store.read() as unit:
            kept: Evidence = unit.revisions.of_job(self.job["id"], panel)[-1].evidence
        return kept

    def release(self, panel: str) -> Any:
        """Released after a second person has looked at all that asks for it."""
        wanted = self.get("plan").json()["releases"][panel]["looks"]
        looks = [
            {
                "what": look["what"],
                "value": look["value"],
                "first": "R. Fitter",
                "second": "S. Mate",
            }
            for look in wanted
            if not look["counts"]
        ]
        path = f"/api/jobs/{self.job['id']}/panels/{panel}/release"
        return self.client.post(path, json={"who": "R. Fitter", "looks": looks})

    def retape(self) -> None:
        path = f"/api/walls/{self.wall(RETAPED['wall'])['id']}/readings"
        assert self.client.post(path, json=RETAPED["reading"]).status_code == 201

    def retape_again(self, value: str) -> None:
        path = f"/api/walls/{self.wall(RETAPED['wall'])['id']}/readings"
        replaced = RETAPED["reading"]["id"]
        reading = {**RETAPED["reading"], "id": "later", "replaces": replaced, "value": value}
        assert self.client.post(path, json=reading).status_code == 201


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for the file; its photos are looked at once."""
    with service_on(tmp_path_factory.mktemp("example") / "data") as client:
        client.post("/api/example")
        wait_looked(client)
        yield client


@pytest.fixture
def example(service: TestClient) -> Example:
    """The example made anew."""
    answer = service.post("/api/example/reset")
    assert answer.status_code == 201, answer.text
    return Example(service, answer.json())


def measured_by_the_command(example: Example, wall: dict[str, Any], folder: Path) -> Report:
    """The report of `tapeproof measure` on the wall file and the photos that the service gives."""
    text = example.client.get(f"/api/walls/{wall['id']}/wall.json").text
    (folder / "wall.json").write_text(text, encoding="utf-8")
    for photo in wall["photos"]:
        original = example.client.get(f"/api/photos/{photo['id']}/original").content
        (folder / photo["file"]).write_bytes(original)
    return measure_file(folder / "wall.json")


def checked_by_the_command(example: Example, folder: Path) -> None:
    """What `tapeproof check` writes of the wall files and the photos that the service gives."""
    paths = []
    for name in WALLS:
        wall = example.wall(name)
        paths.append(folder / f"{name}.json")
        text = example.client.get(f"/api/walls/{wall['id']}/wall.json").text
        paths[-1].write_text(text, encoding="utf-8")
        for photo in wall["photos"]:
            original = example.client.get(f"/api/photos/{photo['id']}/original").content
            (folder / photo["file"]).write_bytes(original)
    check_files(paths, folder / "check")


@pytest.mark.parametrize("name", WALLS)
def test_the_service_gives_the_commands_numbers(
    example: Example, tmp_path: Path, name: str
) -> None:
    """From kept sights, or from the photos: the same report to the last digit, also after a mark
    was moved."""
    wall = example.wall(name)
    photo = wall["photos"][0]
    mark, place = next(iter(photo["marks"].items()))
    place["at"][0] += 1 / 3
    path = f"/api/photos/{photo['id']}/marks/{mark}"
    assert example.client.put(path, json=place, headers=ANY).status_code == 200

    assert json_text(example.report(name)) == json_text(
        measured_by_the_command(example, example.wall(name), tmp_path)
    )


def test_the_service_checks_as_the_command_does(example: Example, tmp_path: Path) -> None:
    """The three walls with their photos, judged as one alcove: check.json to the last digit."""
    checked_by_the_command(example, tmp_path)

    handed = example.get("check/check.json").content

    assert handed == (tmp_path / "check" / "check.json").read_bytes()
    assert b"did you burn an inch" in handed


def test_the_example_is_loaded_once(example: Example) -> None:
    """Loading the example again leaves the one that is there."""
    again = example.client.post("/api/example")

    assert (again.status_code, again.json()["id"]) == (200, example.job["id"])


@pytest.mark.parametrize(("filled", "marks", "readings"), [("photos", 0, 0), ("marks", 1, 0)])
def test_the_example_may_be_filled_in_part(
    service: TestClient, filled: str, marks: int, readings: int
) -> None:
    """Whoever wants to set marks, or take readings, finds the example without them."""
    job = service.post("/api/example/reset", params={"with": filled}).json()
    wall = wall_of(service, job)

    assert min(1, len(wall["photos"][0]["marks"])) == marks
    assert len(wall["readings"]) == readings


def test_a_photo_tells_its_cards(example: Example) -> None:
    """A photo tells which cards it shows, where, and which camera took it."""
    photo = example.wall("plumbing")["photos"][0]

    found = example.client.get(f"/api/photos/{photo['id']}").json()

    assert found["state"] == "ready"
    assert found["cards"]
    for card in found["cards"]:
        assert len(card["outline"]) == 4
        assert all(
            0 <= x <= found["width"] and 0 <= y <= found["height"] for x, y in card["outline"]
        )
    assert found["header"]["focal_35mm_mm"] == 26.0


def test_the_plan_is_the_commands_plan(example: Example, tmp_path: Path) -> None:
    """Settings and the reports of `tapeproof check` give the panels that `tapeproof panels` gives,
    byte for byte."""
    checked_by_the_command(example, tmp_path)
    for name in ("plan.json", "practice.toml", "prices.csv"):
        (tmp_path / "check" / name).write_bytes((EXAMPLE / name).read_bytes())

    plan = example.get("plan").json()["plan"]

    by_command = panels_file(plan_only(tmp_path / "check" / "plan.json"))
    assert plan == json.loads(by_command.model_dump_json(by_alias=True))
    assert "judged-apart" not in {warning["code"] for warning in plan["warnings"]}


def test_a_slip_keeps_its_panel_from_the_saw(example: Example) -> None:
    """With the slip of the first taping the back panel is shut, and its release refused."""
    state = example.get("plan").json()["releases"]["back"]

    answer = example.release("back")

    assert state["state"] == "shut"
    assert any("left 40" in why for why in state["why_not"])
    assert (answer.status_code, answer.json()["code"]) == (409, "not-proved")


def test_a_proved_panel_is_released_by_a_person(example: Example) -> None:
    """Taped again the back panel is open; released, its sheet says so and which revision it is."""
    example.retape()
    before = example.get("documents/cutting-sheets.pdf").content
    opened = example.get("plan").json()["releases"]["back"]

    answer = example.release("back").json()["releases"]["back"]

    after = example.get("documents/cutting-sheets.pdf").content
    assert {held["why"] for held in opened["held"]} == {"nothing can check it"}
    assert (opened["state"], answer["state"], answer["revision"]) == ("shut", "released", "A")
    assert answer["who"] == "R. Fitter"
    assert "RELEASED FOR CUTTING" not in words(before)
    assert "RELEASED FOR CUTTING" in words(after)


def test_a_locked_sheet_keeps_what_photos_and_tape_said(example: Example) -> None:
    """Of each size that the sheet is cut by, as the report has it then, with the phone; a reading
    that is taken later changes nothing of it."""
    example.retape()
    report = example.client.get(f"/api/walls/{example.wall('back')['id']}/report").json()
    example.release("back")
    locked = example.locked("back")
    example.retape_again("27 1/2")

    found = {size["name"]: size for size in report["dimensions"]}
    assert set(locked.sizes) >= {"left 40", "right 40", "deck 0"}
    assert "width 40" not in locked.sizes
    assert {photo["phone"] for photo in report["photos"]} == {locked.phone}
    for name, (photo, tape) in locked.sizes.items():
        figures = ("photo_mm", "photo_u_mm", "tape_mm", "tape_u_mm")
        assert [found[name][figure] for figure in figures] == pytest.approx(
            [photo.mm, photo.u_mm, tape.mm, tape.u_mm]
        )
    assert example.locked("back") == locked


def test_a_photo_with_the_tape_in_it_vouches_for_a_size(example: Example) -> None:
    """In place of a second person, one of the job's own photos."""
    photo = example.wall("back")["photos"][0]["id"]
    path = f"/api/jobs/{example.job['id']}/panels/back/looks/hold-down"

    answer = example.client.put(path, json={"value": "3/4 in", "photo": photo})

    looks = {look["what"]: look for look in answer.json()["releases"]["back"]["looks"]}
    assert looks["hold-down"]["counts"]
    assert looks["hold-down"]["photo"] == photo
    assert not looks["agreed top"]["counts"]


def test_a_later_change_reopens_a_sheet(example: Example) -> None:
    """A size that changes after the release reopens the sheet; the next release is B."""
    example.retape()
    example.release("back")
    example.retape_again("27 1/2")

    reopened = example.get("plan").json()["releases"]["back"]
    again = example.release("back").json()

    assert reopened["state"] == "reopened"
    assert "since revision A" in reopened["why_not"][0]
    assert again["releases"]["back"]["revision"] == "B", again


def test_a_change_too_small_to_print_reopens_nothing(example: Example) -> None:
    """A reading that is replaced by one a few hundredths of a millimetre away changes no mark."""
    example.retape()
    example.release("back")
    example.retape_again("700.05 mm")

    assert example.get("plan").json()["releases"]["back"]["state"] == "released"


def test_a_release_is_taken_back(example: Example) -> None:
    """A withdrawn sheet is an estimate again, and another release gets the next letter."""
    example.release("plumbing")
    path = f"/api/jobs/{example.job['id']}/panels/plumbing/release"

    withdrawn = example.client.delete(path).json()["releases"]["plumbing"]
    none_left = example.client.delete(path)
    again = example.release("plumbing").json()["releases"]["plumbing"]

    assert (withdrawn["state"], none_left.status_code) == ("open", 404)
    assert (again["state"], again["revision"]) == ("released", "B")


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("cutting-sheets.pdf", b"%PDF-"),
        ("estimate.pdf", b"%PDF-"),
        ("order.csv", b"\xef\xbb\xbf"),
        ("panels.json", b"{"),
        ("elevation.svg", b"<?xml"),
        ("back.svg", b"<?xml"),
        ("far-end.dxf", b"  0"),
    ],
)
def test_every_document_can_be_fetched(example: Example, name: str, start: bytes) -> None:
    """Each document is given in its own kind, and not sent twice to whoever has it."""
    answer = example.get(f"documents/{name}")

    again = example.client.get(
        f"/api/jobs/{example.job['id']}/documents/{name}",
        headers={"If-None-Match": answer.headers["ETag"]},
    )

    assert answer.status_code == 200
    assert answer.content.startswith(start) or name == "order.csv"
    assert (again.status_code, again.content) == (304, b"")


def test_settings_of_their_own_make_the_plan(example: Example) -> None:
    """Another stock in the settings gives another sheet; wrong settings are refused by field."""
    settings = example.get("plan-settings").json()
    path = f"/api/jobs/{example.job['id']}/plan-settings"
    body = {key: settings[key] for key in ("plan", "practice", "prices")}
    stock = [{"name": "one size", "size": ["96", "96"], "finished": ["top", "left", "right"]}]

    put = example.client.put(
        path, json={**body, "plan": {**body["plan"], "stock": stock}}, headers=ANY
    )
    bad = example.client.put(
        path, json={**body, "plan": {**body["plan"], "stock": "none"}}, headers=ANY
    )

    panels = example.get("plan").json()["plan"]["panels"]
    assert put.status_code == 200
    assert {panel["sheet"]["name"] for panel in panels} == {"one size"}
    assert (bad.status_code, bad.json()["field"]) == (422, "plan.stock")


def test_settings_nobody_made_follow_the_sizes(example: Example) -> None:
    """Settings derived from the sizes plan the same boxes as the example's own, which were made
    by hand from the same readings."""
    own = example.get("plan").json()["plan"]["panels"]
    copy = example.client.post("/api/jobs", json={"name": "Copy", "plumbing_side": "left"}).json()
    for wall in copy["walls"]:
        for reading in example.wall(wall["name"])["readings"]:
            body = {
                key: value for key, value in reading.items() if key != "echo" and value is not None
            }
            path = f"/api/walls/{wall['id']}/readings"
            assert example.client.post(path, json=body).status_code == 201

    answer = example.client.get(f"/api/jobs/{copy['id']}/plan")

    assert answer.status_code == 200, answer.text
    boxes = {panel["wall"]: panel["box"] for panel in answer.json()["plan"]["panels"]}
    for panel in own:
        assert boxes[panel["wall"]]["width_mm"] == pytest.approx(panel["box"]["width_mm"], abs=26.0)
        assert boxes[panel["wall"]]["height_mm"] == pytest.approx(
            panel["box"]["height_mm"], abs=4.0
        )
        assert [hole["name"] for hole in panel["cutouts"]] == (
            ["arm", "valve", "spout"] if panel["wall"] == "plumbing" else []
        )


def test_a_job_without_sizes_cannot_be_planned(service: TestClient) -> None:
    """A plan that lacks a wall's sizes is refused with the wall and what to do."""
    job = service.post("/api/jobs", json={"name": "New", "plumbing_side": "left"}).json()

    answer = service.get(f"/api/jobs/{job['id']}/plan")

    assert (answer.status_code, answer.json()["code"]) == (409, "cannot-plan")


def words(pdf: bytes) -> str:
    reader = pypdf.PdfReader(BytesIO(pdf))
    return "\n".join(page.extract_text() for page in reader.pages)


def test_a_photo_that_is_taken_off_vouches_for_nothing(example: Example) -> None:
    """The tape in a photo vouches for the hold-down; taken off the wall, it is asked for again, and
    the sheet that was released by it is open."""
    photo = example.wall("far-end")["photos"][-1]["id"]
    path = f"/api/jobs/{example.job['id']}/panels/plumbing/looks/hold-down"
    answer = example.client.put(path, json={"value": "3/4 in", "photo": photo})
    assert answer.status_code == 200, answer.text
    assert example.release("plumbing").status_code == 200
    assert _hold_down(example)["photo"] == photo

    taken_off = example.client.delete(f"/api/photos/{photo}", headers=ANY)

    assert taken_off.status_code == 200, taken_off.text
    assert not _hold_down(example)["counts"]
    assert example.get("plan").json()["releases"]["plumbing"]["state"] == "reopened"


def _hold_down(example: Example) -> dict[str, Any]:
    looks = example.get("plan").json()["releases"]["plumbing"]["looks"]
    return next(dict(look) for look in looks if look["what"] == "hold-down")
