"""Cutting sheets, read back as text with pypdf and as pictures with PDFium."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from io import BytesIO
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader

from service.documents.drawing import Layer, Place, Polyline
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.paper import PaperStack, text_width_mm, wrapped
from service.documents.wording import DocumentMeta
from service.panels.model import Plan, Point, Size
from tests.documents.alcove import INCH, alcove_plan, renamed
from tests.support.pdf_reader import page_texts

FloatArray = NDArray[np.float64]
DPI = 300
META = DocumentMeta(revision="A", date="24 November 2026", fingerprint="3f9a12")
WARNING = "ESTIMATE – NOT FOR CUTTING"
TITLES = ("BACK WALL", "PLUMBING WALL, LEFT HAND", "FAR END WALL, RIGHT HAND")
PAPERS = pytest.mark.parametrize("paper", ["letter", "a4"])


texts = cache(page_texts)


@cache
def sheets(plan: Plan, meta: DocumentMeta = META) -> bytes:
    """One file per plan and meta: several tests read the same one."""
    return cutting_sheets_pdf(plan, meta)


def grey_page(data: bytes, number: int) -> NDArray[np.uint8]:
    document = pdfium.PdfDocument(data)
    picture: Any = document[number].render(scale=DPI / 72, grayscale=True).to_numpy()
    document.close()
    return np.asarray(picture, dtype=np.uint8).reshape(picture.shape[:2])


def pages_of(words: list[str], title: str) -> list[str]:
    return [page for page in words if title in page]


@PAPERS
def test_every_page_of_an_unreleased_panel_warns(paper: Any) -> None:
    """The warning stands on all pages of the shut panel and on none of the released ones."""
    plan = alcove_plan(released=(True, False, True))

    words = texts(sheets(plan, replace(META, paper=paper)))

    for title in TITLES:
        pages = pages_of(words, title)
        assert len(pages) >= 3
        assert {WARNING in page for page in pages} == {title == TITLES[1]}
        assert {"RELEASED FOR CUTTING" in page for page in pages} == {title != TITLES[1]}


def test_every_page_belongs_to_one_panel_and_names_its_hand() -> None:
    """Each page is headed by one panel's name with its hand, and says which hand that is."""
    words = texts(sheets(alcove_plan(), META))

    for page in words:
        (title,) = [title for title in TITLES if title in page]
        hand = {TITLES[0]: "no hand", TITLES[1]: "LEFT HAND (", TITLES[2]: "RIGHT HAND ("}[title]
        assert hand in page


def test_reasons_are_listed_on_the_front_the_back_and_the_steps() -> None:
    """Why a panel is not for cutting is said on each of its pages."""
    plan = alcove_plan(released=(False, True, True))

    pages = pages_of(texts(sheets(plan, META)), "BACK WALL")

    assert len(pages) == 3
    assert all("width low: not taped" in page for page in pages)
    assert all("height left: conflicts" in page for page in pages)


def test_too_many_reasons_are_counted_and_listed_in_full_on_the_steps() -> None:
    """Forty reasons do not fit a banner: it counts those left out, the steps list them all."""
    plan = alcove_plan(released=(False, True, True))
    reasons = tuple(f"size number {index} of the long list: not taped" for index in range(40))
    back = replace(plan.panels[0], why_not=reasons)

    pages = texts(sheets(replace(plan, panels=(back,)), META))

    assert re.search(r"and \d+ more, listed on the", pages[0])
    steps = " ".join(" ".join(page for page in pages if "STEPS" in page).split())
    assert all(reason in steps for reason in reasons)
    assert all(WARNING in page for page in pages)


def test_front_and_back_list_the_same_numbers() -> None:
    """The table of a panel's back page has every number of its front page."""
    words = texts(sheets(alcove_plan(), META))
    front, back = pages_of(words, TITLES[1])[:2]

    def numbers(page: str) -> list[str]:
        return sorted(re.findall(r"\d[\d /.]* in\b|\d+\.\d", page))

    assert "FRONT (finished face)" in front
    assert "BACK (seen from behind)" in back
    assert numbers(front) == numbers(back)


