"""What two persons have taped alike, and what somebody lets stand, holds no sheet: page, list of
jobs, papers and plan go by one rule."""

from __future__ import annotations

import json
from typing import Any

from fastapi.testclient import TestClient

from tests.service.running import new_job
from tests.service.test_alcove import Alcove, worked_alcove

VAGUE, SLIPPED = "inner 0", "right 40"
IN_PLAN = {VAGUE: "far end left 0:", SLIPPED: "back right 40:"}
OFFSETS = {"left 16": "29 1/2", "right 16": "30", "left 40": "29 1/2", "right 40": "30"}


def test_what_two_have_taped_holds_nothing(client: TestClient) -> None:
    """The corner at the line, which nothing checks well enough, holds its sheet until a second
    person has taped it alike."""
    alcove = worked_alcove(client, "29 1/16")
    before = _told(alcove, "far-end", VAGUE)
    value = alcove.size("far-end", VAGUE)["tape_mm"]
    second = {"id": "second", "dimension": VAGUE, "value": f"{value:.2f} mm", "who": "S. Mate"}
    alcove.tape("far-end", second)

    assert before == {"page": True, "paper": True, "jobs": True, "plan": True}
    assert _told(alcove, "far-end", VAGUE) == dict.fromkeys(before, False)


def test_what_is_let_stand_holds_nothing(client: TestClient) -> None:
    """The planted slip holds the back sheet until somebody who did not tape it lets it stand."""
    alcove = worked_alcove(client)
    before = _told(alcove, "back", SLIPPED)
    reading = {"reading": "r_right_40", "who": "S. Mate", "reason": "the wall is notched there"}
    path = f"/api/jobs/{alcove.job}/panels/back/overrides/{SLIPPED}"
    assert client.put(path, json=reading).status_code == 200

    assert before == {"page": True, "paper": True, "jobs": True, "plan": True}
    assert _told(alcove, "back", SLIPPED) == dict.fromkeys(before, False)


def test_what_is_unsure_and_taped_by_two_holds_nothing(client: TestClient) -> None:
    """A width 1/8 in past its offsets by the tape of both: unsure, and no list asks for it."""
    job = new_job(client)
    alcove = Alcove(client, job["id"], {wall["name"]: wall["id"] for wall in job["walls"]})
    for name, value in OFFSETS.items():
        alcove.tape("back", _reading(name, value, "A. One"))
    alcove.tape("back", _reading("width 16", "59 5/8", "A. One"))
    told = [_told(alcove, "back", "width 16")]
    alcove.tape("back", _reading("width 16", "59 5/8", "S. Mate"))
    told.append(_told(alcove, "back", "width 16"))

    assert alcove.size("back", "width 16")["status"] == "unsure"
    assert {"wall": "back", "size": "width 16"} not in alcove.wall("back")["tape_anew"]
    assert [set(one.values()) for one in told] == [{True}, {False}]


def _reading(name: str, value: str, who: str) -> dict[str, Any]:
    own = f"{name} {who}".replace(" ", "-").replace(".", "")
    return {"id": own, "dimension": name, "value": value, "who": who}


def _told(alcove: Alcove, wall: str, size: str) -> dict[str, bool]:
    """Whether a size holds its sheet, by whatever tells it."""
    client = alcove.client
    papers = json.loads(alcove.paper("check.json"))["walls"]
    paper = next(row for row in papers if row["wall"] == wall)["sizes"]
    jobs = client.get("/api/jobs").json()["jobs"]
    walls = next(job for job in jobs if job["id"] == alcove.job)["walls"]
    listed = next(row for row in walls if row["name"] == wall)["gate"]["blocking"]
    told = {
        "page": size in {row["dimension"] for row in alcove.wall(wall)["gate"]["blocking"]},
        "paper": bool(next(row for row in paper if row["name"] == size)["holds"]),
        "jobs": size in {row["dimension"] for row in listed},
    }
    if size in IN_PLAN:
        panels = client.get(f"/api/jobs/{alcove.job}/plan").json()["plan"]["panels"]
        panel = next(panel for panel in panels if panel["wall"] == wall.replace("-", " "))
        told["plan"] = any(IN_PLAN[size] in why for why in panel["why_not"])
    return told
