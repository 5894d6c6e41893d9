"""Names as people write them: letters beyond the Latin of western Europe print as themselves."""

from __future__ import annotations

import unicodedata
from io import BytesIO

import numpy as np
import pypdfium2
import pytest
from PIL import ImageFont
from pypdf import PdfReader

from service.actions.plan.planning import planned
from service.documents.drawing import CAPITAL_PER_EM
from service.documents.pdf.faces import BOLD, PLAIN, boxed_letters, face_with, pieces
from service.documents.pdf.paper import PaperStack, text_width_mm, wrapped
from service.documents.wording import customer_cautions
from service.files.loading import load_model
from service.files.plan import PlanFile
from service.files.shop_practice import practice_of
from tests.panels.worked_alcove import PLAN

LACKING = "\u0915"
"""A letter of Devanagari, which no face has: it prints as an empty box."""


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
@pytest.mark.parametrize("letter", list("ŁžßőÑΩжЮ≥½⅞″–•…浴藤様装욕님ひガผญ、」"))
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


def test_a_name_in_several_scripts_is_set_part_by_part() -> None:
    """Each part in a face that has it, as wide as its parts, all of it read back; a mark stays on
    the letter that it belongs to, also where a word is cut for want of room."""
    name = "浴室 bath 2 욕실 น้ำ"
    parts = pieces(name, BOLD)
    assert "".join(words for _, words in parts) == name
    assert [face for face, _ in parts][:2] == ["WenQuanYiMicroHei", "DejaVuSans-Bold"]
    width = sum(text_width_mm(word, 10, BOLD) for word in name.split())
    assert text_width_mm(name.replace(" ", ""), 10, BOLD) == pytest.approx(width)
    (page,) = PdfReader(BytesIO(printed(name, bold=True))).pages
    assert page.extract_text().split() == name.split()
    cut = wrapped("น้ำ" * 20, 30, 12)
    assert len(cut) > 1
    assert all(unicodedata.category(line[0]) == "Lo" for line in cut)


def test_a_page_holds_no_more_of_a_face_than_its_letters() -> None:
    """The East Asian face alone is 5 MB; a page with a name of it, under 40 kB."""
    assert len(printed("浴室", bold=False)) < 40_000


def test_letters_that_no_face_has_are_told() -> None:
    """With their codes, and only they."""
    assert boxed_letters("Hall bath, 浴室, 욕실, ห้องน้ำ, שלום, سلام, Ж ½ –") == ""
    assert boxed_letters(f"{LACKING}a\u0916 b {LACKING}") == "क (U+0915), ख (U+0916)"
    assert boxed_letters("कखगघङचछ").endswith("U+0919) and 2 more")


def test_a_plan_warns_of_a_name_in_empty_boxes() -> None:
    """On its pages and in panels.json, not on what the customer gets; no other plan does."""
    file = load_model(PLAN, PlanFile)
    warned = {}
    for name in ("浴室", "क"):
        named = file.model_copy(update={"job": file.job.model_copy(update={"name": name})})
        found = planned(named, {}, practice_of(None, "", ""), None).plan
        warned[name] = [w.text for w in found.warnings if w.code == "no-letter"]
        assert not any("empty boxes" in text for text in customer_cautions(found))
    assert warned["浴室"] == []
    assert warned["क"] == ["क (U+0915) print as empty boxes, for no typeface here has them"]


@pytest.mark.parametrize("name", ["width", "ширина", "浴室", "욕실", "ห้องน้ำ"])
def test_one_face_has_all_letters_of_a_picture(name: str) -> None:
    """Of the name and of the figures beside it; a space in it parts 58 from 5/8."""
    text = f"{name}: 58 5/8 ± 1/16 in, agrees"
    face = ImageFont.truetype(BytesIO(face_with(text)), 100)
    box = bytes(face.getmask("\uffff"))
    assert all(bytes(face.getmask(letter)) != box for letter in text if letter != " ")
    assert face.getlength("8 5") - face.getlength("85") > 22
