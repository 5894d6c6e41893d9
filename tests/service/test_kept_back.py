"""What the photos expect, kept back until a reading is typed: in every answer that a page asks for
and in the paper, nothing is left by which one could write what one expects."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from io import StringIO
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.lengths import inches_text
from service.store.changes import change_wall
from service.store.rows import Acting
from tests.service.running import service_on, wait_looked
from tests.support.pdf_reader import page_texts

pytestmark = pytest.mark.example

HIDDEN = {"expectation": "hidden"}
FIGURES = ("photo_mm", "photo_interval95_mm", "expected_mm", "expected_interval95_mm", "best_mm")
LEFT_OUT = ("left 40", "right 16", "deck 0", "width 40")


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[TestClient, dict[str, Any]]]:
    """The example with the plumbing wall taped, four sizes of the back wall and all of the far end
    wall not."""
    with service_on(tmp_path_factory.mktemp("kept-back") / "data") as client:
        client.post("/api/example")
        wait_looked(client)
        job = client.get("/api/jobs").json()["jobs"][0]
        tools = client.app.state.tools  # type: ignore[attr-defined]
        acting = Acting("R. Fitter", "2026-11-24T09:30:00Z")
        with tools.store.write() as unit:
            for wall in unit.jobs.walls(job["id"]):
                kept = {
                    name: row
                    for name, row in wall.facts["readings"].items()
                    if wall.name == "plumbing"
                    or (wall.name == "back" and row["dimension"] not in LEFT_OUT)
                }
                change_wall(unit, acting, wall, ["readings"], kept, "example", "readings")
        yield client, job


def _reports(client: TestClient, job: dict[str, Any], **asked: str) -> dict[str, dict[str, Any]]:
    return {
        wall["name"]: client.get(f"/api/walls/{wall['id']}/report", params=asked).json()
        for wall in job["walls"]
    }


def _untaped(client: TestClient, job: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """By wall the sizes without a reading, as an estimator sees them."""
    return {
        wall: [row for row in report["dimensions"] if row["status"] == "photo only"]
        for wall, report in _reports(client, job).items()
    }


def test_a_report_tells_nothing_of_a_size_that_is_not_taped(
    job: tuple[TestClient, dict[str, Any]],
) -> None:
    """Its figures are gone, those of taped sizes are not; points lie on whole inches; how it stands
    and what blocks is told as ever."""
    client, found = job
    shown, hidden = _reports(client, found), _reports(client, found, **HIDDEN)
    assert {row["name"] for row in _untaped(client, found)["back"]} == set(LEFT_OUT)

    for wall, report in hidden.items():
        for was, row in zip(shown[wall]["dimensions"], report["dimensions"], strict=True):
            if was["status"] == "photo only":
                assert was["photo_mm"] is not None
                assert [row[figure] for figure in FIGURES] == [None] * len(FIGURES)
                assert row["status"] == "photo only"
            else:
                assert row == was
        assert report["gate"] == shown[wall]["gate"]
    places = [p[axis] for p in hidden["back"]["points"].values() for axis in ("x_mm", "y_mm")]
    assert all(abs(mm / 25.4 - round(mm / 25.4)) < 1e-9 for mm in places)
    assert hidden["plumbing"] == shown["plumbing"]


def test_the_alcove_tells_nothing_either(job: tuple[TestClient, dict[str, Any]]) -> None:
    """No figure of an untaped size, nothing left over in what it should close with, nothing that
    follows from its wall's sizes; what to tape next is told."""
    client, found = job
    path = f"/api/jobs/{found['id']}/check"
    shown, hidden = client.get(path).json(), client.get(path, params=HIDDEN).json()
    untaped = {
        f"{wall}: {row['name']}" for wall, rows in _untaped(client, found).items() for row in rows
    }

    for was, wall in zip(shown["walls"], hidden["walls"], strict=True):
        for row in wall["dimensions"]:
            if f"{wall['name']}: {row['name']}" in untaped:
                assert [row[figure] for figure in FIGURES] == [None] * len(FIGURES)
        for closure in wall["closures"]:
            if untaped & set(closure["sizes"]):
                assert (closure["out_mm"], closure["closes"]) == (None, None)
        assert bool(wall["derived"]) is (wall["name"] == "plumbing")
        assert wall["tape_next"] == was["tape_next"]
    assert any(row["out_mm"] is not None for row in shown["walls"][1]["closures"])
    assert all(c["out_mm"] is None for c in hidden["across"] if untaped & set(c["sizes"]))


@pytest.mark.parametrize("name", ["check.csv", "check.pdf", "check.json"])
def test_the_paper_to_be_taped_by_tells_no_size_that_is_not_taped(
    job: tuple[TestClient, dict[str, Any]], name: str
) -> None:
    """Of the far end wall, of which nothing is taped, no value by photo is in table, page or file,
    in inches or millimetres; the plain paper has every one."""
    client, found = job
    path = f"/api/jobs/{found['id']}/check/{name}"
    values = [row["photo_mm"] for row in _untaped(client, found)["far-end"]]

    def told(content: bytes) -> int:
        text = _of_the_far_end(content, name)
        return sum(
            bool(re.search(rf"(?<![\d/]){re.escape(inches_text(abs(mm)))}(?![\d/])", text))
            or f"{mm:.1f}" in text
            for mm in values
        )

    assert told(client.get(path).content) == len(values)
    assert told(client.get(path, params=HIDDEN).content) == 0


