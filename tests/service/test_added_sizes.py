"""Several sizes added in one change: all or none, and taken back as one."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.running import new_job, wall_of

ANY = {"If-Match": "*"}
CHECKS = {
    "corner diagonal left": {"role": "corner diagonal", "side": "left"},
    "corner diagonal right": {"role": "corner diagonal", "side": "right"},
    "opening 40": {"role": "opening", "down": "40 in"},
    "depth": {"role": "depth"},
}


@pytest.fixture
def job(client: TestClient) -> dict[str, Any]:
    return new_job(client)


def _path(job: dict[str, Any]) -> str:
    return f"/api/walls/{next(w['id'] for w in job['walls'] if w['name'] == 'back')}"


def _names(client: TestClient, job: dict[str, Any]) -> list[str]:
    return [size["name"] for size in wall_of(client, job)["dimensions"]]


def _add(client: TestClient, job: dict[str, Any], sizes: dict[str, Any]) -> Any:
    return client.post(f"{_path(job)}/dimensions", json={"sizes": sizes}, headers=ANY)


def test_they_come_and_go_as_one(client: TestClient, job: dict[str, Any]) -> None:
    """One event adds them behind what was there, one step takes them back, one does it again."""
    before = _names(client, job)
    assert _add(client, job, CHECKS).status_code == 200
    assert _names(client, job) == [*before, *CHECKS]
    assert wall_of(client, job)["dimensions"][-2] == {
        **wall_of(client, job)["dimensions"][-1],
        "name": "opening 40",
        "role": "opening",
        "down": "40 in",
    }
    newest = client.get(f"/api/jobs/{job['id']}/events").json()["events"][0]
    assert newest["what"] == f"sizes {', '.join(CHECKS)}"

    assert client.post(f"{_path(job)}/undo").status_code == 200
    assert _names(client, job) == before
    assert client.post(f"{_path(job)}/redo").status_code == 200
    assert _names(client, job) == [*before, *CHECKS]


def test_they_change_nothing_of_what_is_to_be_taped(
    client: TestClient, job: dict[str, Any]
) -> None:
    """What a new job asks for first is the same after they are added."""
    wanted = [w["tape_next"] for w in client.get(f"/api/jobs/{job['id']}/check").json()["walls"]]
    _add(client, job, CHECKS)
    after = [w["tape_next"] for w in client.get(f"/api/jobs/{job['id']}/check").json()["walls"]]

    assert after == wanted
    assert wanted[1]


def test_one_that_is_there_adds_none(client: TestClient, job: dict[str, Any]) -> None:
    """A size of the wall's own is not overwritten, and the others stay out with it."""
    before = wall_of(client, job)["dimensions"]
    answer = _add(client, job, {**CHECKS, "left 16": {"role": "depth"}})

    assert (answer.status_code, answer.json()["code"]) == (409, "already-there")
    assert answer.json()["field"] == "sizes.left 16"
    assert wall_of(client, job)["dimensions"] == before


def test_one_that_will_not_do_adds_none(client: TestClient, job: dict[str, Any]) -> None:
    """A corner diagonal that does not say its corner is refused, all of them with it."""
    before = _names(client, job)
    answer = _add(client, job, {**CHECKS, "diagonal": {"role": "corner diagonal"}})

    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert _names(client, job) == before


def test_one_that_is_taped_keeps_them(client: TestClient, job: dict[str, Any]) -> None:
    """A reading is never lost: once one of them is taped, they are not taken back."""
    _add(client, job, CHECKS)
    taken = {"id": "d", "dimension": "depth", "value": "29"}
    assert client.post(f"{_path(job)}/readings", json=taken).status_code == 201

    answer = client.post(f"{_path(job)}/undo")
    assert (answer.status_code, answer.json()["code"]) == (409, "has-readings")
    assert "(depth)" in answer.json()["detail"]
    assert set(CHECKS) <= set(_names(client, job))


def test_one_size_that_is_taped_stays_too(client: TestClient, job: dict[str, Any]) -> None:
    """The same of a size that was added alone; one that was only said anew is taken back."""
    path = f"{_path(job)}/dimensions/depth"
    client.put(path, json={"role": "depth"}, headers=ANY)
    client.post(f"{_path(job)}/readings", json={"id": "d", "dimension": "depth", "value": "29"})
    assert client.post(f"{_path(job)}/undo").json()["code"] == "has-readings"

    client.put(path, json={"role": "depth", "surface": "tile"}, headers=ANY)
    assert client.post(f"{_path(job)}/undo").status_code == 200
    assert wall_of(client, job)["dimensions"][-1]["surface"] is None
