"""Doing again what was taken back, step by step."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.running import new_job, wall_of

ANY = {"If-Match": "*"}
FIRST, SECOND = {**ANY, "Tapeproof-Who": "A"}, {**ANY, "Tapeproof-Who": "B"}


@pytest.fixture
def path(client: TestClient) -> str:
    """A wall on which A has set the datum card to 1, 2 and 3."""
    found = f"/api/walls/{wall_of(client, new_job(client))['id']}"
    for serial in (1, 2, 3):
        datum(client, found, serial)
    return found


def datum(
    client: TestClient, path: str, serial: int | None, headers: dict[str, str] = FIRST
) -> None:
    answer = client.patch(path, json={"datum_card": serial}, headers=headers)
    assert answer.status_code == 200, answer.text


def step(client: TestClient, path: str, way: str) -> Any:
    answer = client.post(f"{path}/{way}", headers=FIRST)
    return answer.json()["datum_card" if answer.status_code == 200 else "code"]


def test_redo_goes_forward_as_undo_went_back(client: TestClient, path: str) -> None:
    """Two steps back and two forward end where they began, and there is no third."""
    steps = [step(client, path, way) for way in ("undo", "undo", "redo", "redo", "redo")]

    assert steps == [2, 1, 2, 3, "nothing-to-redo"]


def test_what_was_done_again_can_be_taken_back_again(client: TestClient, path: str) -> None:
    """Undo, redo, undo and undo again: each goes one step."""
    steps = [step(client, path, way) for way in ("undo", "redo", "undo", "undo", "redo", "redo")]

    assert steps == [2, 3, 2, 1, 2, 3]


def test_a_new_change_ends_what_can_be_done_again(client: TestClient, path: str) -> None:
    """After another change there is nothing to do again."""
    step(client, path, "undo")
    datum(client, path, 7)

    assert step(client, path, "redo") == "nothing-to-redo"
    assert [step(client, path, "undo") for _ in range(2)] == [2, 1]


def test_redo_leaves_what_another_changed(client: TestClient, path: str) -> None:
    """What somebody else has set since stays as they set it."""
    step(client, path, "undo")
    datum(client, path, 9, SECOND)

    assert step(client, path, "redo") == "changed-since"
    assert client.get(path).json()["datum_card"] == 9


def test_the_history_tells_each_step_once(client: TestClient, path: str) -> None:
    """Back and forth read as what was done, never as a pile of the same words."""
    for way in ("undo", "redo", "undo"):
        step(client, path, way)
    job = client.get(path).json()["job"]
    events = client.get(f"/api/jobs/{job}/events").json()["events"]
    told = [event["what"] for event in events if event["undoes"]]

    assert sorted(told) == [
        "did again: set the datum card to 3",
        "took back: set the datum card to 3",
        "took back: set the datum card to 3",
    ]
