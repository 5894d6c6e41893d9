"""Every page in both themes: nothing that axe finds, room for a thumb, and a picture to look at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import DESK, PHONE, Screen, Theme, opened, picture

pytestmark = [pytest.mark.browser, pytest.mark.example]

AXE: Final = Path(__file__).parent / "vendor" / "axe-core" / "axe.min.js"
RULES: Final = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
THUMB_PX: Final = 44
LYING: Final = Screen("lying", PHONE.height, PHONE.width, PHONE.density, touch=True)
SEEN: Final[list[tuple[Screen, Theme]]] = [(PHONE, "light"), (DESK, "dark")]


def _pad(page: Page) -> None:
    page.locator('button[data-size="width 16"]:visible').first.click()
    page.locator("#pad-value").fill("58 9/16")
    expect(page.locator("#pad-echo")).to_contain_text("mm")


def _editor(page: Page) -> None:
    page.get_by_role("button", name="Lines and sizes").first.click()
    page.locator(".size-list li").first.wait_for()


def _size_form(page: Page) -> None:
    page.locator(".wall-map button", has_text="plumbing").click()
    _editor(page)
    page.get_by_role("button", name="Change inner 16").click()
    page.locator("#size-role").select_option("offset")


def _heights(page: Page) -> None:
    page.get_by_role("button", name="Heights").click()


def _photo(page: Page) -> None:
    page.locator("html[data-ready]").wait_for()
    page.wait_for_timeout(300)


def _plan(page: Page) -> None:
    page.locator("svg.unfolded").first.wait_for()


def _behind(page: Page) -> None:
    _plan(page)
    page.get_by_role("button", name="From behind").click()


def _all_open(page: Page) -> None:
    _plan(page)
    page.evaluate(UNFOLD)
    page.get_by_role("group", name="Change an allowance").wait_for()


def _settings(page: Page) -> None:
    page.locator(".job-list").wait_for()
    page.locator(".settings > summary").click()


def _table(page: Page) -> None:
    page.locator("table").first.wait_for()


UNFOLD: Final = """() => document.querySelectorAll('details').forEach((fold) => {
  const wall = fold.parentElement?.closest('details')?.querySelector('summary').textContent ?? '';
  fold.open = !/^(Back|Far end) wall/.test(wall);
})"""
"""All that folds, but of the walls only one: the others are made of the same fields."""
VIEWS: Final[dict[str, tuple[str, Callable[[Page], None]]]] = {
    "jobs": ("/", _settings),
    "walls": ("/job.html?job={job}", _plan),
    "walls-heights": ("/job.html?job={job}", _heights),
    "pad": ("/job.html?job={job}", _pad),
    "editor": ("/job.html?job={job}", _editor),
    "size-form": ("/job.html?job={job}", _size_form),
    "photo": ("/photo.html?photo={photo}&point=valve", _photo),
    "plan": ("/plan.html?job={job}", _plan),
    "plan-behind": ("/plan.html?job={job}", _behind),
    "plan-all-open": ("/plan.html?job={job}", _all_open),
    "cards": ("/cards.html?job={job}", _table),
    "history": ("/history.html?job={job}", _table),
}


@dataclass(frozen=True)
class Looked:
    """What was seen of every page on one screen in one theme."""

    screen: Screen
    faults: list[str]
    widths: dict[str, int]
    heights: list[tuple[str, str, float]]
    large: dict[str, list[str]]


@pytest.fixture(scope="module", params=SEEN, ids=lambda seen: f"{seen[0].name}-{seen[1]}")
def looked(request: pytest.FixtureRequest, browser: Browser, example: dict[str, Any]) -> Looked:
    """Every page once on a screen, with a picture of each."""
    screen, theme = request.param
    seen = Looked(screen, [], {}, [], {})
    with opened(browser, example["address"], screen, theme) as page:
        for name, (path, act) in VIEWS.items():
            _show(page, example, path, act)
            picture(page, f"{name}-{screen.name}-{theme}")
            seen.widths[name] = page.evaluate("document.documentElement.scrollWidth")
            seen.heights.extend((name, said, high) for said, high in page.evaluate(HEIGHTS))
            seen.faults.extend(f"{name}: {fault}" for fault in faults_of(page))
            if screen is PHONE:
                page.evaluate("document.documentElement.style.fontSize = '200%'")
                seen.large[name] = page.evaluate(CUT_OFF)
    return seen


def test_axe_finds_nothing(looked: Looked) -> None:
    """Every page, the reading pad and the settings are free of faults that axe can find."""
    assert looked.faults == []


def test_nothing_runs_off_the_side(looked: Looked) -> None:
    """No page scrolls sideways."""
    wide = {name: width for name, width in looked.widths.items() if width > looked.screen.width}

    assert wide == {}


def test_controls_are_large_enough_for_a_thumb(looked: Looked) -> None:
    """Every button, field and link of the head is 44 px high, the pad's keys included."""
    small = [row for row in looked.heights if row[2] < THUMB_PX - 0.5]

    assert looked.heights
    assert small == []


