"""What a plan is made from, over the API: allowances, and what settings may not say."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.running import new_job, service_on

ANY = {"If-Match": "*"}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for the file."""
    with service_on(tmp_path_factory.mktemp("settings") / "data") as found:
        yield found


def asked(client: TestClient, practice: str | None = None, **change: Any) -> Any:
    return client.post("/api/practice", json={"practice": practice, "change": change or None})


def test_every_allowance_is_listed_with_its_range_and_source(client: TestClient) -> None:
    """Nothing that a plan allows is out of sight; lengths and their limits are inches."""
    rows = asked(client).json()["allowances"]
    deck = next(row for row in rows if row["key"] == "joint.deck")

    assert len(rows) > 50
    assert (deck["value"], deck["unit"], deck["low"], deck["high"]) == ("1/8", "in", 0.0625, 0.375)
    assert deck["range"] == "1/16 to 3/8 in"
    assert "never zero" in deck["source"]
    assert not any(row["own"] for row in rows)


def test_a_change_comes_back_as_text(client: TestClient) -> None:
    """With a change, the text that has it; taken back, no text of its own is left."""
    one = asked(client, key="joint.deck", value="3/16", source="sheet maker").json()
    two = asked(client, one["practice"], key="joint.deck").json()

    changed = [row for row in one["allowances"] if row["own"]]
    assert [(row["key"], row["value"], row["shipped"]) for row in changed] == [
        ("joint.deck", "3/16", "1/8")
    ]
    assert two["practice"] is None


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"key": "joint.deck", "value": "2"}, "expected 0.0625 to 0.375 in"),
        ({"key": "joint.deck", "value": "wide"}, "joint.deck"),
        ({"key": "joint.dek", "value": "1/8"}, "expected one of the allowances"),
    ],
)
def test_an_allowance_out_of_range_is_refused_by_name(
    client: TestClient, change: dict[str, str], says: str
) -> None:
    """One message with the allowance and what was expected."""
    answer = asked(client, **change)

    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert answer.json()["field"] == f"practice.{change['key']}"
    assert says in answer.json()["detail"]


def test_settings_say_what_becomes_of_the_tub_and_nothing_of_release(client: TestClient) -> None:
    """Tub, bonding and bars are the settings' own; sheets are released one by one."""
    job = new_job(client)
    path = f"/api/jobs/{job['id']}/plan-settings"
    plan: dict[str, Any] = {"walls": [{"wall": "back"}], "job": {"tub": "base"}}

    kept = client.put(path, json={"plan": plan}, headers=ANY)
    wrong = client.put(path, json={"plan": {**plan, "job": {"tub": "floats"}}}, headers=ANY)
    release = client.put(path, json={"plan": {**plan, "release": {}}}, headers=ANY)

    assert (kept.status_code, kept.json()["plan"]["job"]) == (200, {"tub": "base"})
    assert (wrong.status_code, wrong.json()["field"]) == (422, "plan.job.tub")
    assert (release.status_code, release.json()["field"]) == (422, "plan.release")


def test_the_walls_show_the_top_and_the_surfaces_of_the_plan(client: TestClient) -> None:
    """Before anybody plans, the usual ones of the job's scope: tile kept under packed plaster, none
    on bare studs; then those that are set, their lengths in mm."""
    job = new_job(client)
    studs = new_job(client, name="Studs", scope="down to studs")
    plan = {
        "walls": [
            {
                "wall": "far end",
                "corner": "left",
                "hold_down": "1",
                "surfaces": [{"from_down": "-1", "to_down": None, "proud": "0", "do": "strip"}],
            }
        ],
        "top": {},
    }
    usual = _faces(client, job)
    client.put(f"/api/jobs/{job['id']}/plan-settings", json={"plan": plan}, headers=ANY)
    own = _faces(client, job)

    assert [(r["from_down_mm"], r["do"]) for r in usual["back"]["regions"]] == [
        (-19.05, "pack"),
        (381.0, "keep"),
    ]
    assert usual["back"]["top_mm"] == 19.05
    assert _faces(client, studs)["back"]["regions"] == []
    assert (own["back"], own["far-end"]["top_mm"]) == (None, 25.4)
    assert own["far-end"]["regions"] == [
        {"from_down_mm": -25.4, "to_down_mm": None, "proud": "0", "do": "strip"}
    ]


def _faces(client: TestClient, job: dict[str, Any]) -> dict[str, Any]:
    walls = client.get(f"/api/jobs/{job['id']}/check").json()["walls"]
    return {wall["name"]: wall["face"] for wall in walls}


def test_what_a_plan_fails_by_is_told_in_the_trades_words(client: TestClient) -> None:
    """For who looks at a page by its name, for who sent the settings by its path in them."""
    job = new_job(client)
    wall = next(wall for wall in job["walls"] if wall["name"] == "plumbing")
    reading = {"id": "h", "dimension": "deck inner", "value": "66"}
    answer = client.post(f"/api/walls/{wall['id']}/readings", json=reading)
    assert answer.status_code == 201, answer.text
    valve = {"name": "valve", "from_plumb": "900", "down": "51", "hole": "3 3/4"}
    plumbing = {
        "wall": "plumbing",
        "right": [{"down": "16", "value": "10"}],
        "line_to_deck": [{"at": "0", "value": "66"}],
        "outer": {"from_plumb": "21", "finish": "return"},
        "fixtures": [valve],
    }
    path = f"/api/jobs/{job['id']}/plan-settings"
    body = {"plan": {"walls": [plumbing]}, "practice": None, "prices": None}
    assert client.put(path, json=body, headers=ANY).status_code == 200
    told = client.get(f"/api/jobs/{job['id']}/plan").json()

    assert told["code"] == "cannot-plan"
    assert told["field"] == "plan.walls[0].fixtures[0].from_plumb"
    assert told["detail"].startswith("plumbing wall, valve from plumb: expected a size within")
