"""`tapeproof check` beside a plan: a size counts as checked by the limit of the plan's practice."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.cli import main
from tests.measuring.alcove.files import wall_documents
from tests.panels.worked_alcove import PLAN
from tests.support.pdf_reader import page_texts


def test_a_shop_that_asks_for_a_sharper_check_is_told_by_it(tmp_path: Path) -> None:
    """Of a shop that wants 1/8 in to show, check.json, check.pdf, the reports for the plan, the
    list of what to tape and the plan all hold what 1/4 in would let through; no other figure is
    another."""
    walls = _written(tmp_path)
    usual, strict = (_checked_for(shop, walls, tmp_path) for shop in ("1/4", "1/8"))

    assert [found["slip_mm"] for found in (usual, strict)] == [6.35, 3.175]
    rows = [[s for wall in found["walls"] for s in wall["sizes"]] for found in (usual, strict)]
    between = [
        (one, other) for one, other in zip(*rows, strict=True) if 3.175 < one["mdb_mm"] <= 6.35
    ]
    weak = "the check is too weak to catch a 1/8 in slip"
    assert len(between) > 40
    assert all((one["checked"], one["holds"]) == (True, "") for one, _ in between)
    assert all((other["checked"], other["holds"]) == (False, weak) for _, other in between)
    told = {"checked": None, "holds": None}
    assert [one | told for one in rows[0]] == [other | told for other in rows[1]]
    again = [found["walls"][0]["tape_again"] for found in (usual, strict)]
    assert again[0] == []
    assert {"back: left 16", "back: deck 0"} <= set(again[1])


def _written(folder: Path) -> list[Path]:
    """The worked alcove's walls, without its slip."""
    paths = []
    for name, document in wall_documents("29 1/16").items():
        paths.append(folder / f"{name.replace(' ', '-')}.json")
        paths[-1].write_text(json.dumps(document), encoding="utf-8")
    return paths


def _checked_for(slip: str, walls: list[Path], folder: Path) -> dict[str, Any]:
    """check.json beside a plan of a shop with this limit; its papers say the same."""
    own = f'[release]\nleast_slip = {{value = "{slip}", source = "our own"}}\n'
    (folder / "shop.toml").write_text(own, encoding="utf-8")
    plan = json.loads(PLAN.read_text(encoding="utf-8")) | {"practice": "shop.toml", "prices": None}
    for wall in plan["walls"]:
        wall["reports"] = [f"out/{wall['wall'].replace(' ', '-')}-report.json"]
    path = folder / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    out = folder / "out"
    assert main(["check", *map(str, walls), "--out", str(out), "--plan", str(path)]) == 0
    assert main(["panels", str(path), "--out", str(folder / "panels")]) == 0

    found: dict[str, Any] = json.loads((out / "check.json").read_text(encoding="utf-8"))
    panels = json.loads((folder / "panels" / "panels.json").read_text(encoding="utf-8"))
    back = {size["name"]: size["checked"] for size in found["walls"][0]["sizes"]}
    report = json.loads((out / "back-report.json").read_text(encoding="utf-8"))
    assert {size["name"]: size["checked"] for size in report["dimensions"]} == back
    assert {row["why"] for row in report["gate"]["blocking"]} == {
        f"the check is too weak to catch a {slip} in slip"
    }
    assert panels["panels"][0]["released"] is back["left 16"]
    assert f"would have shown a slip of {slip} in." in " ".join(
        page_texts((out / "check.pdf").read_bytes())[0].split()
    )
    return found


def test_a_practice_that_will_not_do_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is called checked by 1/4 in where a shop's own limit cannot be read."""
    plan = json.loads(PLAN.read_text(encoding="utf-8")) | {"practice": "shop.toml"}
    (tmp_path / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
    (tmp_path / "shop.toml").write_text('[release]\nleast_slip = "1/2"\n', encoding="utf-8")
    arguments = ["--out", str(tmp_path / "out"), "--plan", str(tmp_path / "plan.json")]

    assert main(["check", *map(str, _written(tmp_path)), *arguments]) == 2
    assert "shop.toml: line 2: release.least_slip: expected " in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