def test_text_twice_as_large_is_not_cut_off(looked: Looked) -> None:
    """With text at 200 % a phone's page still does not scroll sideways, and nothing that is typed,
    pressed or headed is cut off (WCAG 2.2, 1.4.4 and 1.4.10)."""
    assert {name: cut for name, cut in looked.large.items() if cut} == {}


def test_a_phone_on_its_side_has_what_is_pressed_next_in_view(
    browser: Browser, example: dict[str, Any]
) -> None:
    """In landscape the pad's keys stand beside its field, and the point in hand beside the photo:
    what keeps a reading and what sets a point are on the screen without scrolling."""
    with opened(browser, example["address"], LYING) as page:
        _show(page, example, *VIEWS["photo"])
        picture(page, "photo-lying")
        expect(page.locator("button.set")).to_be_in_viewport(ratio=1)

        _show(page, example, *VIEWS["pad"])
        picture(page, "pad-lying")
        expect(page.locator("#pad-value")).to_be_in_viewport(ratio=1)
        expect(page.locator(".pad button.primary")).to_be_in_viewport(ratio=1)


CUT_OFF: Final = """() => {
  const wide = document.documentElement.clientWidth;
  const apart = 'dialog:not([open]), svg, .table-scroll:not(#on-walls *)';
  const seen = (e) => e.getClientRects().length && !e.closest(apart);
  const all = [...document.querySelectorAll('body *')].filter(seen);
  const off = all.filter((e) => e.getBoundingClientRect().right > wide + 1);
  const said = all.filter((e) => e.matches('button, .button, input, summary, label, h1, h2, h3'));
  const cut = said.filter((e) => getComputedStyle(e).display !== 'inline' && e.clientWidth > 1
    && e.scrollWidth > e.clientWidth + 1);
  return [...new Set([...off, ...cut])].map((e) => e.textContent.trim().slice(0, 40) || e.id);
}"""
HEIGHTS: Final = """() => [...document.querySelectorAll(
  'button, .button, select, header a, input[type=text]')]
  .filter((e) => e.getClientRects().length && !e.closest('dialog:not([open])'))
  .map((e) => [e.textContent.trim() || e.id, e.getBoundingClientRect().height])"""


def _show(page: Page, example: dict[str, Any], path: str, act: Callable[[Page], None]) -> None:
    photo = next(
        row["id"] for row in example["walls"]["plumbing"]["photos"] if "valve" in row["marks"]
    )
    page.goto(path.format(job=example["job"]["id"], photo=photo))
    if "job=" in path:
        page.locator("#job-name", has_text="Example alcove").wait_for()
    act(page)


def faults_of(page: Page) -> list[str]:
    """What axe finds."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    answer = page.evaluate(
        "rules => axe.run(document, { runOnly: { type: 'tag', values: rules } })", RULES
    )
    return [
        f"{fault['id']}: {node['html'][:160]}"
        for fault in answer["violations"]
        for node in fault["nodes"][:3]
    ]
