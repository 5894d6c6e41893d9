"""Walls: lines, sizes, cards, and the wall file that comes of them."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.running import (
    ANY,
    new_job,
    take,
    versioned,
    wall_of,
)


def test_a_new_wall_has_the_usual_sizes(wall: dict[str, Any]) -> None:
    """A new back wall asks for its lines, widths, offsets, deck heights and diagonals."""
    names = [size["name"] for size in wall["dimensions"]]

    assert wall["level"] == ["level left", "level right"]
    assert {"width 16", "left 40", "right 64", "deck 0", "diagonal left-low"} <= set(names)
    assert wall["marks_wanted"][:4] == ["level left", "level right", "plumb 16", "plumb 64"]


def test_a_wall_may_begin_empty(client: TestClient) -> None:
    """Whoever wants sizes of their own begins with none."""
    wall = wall_of(client, new_job(client, sizes="none"))

    assert (wall["dimensions"], wall["level"], wall["marks_wanted"]) == ([], None, [])


@pytest.mark.parametrize(("side", "corner_positive"), [("left", "upper"), ("right", "lower")])
def test_the_plumbing_wall_turns_with_its_side(
    client: TestClient, side: str, corner_positive: str
) -> None:
    """On a plumbing wall at the left the back corner is at its right: its offsets run along the
    plumb line downwards, which has the right on its left hand; at the right it is mirrored."""
    wall = wall_of(client, new_job(client, plumbing_side=side), "plumbing")
    inner = next(size for size in wall["dimensions"] if size["name"] == "inner 16")
    down = ["plumb 16", "plumb 64"]

    assert inner["line"] == (down if corner_positive == "upper" else down[::-1])


def test_a_size_is_put_changed_and_taken_away(client: TestClient, wall: dict[str, Any]) -> None:
    """A size of any name is added, changed and taken away, each with a new version."""
    path = f"/api/walls/{wall['id']}/dimensions/sill 1/2 way"
    size = {"kind": "distance", "from": "left 16", "to": "right 16"}

    added = client.put(path, json=size, headers=versioned(wall["revision"]))
    changed = client.put(path, json={**size, "to": "right 40"}, headers=ANY)
    gone = client.delete(path, headers=ANY)

    assert added.json()["dimensions"][-1]["name"] == "sill 1/2 way"
    assert changed.json()["dimensions"][-1]["to"] == "right 40"
    assert gone.json()["dimensions"] == wall["dimensions"]
    assert [answer.json()["revision"] for answer in (added, changed, gone)] == [2, 3, 4]


def test_a_size_needs_what_its_kind_needs(client: TestClient, wall: dict[str, Any]) -> None:
    """A distance without a second mark is refused, and the wall stays as it was."""
    path = f"/api/walls/{wall['id']}/dimensions/new"

    answer = client.put(path, json={"kind": "distance", "from": "left 16"}, headers=ANY)
    take(client, wall)
    with_reading = client.put(path, json={"kind": "distance", "from": "left 16"}, headers=ANY)

    assert {found.json()["code"] for found in (answer, with_reading)} == {"invalid"}
    assert client.get(f"/api/walls/{wall['id']}").json()["revision"] == wall["revision"] + 1


def test_a_size_with_readings_stays(client: TestClient, wall: dict[str, Any]) -> None:
    """A size that was taped is not taken away: its readings would go with it."""
    take(client, wall)

    answer = client.delete(f"/api/walls/{wall['id']}/dimensions/width 16", headers=ANY)

    assert (answer.status_code, answer.json()["code"]) == (409, "has-readings")


def test_cards_of_a_print_job_share_one_ruler_check(client: TestClient) -> None:
    """A ruler check counts once for all cards of its print job: the wall file holds it once."""
    job = new_job(client)
    wall = wall_of(client, job)
    checks = [{"axis": "x", "nominal_mm": 170.0, "measured": "169.5 mm", "half_width_mm": 0.25}]
    answer = client.put(
        f"/api/jobs/{job['id']}/print-jobs/A",
        json={"checks": checks},
        headers=versioned(job["revision"]),
    )
    for serial in (4, 3):
        client.put(f"/api/walls/{wall['id']}/cards/{serial}", json={"print_job": "A"}, headers=ANY)
    take(client, wall)

    file = client.get(f"/api/walls/{wall['id']}/wall.json").json()

    assert answer.json()["print_jobs"]["A"][0]["measured"] == "169.5 mm"
    assert [(c["serial"], len(c["print_check"])) for c in file["cards"]] == [(3, 1), (4, 0)]


def test_a_ruler_check_gives_every_wall_a_new_version(client: TestClient) -> None:
    """What is changed for all walls makes their versions stale."""
    job = new_job(client)
    wall = wall_of(client, job)
    client.put(f"/api/jobs/{job['id']}/print-jobs/A", json={"checks": []}, headers=ANY)

    stale = client.patch(
        f"/api/walls/{wall['id']}", json={"datum_card": 3}, headers=versioned(wall["revision"])
    )

    assert stale.status_code == 412


def test_a_size_is_named_anew_with_its_readings(client: TestClient, wall: dict[str, Any]) -> None:
    """A size that is called something else keeps its place and its readings; a new size may take
    its first name; undo gives that back."""
    take(client, wall)
    path = f"/api/walls/{wall['id']}/dimensions"
    body = {"from": "left 16", "to": "right 16", "role": "width", "down": "16"}
    places = [size["name"] for size in wall["dimensions"]]

    named = client.put(f"{path}/width 16", json={**body, "name": "width high"}, headers=ANY).json()
    file = client.get(f"/api/walls/{wall['id']}/wall.json").json()
    taken = client.put(f"{path}/width high", json={**body, "name": "left 16"}, headers=ANY)
    client.put(f"{path}/width 16", json=body, headers=ANY)
    again = take(client, wall, id="r2").json()

    assert [size["name"] for size in named["dimensions"]] == [
        "width high" if name == "width 16" else name for name in places
    ]
    assert named["readings"][0]["dimension"] == file["readings"][0]["dimension"] == "width high"
    assert (taken.status_code, taken.json()["code"]) == (422, "invalid")
    assert [row["dimension"] for row in again["readings"]] == ["width high", "width 16"]


def test_a_size_says_what_it_is_of_the_alcove(client: TestClient, wall: dict[str, Any]) -> None:
    """A role is kept with what it needs and stands in the wall file, where the other sizes then say
    theirs as well; one that lacks what it needs is refused by name."""
    take(client, wall)
    path = f"/api/walls/{wall['id']}/dimensions/sill"
    body = {"from": "a", "to": "b", "role": "height", "at": "-7", "surface": "tile"}

    kept = client.put(path, json=body, headers=ANY).json()["dimensions"][-1]
    file = client.get(f"/api/walls/{wall['id']}/wall.json").json()
    lacking = client.put(path, json={**body, "at": None}, headers=ANY)
    said = {size["name"]: size for size in file["dimensions"]}

    assert (kept["role"], kept["at"], kept["surface"]) == ("height", "-7", "tile")
    assert (said["left 16"]["role"], said["left 16"]["down"]) == ("offset", "16 in")
    assert said["deck -14"]["at"] == "-14 in"
    assert lacking.status_code == 422
    assert "where the height is taken" in lacking.json()["detail"]


def test_a_size_that_no_photo_shows_needs_no_marks(
    client: TestClient, wall: dict[str, Any]
) -> None:
    """What a size is can be told by its role alone: no photo is asked for its points, and its
    reading closes with the others. Without a role it is refused."""
    path = f"/api/walls/{wall['id']}/dimensions"
    refused = client.put(f"{path}/sill", json={"kind": "distance"}, headers=ANY)
    for name, role in (("floor", "line to floor"), ("ceiling", "line to ceiling")):
        client.put(f"{path}/{name}", json={"role": role}, headers=ANY)
    kept = client.put(f"{path}/room", json={"role": "floor to ceiling"}, headers=ANY).json()
    values = {"floor": "81 1/16", "ceiling": "14", "room": "95 1/16"}
    for name, value in values.items():
        take(client, wall, id=name, dimension=name, value=value)
    check = client.get(f"/api/jobs/{wall['job']}/check").json()
    closures = next(row for row in check["walls"] if row["name"] == "back")["closures"]

    assert (refused.status_code, refused.json()["field"]) == (422, "from")
    assert kept["marks_wanted"] == wall["marks_wanted"]
    assert [(c["name"], c["closes"]) for c in closures if c["closes"] is not None] == [
        ("back: floor to ceiling across the line", True)
    ]
