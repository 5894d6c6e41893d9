"""The example in the service: the numbers, plan and documents of the command."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.actions.measure import measure_file
from service.actions.measure.check import check_files
from service.actions.plan import plan_only
from service.files.panels_values import panels_file
from service.files.report import Report
from service.files.writing import json_text
from tests.service.example import EXAMPLE, WALLS, Example
from tests.service.running import ANY, wall_of

pytestmark = pytest.mark.example


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
    example_service: TestClient, filled: str, marks: int, readings: int
) -> None:
    """Whoever wants to set marks, or take readings, finds the example without them."""
    job = example_service.post("/api/example/reset", params={"with": filled}).json()
    wall = wall_of(example_service, job)

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


def test_a_job_without_sizes_cannot_be_planned(example_service: TestClient) -> None:
    """A plan that lacks a wall's sizes is refused with the wall and what to do."""
    job = example_service.post("/api/jobs", json={"name": "New", "plumbing_side": "left"}).json()

    answer = example_service.get(f"/api/jobs/{job['id']}/plan")

    assert (answer.status_code, answer.json()["code"]) == (409, "cannot-plan")
