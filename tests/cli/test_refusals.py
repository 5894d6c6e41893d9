"""Well-formed input that cannot be measured: exit 3, and the refusal as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from service.cli import main


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
