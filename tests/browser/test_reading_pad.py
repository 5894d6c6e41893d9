"""The reading pad says what it did not understand, and with what a reading was taken."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import PHONE, opened, picture

pytestmark = pytest.mark.browser

JSON = {"Content-Type": "application/json"}
REFUSED = "422 (Unprocessable Entity)"


def _job(page: Page, **extra: Any) -> dict[str, Any]:
    body = json.dumps({"name": "One wall", "plumbing_side": "left", **extra})
    answer = page.request.post("/api/jobs", data=body, headers=JSON)
    found: dict[str, Any] = answer.json()
    return found


def _back(page: Page, job: dict[str, Any]) -> dict[str, Any]:
    wall = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
    found: dict[str, Any] = page.request.get(f"/api/walls/{wall}").json()
    return found


def _open_pad(page: Page, job: dict[str, Any], size: str) -> None:
    page.goto(f"/job.html?job={job['id']}")
    page.locator(".wall-map button", has_text="back").tap()
    page.locator(f'button[data-size="{size}"]:visible').first.tap()
    expect(page.locator("#pad-title")).to_contain_text(size)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("59 9/8", "expected a fraction smaller than one"),
        ("1,521", "Found a comma"),
        ("-3", "Found a minus sign"),
        ("4.11 ft", "expected whole feet"),
    ],
)
def test_what_is_not_understood_is_told_and_kept(
    browser: Browser, address: str, typed: str, says: str
) -> None:
    """Text that means nothing, or two things, is refused with the reason beside the field; it stays
    there to be put right, and no reading is kept."""
    with opened(browser, address, PHONE, expected=REFUSED) as page:
        job = _job(page)
        _open_pad(page, job, "width 16")
        page.locator("#pad-value").fill(typed)
        expect(page.locator("#pad-echo.refused")).to_contain_text(says)
        page.locator("dialog.pad[open] button.primary").tap()

        expect(page.locator(".notice.failed")).to_contain_text(says)
        expect(page.locator("#pad-value")).to_have_value(typed)
        expect(page.locator("#pad-value")).to_have_attribute("aria-invalid", "true")
        assert _back(page, job)["readings"] == []

        page.locator("#pad-value").fill("59 7/8")
        expect(page.locator("#pad-echo:not(.refused)")).to_have_text('59 7/8" = 1520.8 mm')
        expect(page.locator(".notice.failed")).to_have_count(0)


def test_a_laser_is_no_tape(browser: Browser, address: str) -> None:
    """Who chooses a laser from its front is asked for no tape class, and the reading says laser;
    the next one is of a tape again, with its class and its lines."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        _open_pad(page, job, "width 16")
        page.locator("#pad-method").select_option("laser front")
        page.locator(".pad-how summary").tap()
        expect(page.locator("#pad-class")).to_be_hidden()
        page.locator("#pad-tape").fill("L1")
        page.locator("#pad-tolerance").select_option("3 mm")
        expect(page.locator(".pad-how summary")).to_have_text("Instrument: laser meter, L1")
        picture(page, "pad-laser")
        page.locator("#pad-value").fill("59 7/8")
        page.locator("dialog.pad[open] button.primary").tap()
        page.get_by_role("button", name="Take it again").tap()
        page.locator("#pad-method").select_option("bent inside")
        page.locator(".pad-how summary").tap()
        page.locator("#pad-class").select_option("I")
        page.locator("#pad-unit").select_option("mm")
        expect(page.locator("#pad-graduation")).to_have_value("1 mm")
        page.locator("#pad-value").fill("1521")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".pad-kept")).to_have_text("1521 mm is kept.")

        laser, tape = _back(page, job)["readings"]
        asked = ("kind", "method", "id")
        assert [laser["instrument"][key] for key in asked] == ["laser", "laser front", "L1"]
        assert laser["instrument"]["tolerance"] == "3 mm"
        assert tape["instrument"]["class"] == "I"
        assert tape["instrument"]["tolerance"] is None
        assert tape["instrument"]["graduation"] == "1 mm"
        assert tape["replaces"] == laser["id"]


