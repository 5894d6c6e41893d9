"""The job page shows the alcove as one: walls that check each other, and a wall that is changed."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.example_truth import photo_file
from tests.browser.screens import DESK, PHONE, opened, picture

pytestmark = [pytest.mark.browser, pytest.mark.example]


def _tape(page: Page, size: str, value: str) -> None:
    page.locator(f'button[data-size="{size}"]:visible').first.click()
    page.locator("#pad-value").fill(value)
    page.locator("#pad-value").press("Enter")
    expect(page.locator(".pad-kept")).to_have_text(f"{value} is kept.")


def test_walls_without_a_photo_check_each_other(browser: Browser, address: str) -> None:
    """Taped with no photo at all: the corner's height that the plumbing wall has an inch out is
    named in the agreement, in its table and between the walls on the drawing; taken again, the
    walls agree. A first reading agrees with nothing, and what nobody taped is not counted as
    taped."""
    with opened(browser, address, DESK) as page:
        page.goto("/")
        page.get_by_label("Name", exact=True).fill("Taped only")
        page.get_by_role("button", name="Start", exact=True).click()
        page.wait_for_url("**/job.html?job=*")
        page.locator("svg.unfolded").wait_for()
        job = page.request.get(f"/api/jobs/{page.url.partition('job=')[2]}").json()
        back = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
        heights = {"left": "66", "-14": "66 1/16", "0": "66 1/8", "14": "66 3/16", "right": "66"}
        sizes = {f"deck {place}": value for place, value in heights.items()}
        for number, (size, value) in enumerate(
            {**sizes, "left 64": "28", "right 64": "28"}.items()
        ):
            reading = {"id": f"b{number}", "dimension": size, "value": value}
            page.request.post(f"/api/walls/{back}/readings", data=json.dumps(reading), headers=JSON)
            if number == 0:
                expect(page.locator("#alcove")).to_contain_text(
                    "Nothing checks another yet; 1 by tape only, 18 to tape."
                )
        expect(page.locator("#alcove")).to_contain_text("agree", timeout=10_000)

        _tape(page, "deck inner", "67")
        expect(page.locator(".verdict-word")).to_contain_text("conflicts")
        page.keyboard.press("Escape")

        alcove = page.locator("#alcove")
        expect(alcove.locator(".looks")).to_contain_text("deck inner, plumbing wall")
        expect(alcove.locator("details")).to_contain_text("do not close")
        expect(page.locator("svg .corner.conflicts")).to_contain_text("1 apart")
        picture(page, "alcove-conflict")

        _tape(page, "deck inner", "66")
        page.keyboard.press("Escape")
        expect(page.locator("svg .corner")).to_have_count(1)


def test_a_page_that_cannot_be_opened_says_where_to_go(browser: Browser, address: str) -> None:
    """Of a job that is not there nothing is drawn but that, with the way to the jobs; without a
    line the page can be tried again, and opens once there is one."""
    with opened(browser, address, PHONE, expected="Failed to load resource") as page:
        for path in ("job.html?job", "plan.html?job", "cards.html?job", "photo.html?photo"):
            page.goto(f"/{path}=none")
            expect(page.locator("#notice")).to_contain_text("There is no")
            expect(page.get_by_role("link", name="To the jobs")).to_be_visible()
            expect(page.locator("main > :visible:not(h1, #notice)")).to_have_count(0)
        job = page.request.post("/api/jobs", data={"name": "Line", "plumbing_side": "left"}).json()
        page.route("**/api/**", lambda route: route.abort())
        page.goto(f"/job.html?job={job['id']}")
        expect(page.locator("#notice")).to_contain_text("The service cannot be reached.")
        page.unroute("**/api/**")
        page.get_by_role("button", name="Try again").tap()
        expect(page.locator("svg.unfolded")).to_be_visible()


def test_a_phone_begins_with_what_does_not_fit_and_keeps_to_its_wall(
    browser: Browser, example: dict[str, Any]
) -> None:
    """On a phone the wall with the slip is shown first, its photos over its sizes; a wall that was
    chosen is still there after a look at one of its photos, and the plan leads to the wall that it
    means."""
    with opened(browser, example["address"], PHONE) as page:
        page.goto(f"/job.html?job={example['job']['id']}")
        shown = page.locator(".wall-map [aria-pressed=true]")
        expect(shown).to_have_text("back")
        photos, sizes = (
            page.locator(f'section[aria-label="back wall"] {inside}').bounding_box()
            for inside in (".photos", ".sizes")
        )
        assert photos
        assert sizes
        assert photos["y"] < sizes["y"]

        page.get_by_role("button", name="far end", exact=True).tap()
        page.locator(".strip a:visible").first.tap()
        page.locator("html[data-ready]").wait_for()
        page.get_by_role("link", name="Back to the walls").tap()
        expect(shown).to_have_text("far end")

        page.goto(f"/plan.html?job={example['job']['id']}")
        expect(page.locator("#price .total")).to_have_text(
            re.compile(r"^Estimate \d,\d{3}\.\d\d – \d,\d{3}\.\d\d USD$")
        )
        page.get_by_role("link", name="To the walls: left 40").tap()
        expect(shown).to_have_text("back")


def test_a_wall_is_changed_and_changed_back(browser: Browser, example: dict[str, Any]) -> None:
    """A size is added with what it is of the alcove, named anew, taken back and done again, each by
    one step of the page."""
    with opened(browser, example["address"], PHONE) as page:
        page.goto(f"/job.html?job={example['job']['id']}")
        page.get_by_role("button", name="far end", exact=True).tap()
        region = page.get_by_role("region", name="far end wall", exact=True)
        region.get_by_role("button", name="Lines and sizes").tap()
        page.get_by_role("button", name="Add a size").tap()
        page.locator("#size-name").fill("line to floor")
        page.locator("#size-from").fill("floor a")
        page.locator("#size-to").fill("floor b")
        page.locator("#size-role").select_option("offset")
        expect(page.locator("#size-down")).to_be_visible()
        page.locator("#size-role").select_option("line to floor")
        expect(page.locator("#size-down")).to_have_count(0)
        picture(page, "editor-size")
        page.get_by_role("button", name="Keep", exact=True).tap()
        expect(page.locator(".size-list")).to_contain_text("Of the alcove: line to floor.")
        page.get_by_role("button", name="Change line to floor").tap()
        page.locator("#size-name").fill("floor")
        page.get_by_role("button", name="Keep", exact=True).tap()
        expect(page.locator(".size-list b").last).to_have_text("floor")
        page.keyboard.press("Escape")

        button = region.locator('button[data-size="floor"]')
        expect(button).to_be_visible()
        for step, words in (("Undo", "line to floor"), ("Redo", "floor")):
            region.get_by_role("button", name=step).tap()
            expect(region.locator(".sizes tbody th").last).to_have_text(words)
        for _ in range(2):
            region.get_by_role("button", name="Undo").tap()
            expect(page.locator("#notice")).to_contain_text("taken back")
        expect(region.locator('button[data-size*="floor"]')).to_have_count(0)


def test_the_lines_of_a_wall_are_kept_from_its_editor(
    browser: Browser, example: dict[str, Any]
) -> None:
    """The plumb line's marks stand in their fields; without them it has none, until that is taken
    back."""
    wall = f"/api/walls/{example['walls']['far-end']['id']}"
    with opened(browser, example["address"], PHONE) as page:
        page.goto(f"/job.html?job={example['job']['id']}")
        page.get_by_role("button", name="far end", exact=True).tap()
        region = page.get_by_role("region", name="far end wall", exact=True)
        before = page.request.get(wall).json()
        region.get_by_role("button", name="Lines and sizes").tap()
        for field, mark in zip(("#plumb-a", "#plumb-b"), before["plumb"], strict=True):
            expect(page.locator(field)).to_have_value(mark)
            page.locator(field).fill("")
        page.get_by_role("button", name="Keep the lines").tap()
        expect(page.locator(".notice.said")).to_contain_text("The lines are kept.")
        after = page.request.get(wall).json()
        assert (after["plumb"], after["level"]) == (None, before["level"])

        page.keyboard.press("Escape")
        region.get_by_role("button", name="Undo").tap()
        expect(page.locator("#notice")).to_contain_text("taken back")
        assert page.request.get(wall).json()["plumb"] == before["plumb"]


def test_what_does_not_fit_is_taken_again_in_its_place(
    browser: Browser, example: dict[str, Any]
) -> None:
    """The size in conflict stands first of what is to be taped; its button opens the pad for a
    reading that takes the place of the one that does not fit."""
    with opened(browser, example["address"], DESK) as page:
        page.goto(f"/job.html?job={example['job']['id']}")
        region = page.get_by_role("region", name="back wall", exact=True)
        listed = region.get_by_role("region", name="What to tape next")
        expect(listed.get_by_role("heading").first).to_have_text(
            "To take again, for it does not fit"
        )
        listed.get_by_role("button", name="left 40").click()
        expect(page.get_by_role("button", name="Keep the new reading")).to_be_visible()


def test_an_installer_does_not_see_what_is_expected(
    browser: Browser, example: dict[str, Any]
) -> None:
    """Who tapes what gets cut sees no photo size of an untaped size anywhere on the walls' page; an
    estimator does, on the pad as well."""
    with opened(browser, example["address"], DESK) as page:
        page.goto(f"/job.html?job={example['job']['id']}")
        region = page.get_by_role("region", name="back wall", exact=True)
        region.get_by_role("button", name="Lines and sizes").click()
        page.get_by_role("button", name="Add a size").click()
        page.locator("#size-name").fill("corner to corner")
        page.locator("#size-from").fill("left 16")
        page.locator("#size-to").fill("right 16")
        page.get_by_role("button", name="Keep", exact=True).click()
        page.keyboard.press("Escape")
        row = region.locator("tr", has=page.locator('button[data-size="corner to corner"]'))
        expect(row).to_contain_text("58 5/8 ±")

        page.get_by_role("button", name="I tape what gets cut").click()
        expect(page.get_by_role("region", name="What you do here")).to_have_count(0)
        expect(page.locator("#role")).to_have_value("installer")
        expect(page.locator("#expectation")).to_have_value("hidden")
        expect(row).to_contain_text("photo size hidden")
        drawn = page.locator('svg .size[data-size="corner to corner"]')
        assert "58" not in str(drawn.first.get_attribute("aria-label"))

        _told_nowhere_else(page, example["job"]["id"])
        page.locator(".settings > summary").click()
        page.locator("#role").select_option("estimator")
        expect(page.locator("#expectation")).to_have_value("shown")
        expect(row).to_contain_text("58 5/8 ±")
        row.locator("button[data-size]").click()
        expect(page.locator(".pad-hint")).to_contain_text("Expected without it: 58 5/8")
        page.keyboard.press("Escape")
        region.get_by_role("button", name="Undo").click()
        expect(row).to_have_count(0)


def _told_nowhere_else(page: Page, job: str) -> None:
    """On the photo's page the size is hidden; on the plan's, papers and price wait for it; and
    no answer of the service holds it, whatever page asks."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    photo = page.locator(".strip a").nth(3)
    page.goto(str(photo.get_attribute("href")).partition("&point=")[0] + "&point=left 16")
    expect(page.locator("#served")).to_contain_text("corner to corner hidden till it is taped")
    page.goto(f"/plan.html?job={job}")
    expect(page.locator("#caution")).to_contain_text("so that nobody writes what is expected")
    expect(page.locator("#warnings")).to_have_text("Told when every size is taped.")
    assert page.locator("[data-paper]").evaluate_all("links => links.map((one) => one.href)") == [
        page.url.partition("/plan")[0] + f"/api/jobs/{job}/check/{name}?expectation=hidden"
        for name in ("check.pdf", "check.csv")
    ]
    told = [url for url in asked if re.search(r"/(report|check|plan|plan-settings)(\?|$)", url)]
    assert told
    assert all(url.endswith("?expectation=hidden") for url in told)
    page.goto(f"/job.html?job={job}")


def test_photos_of_a_card_are_gathered_for_a_profile(
    browser: Browser, example: dict[str, Any]
) -> None:
    """On the cards page photos of a card are picked, each is said to show it or not, and a profile
    is asked for only once there are six that do."""
    with opened(browser, example["address"], PHONE) as page:
        page.goto(f"/cards.html?job={example['job']['id']}")
        page.locator("#lens input[type=file]").set_input_files([photo_file("back-1.jpg")])
        photos = page.locator(".card-photos")
        expect(photos).to_contain_text("card tilted by", timeout=60_000)
        expect(page.get_by_role("button", name="Make the profile")).to_be_disabled()
        expect(page.locator("#lens")).to_contain_text("5 more that show a card")
        picture(page, "cards-lens")
        page.get_by_role("button", name="Take away back-1.jpg").tap()
        expect(photos).to_have_count(0)


JSON = {"Content-Type": "application/json"}
