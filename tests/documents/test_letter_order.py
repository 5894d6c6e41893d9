"""Names that are written from right to left, as they are set on paper.

Expected forms are called by the names of the Unicode Character Database; how Arabic letters join is
as in The Unicode Standard, chapter 9.2 (Arabic: cursive joining; lam with alef as one form).
"""

from __future__ import annotations

import unicodedata

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.pdf.letter_order import as_set
from service.documents.pdf.paper import PaperStack, text_width_mm
from tests.documents.test_letters import LACKING, picture

SIZES = st.from_regex(r"[1-9]?[0-9]( [1-9]/16)? in", fullmatch=True)


def names(words: str) -> list[str]:
    return [unicodedata.name(letter) for letter in words]


def test_hebrew_is_set_with_its_first_letter_on_the_right() -> None:
    """Shin, lamed, vav, final mem from the right."""
    assert names(as_set("שלום")) == [
        "HEBREW LETTER FINAL MEM",
        "HEBREW LETTER VAV",
        "HEBREW LETTER LAMED",
        "HEBREW LETTER SHIN",
    ]


def test_arabic_letters_join() -> None:
    """*Salaam*: seen begins, lam with alef ends the joined part, meem stands alone."""
    assert names(as_set("سلام")) == [
        "ARABIC LETTER MEEM ISOLATED FORM",
        "ARABIC LIGATURE LAM WITH ALEF FINAL FORM",
        "ARABIC LETTER SEEN INITIAL FORM",
    ]


def test_a_letter_in_the_middle_has_its_middle_form() -> None:
    """*Muhammad*: four letters, of which dal joins to none after it."""
    assert [name.rsplit(" ", 2)[1] for name in names(as_set("محمد"))] == [
        "FINAL", "MEDIAL", "MEDIAL", "INITIAL",
    ]  # fmt: skip


def test_words_round_a_name_stay_where_they_are() -> None:
    """Letter, colon and saw stand as written; only the name in between is turned."""
    set_ = as_set("B שם אחד: 3 3/4 in hole saw")
    assert set_ == "B " + "שם אחד"[::-1] + ": 3 3/4 in hole saw"


@given(st.sampled_from(["שלום", "محمد الفاتح", "(צד)", "دش"]), SIZES, SIZES)
def test_no_size_is_turned(name: str, before: str, after: str) -> None:
    """Whatever stands beside a name, its figures read as they were written, in their order."""
    set_ = as_set(f"{before} {name} {after}")
    assert set_.startswith(f"{before} ")
    assert set_.endswith(f" {after}")


def test_a_bracket_inside_a_name_opens_the_other_way() -> None:
    """The bracket that opens on the right of a name that runs left is the other one."""
    assert as_set("א(ב)ג") == "ג(ב)א"


def test_marks_stay_behind_their_letters() -> None:
    """A vowel point is drawn with the letter that it belongs to."""
    assert as_set("בּא") == "א" + "בּ"


def test_accents_typed_apart_are_composed() -> None:
    """Letter and accent as some keyboards send them print as one."""
    assert as_set("Nguye\u0302\u0303n") == "Nguyễn"


def test_marks_that_steer_a_screen_are_not_printed() -> None:
    """An override of direction in a name turns nothing round it and prints no box."""
    assert as_set("a\u202e3/4\u202c b\u200f") == "a3/4 b"


@given(st.text(st.characters(codec="ascii", exclude_categories=["Cc"])))
def test_plain_words_are_left_alone(words: str) -> None:
    """What every paper is written in stays as it is."""
    assert as_set(words) == words


@pytest.mark.parametrize("word", ["שלום", "محمد", "سلام", "پچگژ"])
@pytest.mark.parametrize("bold", [False, True])
def test_every_letter_is_in_the_face(word: str, bold: bool) -> None:
    """No form that a name is set in prints as the empty box."""
    box = picture(LACKING, bold=bold)
    assert all(picture(letter, bold=bold) != box for letter in as_set(word))


def test_the_page_shows_the_joined_name() -> None:
    """*Muhammad* is one unbroken stroke on the page, and as wide as is counted on."""
    page = PaperStack("letter", "name")
    page.text(50, 150, "محمد", 60)
    page.next_page()
    bitmap = pypdfium2.PdfDocument(page.finished())[0].render(scale=2, grayscale=True)
    dark = np.asarray(bitmap.to_numpy()).squeeze() < 128
    columns = np.flatnonzero(dark.any(axis=0))
    assert np.all(np.diff(columns) == 1)
    wide = (columns[-1] - columns[0] + 1) / 2 * 25.4 / 72
    assert wide == pytest.approx(text_width_mm("محمد", 60), rel=0.1)
