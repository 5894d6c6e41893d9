"""Well-formed input that cannot be measured: exit 3, and the refusal as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from service.cli import main

_LINE = {"name": "joint", "points": {"grey.jpg": [[0, 0], [500, 4], [1e5, 8]]}}
_RECTANGLE = {
    "name": "card",
    "size_mm": [85.6, 53.98],
    "u_mm": [0.1, 0.1],
    "corners": {"grey.jpg": [[0, 9000], [9000, 9000], [9000, 0], [0, 0]]},
}


def test_photo_without_a_card_is_refused(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A wall with one photo, no card in it and no reading exits 3 and says what to do."""
    Image.new("L", (1600, 1200), 128).save(tmp_path / "grey.jpg")
    wall: dict[str, object] = {
        "photos": [{"file": "grey.jpg", "marks": {"p": [10, 10], "q": [500, 10]}}]
    }
    wall["dimensions"] = [{"name": "wide", "from": "p", "to": "q"}]
    (tmp_path / "wall.json").write_text(json.dumps(wall), encoding="utf-8")
    report = tmp_path / "report.json"

    code = main(["measure", str(tmp_path / "wall.json"), "--out", str(report)])

    out, err = capfd.readouterr()
    assert (code, err) == (3, "")
    refused = json.loads(out)["refused"]
    assert set(refused) == {"code", "text", "do"}
    assert "card" in refused["do"].lower()
    assert not report.exists()


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("photos[0].marks.p.at", {"photos": [{"file": "grey.jpg", "marks": {"p": [1e5, 10]}}]}),
        ("lines[0].points.grey.jpg", {"lines": [_LINE]}),
        ("rectangles[0].corners.grey.jpg", {"rectangles": [_RECTANGLE]}),
    ],
)
def test_point_far_beside_its_picture_is_named(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], field: str, change: dict[str, object]
) -> None:
    """A point that no tap can have set exits 2 by its field: one such point left a wall without a
    solution, and the refusal asked for another photo."""
    Image.new("L", (1600, 1200), 128).save(tmp_path / "grey.jpg")
    wall: dict[str, object] = {"photos": [{"file": "grey.jpg", "marks": {"p": [1700, 10]}}]}
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(wall | change), encoding="utf-8")

    assert main(["measure", str(path)]) == 2

    said = capfd.readouterr().err
    assert said.startswith(f"{path}: {field}: expected a place in 'grey.jpg', a picture of 1600 x")
    assert said.count("\n") == 1


def test_point_just_beside_its_picture_will_do(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A corner that is followed a little beyond the photo is no error."""
    Image.new("L", (1600, 1200), 128).save(tmp_path / "grey.jpg")
    wall = {"photos": [{"file": "grey.jpg", "marks": {"p": [1700, -40]}}]}
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(wall), encoding="utf-8")

    assert main(["measure", str(path)]) == 3
    assert "no-card" in capfd.readouterr().out


@pytest.mark.parametrize("command", ["measure", "elevation"])
def test_no_photo_is_written_over(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], command: str
) -> None:
    """A photo named as the result exits 2 and stays as the phone took it."""
    Image.new("L", (1600, 1200), 128).save(tmp_path / "grey.jpg")
    taken = (tmp_path / "grey.jpg").read_bytes()
    reading = {"id": "r1", "dimension": "wide", "value": "59 7/8 in"}
    wall = {
        "photos": [{"file": "grey.jpg"}],
        "dimensions": [{"name": "wide", "from": "p", "to": "q"}],
        "readings": [reading],
    }
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(wall), encoding="utf-8")

    assert main([command, str(path), "--out", str(tmp_path / "grey.jpg")]) == 2

    assert "expected another file than the one that is read" in capfd.readouterr().err
    assert (tmp_path / "grey.jpg").read_bytes() == taken