def test_the_surface_is_asked_for_and_carried_to_the_other_side(
    browser: Browser, address: str
) -> None:
    """What was touched at one height is offered for the other side there; left unsaid, the pad
    tells what that costs."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        _open_pad(page, job, "left 16")
        page.locator("#pad-surface").select_option("tile")
        page.locator("#pad-value").fill("29 9/16")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".pad-kept")).to_be_visible()
        expect(page.locator("dialog.pad[open]")).not_to_contain_text("Say which surface")
        page.keyboard.press("Escape")

        page.locator('button[data-size="right 16"]:visible').first.tap()
        expect(page.locator("#pad-surface")).to_have_value("tile")
        page.locator("#pad-surface").select_option("")
        page.locator("#pad-value").fill("29")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator("dialog.pad[open]")).to_contain_text(
            "Say which surface the tape touched"
        )
        picture(page, "pad-surface")
        assert _back(page, job)["readings"][0]["surface"] == "tile"


def test_figures_of_repeats_stand_behind_the_fold(browser: Browser, address: str) -> None:
    """Two readings of a size: folded away stand their Birge ratio, what repeats do not shrink, and
    for each by itself what it would have caught, as wide as the table; with the list, who took it,
    how, when and in place of what."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        wall = _back(page, job)
        for name, value, replaces in (
            ("a", "59", None),
            ("b", "58 7/8", "a"),
            ("c", "58 15/16", None),
        ):
            instrument = {"kind": "tape", "id": name, "method": "hook to mark"}
            reading = {"id": name, "dimension": "width 16", "value": value, "who": f"Taper {name}"}
            sent = json.dumps({**reading, "replaces": replaces, "instrument": instrument})
            page.request.post(f"/api/walls/{wall['id']}/readings", data=sent, headers=JSON)
        page.goto(f"/job.html?job={job['id']}")
        page.locator(".wall-map button", has_text="back").tap()
        repeats = page.locator("tr.repeats")
        expect(repeats).to_contain_text("Taper b, hook to mark, b")
        expect(repeats).to_contain_text("in place of 59 by Taper a")
        row = page.locator("tr", has=page.locator('button[data-size="width 16"]'))
        figures = page.locator("tr.figures", has=page.locator("dt", has_text="Birge ratio"))
        expect(figures).to_be_hidden()
        opener = row.get_by_role("button", name="Figures of width 16")
        expect(opener).to_have_attribute("aria-expanded", "false")
        opener.tap()
        expect(opener).to_have_attribute("aria-expanded", "true")
        assert figures.get_attribute("id") == opener.get_attribute("aria-controls")
        expect(figures).to_contain_text("Birge ratio")
        expect(figures).to_contain_text("however often repeated")
        expect(figures.locator("dt", has_text="by itself")).to_have_count(2)
        expect(figures).to_contain_text("least slip 3/16 in")
        table = page.locator("table.sizes:visible").bounding_box()
        told = figures.locator("dl").bounding_box()
        assert table
        assert told
        assert told["width"] > table["width"] - 20
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE.width
        opener.scroll_into_view_if_needed()
        picture(page, "figures-repeats")


def test_inches_are_inches_whatever_the_job_takes_a_bare_number_for(
    browser: Browser, address: str
) -> None:
    """Where a job's bare numbers are millimetres, 59 typed as inches is kept as 59 in."""
    with opened(browser, address, PHONE) as page:
        job = _job(page, bare_unit="mm")
        _open_pad(page, job, "width 16")
        page.locator("#pad-value").fill("59")
        expect(page.locator("#pad-echo")).to_have_text('59" = 1498.6 mm')
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".pad-kept")).to_have_text("59 in is kept.")

        assert _back(page, job)["readings"][0]["echo"] == '59" = 1498.6 mm'


def test_a_reading_without_a_line_is_not_lost(browser: Browser, address: str) -> None:
    """What was typed while the service could not be reached stays in the browser though pad and
    page are closed, with its unit and surface; the page lists it, and it is kept once, as one
    reading, when there is a line."""
    with opened(browser, address, PHONE, expected="ERR_INTERNET_DISCONNECTED") as page:
        job = _job(page)
        _open_pad(page, job, "width 16")
        page.locator("#pad-unit").select_option("mm")
        page.locator("#pad-surface").select_option("tile")
        page.context.set_offline(True)
        page.locator("#pad-value").fill("1487")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".notice.failed")).to_contain_text("Nothing you typed is lost.")
        expect(page.locator("#pad-echo")).not_to_contain_text("reached")
        page.keyboard.press("Escape")
        waiting = page.get_by_role("region", name="Readings that are not kept yet")
        expect(waiting).to_contain_text("width 16, back wall: 1487 mm")
        expect(page.locator(".sizes tr", has_text="1487 not kept yet")).to_have_count(1)
        picture(page, "unsent-reading")

        page.context.set_offline(False)
        page.evaluate("localStorage.setItem('tapeproof.unit', 'in')")
        page.reload()
        waiting.get_by_role("button", name="Keep it now").tap()
        expect(page.locator("#pad-value")).to_have_value("1487")
        expect(page.locator("#pad-unit")).to_have_value("mm")
        expect(page.locator("#pad-echo")).to_contain_text("mm")
        expect(page.locator("dialog.pad[open]")).to_contain_text("Typed before, and not kept yet")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".pad-kept")).to_have_text("1487 mm is kept.")
        page.keyboard.press("Escape")
        expect(waiting).to_have_count(0)
        expect(page.locator('button[data-size="width 16"]:visible').first).to_be_focused()

        readings = _back(page, job)["readings"]
        assert [(one["value"], one["surface"]) for one in readings] == [("1487 mm", "tile")]
