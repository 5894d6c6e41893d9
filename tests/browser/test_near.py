"""What the photo offers: a person takes it, or keeps their own; nothing is taken by itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.example_truth import true_marks
from tests.browser.hands import Hand
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import DESK, PHONE, Screen, Theme, opened, picture
from tests.browser.test_looks import faults_of

pytestmark = [pytest.mark.browser, pytest.mark.example]

POINT: Final = "plumb 16"
MISS_PX: Final = 1.4


@pytest.fixture
def phone(browser: Browser, example: dict[str, Any]) -> Iterator[PhotoWork]:
    yield from _photo(browser, example, PHONE)


@pytest.fixture
def desk(browser: Browser, example: dict[str, Any]) -> Iterator[PhotoWork]:
    yield from _photo(browser, example, DESK)


def _photo(browser: Browser, example: dict[str, Any], screen: Screen) -> Iterator[PhotoWork]:
    photo = example["walls"]["plumbing"]["photos"][0]
    theme: Theme = "dark" if screen is DESK else "light"
    with opened(browser, example["address"], screen, theme) as page:
        page.goto(f"/photo.html?photo={photo['id']}")
        work = PhotoWork(page, Hand(page, screen.touch))
        work.ready()
        yield work


def _kept(page: Page) -> dict[str, Any]:
    """The point as the service has it."""
    photo = page.url.partition("photo=")[2].partition("&")[0]
    marks: dict[str, Any] = page.request.get(f"/api/photos/{photo}").json()["marks"]
    return dict(marks[POINT])


def _missed(work: PhotoWork) -> tuple[float, float]:
    """Sets the point beside where it is, and waits for what is offered."""
    x, y = true_marks("plumbing-1.jpg")[POINT]
    work.set(POINT, (x + MISS_PX, y))
    expect(work.page.locator("#near")).to_contain_text("where two lines cross")
    return x, y


def test_what_is_near_is_taken_by_a_press_and_taken_back(phone: PhotoWork) -> None:
    """The hand's point is kept until the crossing is taken; that is nearer the truth and surer
    of itself, and undo and redo go between the two."""
    page = phone.page
    true = _missed(phone)
    by_hand = _kept(page)
    picture(page, "near-phone-light")
    faults = faults_of(page)
    phone.hand.press(page.get_by_role("button", name="Use it"))
    expect(page.locator("#near")).to_be_hidden()
    expect(page.locator("#said")).to_have_text(f"{POINT} set.")
    taken = _kept(page)
    phone.hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator("#said")).to_have_text("Taken back.")
    back = _kept(page)
    phone.hand.press(page.get_by_role("button", name="Redo"))
    expect(page.locator("#said")).to_have_text("Done again.")

    assert faults == []
    assert math.dist(by_hand["at"], true) == pytest.approx(MISS_PX, abs=0.3)
    assert math.dist(taken["at"], true) < 0.6
    assert by_hand.get("cov_px2") is None
    assert max(taken["cov_px2"][axis][axis] for axis in (0, 1)) < by_hand["sd_px"] ** 2
    assert (back, _kept(page)) == (by_hand, taken)


def test_keeping_ones_own_changes_nothing(desk: PhotoWork) -> None:
    """K keeps the point where the hand set it, and the offer goes away."""
    page = desk.page
    _missed(desk)
    by_hand = _kept(page)
    desk.stage.focus()
    page.keyboard.press("k")
    expect(page.locator("#near")).to_be_hidden()

    assert page.locator("#said").inner_text() == f"{POINT} stays as you set it."
    assert _kept(page) == by_hand


def test_a_point_set_on_what_is_found_is_not_asked_about_in_pixels(desk: PhotoWork) -> None:
    """Where hand and photo are one, the offer says so and why it is worth a press."""
    page = desk.page
    _missed(desk)
    by_hand = _kept(page)["at"]
    desk.hand.press(page.get_by_role("button", name="Use it"))
    expect(page.locator("#said")).to_have_text(f"{POINT} set.")
    for _ in range(100):
        if _kept(page)["at"] != by_hand:
            break
        page.wait_for_timeout(50)
    desk.set(POINT, tuple(_kept(page)["at"]))

    said = page.locator("#near")
    expect(said).to_contain_text("where two lines cross, just where you set it. Using it makes")
    for _ in range(3):
        desk.hand.press(page.get_by_role("button", name="Undo"))
        expect(page.locator("#said")).to_have_text("Taken back.")


def test_where_nothing_is_near_the_page_says_why(desk: PhotoWork) -> None:
    """On bare paint there is nothing to press, and the reason is told."""
    page = desk.page
    desk.set(POINT, (300.0, 300.0))
    expect(page.locator("#near")).to_contain_text("No edge, line or corner is clear enough")

    assert page.locator("#near button:visible").count() == 0
    desk.hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator("#said")).to_have_text("Taken back.")


def test_suggestions_are_gone_through_by_keyboard(desk: PhotoWork) -> None:
    """Each may be shown, taken for the point in hand, or put away; the focus goes to the next."""
    page = desk.page
    desk.take("deck inner")
    page.get_by_role("button", name="Look for edges and fittings").press("Enter")
    items = page.locator(".suggestions li")
    items.first.wait_for(timeout=30_000)
    picture(page, "suggested-desk-dark")
    faults = faults_of(page)
    before = items.count()
    items.nth(0).get_by_role("button", name="Put away").press("Enter")
    focused = page.evaluate("document.activeElement.textContent")
    corner = items.filter(has_text="corner").last
    corner.get_by_role("button", name="Set deck inner there").press("Enter")
    expect(page.locator("#said")).to_have_text("deck inner set.")
    expect(items).to_have_count(before - 2)

    assert faults == []
    assert focused == "Set deck inner there"
    page.get_by_role("button", name="Undo").press("Enter")
    expect(page.locator("#said")).to_have_text("Taken back.")
