"""What papers and tables say of themselves, and the paper that they are printed on."""

from __future__ import annotations

import csv
import hashlib
import json
from io import StringIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from service.cli import main
from service.files.plan_release import LockedFile, revision_row
from service.measuring.release.revision import Revision, fingerprint
from tests.measuring.alcove.files import wall_documents
from tests.panels.worked_alcove import PLAN
from tests.support.pdf_reader import page_texts

STAMP = ("job", "revision", "date", "check")
A4_MM = (210.0, 297.0)
LETTER_MM = (215.9, 279.4)
"""ISO 216 and ANSI/ASME Y14.1."""


@pytest.fixture
def walls(tmp_path: Path) -> list[Path]:
    paths = []
    for name, document in wall_documents().items():
        path = tmp_path / f"{name.replace(' ', '-')}.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        paths.append(path)
    return paths


def checked(walls: list[Path], out: Path, *options: str) -> None:
    assert main(["check", *map(str, walls), "--out", str(out), *options]) == 0


def rows(table: Path) -> list[dict[str, str]]:
    """Every row of sizes, then every closure."""
    parts = table.read_bytes().decode("utf-8").split("\r\n\r\n")
    return [row for part in parts for row in csv.DictReader(StringIO(part, newline=""))]


def stamps(table: Path) -> set[tuple[str, ...]]:
    return {tuple(row[key] for key in STAMP) for row in rows(table)}


def sizes_mm(pdf: Path) -> set[tuple[float, float]]:
    boxes = [page.mediabox for page in PdfReader(pdf).pages]
    return {(round(b.width / 72 * 25.4, 1), round(b.height / 72 * 25.4, 1)) for b in boxes}


def test_each_row_of_a_cross_check_tells_which_report_it_is_of(
    walls: list[Path], tmp_path: Path
) -> None:
    """Job, revision, date, and a hash that is the same in check.json, the table and on every page;
    one reading more and it is another."""
    checked(walls, tmp_path / "first", "--job", "Hall bath")
    (stamp,) = stamps(tmp_path / "first" / "check.csv")
    job, revision, date, check = stamp
    of_json = hashlib.sha256((tmp_path / "first" / "check.json").read_bytes()).hexdigest()

    assert (job, revision, len(date.split("-"))) == ("Hall bath", "–", 3)
    assert check == of_json[:12]
    pages = page_texts((tmp_path / "first" / "check.pdf").read_bytes())
    assert len(pages) > 3
    assert all(f"{date} · check {check}" in page and "Hall bath" in page for page in pages)

    document = json.loads(walls[0].read_text(encoding="utf-8"))
    document["readings"].append({"id": "more", "dimension": "width 16", "value": "58 9/16"})
    walls[0].write_text(json.dumps(document), encoding="utf-8")
    checked(walls, tmp_path / "second", "--job", "Hall bath")
    (later,) = stamps(tmp_path / "second" / "check.csv")
    assert later[:2] == stamp[:2]
    assert later[3] != check


def test_a_cross_check_beside_a_plan_has_its_job_and_its_newest_letter(
    walls: list[Path], tmp_path: Path
) -> None:
    """The plan's name, and the letter that a sheet of it is locked as once one is."""
    plan = json.loads(PLAN.read_text(encoding="utf-8")) | {"release": {}}
    del plan["practice"], plan["prices"]
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    checked(walls, tmp_path / "open", "--plan", str(path))
    made = fingerprint("back", "B", {})
    locked = Revision("back", "B", {}, made, "C", "2026-11-24T09:30:00Z", {})
    kept = LockedFile(revisions=(revision_row(locked),)).model_dump_json()
    (tmp_path / "releases.json").write_text(kept, encoding="utf-8")
    checked(walls, tmp_path / "locked", "--plan", str(path))

    told = [next(iter(stamps(tmp_path / f / "check.csv")))[:2] for f in ("open", "locked")]
    assert told == [(plan["job"]["name"], "–"), (plan["job"]["name"], "B")]


def test_a_name_of_several_lines_is_no_job(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line on standard error, and nothing is written."""
    out = tmp_path / "out"
    assert main(["check", *map(str, walls), "--out", str(out), "--job", "a\nb"]) == 2
    assert capsys.readouterr().err == "--job: expected the job's name on one line\n"
    assert not out.exists()


@pytest.mark.parametrize(("paper", "page_mm"), [("letter", LETTER_MM), ("a4", A4_MM)])
def test_papers_are_of_the_size_that_was_asked_for(
    walls: list[Path], tmp_path: Path, paper: str, page_mm: tuple[float, float]
) -> None:
    """Every page of every paper of `check` and of `panels`."""
    checked(walls, tmp_path / "check", "--paper", paper)
    assert main(["panels", str(PLAN), "--out", str(tmp_path / "panels"), "--paper", paper]) == 0
    papers = [*(tmp_path / "check").glob("*.pdf"), *(tmp_path / "panels").glob("*.pdf")]
    assert len(papers) == 7
    assert {size for pdf in papers for size in sizes_mm(pdf)} == {page_mm}


def test_papers_are_letter_unless_told_otherwise(walls: list[Path], tmp_path: Path) -> None:
    """As a card is; another size is an error of one line."""
    checked(walls, tmp_path / "check")
    assert sizes_mm(tmp_path / "check" / "check.pdf") == {LETTER_MM}
    assert main(["panels", str(PLAN), "--out", str(tmp_path / "x"), "--paper", "a3"]) == 2
    assert not (tmp_path / "x").exists()


def test_a_name_in_empty_boxes_is_told(
    walls: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By both commands and on the paper; a name in letters that print is not."""
    for name, told in (("浴室", False), ("स्नान", True)):
        plan = json.loads(PLAN.read_text(encoding="utf-8"))
        plan["job"]["name"] = name
        del plan["practice"], plan["prices"]
        (tmp_path / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
        checked(walls, tmp_path / "check", "--job", name)
        by_check = capsys.readouterr().out
        assert main(["panels", str(tmp_path / "plan.json"), "--out", str(tmp_path / "panels")]) == 0
        by_panels = capsys.readouterr().out
        pages = PdfReader(tmp_path / "check" / "check.pdf").pages
        on_paper = pages[-1].extract_text()
        assert {"empty boxes" in text for text in (by_check, by_panels, on_paper)} == {told}
