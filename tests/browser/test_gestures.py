"""Fingers on a photo: what lies under them stays, and a slip of the hand changes nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.hands import Hand
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import DESK, PHONE, Screen, opened

pytestmark = [pytest.mark.browser, pytest.mark.example]

DRIFT_PX: Final = 1.0
POINT: Final = "valve"


@pytest.fixture
def phone(browser: Browser, example: dict[str, Any]) -> Iterator[PhotoWork]:
    yield from _photo(browser, example, PHONE)


@pytest.fixture
def desk(browser: Browser, example: dict[str, Any]) -> Iterator[PhotoWork]:
    yield from _photo(browser, example, DESK)


def _photo(browser: Browser, example: dict[str, Any], screen: Screen) -> Iterator[PhotoWork]:
    photo = next(row for row in example["walls"]["plumbing"]["photos"] if POINT in row["marks"])
    with opened(browser, example["address"], screen) as page:
        page.goto(f"/photo.html?photo={photo['id']}&point={POINT}")
        work = PhotoWork(page, Hand(page, screen.touch))
        work.ready()
        page.wait_for_timeout(200)
        yield work


def _middle(work: PhotoWork) -> tuple[float, float]:
    box = work.stage.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _kept(work: PhotoWork) -> list[float]:
    """The mark as the service has it."""
    photo = work.page.url.partition("photo=")[2].partition("&")[0]
    at: list[float] = work.page.request.get(f"/api/photos/{photo}").json()["marks"][POINT]["at"]
    return at


def test_pinch_holds_what_is_under_the_fingers(phone: PhotoWork) -> None:
    """Four times as large, what lay between the fingers lies between them, to less than a pixel."""
    x, y = _middle(phone)
    before = ((x + 30.0, y + 40.0), (x + 70.0, y + 90.0))
    after = ((x - 70.0, y - 75.0), (x + 90.0, y + 125.0))
    image_x, image_y, scale = phone.view()
    held = (image_x + 50 / scale, image_y + 65 / scale)
    phone.hand.pinch(before, after)
    there = phone.on_screen(held)

    assert phone.view()[2] == pytest.approx(4 * scale, rel=0.02)
    assert math.dist(there, (x + 10, y + 25)) < DRIFT_PX


def test_second_finger_puts_a_dragged_mark_back(phone: PhotoWork) -> None:
    """A pinch that begins on a mark moves no mark."""
    before = _kept(phone)
    x, y = _middle(phone)
    phone.hand.second_finger_during_drag((x + 4, y + 4), (x + 60, y + 50), (x - 80, y - 60))
    phone.page.wait_for_timeout(300)

    assert _kept(phone) == before
    assert phone.page.locator(".loupe").is_hidden()


def test_dragged_mark_follows_the_finger_and_undo_puts_it_back(phone: PhotoWork) -> None:
    """A mark keeps its offset from the finger, and the change is taken back by one press."""
    before = _kept(phone)
    scale = phone.view()[2]
    x, y = _middle(phone)
    phone.hand.drag((x + 5, y - 3), (x + 45, y + 27), steps=8)
    expect(phone.page.locator("#said")).to_have_text(f"{POINT} set.")
    moved = _kept(phone)
    phone.hand.press(phone.page.get_by_role("button", name="Undo"))
    expect(phone.page.locator("#said")).to_have_text("Taken back.")

    assert moved[0] - before[0] == pytest.approx(40 / scale, abs=0.6 / scale)
    assert moved[1] - before[1] == pytest.approx(30 / scale, abs=0.6 / scale)
    assert _kept(phone) == before


def test_loupe_shows_while_a_mark_is_dragged(desk: PhotoWork) -> None:
    """The glass stands over the hand as long as it drags, and no longer."""
    page: Page = desk.page
    before = _kept(desk)
    x, y = _middle(desk)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y + 20, steps=4)
    during = page.locator(".loupe").is_visible()
    page.mouse.move(x, y, steps=4)
    page.mouse.up()
    expect(page.locator("#said")).to_have_text(f"{POINT} set.")

    assert during
    assert page.locator(".loupe").is_hidden()
    assert _kept(desk) == pytest.approx(before, abs=0.5)


def test_arrow_keys_move_the_aim_by_image_pixels(desk: PhotoWork) -> None:
    """An arrow moves the aim by one image pixel, with Shift by ten."""
    x, y, _ = desk.view()
    desk.stage.focus()
    desk.page.keyboard.press("ArrowRight")
    desk.page.keyboard.press("Shift+ArrowDown")
    now = desk.view()

    assert now[0] - x == pytest.approx(1, abs=0.01)
    assert now[1] - y == pytest.approx(10, abs=0.01)
