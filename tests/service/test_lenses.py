"""Lens profiles in the service: made from photos of a card, used by the photos of that phone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient

import service.actions.measure.wall as measuring
from service.actions.measure import measure_file
from service.files.writing import json_text
from tests.service.running import new_job, plain_jpeg, send_part, service_on, wait_looked, wall_of
from tests.service.simulated import photographed, seen
from tests.support.simulated_wall import SimulatedWall, simulate
from tests.vision.test_lens_profile import ROUND_THE_CARD, STRAIGHT_ON

BEFORE, AFTER = "2026-01-01T00:00:00.000Z", "2036-01-01T00:00:00.000Z"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with service_on(tmp_path / "data") as found:
        yield found


@pytest.fixture(scope="module")
def phone() -> tuple[SimulatedWall, SimulatedWall]:
    """Photos of a card, and of a wall, by one simulated phone."""
    rng = np.random.default_rng([11, 1])
    card = simulate(rng, ROUND_THE_CARD)
    return card, simulate(rng, print_check_half_width_mm=0.25, lens=card.lens)


def make(client: TestClient, job: str, photos: Sequence[str] | None = None) -> Any:
    body = {"photos": None if photos is None else list(photos)}
    return client.post(f"/api/jobs/{job}/lens-profiles", json=body)


def report_of(client: TestClient, wall: dict[str, Any]) -> Any:
    return client.get(f"/api/walls/{wall['id']}/report").json()


def test_a_profile_says_what_each_photo_added(
    client: TestClient, phone: tuple[SimulatedWall, SimulatedWall]
) -> None:
    """Seven tilted photos make a profile; each photo's share is told, and the history has it."""
    job = new_job(client)["id"]
    seen(client, job, phone[0].sights, BEFORE)

    answer = make(client, job)
    made = answer.json()["profiles"][0]
    told = client.get(f"/api/jobs/{job}/events").json()["events"]

    assert answer.status_code == 201
    assert made["here"] is True
    assert phone[0].lens is not None
    assert abs(made["report"]["f_px"] - phone[0].lens.f_px) < 5 * made["report"]["f_u_px"]
    assert [share["file"] for share in made["report"]["photos"]] == [f"{n}.jpg" for n in range(7)]
    assert all(share["f_gain"] > 0.9 for share in made["report"]["photos"])
    assert "made the lens profile" in told[0]["what"]


@pytest.mark.parametrize(
    ("plan", "count", "code"),
    [(STRAIGHT_ON, 7, "lens-not-determined"), (ROUND_THE_CARD, 5, "too-few-photos")],
    ids=["straight on", "five"],
)
def test_degenerate_photos_are_refused(
    client: TestClient, plan: Any, count: int, code: str
) -> None:
    """Photos that determine no lens are refused with the reason, and nothing is kept."""
    job = new_job(client)["id"]
    seen(client, job, simulate(np.random.default_rng(2), plan).sights[:count], BEFORE)

    answer = make(client, job)

    assert (answer.status_code, answer.json()["code"]) == (409, code)
    assert answer.json()["do"]
    assert client.get(f"/api/jobs/{job}/lenses").json()["profiles"] == []


def test_the_service_measures_as_the_command_does_with_the_profile(
    client: TestClient,
    phone: tuple[SimulatedWall, SimulatedWall],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A wall by the phone of the profile is measured with it, narrower than without, and the
    command gives the same report to the last digit from wall.json, its profile and its photos."""
    card, taken = phone
    job = new_job(client, sizes="none")
    wall = wall_of(client, job)
    photographed(client, wall, taken, BEFORE)
    before = report_of(client, wall)
    seen(client, job["id"], card.sights, BEFORE)
    make(client, job["id"])

    after = client.get(f"/api/walls/{wall['id']}/report")
    text = client.get(f"/api/walls/{wall['id']}/wall.json").text
    (lens,) = json.loads(text)["lens"]
    (tmp_path / lens).write_text(client.get(f"/api/lens-profiles/{lens}").text)
    (tmp_path / "back.json").write_text(text)
    sights = {}
    for photo, sight in zip(wall_of(client, job)["photos"], taken.sights, strict=True):
        data = client.get(f"/api/photos/{photo['id']}/original").content
        (tmp_path / photo["file"]).write_bytes(data)
        sights[data] = sight
    monkeypatch.setattr(measuring, "look", lambda data: sights[data])
    report = measure_file(tmp_path / "back.json")

    assert json.loads(json_text(report)) == after.json()
    widest = max(row["photo_u_mm"] for row in before["dimensions"])
    assert max(row["photo_u_mm"] for row in after.json()["dimensions"]) < widest
    assert after.json()["photos"][0]["camera"]["source"] == "profile"


def test_a_profile_leaves_other_jobs_as_they_were(
    client: TestClient, phone: tuple[SimulatedWall, SimulatedWall]
) -> None:
    """A wall of another job that was photographed before the profile was made keeps its sizes; one
    that is photographed after it is measured with it."""
    card, taken = phone
    walls = {at: wall_of(client, new_job(client, sizes="none")) for at in (BEFORE, AFTER)}
    for at, wall in walls.items():
        photographed(client, wall, taken, at)
    job = new_job(client)["id"]
    seen(client, job, card.sights, BEFORE)
    make(client, job)

    sources = [report_of(client, wall)["photos"][0]["camera"]["source"] for wall in walls.values()]

    assert sources == ["exif", "profile"]


def test_a_photo_that_contradicts_its_profile_is_told(
    client: TestClient, phone: tuple[SimulatedWall, SimulatedWall]
) -> None:
    """Photos by another lens under the same name get the advice to make the profile anew."""
    rng = np.random.default_rng([11, 2])
    other = simulate(rng, ROUND_THE_CARD)
    job = new_job(client, sizes="none")
    wall = wall_of(client, job)
    photographed(client, wall, phone[1], BEFORE)
    seen(client, job["id"], other.sights, BEFORE)
    assert make(client, job["id"]).status_code == 201

    advice = {item["code"] for row in report_of(client, wall)["photos"] for item in row["advice"]}

    assert "profile-disagrees" in advice


def test_a_photo_of_a_card_is_sent_looked_at_and_taken_away(client: TestClient) -> None:
    """A photo of a card arrives in parts, is looked at, is on no wall, and can be taken away."""
    job = new_job(client)["id"]
    data = plain_jpeg(seed=3)
    send_part(client, "card-1", 0, data)
    body = {
        "job": job,
        "filename": "a.jpg",
        "parts": 1,
        "sha256": hashlib.sha256(data).hexdigest(),
    }
    sent = [client.post("/api/uploads/card-1/card-photo", json=body) for _ in range(2)]
    wait_looked(client)

    shown = client.get(f"/api/jobs/{job}/lenses").json()["photos"]
    gone = client.delete("/api/card-photos/card-1").json()["photos"]

    assert [answer.status_code for answer in sent] == [201, 201]
    assert [(row["filename"], row["state"], row["cards"]) for row in shown] == [
        ("a.jpg", "ready", 0)
    ]
    assert gone == []
