"""Undo takes back one's own last change of a wall, and nothing else."""

from __future__ import annotations

from typing import Any

from fastapi.testclient import TestClient

from tests.service.running import (
    ANY,
    take,
)


def test_undo_takes_back_ones_own_last_change(client: TestClient, wall: dict[str, Any]) -> None:
    """Undo goes back step by step through one person's changes, and not another's."""
    path = f"/api/walls/{wall['id']}"
    client.patch(path, json={"datum_card": 1}, headers={**ANY, "Tapeproof-Who": "A"})
    client.patch(path, json={"datum_card": 2}, headers={**ANY, "Tapeproof-Who": "A"})
    client.patch(path, json={"plumb": None}, headers={**ANY, "Tapeproof-Who": "B"})

    steps = [client.post(f"{path}/undo", headers={"Tapeproof-Who": "A"}) for _ in range(3)]

    assert [step.json().get("datum_card") for step in steps[:2]] == [1, None]
    assert steps[1].json()["plumb"] is None
    assert (steps[2].status_code, steps[2].json()["code"]) == (409, "nothing-to-undo")


def test_undo_leaves_what_another_changed(client: TestClient, wall: dict[str, Any]) -> None:
    """What somebody else has changed since is not taken back."""
    path = f"/api/walls/{wall['id']}"
    client.patch(path, json={"datum_card": 1}, headers={**ANY, "Tapeproof-Who": "A"})
    client.patch(path, json={"datum_card": 2}, headers={**ANY, "Tapeproof-Who": "B"})

    answer = client.post(f"{path}/undo", headers={"Tapeproof-Who": "A"})

    assert (answer.status_code, answer.json()["code"]) == (409, "changed-since")
    assert client.get(path).json()["datum_card"] == 2


def test_undo_leaves_readings(client: TestClient, wall: dict[str, Any]) -> None:
    """A reading is not taken back by undo."""
    take(client, wall)

    answer = client.post(f"/api/walls/{wall['id']}/undo")

    assert answer.json()["code"] == "nothing-to-undo"
