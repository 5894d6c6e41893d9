"""The whole job as it is done: photos, points, readings, the slip, the release, the cutting sheet.

Every fact goes in through the pages, by pointer; the tests only read what the service has then.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.example_truth import surface, true_marks, wall_file
from tests.browser.hands import Hand
from tests.browser.job_work import JobWork
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import DESK, PHONE, Screen, opened, picture
from tests.support.pdf_reader import page_texts

pytestmark = [pytest.mark.browser, pytest.mark.example]

MISSED_PX = 1.0
PRINTS = {"A": ("169.5", "239.0"), "B": ("170.5", "241.0")}


def test_back_wall_on_a_phone(browser: Browser, address: str) -> None:
    """On a phone, the example's own slip on the back wall is caught, taped again, and the back
    sheet is released."""
    photos = ("back-1.jpg", "back-2.jpg", "back-3.jpg", "back-4.jpg")
    slip = ("left 40", "26 9/16", "27 9/16")

    _journey(browser, address, PHONE, "back", photos, {1: "A", 2: "B"}, slip)


def test_far_end_wall_at_the_desk(browser: Browser, address: str) -> None:
    """At the desk, an inch burnt on the far end wall is caught, taped again, and its sheet is
    released."""
    photos = ("far-end-1.jpg", "far-end-2.jpg")
    slip = ("outer 40", "18 5/8", "19 5/8")

    _journey(browser, address, DESK, "far-end", photos, {5: "A", 6: "B"}, slip)


def _journey(
    browser: Browser,
    address: str,
    screen: Screen,
    wall: str,
    photos: tuple[str, ...],
    cards: dict[int, str],
    slip: tuple[str, str, str],
) -> None:
    with opened(browser, address, screen) as page:
        work = JobWork(page, Hand(page, screen.touch))
        home = work.start(f"Journey, {screen.name}")
        work.choose_wall(wall)
        work.add_photos(wall, *photos)
        picture(page, f"journey-{screen.name}-photos")
        work.check_cards(PRINTS, cards)
        for photo in photos:
            _set_points(work, home, wall, photo)
        _assert_marks_are_true(page, home, wall, photos)
        _tape(work, home, wall, slip)
        _release(work, wall)


def _set_points(work: JobWork, home: str, wall: str, name: str) -> None:
    page = work.page
    page.goto(home)
    work.choose_wall(wall)
    work.open_photo(wall, name)
    photo = PhotoWork(page, work.hand)
    photo.ready()
    for mark, pixel in true_marks(name).items():
        photo.set(mark, pixel, surface(wall, mark))
    picture(page, f"journey-{name.removesuffix('.jpg')}")


def _assert_marks_are_true(page: Page, home: str, wall: str, photos: tuple[str, ...]) -> None:
    facts = _wall(page, home, wall)
    kept = {photo["filename"]: photo["marks"] for photo in facts["photos"]}
    for name in photos:
        for mark, (x, y) in true_marks(name).items():
            at = kept[name][mark]["at"]
            assert abs(at[0] - x) <= MISSED_PX, (name, mark, at, (x, y))
            assert abs(at[1] - y) <= MISSED_PX, (name, mark, at, (x, y))


def _tape(work: JobWork, home: str, wall: str, slip: tuple[str, str, str]) -> None:
    """Types every reading, the one with the slip last, and takes that one again."""
    page = work.page
    page.goto(home)
    work.choose_wall(wall)
    size, written, meant = slip
    verdicts = {}
    for row in wall_file(wall)["readings"]:
        if row["dimension"] == size:
            instrument = row["instrument"]
            continue
        work.open_pad(wall, row["dimension"])
        verdicts[row["id"]] = work.type_reading(row["value"], row["instrument"])
        work.hand.press(page.get_by_role("button", name="Done", exact=True))
    work.open_pad(wall, size)
    said = work.type_reading(written, instrument)
    picture(page, f"journey-{wall}-slip")

    assert "conflicts" not in verdicts.values()
    assert said == "conflicts"
    expect(page.locator(".verdict-says")).to_contain_text("burn an inch")
    work.hand.press(page.get_by_role("button", name="Take it again"))
    assert work.type_reading(meant, instrument) == "agrees"
    picture(page, f"journey-{wall}-again")
    page.keyboard.press("Escape")
    expect(work.facts(wall).locator(".gate")).to_contain_text("every size proved")


def _release(work: JobWork, wall: str) -> None:
    page = work.page
    work.hand.press(page.get_by_role("link", name="Plan", exact=True))
    panel = page.locator(f"#panel-{wall}")
    expect(panel).to_contain_text("ready to be released")
    work.release(wall)
    expect(panel).to_contain_text("released for cutting · revision A")
    picture(page, f"journey-{wall}-released")
    paper = page.locator('[data-paper="cutting-sheets.pdf"]')
    sheet = page.request.get(str(paper.get_attribute("href")))
    text = "".join(page_texts(sheet.body()))

    assert sheet.ok
    assert "RELEASED FOR CUTTING" in text
    assert "NOT FOR CUTTING" not in text
    assert "revision A" in text


def _wall(page: Page, home: str, wall: str) -> dict[str, Any]:
    job = page.request.get(f"/api/jobs/{home.partition('job=')[2]}").json()
    found = next(row["id"] for row in job["walls"] if row["name"] == wall)
    facts: dict[str, Any] = json.loads(page.request.get(f"/api/walls/{found}").text())
    return facts
