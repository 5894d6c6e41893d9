"""`tapeproof check` of one wall: readings called by their sizes, and corners taken twice."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from service.actions.measure.across import judged_across
from service.actions.measure.alcove import check_alcove
from service.actions.measure.wall import looked_wall, report_on
from service.cli import main
from service.measuring.judgement import PrintScale


def _checked(folder: Path, wall: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The wall of check.json, and its report for a plan."""
    path = folder / "back.json"
    path.write_text(json.dumps({"wall": "back", "bare_unit": "in", **wall}), encoding="utf-8")
    assert main(["check", str(path), "--out", str(folder / "out")]) == 0
    (checked,) = json.loads((folder / "out" / "check.json").read_text("utf-8"))["walls"]
    return checked, json.loads((folder / "out" / "back-report.json").read_text("utf-8"))


def test_paper_and_report_call_a_reading_by_its_size(tmp_path: Path) -> None:
    """Ids that are letters, as people number readings: paper and the report for a plan say which
    size to take again, in the same words, and no letter of them is changed."""
    readings = [("a", "L16", "29 9/16"), ("e", "R16", "28"), ("o", "W16", "58 9/16")]
    wall = {
        "dimensions": [
            {"name": "L16", "role": "offset", "side": "left", "down": "16"},
            {"name": "R16", "role": "offset", "side": "right", "down": "16"},
            {"name": "W16", "role": "width", "down": "16"},
        ],
        "readings": [{"id": i, "dimension": d, "value": v} for i, d, v in readings],
    }
    checked, report = _checked(tmp_path, wall)

    texts = [size["suspect"]["text"] for size in report["dimensions"]]
    assert texts == [size["suspect"] for size in checked["sizes"]]
    assert texts[0].startswith("this one or W16, R16: did you burn an inch? Take ")


def test_a_corner_may_be_taken_at_several_heights(tmp_path: Path) -> None:
    """Two diagonals of the left corner, 16 and 64 in down, and one of the right: how far each is
    out of square is told, with the height where a corner has two. A size may have the name of what
    follows from others."""
    dimensions = [
        {"name": "a", "role": "corner diagonal", "side": "left", "down": "16"},
        {"name": "b", "role": "corner diagonal", "side": "left", "down": "64"},
        {"name": "c", "role": "corner diagonal", "side": "right"},
        {"name": "back: out of square right", "role": "width", "down": "40"},
    ]
    values = ("34 1/8", "33 15/16", "34", "58 1/2")
    readings = [
        {"id": f"r{n}", "dimension": size["name"], "value": value}
        for n, (size, value) in enumerate(zip(dimensions, values, strict=True))
    ]
    checked, _ = _checked(tmp_path, {"dimensions": dimensions, "readings": readings})

    out = {row["what"]: row["value_mm"] / 25.4 for row in checked["derived"]}
    # c^2 / 48 - 24, by hand
    assert out == {
        'out of square left (16" down)': pytest.approx(0.2608, abs=1e-3),
        'out of square left (64" down)': pytest.approx(-0.0046, abs=1e-3),
        "out of square right": pytest.approx(0.0833, abs=1e-3),
    }


def test_a_report_tells_the_print_scale_that_its_gate_is_shut_by(tmp_path: Path) -> None:
    """Judged with other walls a wall's photos may be out by one factor where by itself they were
    not: its report says the one that it is judged by."""
    sizes = [{"name": "W16", "role": "width", "down": "16"}]
    readings = [{"id": "r", "dimension": "W16", "value": "58 1/2"}]
    path = tmp_path / "back.json"
    path.write_text(json.dumps({"bare_unit": "in", "dimensions": sizes, "readings": readings}))
    looked = looked_wall(path)
    checked = check_alcove([looked])
    out = replace(checked.judged["back"], print_scale=PrintScale(0.988, 0.001, 1e6))

    told = judged_across(
        {"back": report_on(looked)}, [looked], replace(checked, judged={"back": out})
    )
    assert told["back"].print_scale is not None
    assert told["back"].print_scale.factor == 0.988
