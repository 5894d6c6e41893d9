"""Known sizes and straight lines are set in a photo by the same reticle as points."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from fixtures.makers.render.shots import SHOTS
from tests.bench.bench_snapping import page_corners
from tests.browser.hands import Hand
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import PHONE, opened, picture
from tests.browser.test_looks import faults_of
from tests.fixtures.example_files import EXAMPLE

pytestmark = [pytest.mark.browser, pytest.mark.example]

SHEET: Final = ((1400.0, 2000.0), (1600.0, 2005.0), (1598.0, 1840.0), (1402.0, 1836.0))


@pytest.fixture
def work(browser: Browser, example: dict[str, Any]) -> Iterator[PhotoWork]:
    """A photo on a phone, the fold of known sizes open."""
    photo = example["walls"]["plumbing"]["photos"][0]
    with opened(browser, example["address"], PHONE, "dark") as page:
        page.goto(f"/photo.html?photo={photo['id']}")
        found = PhotoWork(page, Hand(page, touch=True))
        found.ready()
        page.locator("#outlines > summary").tap()
        yield found


def _set(work: PhotoWork, image: tuple[float, float]) -> None:
    """Goes to a place by tapping it on the whole photo, and sets the next corner or point."""
    work.stage.focus()
    work.page.keyboard.press("0")
    work.stage.scroll_into_view_if_needed()
    work.hand.tap_at(*work.on_screen(image))
    work.until_large()
    work.hand.press(work.page.locator("#outline button.set-corner"))


def _kept(page: Page, group: str) -> list[dict[str, Any]]:
    photo = page.url.partition("photo=")[2].partition("&")[0]
    wall = page.request.get(f"/api/photos/{photo}").json()["wall"]
    rows: list[dict[str, Any]] = page.request.get(f"/api/walls/{wall}").json()[group]
    return rows


def test_a_tile_by_its_name_is_no_scale(work: PhotoWork) -> None:
    """The page says why, what to do instead, and lets nobody begin."""
    work.page.locator("#outline-kind").select_option("tile")

    expect(work.page.locator("#outlines")).to_contain_text("A nominal size is no scale")
    expect(work.page.get_by_role("button", name="Set it in the photo")).to_be_disabled()


def test_a_sheet_is_set_corner_by_corner(work: PhotoWork) -> None:
    """A letter sheet hung upright: four corners, one of them set anew, kept with its size turned;
    removed again, nothing is left."""
    page = work.page
    page.locator("#outline-kind").select_option("letter")
    page.locator("#outline-lies").select_option("up")
    work.hand.press(page.get_by_role("button", name="Set it in the photo"))
    _set(work, (100.0, 100.0))
    work.hand.press(page.get_by_role("button", name="Back one"))
    picture(page, "outline-phone-dark")
    faults = faults_of(page)
    for corner in SHEET:
        _set(work, corner)
    expect(page.locator("#said")).to_have_text("letter sheet set.")
    (kept,) = _kept(page, "rectangles")
    work.hand.press(page.get_by_role("button", name="Remove letter sheet"))
    expect(page.locator("#said")).to_have_text("letter sheet removed.")

    assert faults == []
    assert kept["size_mm"] == [215.9, 279.4]
    (at,) = kept["corners"].values()
    for corner, true in zip(at, SHEET, strict=True):
        assert corner == pytest.approx(true, abs=2.5)
    assert _kept(page, "rectangles") == []


def test_its_edges_are_offered_and_used_when_the_person_says_so(work: PhotoWork) -> None:
    """The page of a card, its corners tapped: nothing is kept until one of the two is chosen."""
    page = work.page
    page.locator("#outline-kind").select_option("letter")
    page.locator("#outline-lies").select_option("up")
    work.hand.press(page.get_by_role("button", name="Set it in the photo"))
    true = _page_of_card_3(page)
    for corner in true:
        _set(work, corner)
    use = page.get_by_role("button", name="Use its edges")
    expect(use).to_be_focused()
    before = _kept(page, "rectangles")
    picture(page, "edges-offered-phone-dark")
    faults = faults_of(page)
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("letter sheet set.")
    (kept,) = _kept(page, "rectangles")
    work.hand.press(page.get_by_role("button", name="Remove letter sheet"))
    expect(page.locator("#said")).to_have_text("letter sheet removed.")

    assert (before, faults) == ([], [])
    ((sides),) = kept["edges"].values()
    assert [len(side) >= 3 for side in sides] == [True] * 4
    assert kept["edge_u_px"] == 0.3


def _page_of_card_3(page: Page) -> list[tuple[float, float]]:
    """True corners of the page from its lower left, counter-clockwise, in the photo shown."""
    name = page.locator("#photo-name").inner_text()
    shot = next(shot for shot in SHOTS if shot.file.endswith(name))
    truth = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
    cards = truth["walls"]["plumbing"]["cards"]
    number = next(i for i, card in enumerate(cards) if card["serial"] == 3)
    return [(float(x), float(y)) for x, y in page_corners(shot, truth)[number]]


def test_a_deck_line_is_taken_as_a_straight_line(work: PhotoWork) -> None:
    """Suggested, accepted by a press of its own, kept with the points found along it."""
    page = work.page
    work.hand.press(page.get_by_role("button", name="Look for edges and fittings"))
    take = page.get_by_role("button", name="Take as a straight line").first
    take.wait_for()
    before = _kept(page, "lines")
    picture(page, "suggested-phone-dark")
    faults = faults_of(page)
    work.hand.press(take)
    expect(page.locator("#said")).to_have_text("deck line 1 kept as a straight line.")
    (kept,) = _kept(page, "lines")
    work.hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator("#said")).to_have_text("Taken back.")

    assert (before, faults) == ([], [])
    ((points),) = kept["points"].values()
    assert len(points) >= 6
    assert _kept(page, "lines") == []


def test_what_a_point_lies_on_is_changed_in_every_photo(work: PhotoWork) -> None:
    """Of a point that is set in several photos, without moving it in any."""
    page = work.page
    work.take("valve")
    before = _marks(page, "valve")
    work.lies_on("proud")
    expect(page.locator("#said")).to_have_text("valve changed in every photo.")
    after = _marks(page, "valve")
    work.hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator("#said")).to_have_text("Taken back.")

    assert len(before) > 1
    assert [mark["standoff_mm"] for mark in after] == [9.5] * len(before)
    assert [mark["at"] for mark in after] == [mark["at"] for mark in before]
    assert _marks(page, "valve") == before


def _marks(page: Page, name: str) -> list[dict[str, Any]]:
    photos = _kept(page, "photos")
    return [photo["marks"][name] for photo in photos if name in photo["marks"]]


def test_a_plumb_line_is_set_and_taken_back(work: PhotoWork) -> None:
    """Two points and Done; undo takes the line back."""
    page = work.page
    page.locator("#outline-kind").select_option("plumb")
    work.hand.press(page.get_by_role("button", name="Set it in the photo"))
    _set(work, (1766.0, 1060.0))
    expect(page.get_by_role("button", name="Done")).to_be_disabled()
    _set(work, (1774.0, 3650.0))
    work.hand.press(page.get_by_role("button", name="Done"))
    expect(page.locator("#said")).to_have_text("plumb line 1 set.")
    (kept,) = _kept(page, "lines")
    work.hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator("#said")).to_have_text("Taken back.")

    assert (kept["name"], kept["direction"]) == ("plumb line 1", "plumb")
    assert _kept(page, "lines") == []
