"""What the service finds in a photo for a person who marks it: offered, never done."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.actions.measure import measure_file
from service.files.report import Report
from service.settings import Settings
from tests.service.running import (
    EXAMPLE_PHOTOS,
    new_job,
    plain_jpeg,
    send_photo,
    service_on,
    wait_looked,
    wall_of,
)

pytestmark = pytest.mark.example

ANY = {"If-Match": "*"}
EXAMPLE = Settings().example_folder
AWAY = (0.9, -0.7)
"""How far a hand misses, pixels."""


@dataclass(frozen=True)
class Marked:
    """A photo of the example's plumbing wall with its marks, and where each truly is."""

    client: TestClient
    job: dict[str, Any]
    photo: dict[str, Any]

    @property
    def path(self) -> str:
        return f"/api/photos/{self.photo['id']}"

    def truth(self, mark: str) -> tuple[float, float]:
        rows = scene()["photos"]
        name = f"photos/{self.photo['filename']}"
        x, y = next(row["marks_px"][mark][:2] for row in rows if row["file"] == name)
        return x, y

    def snaps(self, mark: str, **asked: Any) -> dict[str, Any]:
        x, y = self.truth(mark)
        query = {"x": x + AWAY[0], "y": y + AWAY[1], **asked}
        answer = self.client.get(f"{self.path}/snaps", params=query)
        assert answer.status_code == 200, answer.text
        return dict(answer.json())


@cache
def scene() -> dict[str, Any]:
    return dict(json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def marked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Marked]:
    """The example in a service, its photos looked at."""
    with service_on(tmp_path_factory.mktemp("help") / "data") as client:
        job = client.post("/api/example").json()
        wait_looked(client)
        photo = wall_of(client, job, "plumbing")["photos"][0]
        yield Marked(client, job, photo)


def test_a_crossing_is_offered_nearer_than_the_tap(marked: Marked) -> None:
    """The first candidate of a pencil crossing lies nearer the truth than the hand, and says how
    sure it is; the hand's own place is not in the answer."""
    found = marked.snaps("plumb 16")
    first = found["snaps"][0]
    miss = math.dist(first["at"], marked.truth("plumb 16"))

    assert (found["doubt"], first["kind"]) == (None, "crossing")
    assert miss < 0.5 < math.hypot(*AWAY)
    assert first["cov_px2"][0][1] == first["cov_px2"][1][0]
    assert 0 < math.sqrt(first["cov_px2"][0][0]) < 1.0


def test_a_plate_is_offered_where_a_pipe_is_meant(marked: Marked) -> None:
    """The middle of the valve's plate, found where it is round, once and without doubt."""
    found = marked.snaps("valve", round_thing=True)
    plates = [snap for snap in found["snaps"] if snap["kind"] == "plate"]

    assert found["doubt"] is None
    assert len(plates) == 1
    assert math.dist(plates[0]["at"], marked.truth("valve")) < 3.0


def test_bare_paint_keeps_the_tap(marked: Marked) -> None:
    """Where nothing is clear there is no candidate, and the answer says why."""
    query = {"x": 300.0, "y": 300.0}
    found = marked.client.get(f"{marked.path}/snaps", params=query).json()

    assert found["snaps"] == []
    assert found["doubt"]["code"] == "nothing-near"


def test_asking_changes_nothing(marked: Marked) -> None:
    """The wall's version is the same after every kind of question."""
    before = wall_of(marked.client, marked.job, "plumbing")["revision"]
    marked.snaps("plumb 64")
    marked.client.get(f"{marked.path}/place")
    marked.client.get(f"{marked.path}/suggestions")

    assert wall_of(marked.client, marked.job, "plumbing")["revision"] == before


def test_suggestions_lie_on_what_they_name(marked: Marked) -> None:
    """The deck line passes the marks that were set on the deck, and the back corner is offered."""
    answer = marked.client.get(f"{marked.path}/suggestions").json()["suggestions"]
    decks = [one["at"] for one in answer if one["kind"] == "deck line"]
    corners = [one["at"][0] for one in answer if one["kind"] == "corner"]
    deck = marked.truth("deck inner")

    assert min(beside(line, deck) for line in decks) < 12.0
    assert min(math.dist(at, deck) for at in corners) < 25.0
    assert "round fitting" in [one["kind"] for one in answer]


