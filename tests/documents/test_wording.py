"""Sizes that have a side, in words: a sign is dropped nowhere without its meaning."""

from __future__ import annotations

import pytest

from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.install_sheet import install_sheet_pdf
from service.documents.wording import DocumentMeta, beyond_face, off_plumb
from service.panels.places import WallName
from service.panels.sizes import mark
from tests.panels.written_plan import back_wall, written_plan
from tests.support.pdf_reader import words_of

META = DocumentMeta("A", "2026-01-02")
INCH = 25.4


@pytest.mark.parametrize(
    ("wall", "inches", "words"),
    [
        ("back", -20, "20 in left of plumb as seen from the room"),
        ("back", 20, "20 in right of plumb as seen from the room"),
        ("plumbing", 14.5, "14 1/2 in from plumb towards the room"),
        ("far end", -4, "4 in from plumb towards the back corner"),
        ("back", 0, "on the plumb line"),
    ],
)
def test_a_place_beside_plumb_says_its_side(wall: WallName, inches: float, words: str) -> None:
    """Left or right on the back wall, towards corner or room on an end wall."""
    assert off_plumb(wall, mark(inches * INCH)) == words


@pytest.mark.parametrize("at", ["-20", "20"])
def test_blocking_is_set_on_the_side_of_its_hook(at: str) -> None:
    """A robe hook left of plumb and one right of it do not read the same on the install sheet."""
    hook = {"name": "robe hook", "from_plumb": at, "down": "10", "kind": "accessory"}
    plan = written_plan({"walls": [back_wall(fixtures=[hook])]})
    words = words_of(install_sheet_pdf(plan, META))
    where = "left" if at.startswith("-") else "right"
    assert f"middle 20 in {where} of plumb as seen from the room and 10 in below the line" in words


def test_a_depth_past_the_new_face_says_on_which_side() -> None:
    """A nipple shorter than sheet and bed ends behind the face; one that is longer stands out."""
    quarter = mark(INCH / 4)
    assert beyond_face(quarter, in_front=True) == "1/4 in out of the new face"
    assert beyond_face(mark(-INCH / 4), in_front=True) == "1/4 in behind the new face"
    assert beyond_face(quarter, in_front=False) == "1/4 in behind the new face"
    assert beyond_face(mark(-INCH / 4), in_front=False) == "1/4 in out of the new face"


def test_a_nipple_behind_the_face_is_told_on_its_sheet() -> None:
    """1/8 in out of the wall, under 1/4 in of sheet and bed: the spout would not screw on."""
    spout = {"name": "spout", "from_plumb": "0", "down": "40", "pipe": "0.840", "nipple_out": "1/8"}
    plan = written_plan({"walls": [back_wall(fixtures=[spout])]})
    words = words_of(cutting_sheets_pdf(plan, META))
    assert "nipple 1/8 in behind the new face" in words
