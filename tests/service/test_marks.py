"""Marks, rectangles and photos of a wall."""

from __future__ import annotations

from typing import Any

from fastapi.testclient import TestClient

from tests.service.running import (
    ANY,
    plain_jpeg,
    send_photo,
    wait_looked,
)


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