def test_a_deck_line_comes_with_points_to_take_it_as_a_straight_line(marked: Marked) -> None:
    """They go along the line that is offered, are many, far apart and sure to half a pixel; what
    is no deck line comes without."""
    answer = marked.client.get(f"{marked.path}/suggestions").json()["suggestions"]
    decks = [one for one in answer if one["kind"] == "deck line" and one["line"]]

    assert decks
    for one in decks:
        points = one["line"]["points"]
        assert len(points) >= 6
        assert math.dist(points[0], points[-1]) > 0.6 * math.dist(*one["at"])
        assert 0 < one["line"]["sd_px"] < 0.5
        assert all(beside(one["at"], at) < 25.0 for at in points)
    assert all(one["line"] is None for one in answer if one["kind"] != "deck line")


def test_points_and_sizes_lie_where_they_are(marked: Marked) -> None:
    """Every set point's place in the photo is within 4 standard deviations and 6 px of the truth,
    and a size runs between its marks."""
    place = marked.client.get(f"{marked.path}/place").json()
    width = next(size for size in place["sizes"] if size["name"] == "width 40")

    for name in marked.photo["marks"]:
        assert math.dist(place["points"][name]["at"], marked.truth(name)) < 6.0, name
    ends = sorted([width["start"], width["end"]])
    between = sorted(place["points"][name]["at"] for name in ("inner 40", "outer 40"))
    assert all(math.dist(end, at) < 1e-6 for end, at in zip(ends, between, strict=True))


def test_a_snapped_mark_measures_as_in_the_command(
    marked: Marked, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The covariance that is kept gives the command the service's own numbers, digit for digit;
    the history tells what was accepted."""
    client = marked.client
    snap = marked.snaps("outer 40")["snaps"][0]
    body = {
        "at": snap["at"],
        "sd_px": 1.0,
        "cov_px2": snap["cov_px2"],
        "defined_mm": 0.5,
        "snapped_to": snap["kind"],
    }
    answer = client.put(f"{marked.path}/marks/outer 40", json=body, headers=ANY)
    assert answer.status_code == 200, answer.text
    wall = answer.json()["id"]
    folder = tmp_path_factory.mktemp("files")
    text = client.get(f"/api/walls/{wall}/wall.json").text
    (folder / "plumbing.json").write_text(text, encoding="utf-8")
    for photo in wall_of(client, marked.job, "plumbing")["photos"]:
        source = EXAMPLE_PHOTOS / photo["filename"]
        (folder / photo["file"]).write_bytes(source.read_bytes())
    served = client.get(f"/api/walls/{wall}/report").text
    last = client.get(f"/api/jobs/{marked.job['id']}/events").json()["events"]

    assert json.loads(text)["photos"][0]["marks"]["outer 40"]["cov_px2"] == snap["cov_px2"]
    assert Report.model_validate_json(served) == measure_file(folder / "plumbing.json")
    assert any(f"to the {snap['kind']} found there" in event["what"] for event in last)
    client.post(f"/api/walls/{wall}/undo")


def test_a_photo_without_a_card_has_snaps_and_no_suggestions(marked: Marked) -> None:
    """What needs the wall's plane is refused in words; the rest is offered all the same."""
    client = marked.client
    wall = wall_of(client, new_job(client))["id"]
    send_photo(client, wall, plain_jpeg(), "bare")
    wait_looked(client)

    refused = client.get("/api/photos/bare/suggestions")

    assert (refused.status_code, refused.json()["code"]) == (409, "nothing-yet")
    assert client.get("/api/photos/bare/snaps", params={"x": 9, "y": 9}).status_code == 200
    assert client.get("/api/photos/bare/place").json() == {"points": {}, "sizes": []}


def beside(line: list[list[float]], point: tuple[float, float]) -> float:
    """How far a point lies beside the line through two others."""
    (ax, ay), (bx, by) = line
    return abs((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)) / math.dist(*line)
