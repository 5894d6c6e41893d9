"""The order list, read back with the standard CSV reader."""

from __future__ import annotations

import csv
from dataclasses import replace
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.order import COLUMNS, order_csv, safe_cell
from service.documents.wording import DocumentMeta
from service.lengths import parse_length
from service.panels.model import Plan
from tests.documents.alcove import alcove_plan, renamed

META = DocumentMeta("C", "2026-01-02", fingerprint="abc123")


def rows_of(plan: Plan) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(order_csv(plan, META).decode("utf-8"), newline="")))


def test_sheets_are_listed_with_hand_and_finished_edges() -> None:
    """Every sheet line states its hand, its finished edges and the panel it is for."""
    sheets = [row for row in rows_of(alcove_plan()) if row["kind"] == "sheet"]

    assert [(row["item"], row["hand"], row["finished edges"]) for row in sheets] == [
        ("60 x 96", "none", "top"),
        ("36 x 96", "left", "top + left"),
        ("36 x 96", "right", "top + right"),
    ]


def test_materials_are_whole_packages() -> None:
    """117.1 ft of tape with waste is three 50 ft rolls; 168.8 ft of bead six tubes."""
    materials = [row for row in rows_of(alcove_plan()) if row["kind"] == "material"]

    assert [(row["item"], row["quantity"], row["package"]) for row in materials] == [
        ("bonding tape", "3", "50 ft roll"),
        ("adhesive", "6", "tube"),
    ]


def test_backers_and_trims_have_lengths() -> None:
    """Corner backers 66 5/8 and 66 15/16 in, and the trim with its edge."""
    rows = rows_of(alcove_plan())

    lengths = [row["length in"] for row in rows if row["kind"] == "corner backer"]
    trims = [row["for"] for row in rows if row["kind"] == "trim"]
    assert lengths == ["66 5/8", "66 15/16"]
    assert trims == ["plumbing wall, finished outer edge"]


def test_unreleased_sheets_say_so() -> None:
    """Only the sheet of the shut panel is an estimate."""
    rows = rows_of(alcove_plan(released=(True, False, True)))

    states = [row["state"] for row in rows if row["kind"] == "sheet"]
    assert states == ["released", "estimate, not for cutting", "released"]


@pytest.mark.parametrize("job", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1+1", "\r\n=1", " =1", "＝1"])
def test_a_formula_in_a_name_stays_text(job: str) -> None:
    """No cell begins with = + - or @, nor with blanks that hide one."""
    plan = renamed(alcove_plan(), job)

    for row in rows_of(plan):
        assert not row["job"].startswith(("=", "+", "-", "@", " ", "\t", "\r"))
        assert job.strip()[-1] in row["job"]


@given(st.text(max_size=30))
def test_no_text_at_all_makes_a_formula(text: str) -> None:
    """Whatever is typed, the cell is one line and begins with no formula sign."""
    cell = safe_cell(text)

    assert not cell.startswith(("=", "+", "-", "@"))
    assert cell.isprintable()


def test_quotes_and_commas_survive() -> None:
    """RFC 4180 quoting: what goes in comes out."""
    plan = alcove_plan()
    line = replace(plan.takeoff[0], item='tape, "wide"')

    rows = rows_of(replace(plan, takeoff=(line,)))

    assert rows[-1]["item"] == 'tape, "wide"'


def test_lines_end_as_the_standard_says() -> None:
    """RFC 4180: CRLF after every record."""
    data = order_csv(alcove_plan(), META)

    assert data.count(b"\r\n") == data.count(b"\n") == 9


def test_every_line_says_by_which_revision_it_is_ordered() -> None:
    """An older list is told from a newer one, line by line."""
    found = rows_of(alcove_plan())
    assert len(found) > 5
    stamps = {(row["revision"], row["date"], row["plan"]) for row in found}
    assert stamps == {("C", "2026-01-02", "abc123")}


def test_lengths_are_in_millimetres_too() -> None:
    """For a shop with metric tapes: the exact figures beside each printed in inches, behind the
    columns that were there before."""
    rows = rows_of(alcove_plan())
    (sheet,) = [row for row in rows if row["kind"] == "sheet" and row["item"] == "60 x 96"]
    (first, *_rest) = [row for row in rows if row["kind"] == "corner backer"]
    assert (sheet["width mm"], sheet["height mm"], sheet["length mm"]) == ("1524.0", "2438.4", "")
    assert float(first["length mm"]) == pytest.approx(
        float(parse_length(first["length in"], "in").mm), abs=25.4 / 16
    )
    assert COLUMNS[-3:] == ("width mm", "height mm", "length mm")
