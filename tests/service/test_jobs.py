"""Jobs: started, changed, hidden; each change made once and on the version that was seen."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from tests.service.running import new_job, versioned

JOB = {"name": "Hall bath", "plumbing_side": "left"}


@pytest.mark.parametrize(
    ("side", "names"),
    [("left", ["plumbing", "back", "far-end"]), ("right", ["far-end", "back", "plumbing"])],
)
def test_walls_unfold_from_left_to_right(client: TestClient, side: str, names: list[str]) -> None:
    """A new job has its three walls in the order in which they unfold."""
    job = new_job(client, plumbing_side=side)

    assert [wall["name"] for wall in job["walls"]] == names


def test_a_job_is_listed_until_it_is_hidden(client: TestClient) -> None:
    """DELETE takes a job off the list, PATCH puts it back, and nothing is lost meanwhile."""
    job = new_job(client)
    path = f"/api/jobs/{job['id']}"

    hidden = client.delete(path, headers=versioned(job["revision"]))
    listed = client.get("/api/jobs").json()["jobs"]
    all_jobs = client.get("/api/jobs", params={"hidden": True}).json()["jobs"]
    back = client.patch(path, json={"hidden": False}, headers={"If-Match": hidden.headers["ETag"]})

    assert hidden.json()["hidden"]
    assert listed == []
    assert [found["id"] for found in all_jobs] == [job["id"]]
    assert [found["id"] for found in client.get("/api/jobs").json()["jobs"]] == [job["id"]]
    assert back.status_code == 200


def test_the_last_changed_job_stands_first(client: TestClient) -> None:
    """The list begins with what was worked on last, walls included."""
    first, second = new_job(client), new_job(client)
    reading = {"id": "r1", "dimension": "width 16", "value": "58 1/2"}
    client.post(f"/api/walls/{first['walls'][1]['id']}/readings", json=reading)

    listed = [job["id"] for job in client.get("/api/jobs").json()["jobs"]]

    assert listed == [first["id"], second["id"]]


def test_a_client_may_choose_the_id_once(client: TestClient) -> None:
    """A job is started under the client's id; a second one under it is refused."""
    first = client.post("/api/jobs", json={**JOB, "id": "my-job"})
    second = client.post("/api/jobs", json={**JOB, "id": "my-job"})

    assert first.json()["id"] == "my-job"
    assert (second.status_code, second.json()["code"]) == (409, "already-there")


def test_the_same_key_does_a_thing_once(client: TestClient) -> None:
    """A request repeated under its key gives the first answer and starts no second job."""
    key = {"Idempotency-Key": "0123456789"}

    first = client.post("/api/jobs", json=JOB, headers=key)
    again = client.post("/api/jobs", json=JOB, headers=key)

    assert again.content == first.content
    assert again.status_code == first.status_code == 201
    assert again.headers["ETag"] == first.headers["ETag"]
    assert again.headers["Idempotency-Replayed"] == "true"
    assert len(client.get("/api/jobs").json()["jobs"]) == 1


def test_a_key_stands_for_one_request(client: TestClient) -> None:
    """The same key with another body is refused, and nothing is done."""
    key = {"Idempotency-Key": "0123456789"}
    client.post("/api/jobs", json=JOB, headers=key)

    other = client.post("/api/jobs", json={**JOB, "name": "Other"}, headers=key)

    assert (other.status_code, other.json()["code"]) == (422, "key-reused")
    assert len(client.get("/api/jobs").json()["jobs"]) == 1


def test_a_failed_request_leaves_its_key_free(client: TestClient) -> None:
    """A request that was refused may be mended and sent again under its key."""
    job = new_job(client)
    path, key = f"/api/jobs/{job['id']}", {"Idempotency-Key": "0123456789"}

    refused = client.patch(path, json={"name": "New"}, headers=key | versioned(99))
    mended = client.patch(path, json={"name": "New"}, headers=key | versioned(job["revision"]))

    assert (refused.status_code, mended.status_code) == (412, 200)


def test_a_change_names_its_version(client: TestClient) -> None:
    """Without If-Match a job is not changed."""
    job = new_job(client)

    answer = client.patch(f"/api/jobs/{job['id']}", json={"name": "New"})

    assert (answer.status_code, answer.json()["code"]) == (428, "no-version")
    assert client.get(f"/api/jobs/{job['id']}").json()["name"] == "Hall bath"


def test_a_stale_change_shows_what_is_there(client: TestClient) -> None:
    """A change of an older version is refused with the job as it is now."""
    job = new_job(client)
    path, seen = f"/api/jobs/{job['id']}", versioned(job["revision"])
    client.patch(path, json={"name": "First"}, headers=seen)

    answer = client.patch(path, json={"name": "Second"}, headers=seen)

    assert (answer.status_code, answer.json()["code"]) == (412, "stale")
    assert answer.json()["current"]["name"] == "First"
    assert answer.json()["current"]["revision"] == 2


def test_the_history_says_who_changed_what(client: TestClient) -> None:
    """Every change is told with its author, whose name may be written in any script."""
    job = new_job(client)
    who = {"Tapeproof-Who": "J%C3%BCrg%20%E5%B1%B1"}
    client.patch(
        f"/api/jobs/{job['id']}",
        json={"name": "New", "notes": "Mind the step."},
        headers=versioned(job["revision"]) | who,
    )

    events = client.get(f"/api/jobs/{job['id']}/events").json()["events"]

    assert {event["who"] for event in events[:2]} == {"Jürg 山"}
    assert {event["what"] for event in events[:2]} == {
        "changed the name to New",
        "changed the notes",
    }


def test_the_history_goes_on_from_a_number(client: TestClient) -> None:
    """Asked for what came after an event, the history gives just that, the oldest first."""
    job = new_job(client)
    path = f"/api/jobs/{job['id']}/events"
    seen = client.get(path).json()["events"][0]["seq"]
    client.patch(f"/api/jobs/{job['id']}", json={"name": "A"}, headers=versioned(job["revision"]))
    client.patch(f"/api/jobs/{job['id']}", json={"name": "B"}, headers={"If-Match": "*"})

    after = client.get(path, params={"after": seen}).json()["events"]

    assert [event["after"] for event in after] == ["A", "B"]


@pytest.mark.parametrize(
    ("body", "code", "field"),
    [
        ({"name": "", "plumbing_side": "left"}, "invalid", "name"),
        ({"name": "A"}, "invalid", "plumbing_side"),
        ({"name": "A", "plumbing_side": "top"}, "invalid", "plumbing_side"),
        ({"name": "A", "plumbing_side": "left", "colour": "red"}, "invalid", "colour"),
        ({"name": 7, "plumbing_side": "left"}, "invalid", "name"),
    ],
)
def test_a_bad_job_is_refused_by_field(
    client: TestClient, body: dict[str, object], code: str, field: str
) -> None:
    """What will not do is named, with what was expected."""
    answer = client.post("/api/jobs", json=body)

    assert answer.status_code == 422
    assert (answer.json()["code"], answer.json()["field"]) == (code, field)
