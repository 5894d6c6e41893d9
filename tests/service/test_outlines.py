"""Rectangles, cards set by hand and straight lines in photos of a wall."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image, ImageFilter

from fixtures.makers.render.shots import SHOTS
from service.actions.measure import measure_file
from service.files.report import Report
from tests.bench.bench_snapping import page_corners
from tests.service.running import (
    EXAMPLE_PHOTOS,
    new_job,
    send_photo,
    service_on,
    wait_looked,
    wall_of,
)

pytestmark = pytest.mark.example

ANY = {"If-Match": "*"}
SQUARE = {"size_mm": [100.0, 80.0], "u_mm": [0.5, 0.5], "known_by": "tape"}
CORNERS = [[1400.0, 2000.0], [1600.0, 2005.0], [1598.0, 1840.0], [1402.0, 1836.0]]
MISS_PX = 5.0
BLUR_PX = 6


@dataclass(frozen=True)
class Wall:
    """The example's plumbing wall, and two of its photos."""

    client: TestClient
    job: dict[str, Any]
    id: str
    photos: list[dict[str, Any]]

    def put(self, photo: int, what: str, **body: Any) -> Any:
        path = f"/api/photos/{self.photos[photo]['id']}/{what}"
        return self.client.put(path, json=body, headers=ANY)

    def facts(self) -> dict[str, Any]:
        return wall_of(self.client, self.job, "plumbing")

    def card(self, serial: int) -> list[list[float]]:
        """Outline of a card that was found, from its lower left, counter-clockwise."""
        found = self.client.get(f"/api/photos/{self.photos[0]['id']}").json()["cards"]
        outline = next(card["outline"] for card in found if card["serial"] == serial)
        return [outline[index] for index in (3, 2, 1, 0)]


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Wall]:
    with service_on(tmp_path_factory.mktemp("outlines") / "data") as client:
        job = client.post("/api/example").json()
        wait_looked(client)
        facts = wall_of(client, job, "plumbing")
        yield Wall(client, job, facts["id"], facts["photos"])


@pytest.fixture(scope="module")
def blurred(loaded: Wall) -> Wall:
    """Another wall with one of the photos out of focus: its cards are not found."""
    job = new_job(loaded.client, id="blurred-job")
    wall = wall_of(loaded.client, job, "plumbing")["id"]
    with Image.open(EXAMPLE_PHOTOS / loaded.photos[0]["filename"]) as sharp:
        stream = BytesIO()
        soft = sharp.filter(ImageFilter.GaussianBlur(BLUR_PX))
        soft.save(stream, "JPEG", quality=90, exif=sharp.getexif())
    send_photo(loaded.client, wall, stream.getvalue(), "blurred")
    wait_looked(loaded.client)
    facts = wall_of(loaded.client, job, "plumbing")
    return Wall(loaded.client, job, facts["id"], facts["photos"])


@pytest.fixture
def wall(loaded: Wall) -> Iterator[Wall]:
    """The wall, what a test sets on it taken back."""
    yield loaded
    while loaded.facts()["rectangles"] or loaded.facts()["lines"]:
        assert loaded.client.post(f"/api/walls/{loaded.id}/undo").status_code == 200


def test_corners_are_set_photo_by_photo(wall: Wall) -> None:
    """A second photo's corners leave the first one's, and the last taken out ends the rectangle."""
    for photo in (0, 1):
        assert wall.put(photo, "rectangles/box", **SQUARE, corners=CORNERS).status_code == 200
    both = wall.facts()["rectangles"]
    for photo in (0, 1):
        path = f"/api/photos/{wall.photos[photo]['id']}/rectangles/box"
        assert wall.client.delete(path, headers=ANY).status_code == 200

    assert [set(row["corners"]) for row in both] == [{row["id"] for row in wall.photos[:2]}]
    assert wall.facts()["rectangles"] == []
    for _ in range(2):
        wall.client.post(f"/api/walls/{wall.id}/undo")
    assert wall.facts()["rectangles"] == both


def test_a_nominal_size_is_no_scale(wall: Wall) -> None:
    """A tile by its name is refused with what to do instead, and nothing is kept."""
    body = {**SQUARE, "known_by": "nominal"}
    answer = wall.put(0, "rectangles/tile", **body, corners=CORNERS)

    assert (answer.status_code, answer.json()["code"]) == (409, "nominal-size")
    assert "Tape it" in answer.json()["do"]
    assert wall.facts()["rectangles"] == []


def test_edges_found_in_a_photo_count_in_place_of_its_corners(wall: Wall) -> None:
    """The wall file holds edges of that photo and corners of the other, and is measured; taken out
    of the photo they are gone."""
    taps = _sheet_taps(wall)
    query = {"x": [x for x, _ in taps], "y": [y for _, y in taps]}
    found = wall.client.get(f"/api/photos/{wall.photos[0]['id']}/edges", params=query).json()
    edges = [edge["points"] for edge in found["edges"]]
    spread = max(edge["sd_px"] for edge in found["edges"])
    letter = {"size_mm": [215.9, 279.4], "u_mm": [0.5, 0.5], "standoff_mm": 0.5}
    by_edges = {"edges": edges, "point_sd_px": spread, "edge_u_px": 0.3}
    assert wall.put(0, "rectangles/sheet", **letter, corners=taps, **by_edges).status_code == 200
    assert wall.put(1, "rectangles/box", **SQUARE, corners=CORNERS).status_code == 200

    text = wall.client.get(f"/api/walls/{wall.id}/wall.json").text
    sheet = next(row for row in json.loads(text)["rectangles"] if row["name"] == "sheet")
    path = f"/api/photos/{wall.photos[0]['id']}/rectangles/sheet"
    assert wall.client.delete(path, headers=ANY).status_code == 200

    assert sheet["corners"] == {}
    assert list(sheet["edges"].values()) == [edges]
    assert sheet["edge_u_px"] == 0.3
    assert [row["name"] for row in wall.facts()["rectangles"]] == ["box"]


