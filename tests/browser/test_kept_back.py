"""What is kept back hinders no work: settings are kept, end sheets taped as hung."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from service.lengths import inches_text
from tests.browser.fixtures import loaded_example
from tests.browser.screens import PHONE, opened, picture
from tests.browser.served import served

pytestmark = [pytest.mark.browser, pytest.mark.example]

UNTAPED = "corner once more"
MEANT = "27 9/16"
"""For the 28 9/16 of the slip in the example at left 40 of the back wall."""


def test_a_wall_that_is_kept_back_is_taped_as_hung_and_its_settings_kept(
    browser: Browser, address: str
) -> None:
    """On an installer's phone the far end panel waits for a size: the hung back panel is taped all
    the same, and keeping the settings leaves the deck's places as they were."""
    found = loaded_example(browser, address)
    with opened(browser, address, PHONE) as page:
        path = f"/api/jobs/{found['job']['id']}/plan-settings"
        exactly = _with_an_untaped_size(page, found, path)
        page.add_init_script("localStorage.setItem('tapeproof.role', 'installer')")
        page.goto(f"/plan.html?job={found['job']['id']}")
        card = page.locator("#panel-far-end")
        expect(card).to_contain_text(f"Kept back until this is taped: {UNTAPED}.")
        card.get_by_text("Tape from the hung back panel").tap()
        card.get_by_label("Height", exact=True).select_option("64")
        card.get_by_label("Reading", exact=True).fill("11")
        card.get_by_label("Taped by").fill("R. Fitter")
        picture(page, "plan-kept-back-phone")
        card.get_by_role("button", name="Keep reading").tap()
        expect(page.locator("#notice")).to_contain_text("from the hung back panel is kept")
        expect(card.locator("li")).to_have_text("hung 64: 11, R. Fitter")
        expect(card).to_contain_text("Kept at 64.")
        expect(card.get_by_label("Reading", exact=True)).to_be_focused()

        form = page.get_by_role("form", name="Settings of the plan")
        assert "about -11 in" in _typed(page)
        form.get_by_role("button", name="Keep the settings").tap()
        expect(page.locator("#notice")).to_contain_text("The settings are kept")
        assert "about -11 in" in _typed(page)
        kept = page.request.get(path).json()["plan"]["walls"]
        assert [wall["line_to_deck"] for wall in kept] == exactly
        assert "hung 64" in json.dumps(kept)


def _typed(page: Page) -> list[str]:
    fields = page.locator('[data-field$=".at"]')
    return list(fields.evaluate_all("all => all.map((one) => one.value)"))


def _with_an_untaped_size(page: Page, found: dict[str, Any], path: str) -> list[Any]:
    """The far end wall with a size of its corner that nobody taped, and a deck to the sixteenth:
    where the decks of each wall are."""
    wall = found["walls"]["far-end"]
    size = next(one for one in wall["dimensions"] if one["name"] == "inner 40")
    size = {key: size[key] for key in ("kind", "from", "line") if size.get(key) is not None}
    headers = {"If-Match": "*", "Content-Type": "application/json"}
    dimension = f"/api/walls/{wall['id']}/dimensions/{UNTAPED}"
    put = page.request.put(dimension, data=json.dumps({**size, "name": UNTAPED}), headers=headers)
    assert put.ok, put.text()
    settings = page.request.get(path).json()
    own = next(one for one in settings["plan"]["walls"] if one["wall"] == "far end")
    own[own["corner"]].append({"down": "41", "dimension": UNTAPED, "surface": "tile"})
    own["line_to_deck"][0]["at"] = "-11 3/8"
    body = {key: settings[key] for key in ("plan", "practice", "prices")}
    put = page.request.put(path, data=json.dumps(body), headers=headers)
    assert put.ok, put.text()
    return [one["line_to_deck"] for one in settings["plan"]["walls"]]


