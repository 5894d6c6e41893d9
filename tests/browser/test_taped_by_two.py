"""What two persons have taped alike is proved: the pad, the walls and the jobs do not ask again."""

from __future__ import annotations

import json
from typing import Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import PHONE, opened, picture

pytestmark = pytest.mark.browser

JSON: Final = {"Content-Type": "application/json"}
OFFSETS: Final = {"left 16": "29 1/2", "right 16": "30", "left 40": "29 1/2", "right 40": "30"}


def _back(page: Page, taken: dict[str, str]) -> tuple[str, str]:
    """A job whose back wall A. One has taped: its id and the wall's."""
    asked = json.dumps({"name": "By two", "plumbing_side": "right", "sizes": "usual"})
    job = page.request.post("/api/jobs", data=asked, headers=JSON).json()
    wall = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
    for size, value in taken.items():
        body = {"id": size.replace(" ", "-"), "dimension": size, "value": value, "who": "A. One"}
        answer = page.request.post(
            f"/api/walls/{wall}/readings", data=json.dumps(body), headers=JSON
        )
        assert answer.status == 201, answer.text()
    return job["id"], wall


def _second(page: Page, job: str, size: str, value: str) -> None:
    """S. Mate tapes it beside A. One's reading."""
    page.goto(f"/job.html?job={job}&wall=back")
    page.locator(f'button.size-button[data-size="{size}"]:visible').first.tap()
    page.locator("#pad-who").fill("S. Mate")
    page.locator("#pad-value").fill(value)
    page.locator("dialog.pad[open] button.primary").tap()
    expect(page.locator(".pad-kept")).to_have_text(f"{value} is kept.")


def test_the_pad_takes_a_second_persons_tape_for_proof(browser: Browser, address: str) -> None:
    """A size that nothing else checks: by one it is not for cutting, by two it is proved, and the
    wall asks for it no more."""
    with opened(browser, address, PHONE) as page:
        job, wall = _back(page, {"left 16": "29 1/2"})
        gate = page.locator(f"#wall-{wall} .gate")
        page.goto(f"/job.html?job={job}&wall=back")
        expect(gate).to_contain_text("1 not proved")
        _second(page, job, "left 16", "29 1/2")
        said = page.locator(".verdict-says")
        expect(said).to_contain_text("taped twice, by two persons or in two ways")
        expect(page.locator("dialog.pad[open]")).not_to_contain_text("not for cutting")
        picture(page, "taped-by-two-phone")
        page.keyboard.press("Escape")
        expect(gate).to_contain_text("to tape")
        expect(gate).not_to_contain_text("not proved")


def test_what_is_unsure_and_taped_by_two_is_not_to_be_looked_at(
    browser: Browser, address: str
) -> None:
    """A width 1/8 in past its offsets: taped by a second person alike it is unsure still, and not
    asked for again on the pad, in the table or above the walls, where it is counted by itself."""
    with opened(browser, address, PHONE) as page:
        job, wall = _back(page, OFFSETS | {"width 40": "59 1/2", "width 16": "59 5/8"})
        _second(page, job, "width 16", "59 5/8")
        pad = page.locator("dialog.pad[open]")
        expect(pad.locator(".verdict-word")).to_have_text("unsure")
        expect(pad.locator(".verdict-says")).to_contain_text("that proves it")
        expect(pad.locator("button.primary")).not_to_have_text("Take it again")
        page.keyboard.press("Escape")
        told = page.locator("#alcove")
        expect(told).to_contain_text("1 unsure, but taped twice alike")
        expect(told.locator(".looks")).not_to_contain_text("width 16")
        row = page.locator(f"#sizes-{wall} tr", has=page.locator('[data-size="width 16"]'))
        expect(row).not_to_have_class("needs-look")
        picture(page, "unsure-by-two-phone")