def test_holes_of_the_worked_alcove_are_on_both_faces() -> None:
    """Arm 17 5/16 and 4, valve 17 3/16 and 52 1/16, spout 17 1/4 and 62 3/4; saws 1 1/8, 3 3/4."""
    words = texts(sheets(alcove_plan(), META))

    for page in pages_of(words, TITLES[1])[:2]:
        for value in ("17 5/16 in", "17 3/16 in", "52 1/16 in", "17 1/4 in", "62 3/4 in"):
            assert page.count(value) == 2, value
        assert "valve: 3 3/4 in hole saw" in page
        assert "arm: 1 1/8 in hole saw" in page


def test_inches_and_millimetres_say_the_same_length() -> None:
    """29 9/16 in of the first left mark stands beside the exact millimetres of 29.5703 in."""
    front = texts(sheets(alcove_plan(), META))[0]

    assert "29 9/16 in" in front
    assert f"{29.5703 * INCH:.1f}" in front


@PAPERS
def test_page_size(paper: Any) -> None:
    """Letter is 612 x 792 pt, A4 595.28 x 841.89 pt (ISO 216 through 1 pt = 1/72 in)."""
    expected = {"letter": (612, 792), "a4": (595.28, 841.89)}[paper]

    box = PdfReader(BytesIO(sheets(alcove_plan(), replace(META, paper=paper))))

    for page in box.pages:
        assert (page.mediabox.width, page.mediabox.height) == pytest.approx(expected, abs=0.01)


def test_every_font_is_embedded() -> None:
    """No page relies on a font that the printer may lack."""
    for page in PdfReader(BytesIO(sheets(alcove_plan(), META))).pages:
        fonts: Any = page["/Resources"]["/Font"]  # type: ignore[index]
        used = [font.get_object() for font in fonts.values()]
        assert len(used) >= 2
        assert all("/FontFile2" in font["/FontDescriptor"] for font in used)


def test_no_text_is_smaller_than_eight_points() -> None:
    """Every text is set at 8 pt or more."""
    sizes: set[float] = set()

    def note(_text: str, _cm: Any, _tm: Any, _font: Any, size: float) -> None:
        if _text.strip():
            sizes.add(size)

    for page in PdfReader(BytesIO(sheets(alcove_plan(), META))).pages:
        page.extract_text(visitor_text=note)

    assert min(sizes) >= 8


def test_same_plan_same_bytes() -> None:
    """No clock and no chance: two runs give identical files."""
    plan = alcove_plan()

    assert cutting_sheets_pdf(plan, META) == cutting_sheets_pdf(plan, META)


@pytest.mark.published
@pytest.mark.parametrize(("scale", "length_in"), [(12, 5.0), (10, 6.0), (20, 3.0)])
def test_sixty_inches_print_at_the_stated_scale(scale: int, length_in: float) -> None:
    """1 in = 1 ft prints 60 in as 5.000 in, 1:10 as 6 (ISO 5455): to a pixel at 300 dpi."""
    side = 60 * INCH
    corners = (Place(0, 0), Place(side, 0), Place(side, side), Place(0, side))
    paper = PaperStack("letter", "scale")
    paper.drawing((Polyline(Layer.OUTLINE, corners, closed=True),), scale, 20, 40)
    paper.next_page()

    dark = _darkness(paper.finished(), 0)

    line_px = 0.7 / INCH * DPI
    for profile in (dark.max(axis=0), dark.max(axis=1)):
        assert profile.sum() - line_px == pytest.approx(length_in * DPI, abs=1)


@PAPERS
@pytest.mark.parametrize("face", [0, 1])
def test_outer_edge_prints_as_long_as_its_scale_says(paper: Any, face: int) -> None:
    """The plumbing panel's outer edge, 81 15/16 in, is right to a pixel on both faces."""
    data = sheets(alcove_plan(), replace(META, paper=paper))
    scale_words = re.search(r"Scale 1:(\d+)", texts(data)[3 + face])
    assert scale_words

    # Only the outline is thick enough to survive the thinning; its outer edge is plumb.
    thick = _thinned(_darkness(data, 3 + face)[:, : int(4.6 * DPI)], 3)
    longest = max(_longest_run(thick[:, x]) for x in range(thick.shape[1]))

    line_px = 0.7 / INCH * DPI
    expected = 81.9375 / int(scale_words[1]) * DPI
    assert longest - line_px == pytest.approx(expected, abs=1)


def test_a_view_not_at_scale_would_be_seen() -> None:
    """The measurement above tells 1:16 from 1:15: its pixel tolerance is no blank cheque."""
    assert abs(81.9375 / 16 - 81.9375 / 15) * DPI > 50