def test_a_reading_in_doubt_is_taken_again_blind(browser: Browser, example: dict[str, Any]) -> None:
    """To an installer no page says what would fit in place of the burnt inch, in words, for a
    screen reader or in what it read; it asks whether one was burnt. An estimator is told."""
    job, told = example["job"]["id"], []
    with opened(browser, example["address"], PHONE) as page:
        page.add_init_script("localStorage.setItem('tapeproof.role', 'installer')")
        page.on("request", lambda asked: told.append(asked.url))
        page.goto(f"/job.html?job={job}")
        page.locator(".wall-map button", has_text="back").tap()
        page.get_by_role("region", name="back wall", exact=True).wait_for()
        expect(page.locator("#alcove")).to_contain_text("did you burn an inch?")
        assert not _said(page)
        picture(page, "walls-blind-phone")
        page.locator('button[data-size="left 40"]:visible').first.tap()
        expect(page.locator("dialog.pad[open]")).to_be_visible()
        assert not _said(page)
        page.goto(f"/plan.html?job={job}")
        expect(page.locator("#panel-back")).to_contain_text("Kept back until")
        expect(page.locator("#panel-back")).to_contain_text("left 40")
        assert not _said(page)
        judged = {
            url for url in told if re.search(r"/(report|check|plan|plan-settings)(\?|$)", url)
        }
        assert len(judged) > 3
        assert not any(f"({MEANT})" in page.request.get(url).text() for url in judged)
    with opened(browser, example["address"], PHONE) as page:
        page.add_init_script("localStorage.setItem('tapeproof.role', 'estimator')")
        page.goto(f"/job.html?job={job}")
        expect(page.locator("#alcove")).to_contain_text(f"did you burn an inch? ({MEANT})")
        assert _said(page)


def _said(page: Page) -> bool:
    """Whether what was meant stands anywhere in brackets, or in what is said of the size, seen or
    not; the photos' size of left 16 reads alike."""
    return bool(page.evaluate(_SAID, MEANT))


_SAID = """meant => {
  const own = [...document.querySelectorAll('[data-size="left 40"]')]
    .map((one) => one.closest('tr, .size, li, section.pad, dialog') ?? one);
  const all = document.documentElement.outerHTML.includes(`(${meant})`);
  return all || own.some((one) => one.outerHTML.includes(meant));
}"""


def test_a_width_from_the_hung_panel_is_judged_at_once(browser: Browser, tmp_path: Path) -> None:
    """Four heights are taped one after the other: the form stays open and goes on to the next. A
    burnt inch is asked about where it was typed, and taped again it is taken out of the way."""
    with served(tmp_path) as address:
        found = loaded_example(browser, address)
        with opened(browser, address, PHONE) as page:
            _hang_four(page, found["job"]["id"], found["walls"]["far-end"]["id"])


def _hang_four(page: Page, job: str, wall: str) -> None:
    page.add_init_script("localStorage.setItem('tapeproof.role', 'installer')")
    page.add_init_script("localStorage.setItem('tapeproof.who', 'R. Fitter')")
    page.goto(f"/plan.html?job={job}")
    card = page.locator("#panel-far-end")
    card.get_by_text("Tape from the hung back panel").tap()
    height = card.get_by_label("Height", exact=True)
    inner = _inner(page, wall)
    _say_tile(page, wall, inner)
    for down in ("0", "16"):
        expect(height).to_have_value(down)
        _hang(page, inner[down] - BUILD_UP)
        expect(card).to_contain_text(f"Kept at {down}.")
    expect(height).to_have_value("40")
    _hang(page, inner["40"] - BUILD_UP - 1)
    expect(card).to_contain_text("Did you burn an inch?")
    expect(card).to_contain_text("Kept back until this is taped again: hung 40.")
    picture(page, "hung-inch-phone")
    expect(height).to_have_value("40")
    _hang(page, inner["40"] - BUILD_UP)
    expect(card).not_to_contain_text("burn an inch")
    readings = page.request.get(f"/api/walls/{wall}").json()["readings"]
    first, again = (one for one in readings if one["dimension"] == "hung 40")
    assert again["replaces"] == first["id"]


BUILD_UP: Final = 0.25
"""Sheet and bed of the example, in."""


def _inner(page: Page, wall: str) -> dict[str, float]:
    """The back corner's offsets by height as the report has them, in."""
    sizes = page.request.get(f"/api/walls/{wall}/report").json()["dimensions"]
    own = {size["name"]: size["tape_mm"] for size in sizes}
    return {down: own[f"inner {down}"] / 25.4 for down in ("0", "16", "40", "64")}


def _say_tile(page: Page, wall: str, inner: dict[str, float]) -> None:
    """The corner once more at each height on the tile, with what was touched: a hung face is held
    against that."""
    for down in ("16", "40", "64"):
        value = inches_text(inner[down] * 25.4)
        size, told = f"inner {down}", {"who": "S. Mate", "surface": "tile"}
        reading = {"id": f"tile-{down}", "dimension": size, "value": value, **told}
        page.request.post(
            f"/api/walls/{wall}/readings",
            data=json.dumps(reading),
            headers={"Content-Type": "application/json"},
        )


def _hang(page: Page, inches: float) -> None:
    card = page.locator("#panel-far-end")
    card.get_by_label("Reading", exact=True).fill(inches_text(inches * 25.4))
    card.get_by_role("button", name="Keep reading").tap()
    expect(page.locator("#notice")).to_contain_text("from the hung back panel is kept")
    expect(card.get_by_label("Reading", exact=True)).to_have_value("")
