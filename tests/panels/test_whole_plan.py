"""A plan with everything in it goes through the files: valid by the schema, every paper written."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.actions.plan import plan_file
from service.files.schema import json_schema
from tests.support.pdf_reader import page_texts, words_of

BACK: dict[str, Any] = {
    "wall": "back",
    "line_to_deck": [{"at": "-36", "value": "60"}, {"at": "0", "value": "60 1/8"},
                     {"at": "36", "value": "60 1/4"}],
    "left": [{"down": "0", "value": "36"}, {"down": "30", "value": "35 7/8"},
             {"down": "60", "value": "35 3/4"}],
    "right": [{"down": "0", "value": "36"}, {"down": "30", "value": "36"},
              {"down": "60", "value": "36 1/8"}],
    "windows": [
        {"name": "window", "left": {"value": "6"}, "right": {"value": "24"},
         "head": {"value": "4"}, "sill": {"value": "28"}, "depth": "4", "fall": "1/8"},
        {"name": "niche", "kind": "niche", "left": {"value": "-26"}, "right": {"value": "-14"},
         "head": {"value": "20"}, "sill": {"value": "34"}, "depth": "3 1/2", "fall": "1/8"},
    ],
    "fixtures": [{"name": "bar", "kind": "grab bar", "from_plumb": "0", "down": "45",
                  "length": "36"}],
    "flatness": [{"at": "-10", "down": "30", "gap": "5/16", "kind": "hollow"}],
}  # fmt: skip
END: dict[str, Any] = {
    "wall": "plumbing",
    "corner": "right",
    "right": [{"down": d, "value": "12", "surface": "hung"} for d in ("0", "30", "60")],
    "left": [{"down": d, "value": "19"} for d in ("16", "40", "60")],
    "line_to_deck": [{"at": "12", "value": "60 1/16"}, {"at": "0", "value": "60"},
                     {"at": "-18", "value": "60"}],
    "outer": {"from_plumb": "20", "finish": "trim under", "casing": "21", "paint_scar": "19 1/2"},
    "tub_front": {"at_deck": {"value": "18"}, "line_to_floor": {"value": "75"}},
    "fixtures": [
        {"name": "arm", "from_plumb": "3", "down": "3", "pipe": "0.840", "plate": "2 1/2"},
        {"name": "jamb", "kind": "door jamb", "from_plumb": "19", "down": "30", "length": "56",
         "plate": "1"},
    ],
}  # fmt: skip
WHOLE: dict[str, Any] = {
    "job": {"name": "Łódź St.", "scope": "strip tile", "accessible": True, "tub": "new"},
    "walls": [BACK, END],
    "top": {"above_line": "3/4", "line_above_floor": "75", "band": ["75", "78"],
            "drain_below_line": "70", "finish": "trim"},
    "pattern": {"tile": ["12", "12"], "joint": "1/8", "course": "half offset"},
    "stock": [
        {"name": "72 x 96", "size": ["72", "96"], "finished": ["top"], "price": "610.00",
         "lot": "A"},
        {"name": "36 x 96", "size": ["36", "96"], "price": "320.00", "lot": "B"},
    ],
    "way_in": [{"name": "stairs", "from_width": "36", "into_width": "32"}],
    "openings": [{"down": "4", "value": "59"}, {"down": "56", "value": "58 3/4"}],
    "changes": [{"name": "second niche", "amount": "260.00"},
                {"name": "no seat", "amount": "-45.00", "signed": True}],
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """What the plan writes."""
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(WHOLE), encoding="utf-8")
    plan_file(path, tmp_path / "out", printed_on="2026-01-02", paper="a4")
    return tmp_path / "out"


def test_the_plan_file_is_valid_by_its_schema() -> None:
    """An outside validator takes the whole plan."""
    assert list(Draft202012Validator(json_schema("plan")).iter_errors(WHOLE)) == []


def test_panels_json_is_valid_by_its_schema(folder: Path) -> None:
    """And what is made of it, with nothing left out."""
    made = json.loads((folder / "panels.json").read_text(encoding="utf-8"))
    assert list(Draft202012Validator(json_schema("panels")).iter_errors(made)) == []
    for key in ("cutting", "top"):
        assert made[key] is not None
    for key in ("corners", "ends", "flatness", "blocking", "way_in", "openings", "trims"):
        assert made[key], key
    assert made["price"]["offered"] == [{"item": "second niche", "high": "260.00"}]
    assert [line["item"] for line in made["price"]["lines"] if line["kind"] == "change"] == [
        "no seat"
    ]


def test_every_paper_is_written_and_names_the_job(folder: Path) -> None:
    """Each PDF opens, has words on every page and the job's own letters on the first."""
    papers = sorted(folder.glob("*.pdf"))
    assert len(papers) == 6
    for paper in papers:
        pages = page_texts(paper.read_bytes())
        assert all(pages)
        assert "Łódź St." in pages[0], paper.name


def test_no_word_for_the_installer_is_on_the_customers_papers(folder: Path) -> None:
    """What the shop does about a finding stands on its own papers only."""
    made = json.loads((folder / "panels.json").read_text(encoding="utf-8"))
    shop = {w["do"] for w in made["warnings"] if w["do"]}
    assert shop
    for name in ("estimate.pdf", "elevation.pdf"):
        words = words_of((folder / name).read_bytes())
        assert not [do for do in shop if do in words]
