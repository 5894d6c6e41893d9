"""Photos on a bad line: kept in the browser until the service has them whole."""

from __future__ import annotations

from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Route, expect

from tests.browser.example_truth import photo_file, true_marks
from tests.browser.hands import Hand
from tests.browser.job_work import JobWork
from tests.browser.photo_work import PhotoWork
from tests.browser.screens import PHONE, opened, picture

pytestmark = [pytest.mark.browser, pytest.mark.example]

SENT_WITHIN_MS: Final = 30_000
FEWER: Final = "image/jpeg,image/png,image/webp"
ALL: Final = f"{FEWER},image/heic,image/heif"


def test_photo_picked_without_a_line_is_sent_later(browser: Browser, address: str) -> None:
    """A photo picked while the service cannot be reached says so, and goes by itself later."""
    with opened(browser, address, PHONE, expected="ERR_INTERNET_DISCONNECTED") as page:
        work = JobWork(page, Hand(page, touch=True))
        work.start("No line")
        work.choose_wall("back")
        picker = work.facts("back").locator("input[type=file][multiple]")
        page.context.set_offline(True)
        picker.set_input_files(photo_file("back-1.jpg"))
        expect(work.facts("back").locator(".going")).to_contain_text(
            "Not sent yet. No connection: it goes on by itself."
        )
        page.context.set_offline(False)

        expect(work.facts("back").locator(".strip img")).to_have_count(1, timeout=SENT_WITHIN_MS)
        expect(work.facts("back").locator(".going")).to_have_count(0)


def test_a_point_set_without_a_line_is_told_where_one_looks(
    browser: Browser, example: dict[str, Any]
) -> None:
    """A phone's photo stands over the page's head; that a point could not be kept is on the screen
    all the same, and pressing again with a line keeps it."""
    photo = example["walls"]["plumbing"]["photos"][0]["id"]
    with opened(browser, example["address"], PHONE, expected="ERR_INTERNET_DISCONNECTED") as page:
        page.goto(f"/photo.html?photo={photo}&point=valve")
        work = PhotoWork(page, Hand(page, touch=True))
        work.ready()
        work.aim_at(true_marks("plumbing-1.jpg")["valve"])
        page.evaluate("scrollTo(0, 300)")
        page.context.set_offline(True)
        page.locator("button.set").tap()
        failed = page.locator("#notice .failed")
        expect(failed).to_contain_text("The service cannot be reached.")
        expect(failed).to_be_in_viewport(ratio=1)
        picture(page, "point-without-a-line")
        page.context.set_offline(False)
        page.locator("button.set").tap()
        expect(page.locator("#said")).to_have_text("valve set.")
        expect(failed).to_have_count(0)


def test_a_page_that_is_being_opened_says_so(browser: Browser, example: dict[str, Any]) -> None:
    """While the service has not answered yet, nothing stands there that cannot be used."""
    with opened(browser, example["address"], PHONE) as page:
        held: list[Route] = []

        def hold(route: Route) -> None:
            held.append(route)

        page.route("**/api/jobs/*", hold, times=1)
        page.goto(f"/plan.html?job={example['job']['id']}")
        expect(page.get_by_role("heading", name="Price")).to_be_hidden()
        said = "getComputedStyle(document.querySelector('#notice'), '::after').content"
        assert page.evaluate(said) == '"Opening…"'
        held[0].continue_()
        expect(page.get_by_role("heading", name="Price")).to_be_visible()
        assert page.evaluate(said) == "none"


def test_photo_survives_leaving_the_page(browser: Browser, address: str) -> None:
    """A page closed in the middle of an upload goes on with it when it is opened again."""
    with opened(browser, address, PHONE, expected="ERR_") as page:
        work = JobWork(page, Hand(page, touch=True))
        home = work.start("Left too soon")
        work.choose_wall("back")
        page.route("**/api/uploads/*/parts/2", lambda route: route.abort())
        picker = work.facts("back").locator("input[type=file][multiple]")
        picker.set_input_files(photo_file("back-2.jpg"))
        expect(work.facts("back").locator(".going progress")).to_have_js_property("value", 2)
        expect(work.facts("back").locator(".going")).to_contain_text("% is sent")
        page.goto("/")
        page.unroute("**/api/uploads/*/parts/2")
        sent: list[str] = []
        page.on("request", lambda request: sent.append(request.url))
        page.goto(home)
        work.choose_wall("back")
        expect(work.facts("back").locator(".strip img")).to_have_count(1, timeout=SENT_WITHIN_MS)

        assert not [url for url in sent if url.endswith(("/parts/0", "/parts/1"))]


@pytest.mark.parametrize("kinds", [FEWER, None], ids=["without", "with"])
def test_a_phone_is_asked_for_what_is_read(
    browser: Browser, address: str, kinds: str | None
) -> None:
    """Where HEIC is not read the pickers do not ask for it, so that the phone makes a JPEG."""
    with opened(browser, address, PHONE) as page:
        if kinds is not None:
            told = {"name": "Tapeproof", "version": "1", "photos": kinds.split(",")}
            page.route("**/api/version", lambda route: route.fulfill(json=told))
        work = JobWork(page, Hand(page, touch=True))
        work.start("Kinds of photo")
        work.choose_wall("back")
        pickers = work.facts("back").locator("input[type=file]")

        expect(pickers).to_have_count(2)
        for picker in pickers.all():
            expect(picker).to_have_attribute("accept", kinds or ALL)
