"""A reading in doubt is taken again blind where what is expected is hidden: what may have gone
wrong is asked, and not what would fit, until the retake is in."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

from tests.service.running import service_on
from tests.service.test_alcove import Alcove, worked_alcove
from tests.support.pdf_reader import page_texts

HIDDEN = {"expectation": "hidden"}
SLIP, MEANT = "28 1/16", "29 1/16"
SIZE = "right 40"


@pytest.fixture
def alcove(tmp_path: Path) -> Iterator[Alcove]:
    """The worked alcove with an inch burnt at right 40 of the back wall; no photo."""
    with service_on(tmp_path / "data") as client:
        yield worked_alcove(client, SLIP)


def _answers(alcove: Alcove, **asked: str) -> dict[str, str]:
    """All that a page or a paper is made of, as text; of the papers what is said of the back
    wall's sizes."""
    client, job = alcove.client, f"/api/jobs/{alcove.job}"
    paths = {"report": f"/api/walls/{alcove.walls['back']}/report"}
    paths |= {name: f"{job}/{name}" for name in ("check", "plan", "plan-settings")}
    paths |= {name: f"{job}/check/{name}" for name in ("check.json", "check.csv", "check.pdf")}
    found: dict[str, str] = {}
    for name, path in paths.items():
        answer = client.get(path, params=asked)
        assert answer.status_code == 200, (path, answer.text)
        found[name] = _pages(answer.content) if name.endswith("pdf") else answer.text
    rows = csv.reader(StringIO(found["check.csv"]))
    found["check.csv"] = " ; ".join(" ; ".join(row) for row in rows if row[:1] == ["back"])
    return found


def _pages(content: bytes) -> str:
    text = " ".join(page_texts(content))
    return " ".join(text.partition("back wall")[2].partition("What must close")[0].split())


def _tells(text: str, expected_mm: float) -> bool:
    """What was meant, or what is expected."""
    return bool(re.search(rf"(?<![\d/]){MEANT}(?!\d)", text)) or f"{expected_mm:.5f}" in text


def test_what_was_meant_is_told_nowhere_until_it_is_taken_again(alcove: Alcove) -> None:
    """Where it is shown, report, alcove, plan and papers tell it; where it is hidden, none does,
    nor by how much a closure is out; what may have gone wrong is asked all the same."""
    client, mm = alcove.client, alcove.size("back", SIZE)["expected_mm"]
    shown, hidden = _answers(alcove), _answers(alcove, **HIDDEN)

    told_in = {name for name, text in shown.items() if _tells(text, mm)}
    assert told_in >= {"report", "check", "check.json", "check.csv", "check.pdf"}
    assert [name for name, text in hidden.items() if _tells(text, mm)] == []
    assert "back" in {panel["wall"] for panel in json.loads(shown["plan"])["plan"]["panels"]}
    assert "back" not in {panel["wall"] for panel in json.loads(hidden["plan"])["plan"]["panels"]}
    for name in ("report", "check", "check.json", "check.csv", "check.pdf"):
        assert "did you burn an inch?" in " ".join(hidden[name].split()), name
    walls = client.get(f"/api/jobs/{alcove.job}/check", params=HIDDEN).json()["walls"]
    back = next(wall for wall in walls if wall["name"] == "back")
    size = next(row for row in back["dimensions"] if row["name"] == SIZE)
    told = ("expected_mm", "best_mm", "en", "w")
    assert [size[figure] for figure in told] == [None] * 4
    assert (size["suspect"]["kind"], size["suspect"]["meant"]) == ("inch", None)
    closures = [row for row in back["closures"] if f"back: {SIZE}" in row["sizes"]]
    assert {row["out_mm"] for row in closures} == {None}
    assert False in {row["closes"] for row in closures}


@pytest.mark.parametrize("value", [MEANT, SLIP])
def test_once_it_is_taken_again_all_is_told(alcove: Alcove, value: str) -> None:
    """Whether the retake is right, or says the same again and is in doubt as before."""
    (first,) = (
        row["id"] for row in alcove.wall("back")["readings"] if row["dimension"] == SIZE
    )  # fmt: skip
    alcove.tape("back", {"id": "again", "dimension": SIZE, "value": value, "replaces": first})

    hidden, shown = _answers(alcove, **HIDDEN), _answers(alcove)

    assert hidden == shown
    assert alcove.size("back", SIZE)["expected_mm"] is not None


def test_what_somebody_lets_stand_keeps_no_panel_back(alcove: Alcove) -> None:
    """The back panel waits for the retake; let stand by somebody else, it is planned, and no page
    or paper keeps anything of it back."""
    client, path = alcove.client, f"/api/jobs/{alcove.job}"
    (reading,) = (
        row["id"] for row in alcove.wall("back")["readings"] if row["dimension"] == SIZE
    )  # fmt: skip
    waits = client.get(f"{path}/plan", params=HIDDEN).json()["kept_back"]
    stand = {"reading": reading, "who": "C. Office", "reason": "looked at it on site"}
    answer = client.put(f"{path}/panels/back/overrides/{SIZE}", json=stand, params=HIDDEN)

    assert waits == {"back": [SIZE]}
    assert answer.status_code == 200, answer.text
    assert answer.json()["kept_back"] == {}
    assert _answers(alcove, **HIDDEN) == _answers(alcove)
