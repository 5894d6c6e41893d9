"""Field truth: what released sheets say of each phone's photos."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import numpy as np
from fastapi.testclient import TestClient
from scipy.stats import beta

from service.measuring.estimates import Estimate
from service.measuring.field_truth import Evidence
from service.measuring.release.revision import Revision
from service.measuring.release.revision import fingerprint as fingerprint_of
from service.store.rows import Acting
from tests.service.running import new_job, service_on, wall_of
from tests.service.simulated import photographed
from tests.service.taped_job import taped_job
from tests.support.simulated_wall import simulate

AT = "2026-01-01T00:00:00.000Z"
UNCHANGED = fingerprint_of("back", "A", {})


def locked(client: TestClient, job: str, panel: str) -> None:
    """The sheet as a person's release leaves it."""
    tools = client.app.state.tools  # type: ignore[attr-defined]
    with tools.store.write() as unit:
        row = unit.jobs.get(job)
        document = copy.deepcopy(dict(row.document))
        document["releases"][panel] = {"state": "released", "revision": "A"}
        unit.jobs.put(type(row)(**{**vars(row), "document": document}), Acting("A", AT).at)


def photographed_and_taped(client: TestClient) -> tuple[dict[str, Any], int]:
    """A back wall whose every size is taped as it truly is; how many there are."""
    taken = simulate(np.random.default_rng(21), print_check_half_width_mm=0.25)
    job = new_job(client, sizes="none")
    wall = wall_of(client, job)
    photographed(client, wall, taken, AT)
    for number, (name, mm) in enumerate(taken.truth_mm.items()):
        reading = {"id": f"r{number}", "dimension": name, "value": f"{abs(mm):.1f} mm"}
        answer = client.post(f"/api/walls/{wall['id']}/readings", json=reading)
        assert answer.status_code == 201, answer.text
    return job, len(taken.truth_mm)


def test_only_released_sheets_are_evidence(client: TestClient) -> None:
    """A wall counts once its sheet is released: each size that was taped is held against the
    photos by the phone that took them, with the bounds of Clopper and Pearson (1934)."""
    job, count = photographed_and_taped(client)
    before = client.get("/api/field-truth").json()
    locked(client, job["id"], "back")

    after = client.get("/api/field-truth").json()
    (row,) = after["phones"]

    assert before == {"shop": "", "sheets": 0, "phones": []}
    assert (after["sheets"], row["count"]) == (1, count)
    assert row["phone"]
    assert row["held"] >= count - 2
    misses = row["count"] - row["held"]
    low = beta.ppf(0.025, row["held"], misses + 1)
    assert abs(row["low"] - low) < 1e-12


def test_a_photo_that_was_off_counts_though_the_tape_was_right(client: TestClient) -> None:
    """A size whose photo is out by more than its interval, but not so far that it conflicts, is
    released by a second person's reading. It is a miss, and stays in the count: to leave it out
    would bear out any interval."""
    taken = simulate(np.random.default_rng(22), print_check_half_width_mm=0.25)
    job = new_job(client, sizes="none")
    wall = wall_of(client, job)
    photographed(client, wall, taken, AT)
    size = client.get(f"/api/walls/{wall['id']}/report").json()["dimensions"][0]
    off_mm = size["photo_mm"] + 2.5 * size["photo_u_mm"]
    for who in ("R. Fitter", "S. Mate"):
        body = {"id": who[0], "dimension": size["name"], "value": f"{off_mm:.1f} mm", "who": who}
        answer = client.post(f"/api/walls/{wall['id']}/readings", json=body)
        assert answer.status_code == 201, answer.text
    locked(client, job["id"], "back")

    found = client.get(f"/api/walls/{wall['id']}/report").json()["dimensions"]
    (row,) = client.get("/api/field-truth").json()["phones"]

    assert found[0]["status"] == "unsure"
    assert (row["count"], row["held"]) == (1, 0)


def test_a_sheet_counts_as_it_stood_when_it_was_locked(client: TestClient) -> None:
    """A tape that was right when the sheet was locked and is replaced by another later on still
    counts as it was; a sheet of which nothing was kept counts as its job stands."""
    job, _ = photographed_and_taped(client)
    locked(client, job["id"], "back")
    wall = wall_of(client, job)
    size = client.get(f"/api/walls/{wall['id']}/report").json()["dimensions"][0]
    by_job = client.get("/api/field-truth").json()["phones"]
    photo = Estimate(size["photo_mm"], size["photo_u_mm"])
    evidence = Evidence("Phone One", {size["name"]: (photo, Estimate(size["tape_mm"], 0.5))})
    kept(client, job["id"], evidence)

    counts = []
    for value in (None, size["photo_mm"] + 9 * size["photo_u_mm"]):
        if value is not None:
            body = {"id": "later", "dimension": size["name"], "value": f"{abs(value):.1f} mm"}
            later = {**body, "replaces": "r0"}
            answer = client.post(f"/api/walls/{wall['id']}/readings", json=later)
            assert answer.status_code == 201, answer.text
        counts.append(client.get("/api/field-truth").json()["phones"])

    ((before,), (after,)) = counts
    assert (before["phone"], before["count"], before["held"]) == ("Phone One", 1, 1)
    assert after == before
    assert before["phone"] not in [row["phone"] for row in by_job]


def test_a_sheet_that_no_photo_showed_counts_for_nothing_later(client: TestClient) -> None:
    """It was locked by tape alone, and that is kept: photos that its job has now are no evidence of
    it."""
    job, _ = photographed_and_taped(client)
    locked(client, job["id"], "back")

    kept(client, job["id"], Evidence("Phone One", {}))

    assert client.get("/api/field-truth").json() == {"shop": "", "sheets": 1, "phones": []}


def test_a_revision_that_was_altered_is_no_evidence(client: TestClient) -> None:
    """Neither what is kept with it counts, nor what its job says now."""
    job, _ = photographed_and_taped(client)
    locked(client, job["id"], "back")
    evidence = Evidence("Phone One", {"width": (Estimate(1520.0, 2.0), Estimate(1521.0, 0.5))})

    kept(client, job["id"], evidence, fingerprint="0" * 64)

    assert client.get("/api/field-truth").json()["phones"] == []


def test_every_release_keeps_its_evidence(client: TestClient) -> None:
    """Of a sheet that no photo shows, too: that there is none."""
    job = taped_job(client)
    job.released("back")

    tools = client.app.state.tools  # type: ignore[attr-defined]
    with tools.store.read() as unit:
        (row,) = unit.revisions.of_job(job.id, "back")

    assert row.evidence == Evidence("a phone that does not say its name", {})


def kept(client: TestClient, job: str, evidence: Evidence, fingerprint: str = UNCHANGED) -> None:
    """What was said when the back sheet was locked, with its one revision."""
    tools = client.app.state.tools  # type: ignore[attr-defined]
    with tools.store.write() as unit:
        unit.revisions.add(job, Revision("back", "A", {}, fingerprint, "A", AT, {}, evidence))


def test_the_shop_is_told_by_its_name(tmp_path: Path) -> None:
    """One data folder is one shop; what it calls itself stands with its share."""
    with service_on(tmp_path / "data", shop="North yard") as client:
        assert client.get("/api/field-truth").json()["shop"] == "North yard"