def test_edges_lie_where_the_sheet_ends(wall: Wall) -> None:
    """Points between taps that miss by 3 px lie within half a pixel of the sheet's true edges."""
    true, taps = _sheet(wall), _sheet_taps(wall)
    query = {"x": [x for x, _ in taps], "y": [y for _, y in taps]}
    before = wall.facts()["revision"]
    found = wall.client.get(f"/api/photos/{wall.photos[0]['id']}/edges", params=query).json()

    assert len(found["edges"]) == 4
    for side, edge in enumerate(found["edges"]):
        (ax, ay), (bx, by) = true[side], true[(side + 1) % 4]
        for x, y in edge["points"]:
            beside = ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / math.dist((ax, ay), (bx, by))
            assert abs(beside) < 0.5
    assert wall.facts()["revision"] == before


def _sheet(wall: Wall) -> list[tuple[float, float]]:
    """The true corners of card 3's page, from the lower left, counter-clockwise."""
    shot = next(s for s in SHOTS if s.file.endswith(wall.photos[0]["filename"]))
    truth = json.loads((EXAMPLE_PHOTOS.parent / "truth.json").read_text(encoding="utf-8"))
    entry = truth["walls"]["plumbing"]
    number = next(i for i, card in enumerate(entry["cards"]) if card["serial"] == 3)
    x, y = page_corners(shot, truth)[number].T
    return [(float(a), float(b)) for a, b in zip(x, y, strict=True)]


def _sheet_taps(wall: Wall) -> list[list[float]]:
    misses = ((2.0, 2.0), (-2.0, 2.0), (2.0, -1.0), (1.0, -2.0))
    pairs = zip(_sheet(wall), misses, strict=True)
    return [[x + dx, y + dy] for (x, y), (dx, dy) in pairs]


def test_corners_out_of_order_are_told(wall: Wall) -> None:
    """Corners that go round the other way are named, with the order that was expected."""
    answer = wall.put(0, "rectangles/box", **SQUARE, corners=CORNERS[::-1])

    assert answer.status_code == 422
    assert "counter-clockwise" in answer.json()["detail"]


def test_a_card_is_found_between_four_taps(wall: Wall, blurred: Wall) -> None:
    """In a photo too blurred for the search, taps some pixels off the board's corners are put
    right by the board's own squares; a wrong number, and taps beside it, are refused."""
    true = wall.card(3)
    taps = [[x + MISS_PX, y - MISS_PX / 2] for x, y in true]
    answer = blurred.put(0, "rectangles/card 3", serial=3, corners=taps)
    assert answer.status_code == 200, answer.text
    (row,) = answer.json()["rectangles"]
    kept = row["corners"][blurred.photos[0]["id"]]
    beside = blurred.put(0, "rectangles/card 4", serial=4, corners=CORNERS)

    assert blurred.client.get("/api/photos/blurred").json()["cards"] == []
    assert max(math.dist(a, b) for a, b in zip(kept, true, strict=True)) < 1.0
    assert row["size_mm"] == [180.0, 252.0]
    assert (beside.status_code, beside.json()["code"]) == (409, "corners-not-seen")


def test_a_card_that_was_found_is_not_set_by_hand(wall: Wall) -> None:
    """It would count twice."""
    answer = wall.put(0, "rectangles/card 3", serial=3, corners=wall.card(3))

    assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
    assert "counts already" in answer.json()["detail"]
    assert wall.facts()["rectangles"] == []


def test_lines_and_rectangles_measure_as_in_the_command(
    wall: Wall, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A line that is known to be level and a rectangle move the report, and the command gives the
    service's own numbers for them, digit for digit."""
    before = wall.client.get(f"/api/walls/{wall.id}/report").text
    marks = wall.photos[0]["marks"]
    points = [marks[name]["at"] for name in ("level outer", "level inner")]
    line = wall.put(0, "lines/level line", points=points, direction="level", sd_px=1.0)
    board = {"size_mm": [180.0, 252.0], "u_mm": [2.7, 3.8], "edge_u_px": 0.5}
    set_there = wall.put(0, "rectangles/board", **board, corners=wall.card(3))
    assert (line.status_code, set_there.status_code) == (200, 200), line.text + set_there.text
    served = wall.client.get(f"/api/walls/{wall.id}/report").text
    folder = tmp_path_factory.mktemp("files")
    text = wall.client.get(f"/api/walls/{wall.id}/wall.json").text
    (folder / "wall.json").write_text(text, encoding="utf-8")
    for photo in wall.photos:
        (folder / photo["file"]).write_bytes((EXAMPLE_PHOTOS / photo["filename"]).read_bytes())

    assert [row["name"] for row in json.loads(text)["lines"]] == ["level line"]
    assert served != before
    assert Report.model_validate_json(served) == measure_file(folder / "wall.json")
