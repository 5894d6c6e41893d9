"""Order list, install sheet and the elevation to sign: what each says, and what it leaves out."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import fromstring

import pytest

from service.actions.plan import elevation_svg
from service.documents.drawing import Text, bounds
from service.documents.elevation import alcove_elevation, whole_elevation
from service.documents.order import order_csv
from service.documents.pdf.customer_elevation import customer_elevation_pdf
from service.documents.pdf.estimate import estimate_pdf
from service.documents.pdf.install_sheet import install_sheet_pdf
from service.documents.pdf.order_list import order_list_pdf
from service.documents.wording import SHOP_ONLY, DocumentMeta
from service.panels.model import Caution
from service.panels.sheet_release import SheetSize
from service.panels.sizes import mark
from tests.documents.alcove import alcove_plan
from tests.panels.worked_alcove import worked_plan
from tests.panels.written_plan import back_wall, sheet, written_plan
from tests.support.pdf_reader import page_texts, page_words, words_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.model import Plan
    from service.panels.places import Tub

META = DocumentMeta("B", "2026-01-02", "letter", "abc123")
SVG: Final = "{http://www.w3.org/2000/svg}"
MAKERS = (order_list_pdf, install_sheet_pdf, customer_elevation_pdf)


@cache
def worked(maker: Callable[[Plan, DocumentMeta], bytes]) -> str:
    """The words of a paper of the worked alcove."""
    return words_of(maker(worked_plan(), META))


@pytest.mark.parametrize("maker", MAKERS)
def test_every_paper_names_its_plan(maker: Callable[[Plan, DocumentMeta], bytes]) -> None:
    """Job, revision, date, fingerprint and practice stand on it, and that it is an estimate."""
    words = worked(maker)
    for text in ("One alcove worked by hand", "revision B", "abc123", "NOT FOR CUTTING"):
        assert text in words
    assert "practice:" in words


@pytest.mark.parametrize("maker", MAKERS)
def test_a_released_plan_carries_no_warning(
    maker: Callable[[Plan, DocumentMeta], bytes],
) -> None:
    """The warning is on unreleased plans only."""
    assert "NOT FOR CUTTING" not in words_of(maker(alcove_plan(), META))


@pytest.mark.parametrize("maker", MAKERS)
def test_panels_are_named_with_their_hand(
    maker: Callable[[Plan, DocumentMeta], bytes],
) -> None:
    """Left and right hand are said on every paper that names an end panel."""
    words = worked(maker).lower()
    assert "left hand" in words
    assert "right hand" in words


@pytest.mark.parametrize(
    "text",
    [
        "1 x 60 x 96",
        "36 in x 96 in, LEFT HAND, finished top + left; for plumbing wall, left hand",
        "SHEET 2: 36 x 96 left, left hand",
        "60 in x 28 11/16 in, plain",
        "left corner backer 66 5/8 in",
        "3 x panel tape",
        "6 x adhesive",
    ],
)
def test_order_list_names_everything_to_buy(text: str) -> None:
    """Sheets with hand and edges, drops, cut lengths and packages as worked by hand."""
    assert text in worked(order_list_pdf)


@pytest.mark.parametrize(
    "text",
    ["silica", "lead paint", "asbestos", "Water off", "Two people", "licensed", "hang", "GFCI"],
)
def test_install_sheet_has_its_cautions(text: str) -> None:
    """The usual cautions stand first."""
    assert text.lower() in worked(install_sheet_pdf).lower()


@pytest.mark.parametrize(
    ("tub", "words"),
    [("stays", "sealed with water in it"), ("new", "sealed with water in it"),
     ("base", "at the base"), ("floor", "onto its waterproofing")],
)  # fmt: skip
def test_joints_are_sealed_to_what_is_there(tub: Tub, words: str) -> None:
    """Only a tub is filled before its joint is sealed; a base and a bare floor are not."""
    text = words_of(install_sheet_pdf(replace(alcove_plan(), tub=tub), META))
    assert words in text
    assert ("water in it" in text) is (tub in ("stays", "new"))


def test_install_sheet_hangs_the_back_first() -> None:
    """Back, then the ends, each with its hand."""
    words = worked(install_sheet_pdf)
    assert words.index("1. back wall") < words.index("2. plumbing wall")
    assert "12, 24 1/8, 36 1/4, 48 3/8, 60 1/2 in below the top" in words


def test_what_the_shop_does_is_not_on_the_customers_paper() -> None:
    """ "Tell the customer" is for the installer; the customer reads the finding itself."""
    assert "tell the customer" in worked(install_sheet_pdf)
    for maker in (customer_elevation_pdf, estimate_pdf):
        words = worked(maker)
        assert "tell the customer" not in words
        assert "cut tiles at the left edge run from 11 3/16 in at the top to 10 11/16 in" in words


@pytest.mark.parametrize("maker", [*MAKERS, estimate_pdf])
def test_an_override_is_on_every_page_of_papers_of_all_panels(
    maker: Callable[[Plan, DocumentMeta], bytes],
) -> None:
    """Who let which size of which panel stand, and why; once on each page, on the estimate's in a
    part of its own, and without an override nowhere."""
    told = "back wall: left 40: override by C: notched there"
    counts = [page.count(told) for page in page_words(maker(_with_override(), META))]
    assert counts == [1] * len(counts)
    assert "let stand" not in words_of(maker(alcove_plan(), META)).lower()


def test_a_price_with_an_override_does_not_say_that_all_is_checked() -> None:
    """The frame of the figure tells that something was let stand."""
    assert "Every size is taped and checked." in words_of(estimate_pdf(alcove_plan(), META))
    words = words_of(estimate_pdf(_with_override(), META))
    assert "Every size is taped, and checked or let stand as told." in words


def test_an_override_is_in_the_order_file() -> None:
    """As a line of its own after what is bought."""
    last = order_csv(_with_override(), META).decode().splitlines()[-1]
    assert ",override," in last
    assert "back wall: left 40: override by C: notched there" in last


def test_an_override_is_below_the_elevation_of_the_alcove() -> None:
    """It is drawn, and said to whoever cannot see the drawing; without one neither is there."""
    told = "let stand: back wall: left 40: override by C: notched there"
    root = fromstring(elevation_svg(_with_override()))
    drawn = [text for node in root.iter(f"{SVG}text") if (text := node.text)]

    assert told in drawn
    assert told in (root.findtext(f"{SVG}desc") or "")
    assert b"let stand" not in elevation_svg(alcove_plan())


def test_a_long_reason_is_no_wider_than_the_elevation() -> None:
    """It goes on in lines below one another, within the drawing, and no word is lost."""
    reason = "the plaster bulges there and the owner wants it left as it is " * 6
    plan = _with_override(reason=reason)
    text_mm = 25.0
    walls = bounds(alcove_elevation(plan.panels, text_mm))
    page = whole_elevation(plan, text_mm)
    rows = [item for item in page if isinstance(item, Text) and item.at.y < walls.bottom]

    assert len(rows) > 2
    assert " ".join(row.text for row in rows).endswith(" ".join(reason.split()))
    assert bounds(page).width == pytest.approx(walls.width)
    gaps = [upper.at.y - lower.at.y for upper, lower in pairwise(rows)]
    assert min(gaps) > text_mm


def test_very_many_overrides_leave_room_for_the_paper() -> None:
    """Past what a page can carry it says where the rest is, and every row is still there."""
    words = words_of(order_list_pdf(_with_override(60), META))
    assert "and more, on the cutting sheets" in words
    assert "6 x adhesive" in words_of(order_list_pdf(_with_override(60, worked_plan()), META))


@pytest.mark.parametrize("code", sorted(SHOP_ONLY))
def test_shop_cautions_stay_in_the_shop(code: str) -> None:
    """A caution that the shop settles is on the install sheet and on no paper for the customer."""
    plan = replace(alcove_plan(), warnings=(Caution(code, "a quite particular finding", "back"),))
    assert "a quite particular finding" in words_of(install_sheet_pdf(plan, META))
    for maker in (customer_elevation_pdf, estimate_pdf):
        assert "a quite particular finding" not in words_of(maker(plan, META))


def test_elevation_is_signed() -> None:
    """The customer signs it, and a second person the top, the hands and the holes."""
    words = worked(customer_elevation_pdf)
    assert "name, signature, date" in words
    assert "second person" in words
    assert "about 82 in above the floor" in words


def test_a_seam_is_agreed_with_the_customer() -> None:
    """A seam is on the elevation that is signed, and on the order."""
    wall = back_wall("36", "36")
    plan = written_plan({"walls": [wall], "stock": [sheet("48 x 96", "top")]})
    words = words_of(customer_elevation_pdf(plan, META))
    assert re.search(
        r"upright seam about [\d /]+ in (left|right) of the plumb line, behind a batten", words
    )
    assert "back wall, left part" in words_of(order_list_pdf(plan, META))


@pytest.mark.parametrize("maker", MAKERS)
def test_same_plan_same_bytes(maker: Callable[[Plan, DocumentMeta], bytes]) -> None:
    """Two runs give identical files."""
    assert maker(alcove_plan(), META) == maker(alcove_plan(), META)


def _with_override(count: int = 1, plan: Plan | None = None, reason: str = "notched there") -> Plan:
    """The plan with so many sizes of its back panel let stand."""
    plan = plan or alcove_plan()
    note = f"override by C: {reason}"
    size = SheetSize("left 40", mark(740.0), 0.5, "left 40", "override", note, "", "")
    back = replace(plan.panels[0], sizes=(size,) * count)
    assert back.wall == "back"
    return replace(plan, panels=(back, *plan.panels[1:]))


def test_the_picture_to_sign_calls_every_size_of_an_estimate_about() -> None:
    """Its head says that sizes marked *about* are estimates: none of an open panel is unmarked."""
    words = words_of(customer_elevation_pdf(alcove_plan(released=(False, False, False)), META))
    agreed = words[words.index("WHAT YOU AGREE TO") : words.index("SIGNED")]
    sizes = re.findall(r"(about )?[\d/ ]+ in (?:wide|high|below)", agreed)
    assert len(sizes) == 6 + 3 + 3  # width and height, cut tiles, holes
    assert all(sizes)


def test_nobody_signs_a_page_that_shows_nothing() -> None:
    """A picture gives way until all that is agreed is on one page; where it cannot, the words over
    the signature say that they are of all pages."""
    plan = replace(alcove_plan(), warnings=_many_cautions(8))
    assert len(page_texts(customer_elevation_pdf(plan, META))) == 1
    many = replace(alcove_plan(), warnings=_many_cautions(60))
    *_, last = page_texts(customer_elevation_pdf(many, META))
    assert "as on all pages of this paper" in last


def _many_cautions(count: int) -> tuple[Caution, ...]:
    return tuple(
        Caution("taper", f"cut tiles number {n} run from 4 to 5 in", "back") for n in range(count)
    )


def test_an_opening_is_agreed_with_the_customer() -> None:
    """A niche is in the words over the signature, with its size and its height."""
    niche = {"kind": "niche", "name": "shampoo niche", "left": {"value": "-9"}, "depth": "3 1/2",
             "right": {"value": "5"}, "head": {"value": "30"}, "sill": {"value": "43"}}  # fmt: skip
    plan = written_plan({"walls": [back_wall(windows=[niche])]})
    words = words_of(customer_elevation_pdf(plan, META))
    assert (
        "shampoo niche: about 14 in x about 13 in, its head about 30 3/4 in below the top" in words
    )
