"""Readings of a wall, and the report that comes of them."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.files.wall import WallFile
from tests.service.running import (
    ANY,
    plain_jpeg,
    send_photo,
    take,
    wait_looked,
)


def test_a_reading_is_said_back(client: TestClient, wall: dict[str, Any]) -> None:
    """A reading is answered as it was understood, in both measures (1 in = 25.4 mm exactly)."""
    answer = take(client, wall, value="4' 11 7/8\"", who="A")

    reading = answer.json()["readings"][0]
    assert answer.status_code == 201
    assert reading["echo"] == "4' 11 7/8\" = 1520.8 mm"
    assert (reading["value"], reading["who"]) == ("4' 11 7/8\"", "A")


def test_a_reading_sent_twice_is_one(client: TestClient, wall: dict[str, Any]) -> None:
    """The same reading sent again, its answer lost, changes nothing."""
    first = take(client, wall)
    again = take(client, wall)

    assert again.json()["revision"] == first.json()["revision"]
    assert len(again.json()["readings"]) == 1


def test_a_reading_is_never_changed(client: TestClient, wall: dict[str, Any]) -> None:
    """Another value under the id of a reading is refused; a new one replaces it."""
    take(client, wall)

    changed = take(client, wall, value="58 3/4")
    replaced = take(client, wall, id="r2", value="58 3/4", replaces="r1")

    assert (changed.status_code, changed.json()["code"]) == (409, "already-there")
    assert [row["value"] for row in replaced.json()["readings"]] == ["58 1/2", "58 3/4"]


def test_the_history_tells_what_a_reading_took_the_place_of(
    client: TestClient, wall: dict[str, Any]
) -> None:
    """And by whom it was taped, where somebody else typed it."""
    take(client, wall, who="A")
    headers = {"X-Who": "B", **ANY}
    again = {"id": "r2", "dimension": "width 16", "value": "58 3/4", "replaces": "r1", "who": "A"}
    client.post(f"/api/walls/{wall['id']}/readings", json=again, headers=headers)

    told = [row["what"] for row in client.get(f"/api/jobs/{wall['job']}/events").json()["events"]]
    assert "took width 16 again: 58 3/4, in place of 58 1/2 by A; taped by A" in told


@pytest.mark.parametrize(
    "reading",
    [
        {"value": "58 1/3"},
        {"value": "about 58"},
        {"value": ""},
        {"dimension": "no such size"},
        {"replaces": "no such reading"},
        {"instrument": {"kind": "ruler"}},
        {"instrument": {"kind": "laser", "method": "hook to mark"}},
        {"instrument": {"class": "HB44"}, "value": "101'"},
    ],
)
def test_a_bad_reading_is_refused(
    client: TestClient, wall: dict[str, Any], reading: dict[str, Any]
) -> None:
    """What is no reading of this wall is refused, and the wall stays as it was."""
    answer = take(client, wall, **reading)

    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert client.get(f"/api/walls/{wall['id']}").json()["readings"] == []


@pytest.mark.parametrize(
    ("reading", "field", "says"),
    [
        ({"value": "59 9/8"}, "value", "value: found the fraction 9/8"),
        ({"instrument": {"kind": "rod", "method": "laser rear"}}, "instrument.method", "rod"),
        ({"replaces": "r9"}, "replaces", "replaces: expected the id of a reading"),
    ],
)
def test_a_refusal_names_the_field_that_was_sent(
    client: TestClient, wall: dict[str, Any], reading: dict[str, Any], field: str, says: str
) -> None:
    """What is wrong with a reading is told in the reading's own fields, however many stand there
    already; so it is with a size."""
    take(client, wall, id="r0")
    answer = take(client, wall, **reading).json()
    path = f"/api/walls/{wall['id']}/dimensions/sill"
    body = {"from": "a", "to": "b", "role": "offset", "down": "4"}
    size = client.put(path, json=body, headers=ANY).json()

    assert (answer["field"], says in answer["detail"]) == (field, True)
    assert (size["field"], size["detail"]) == ("side", "side: is missing; offset needs it")


def test_a_reading_says_what_the_tape_touched(client: TestClient, wall: dict[str, Any]) -> None:
    """The surface of a reading is kept; one that is not its size's own is refused."""
    path = f"/api/walls/{wall['id']}/dimensions/left 16"
    line = ["plumb 64", "plumb 16"]
    body = {"kind": "to_line", "from": "left 16", "line": line, "surface": "tile"}
    offset = {**body, "role": "offset", "side": "left", "down": "16"}
    client.put(path, json=offset, headers=ANY)

    tile = take(client, wall, dimension="left 16", value="28", surface="tile")
    bare = take(client, wall, id="r2", dimension="left 16", value="28 3/8", surface="bare")

    assert tile.json()["readings"][0]["surface"] == "tile"
    assert (bare.status_code, "tile" in bare.json()["detail"]) == (422, True)


def test_nothing_yet_is_said_as_such(client: TestClient, wall: dict[str, Any]) -> None:
    """A wall of which nothing is known has no report, and the answer says what to do."""
    answer = client.get(f"/api/walls/{wall['id']}/report")

    assert (answer.status_code, answer.json()["code"]) == (409, "nothing-yet")
    assert "photo" in answer.json()["do"]


def test_a_wall_by_tape_alone_has_a_report(client: TestClient, wall: dict[str, Any]) -> None:
    """Readings without photos are tape only."""
    take(client, wall)

    sizes = client.get(f"/api/walls/{wall['id']}/report").json()["dimensions"]

    found = next(size for size in sizes if size["name"] == "width 16")
    assert (found["status"], found["tape_mm"]) == ("tape only", pytest.approx(58.5 * 25.4))


def test_a_photo_without_a_card_says_what_to_do(client: TestClient, wall: dict[str, Any]) -> None:
    """Where no photo shows a card the report's refusal keeps its own code and advice."""
    send_photo(client, wall["id"], plain_jpeg())
    wait_looked(client)

    answer = client.get(f"/api/walls/{wall['id']}/report")

    assert (answer.status_code, answer.json()["code"]) == (409, "no-card")
    assert "card" in answer.json()["do"]


def test_half_marked_sizes_are_tape_only(client: TestClient, wall: dict[str, Any]) -> None:
    """While one of its marks is missing a size stands in the wall file with none of them."""
    send_photo(client, wall["id"], plain_jpeg())
    wait_looked(client)
    client.put("/api/photos/photo-1/marks/left 16", json={"at": [10.0, 20.0]}, headers=ANY)
    take(client, wall)

    text = client.get(f"/api/walls/{wall['id']}/wall.json").text

    file = WallFile.model_validate_json(text)
    width = next(size for size in file.dimensions if size.name == "width 16")
    assert width.points == ("left 16 (not marked yet)", "right 16 (not marked yet)")
    assert list(file.photos[0].marks) == ["left 16"]
    assert file.level is None