def _darkness(data: bytes, number: int) -> FloatArray:
    """How much of each pixel is inked, 0 to 1: lengths summed from it are finer than a pixel."""
    return 1.0 - grey_page(data, number).astype(np.float64) / 255


def _thinned(dark: FloatArray, reach: int) -> FloatArray:
    """Each row's least darkness within `reach` pixels: thin upright lines vanish."""
    kept = dark.copy()
    for step in range(1, reach + 1):
        kept[:, step:] = np.minimum(kept[:, step:], dark[:, :-step])
        kept[:, :-step] = np.minimum(kept[:, :-step], dark[:, step:])
    return kept


def _longest_run(column: FloatArray) -> float:
    """Ink summed over the longest unbroken run."""
    inked = np.concatenate(([0], (column > 0.05).astype(np.int8), [0]))
    changes = np.flatnonzero(np.diff(inked))
    runs = [column[a:b].sum() for a, b in zip(changes[::2], changes[1::2], strict=True)]
    return float(max(runs, default=0.0))


@pytest.mark.parametrize(
    "job", ["", "x" * 400, "Ünïcödé – “quoted” <b>&amp;</b>", "two\nlines", "Łódź 東京 🛁"]
)
def test_any_job_name_prints(job: str) -> None:
    """Odd names neither break the sheet nor run off the page."""
    plan: Plan = renamed(alcove_plan(), job)

    assert len(texts(sheets(plan, META))) == 9


def test_long_tables_go_on_over_the_page() -> None:
    """Seventy marks do not fit one column: all of them are printed all the same."""
    plan = alcove_plan()
    many = tuple(replace(plan.panels[0].marks[index % 12], order=index + 1) for index in range(70))
    back = replace(plan.panels[0], marks=many)

    pages = texts(sheets(replace(plan, panels=(back,)), META))

    front = "\n".join(page for page in pages if "FRONT" in page)
    assert "(continued)" in front
    assert all(re.search(rf"^{number}$|\b{number}\b", front, re.M) for number in range(1, 71))


def test_wrapped_lines_fit_their_width() -> None:
    """No line is wider than asked, even when one word alone would be."""
    lines = wrapped("a " + "w" * 90 + " end", 30, 9)

    assert all(text_width_mm(line, 9) <= 30 for line in lines)
    assert "".join(lines).replace(" ", "") == "a" + "w" * 90 + "end"


@pytest.mark.parametrize(
    "change",
    [
        {"sheet": None},
        {"pattern": None},
        {"marks": ()},
        {"cutouts": ()},
        {"returns": (), "widths": (), "notes": ()},
    ],
    ids=", ".join,
)
def test_a_panel_that_lacks_something_still_prints(change: dict[str, Any]) -> None:
    """No sheet in stock, no pattern, no marks: the pages say what there is."""
    plan = alcove_plan()
    panel = replace(plan.panels[1], **change)

    pages = texts(sheets(replace(plan, panels=(panel,)), META))

    assert [title in page for page in pages for title in TITLES[1:2]] == [True] * 3


def test_a_row_of_many_holes_keeps_every_number() -> None:
    """Nine holes have more numbers than lanes: the table has all of them on both faces."""
    plan = alcove_plan()
    hole = plan.panels[1].cutouts[1]
    holes = tuple(
        replace(
            hole, name=f"hole {k}", from_top=Size(k * 150.0, f"{k} 1/3"), at_mm=Point(400, k * 150)
        )
        for k in range(1, 10)
    )
    panel = replace(plan.panels[1], cutouts=holes)

    pages = texts(sheets(replace(plan, panels=(panel,)), META))

    for face in ("FRONT", "BACK"):
        words = "\n".join(page for page in pages if face in page)
        assert all(f"{k} 1/3 in" in words for k in range(1, 10))


def test_box_and_widths_are_in_millimetres_too() -> None:
    """The overall size on both views, and what is checked before the saw, for a metric tape."""
    plan = alcove_plan()
    box = plan.panels[0].box
    exact = f"({box.width.mm:.1f} x {box.height.mm:.1f} mm)"
    words = [" ".join(page.split()) for page in texts(sheets(plan))]
    assert sum(exact in page for page in words) == 2
    steps = next(page for page in words if "CHECK before the saw" in page)
    assert all(f"({width.value.mm:.1f} mm) at" in steps for width in plan.panels[0].widths)