def _of_the_far_end(content: bytes, name: str) -> str:
    if name.endswith("pdf"):
        pages = page_texts(content)
        return "\n".join(pages).partition("far end wall")[2].partition("What must close")[0]
    if name.endswith("csv"):
        rows = csv.reader(StringIO(content.decode()))
        return "\n".join(" ; ".join(row) for row in rows if row[:1] == ["far-end"])
    walls = json.loads(content)["walls"]
    own = next(wall for wall in walls if wall["wall"] == "far-end")
    return " ".join(
        f"{value:.1f}" for row in own["sizes"] for value in row.values() if isinstance(value, float)
    )


def test_a_plan_leaves_out_the_panels_that_hang_on_it(
    job: tuple[TestClient, dict[str, Any]],
) -> None:
    """The plumbing panel is planned, the other two are named with the sizes they wait for; so in
    the answer to a change. What is made of all of them together is left out."""
    client, found = job
    path = f"/api/jobs/{found['id']}/plan"
    hidden = client.get(path, params=HIDDEN).json()
    look = {"what": "agreed-top", **_top(hidden)}
    changed = client.put(
        f"/api/jobs/{found['id']}/panels/plumbing/looks/{look.pop('what')}",
        json={**look, "first": "R. Fitter", "second": "S. Mate"},
        params=HIDDEN,
    )
    assert changed.status_code == 200, changed.text

    for model in (hidden, changed.json()):
        assert [panel["wall"] for panel in model["plan"]["panels"]] == ["plumbing"]
        assert set(model["kept_back"]) == {"back", "far-end"}
        assert "left 40" in model["kept_back"]["back"]
        assert "left 0" not in model["kept_back"]["back"]
        together = ("takeoff", "trims", "backers", "warnings", "ends", "corners")
        assert not any(model["plan"][part] for part in together)
    shown = client.get(path).json()
    assert len(shown["plan"]["panels"]) == 3
    assert shown["kept_back"] == {}


def _top(model: dict[str, Any]) -> dict[str, str]:
    looks = model["releases"]["plumbing"]["looks"]
    return {"value": next(look["value"] for look in looks if look["what"] == "agreed top")}


CORNER = {"left": "-27 7/16", "right": "30 13/16", "inner": "11 3/8"}


def test_settings_place_decks_by_no_size_that_is_not_taped(
    job: tuple[TestClient, dict[str, Any]],
) -> None:
    """The deck in the back wall's corner is where the wall's side is: told to the inch while sizes
    of that wall wait, in the answer to a change too; as it is on the plumbing wall, which is
    taped."""
    client, found = job
    path = f"/api/jobs/{found['id']}/plan-settings"
    body = _settings(client, path)
    put = client.put(path, json=body, headers={"If-Match": "*"}, params=HIDDEN)
    assert put.status_code == 200, put.text

    for answer in (put, client.get(path, params=HIDDEN)):
        decks = _decks(answer.json()["plan"])
        assert {"about -27 in", "about 31 in", "0"} <= set(decks["back"])
        assert "11 3/8" in decks["plumbing"]
        assert not any("/" in at for at in (*decks["back"], *decks["far end"]))


def test_saving_what_was_told_roughly_alters_nothing(
    job: tuple[TestClient, dict[str, Any]],
) -> None:
    """Settings kept as they were told are the settings as they were, places to the sixteenth; what
    was typed beside them is kept, and a whole inch that somebody writes is that inch."""
    client, found = job
    path = f"/api/jobs/{found['id']}/plan-settings"
    body = _settings(client, path)
    exactly = client.put(path, json=body, headers={"If-Match": "*"}).json()["plan"]
    told = client.get(path, params=HIDDEN).json()["plan"]
    assert told != exactly

    for params in (HIDDEN, {}):
        kept = {**body, "plan": {**told, "top": {"above_line": "7/8"}}}
        assert client.put(path, json=kept, headers={"If-Match": "*"}, params=params).is_success
        now = client.get(path).json()["plan"]
        assert now == {**exactly, "top": {"above_line": "7/8"}}

    typed = json.loads(json.dumps(told).replace("about -27 in", "-27 in"))
    client.put(path, json={**body, "plan": typed}, headers={"If-Match": "*"}, params=HIDDEN)
    assert {"-27 in", "30 13/16"} <= set(_decks(client.get(path).json()["plan"])["back"])
    assert client.get(f"/api/jobs/{found['id']}/plan").status_code == 200


def test_a_rough_place_that_is_no_decks_is_asked_for(
    job: tuple[TestClient, dict[str, Any]],
) -> None:
    """Where no deck of the wall was told so, the place's own field says what is wanted."""
    client, found = job
    path = f"/api/jobs/{found['id']}/plan-settings"
    body = _settings(client, path)
    text = json.dumps(body).replace("-27 7/16", "about -44 in")
    answer = client.put(path, json=json.loads(text), headers={"If-Match": "*"})

    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert re.fullmatch(r"plan\.walls\[\d\]\.line_to_deck\[\d\]\.at", answer.json()["field"])


def _settings(client: TestClient, path: str) -> dict[str, Any]:
    """The settings in force, with the corners' decks where the walls' sides are."""
    plan = client.get(path).json()["plan"]
    walls = [_placed(wall, CORNER) for wall in plan["walls"]]
    return {"plan": {**plan, "walls": walls}, "practice": None, "prices": None}


def _decks(plan: dict[str, Any]) -> dict[str, list[str]]:
    return {wall["wall"]: [d["at"] for d in wall["line_to_deck"]] for wall in plan["walls"]}


def _placed(wall: dict[str, Any], corner: dict[str, str]) -> dict[str, Any]:
    decks = [
        {**deck, "at": corner.get(deck["dimension"].removeprefix("deck "), deck["at"])}
        for deck in wall["line_to_deck"]
    ]
    return {**wall, "line_to_deck": decks}
