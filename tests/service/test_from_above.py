"""The alcove from above: by its tape alone, whoever asks."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

from tests.service.running import new_job, wall_of
from tests.service.simulated import photographed
from tests.service.test_alcove import ANY, worked_alcove
from tests.support.simulated_wall import simulate

HIDDEN = {"expectation": "hidden"}
IN_PLAN: dict[str, dict[str, str]] = {
    "corner diagonal left": {"role": "corner diagonal", "side": "left"},
    "opening 40": {"role": "opening", "down": "40 in"},
    "depth": {"role": "depth"},
}


def _seen(client: TestClient, job: str, **asked: str) -> Any:
    return client.get(f"/api/jobs/{job}/check", params=asked).json()["from_above"]


def _put(client: TestClient, wall: str, name: str, body: dict[str, str]) -> None:
    path = f"/api/walls/{wall}/dimensions/{name}"
    assert client.put(path, json=body, headers=ANY).status_code == 200


def test_a_taped_alcove_is_seen_from_above(client: TestClient) -> None:
    """The alcove worked by hand: its fronts 58.533 in apart, its corners 1/4 in open and 3/16 in
    closed over 24 in, each size in plan on its wall under its own name."""
    found = _seen(client, worked_alcove(client).job)

    left_front, _, _, right_front = found["outline"]
    assert math.dist(left_front, right_front) / 25.4 == pytest.approx(58.533, abs=1 / 32)
    out = {row["side"]: row["out_mm"] / 25.4 for row in found["square"]}
    assert out == {
        "left": pytest.approx(0.2604, abs=1 / 32),
        "right": pytest.approx(-0.1818, abs=1 / 32),
    }
    assert {row["over_mm"] for row in found["square"]} == {24 * 25.4}
    assert {(row["wall"], row["size"]) for row in found["sizes"]} == {
        ("back", name) for name in ("square left", "square right", "opening", "depth")
    }
    assert found["usual"] == []


def test_a_size_in_doubt_shows_as_it_was_read(client: TestClient) -> None:
    """An opening read an inch short makes the corners doubtful; what the plan shows of them is what
    was read, as it was before, and not what all the others make of it."""
    alcove = worked_alcove(client, "29 1/16")
    before = _seen(client, alcove.job)
    opening = {"id": "short", "dimension": "opening", "value": "57 1/2", "replaces": "r_opening"}
    alcove.tape("back", opening)

    assert alcove.size("back", "opening")["status"] != "agrees"
    for asked in ({}, HIDDEN):
        after = _seen(client, alcove.job, **asked)
        assert after["outline"] == before["outline"]
        assert after["square"] == before["square"]


def test_what_is_to_be_taped_has_its_place_before_anything_is(client: TestClient) -> None:
    """A new job has no plan; once sizes in plan are asked for they lie on an ordinary alcove, and
    it says that nothing of it is measured."""
    job = new_job(client)
    assert _seen(client, job["id"]) is None
    for name, body in IN_PLAN.items():
        _put(client, wall_of(client, job)["id"], name, body)

    found = _seen(client, job["id"])
    assert [row["size"] for row in found["sizes"]] == list(IN_PLAN)
    assert found["usual"] == ["width", "depth", "left corner", "right corner"]
    assert found["square"] == []
    assert found["outline"][2] == [60 * 25.4, 0.0]


def test_no_photo_shows_in_it_before_the_tape_does(client: TestClient) -> None:
    """The photos know the back wall's width, here to a few millimetres; the plan is drawn without
    it for everybody until it is typed, and then by it."""
    taken = simulate(np.random.default_rng(5), print_check_half_width_mm=0.25)
    job = new_job(client)
    wall = wall_of(client, job)["id"]
    photographed(client, wall_of(client, job), taken, "2026-01-01T00:00:00.000Z")
    ends = {"from": "left-low", "to": "right-low"}
    _put(client, wall, "width low", {**ends, "role": "width", "down": "64 in"})
    for name, body in IN_PLAN.items():
        _put(client, wall, name, body)
    client.post(
        f"/api/walls/{wall}/readings", json={"id": "d", "dimension": "depth", "value": "29"}
    )
    rows = client.get(f"/api/walls/{wall}/report").json()["dimensions"]
    photo_mm = next(row["photo_mm"] for row in rows if row["name"] == "width low")

    shown, hidden = _seen(client, job["id"]), _seen(client, job["id"], **HIDDEN)
    assert shown == hidden
    assert "width" in shown["usual"]
    assert abs(shown["outline"][2][0] - photo_mm) > 5
    assert shown["outline"][2][0] == 60 * 25.4

    typed = {"id": "w", "dimension": "width low", "value": f"{photo_mm:.0f} mm"}
    client.post(f"/api/walls/{wall}/readings", json=typed)
    hidden = _seen(client, job["id"], **HIDDEN)
    assert "width" not in hidden["usual"]
    assert hidden["outline"][2][0] == pytest.approx(photo_mm, abs=1.5)
