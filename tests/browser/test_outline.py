"""Known sizes and straight lines are set in a photo by the same reticle as points."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.hands import Hand
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import PHONE, opened, picture
from tests.browser.test_looks import faults_of

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
