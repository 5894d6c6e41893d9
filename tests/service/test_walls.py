"""Walls: lines, sizes, cards, readings, undo, and the wall file that comes of them."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.files.wall import WallFile
from tests.service.running import (
    new_job,
    plain_jpeg,
    send_photo,
    versioned,
    wait_looked,
    wall_of,
)

ANY = {"If-Match": "*"}


@pytest.fixture
def wall(client: TestClient) -> dict[str, Any]:
    """The back wall of a new job."""
    return wall_of(client, new_job(client))


def take(client: TestClient, wall: dict[str, Any], **reading: Any) -> Any:
    body = {"id": "r1", "dimension": "width 16", "value": "58 1/2", **reading}
    return client.post(f"/api/walls/{wall['id']}/readings", json=body)


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


def test_a_mark_lies_inside_its_photo(client: TestClient, wall: dict[str, Any]) -> None:
    """The photo's last pixel can be marked, the one beyond it cannot."""
    send_photo(client, wall["id"], plain_jpeg(640, 480))
    wait_looked(client)
    path = "/api/photos/photo-1/marks/left 16"

    inside = client.put(path, json={"at": [639.0, 479.0]}, headers=ANY)
    outside = client.put(path, json={"at": [640.0, 479.0]}, headers=ANY)

    assert (inside.status_code, outside.status_code) == (200, 422)
    assert outside.json()["field"] == "at"


def test_a_mark_is_one_point_in_all_photos(client: TestClient, wall: dict[str, Any]) -> None:
    """What it is said to lie on is changed in all of them at once, and taken back at once."""
    for number, photo in enumerate(("photo-1", "photo-2")):
        send_photo(client, wall["id"], plain_jpeg(seed=number), photo)
    path = "/api/photos/{}/marks/valve"
    first = {"at": [10.0, 10.0], "standoff_mm": 9.5}
    for photo in ("photo-1", "photo-2"):
        client.put(path.format(photo), json=first, headers=ANY)

    changed = client.put(path.format("photo-2"), json={**first, "standoff_mm": 3.0}, headers=ANY)
    back = client.post(f"/api/walls/{wall['id']}/undo")

    assert (changed.status_code, back.status_code) == (200, 200)
    assert _standoffs(changed.json()) == [3.0, 3.0]
    assert _standoffs(back.json()) == [9.5, 9.5]


def test_a_mark_of_which_nothing_is_said_lies_where_it_lay(
    client: TestClient, wall: dict[str, Any]
) -> None:
    """Set in another photo without a word on what it lies on, it keeps what was said before."""
    for number, photo in enumerate(("photo-1", "photo-2")):
        send_photo(client, wall["id"], plain_jpeg(seed=number), photo)
    path = "/api/photos/{}/marks/valve"
    first = {"at": [10.0, 10.0], "standoff_mm": 9.5}
    client.put(path.format("photo-1"), json=first, headers=ANY)

    answer = client.put(path.format("photo-2"), json={"at": [11.0, 10.0]}, headers=ANY)

    assert _standoffs(answer.json()) == [9.5, None]


def _standoffs(facts: dict[str, Any]) -> list[float | None]:
    return [photo["marks"]["valve"].get("standoff_mm") for photo in facts["photos"]]


def test_a_photo_taken_off_comes_back_with_its_marks(
    client: TestClient, wall: dict[str, Any]
) -> None:
    """Taking a photo off takes its marks with it, and undo brings both back."""
    send_photo(client, wall["id"], plain_jpeg())
    client.put("/api/photos/photo-1/marks/left 16", json={"at": [10.5, 20.25]}, headers=ANY)

    off = client.delete("/api/photos/photo-1", headers=ANY)
    back = client.post(f"/api/walls/{wall['id']}/undo")

    assert off.json()["photos"] == []
    assert back.json()["photos"][0]["marks"]["left 16"]["at"] == [10.5, 20.25]


def test_a_rectangle_is_put_by_photo(client: TestClient, wall: dict[str, Any]) -> None:
    """A rectangle of known size stands in the wall file under its photos' own names."""
    send_photo(client, wall["id"], plain_jpeg())
    wait_looked(client)
    path = f"/api/walls/{wall['id']}/rectangles/bank card"
    corners = [[100.0, 200.0], [190.0, 200.0], [190.0, 140.0], [100.0, 140.0]]
    body = {"size_mm": [85.6, 53.98], "u_mm": [0.07, 0.03], "corners": {"photo-1": corners}}

    put = client.put(path, json=body, headers=ANY)
    file = client.get(f"/api/walls/{wall['id']}/wall.json").json()
    clockwise = client.put(path, json={**body, "corners": {"photo-1": corners[::-1]}}, headers=ANY)
    elsewhere = client.put(path, json={**body, "corners": {"other": corners}}, headers=ANY)
    gone = client.delete(path, headers=ANY)

    assert put.json()["rectangles"][0]["corners"] == {"photo-1": corners}
    assert file["rectangles"][0]["corners"] == {file["photos"][0]["file"]: corners}
    assert {clockwise.json()["code"], elsewhere.json()["code"]} == {"invalid"}
    assert gone.json()["rectangles"] == []
