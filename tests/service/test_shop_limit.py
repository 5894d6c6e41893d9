"""A job's sizes are checked by the limit of its shop's practice, on pages and papers alike."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from service.cli import main
from tests.service.test_alcove import ANY, worked_alcove


def test_pages_and_command_hold_a_size_by_the_limit_of_the_shop(
    client: TestClient, tmp_path: Path
) -> None:
    """Of a shop that wants 1/8 in to show, a job's check.json is the command's beside a plan with
    that practice; page, wall and list hold a size that 1/4 in would let through, and go back to it
    with the shop."""
    alcove = worked_alcove(client, "29 1/16")
    usual = alcove.wall("back")
    path = f"/api/jobs/{alcove.job}/plan-settings"
    settings = client.get(path).json()["plan"]
    strict = '[release]\nleast_slip = {value = "1/8", source = "our own"}\n'
    _keep(client, path, {"plan": settings, "practice": strict})
    (tmp_path / "shop.toml").write_text(strict, "utf-8")
    named = {"job": {"name": "Hall", "scope": "over tile"}, "practice": "shop.toml"}
    walls = [{**wall, "reports": ["to-come.json"]} for wall in settings["walls"]]
    plan = tmp_path / "plan.json"
    plan.write_text(json.dumps({**settings, **named, "walls": walls}), "utf-8")
    paths = []
    for name, wall in alcove.walls.items():
        paths.append(tmp_path / f"{name}.json")
        paths[-1].write_bytes(client.get(f"/api/walls/{wall}/wall.json").content)
    assert (
        main(["check", *map(str, paths), "--out", str(tmp_path / "out"), "--plan", str(plan)]) == 0
    )

    held = alcove.wall("back")
    report = client.get(f"/api/walls/{alcove.walls['back']}/report").json()
    weak = {"dimension": "left 16", "why": "the check is too weak to catch a 1/8 in slip"}
    assert alcove.paper("check.json") == (tmp_path / "out" / "check.json").read_bytes()
    assert (weak in usual["gate"]["blocking"], weak in held["gate"]["blocking"]) == (False, True)
    assert weak in report["gate"]["blocking"]
    left = {"wall": "back", "size": "left 16"}
    assert (left in usual["tape_again"], left in held["tape_again"]) == (False, True)
    _keep(client, path, {"plan": settings, "practice": None})
    assert alcove.wall("back")["gate"] == usual["gate"]


def _keep(client: TestClient, path: str, settings: dict[str, Any]) -> None:
    answer = client.put(path, json=settings, headers=ANY)
    assert answer.status_code == 200, answer.text
