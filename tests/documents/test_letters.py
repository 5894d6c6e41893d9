"""Names as people write them: letters beyond the Latin of western Europe print as themselves."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from service.documents.drawing import CAPITAL_PER_EM
from service.documents.pdf.paper import BOLD, PLAIN, PaperStack, text_width_mm

LACKING = "\u4e00"
"""A letter that the face does not have: it prints as an empty box."""


def printed(letter: str, *, bold: bool) -> bytes:
    """One large letter on a page."""
    page = PaperStack("letter", "letter")
    page.text(50, 150, letter, 120, bold=bold)
    page.next_page()
    return page.finished()


def picture(letter: str, *, bold: bool) -> bytes:
    """The printed letter's pixels."""
    page = pypdfium2.PdfDocument(printed(letter, bold=bold))[0]
    return bytes(page.render(scale=0.5, grayscale=True).to_numpy().tobytes())


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("letter", list("ŁžßőÑΩжЮ≥½⅞″–•…"))
def test_letters_print_as_themselves(letter: str, bold: bool) -> None:
    """No letter of these prints as the empty box, and each can be read back."""
    assert picture(letter, bold=bold) != picture(LACKING, bold=bold)
    (page,) = PdfReader(BytesIO(printed(letter, bold=bold))).pages
    assert letter in page.extract_text()


@pytest.mark.parametrize("bold", [False, True])
def test_capitals_are_as_high_as_the_drawings_count_on(bold: bool) -> None:
    """An H printed at 720 pt is 0.729 em high, to half a percent."""
    page = PaperStack("a4", "height")
    page.text(5, 20, "H", 720 / 4, bold=bold)
    page.next_page()
    bitmap = pypdfium2.PdfDocument(page.finished())[0].render(scale=4, grayscale=True)
    rows = np.flatnonzero((np.asarray(bitmap.to_numpy()).squeeze() < 128).any(axis=1))
    assert (rows[-1] - rows[0] + 1) / 720 == pytest.approx(CAPITAL_PER_EM, abs=0.005)


def test_width_is_measured_in_the_face_that_prints() -> None:
    """Bold is wider than plain."""
    assert text_width_mm("FINISHED TOP", 10, BOLD) > text_width_mm("FINISHED TOP", 10, PLAIN)
