"""The job by keyboard alone: no pointer event reaches any page."""

from __future__ import annotations

from typing import Any, Final

import pytest
from playwright.sync_api import Browser, FileChooser, Page, expect

from tests.browser.example_truth import photo_file, true_marks, wall_file
from tests.browser.screens import DESK, opened

pytestmark = [pytest.mark.browser, pytest.mark.example]

WALL: Final = "far-end"
SIZE: Final = "outer 16"
MISSED_PX: Final = 1.0
TABS_AT_MOST: Final = 160
LOOKS_WITHIN_MS: Final = 90_000
FOCUSED: Final = """() => {
  const e = document.activeElement;
  const labels = [...(e.labels ?? [])].map((label) => label.textContent);
  const own = e.matches('a, button, summary') ? e.textContent.trim() : '';
  return [e.getAttribute('aria-label') ?? '', own, ...labels].join('|');
}"""
POINTER: Final = """() => {
  globalThis.pointed = 0;
  addEventListener('pointerdown', () => { globalThis.pointed += 1; }, true);
}"""


def test_whole_job_by_keyboard(browser: Browser, address: str) -> None:
    """Photos are picked, a point is set, sizes are taped, the slip is taped again, the sheet is
    released and its paper reached with the keyboard alone."""
    with opened(browser, address, DESK) as page:
        page.on("filechooser", _seen)
        page.goto("/")
        page.locator("#jobs > *").first.wait_for()
        tab_to(page, "Filled in")
        page.keyboard.press("ArrowDown")
        expect(page.locator("#example-with")).to_have_value("marks")
        # Another test may have loaded it on this service before.
        tab_to(page, page.locator("#load-example:visible, #reset-example:visible").inner_text())
        page.keyboard.press("Enter")
        page.wait_for_url("**/job.html?job=*")
        home = page.url
        page.locator(".strip img").nth(10).wait_for(timeout=LOOKS_WITHIN_MS)
        _pick_photo(page)
        _set_point(page)
        page.goto(home)
        _tape(page)
        _release(page)


def _seen(_chooser: FileChooser) -> None:
    """Dialogs are caught from the first somebody listens. On a page with much to do a key may come
    before that has reached it, and the system's own dialog opens, unseen: so one listens early."""


def _pick_photo(page: Page) -> None:
    """A photo that is there already is sent again and not kept twice."""
    page.evaluate(POINTER)
    tab_to(page, "Add photos")
    with page.expect_file_chooser() as chooser:
        page.keyboard.press("Space")
    chooser.value.set_files(photo_file("plumbing-1.jpg"))
    expect(page.locator(".going")).to_have_count(0)
    assert page.evaluate("pointed") == 0


def _set_point(page: Page) -> None:
    tab_to(page, "far-end-1.jpg")
    page.keyboard.press("Enter")
    page.locator("html[data-ready]").wait_for()
    page.evaluate(POINTER)
    tab_to(page, SIZE)
    page.keyboard.press("Enter")
    expect(page.locator("#point-name")).to_have_text(SIZE)
    tab_to(page, "Remove this point")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text(f"{SIZE} removed.")
    tab_to(page, "Photo. Arrow keys")
    x, y = true_marks("far-end-1.jpg")[SIZE]
    _walk(page, "aim-x", x, "ArrowRight", "ArrowLeft")
    _walk(page, "aim-y", y, "ArrowDown", "ArrowUp")
    page.keyboard.press("Enter")

    expect(page.locator("#said")).to_have_text(f"{SIZE} set.")
    assert page.evaluate("pointed") == 0


def _walk(page: Page, axis: str, target: float, onward: str, back: str) -> None:
    """Moves the aim along one axis, by hundreds, tens and ones."""
    for modifier, step in (("Control+", 100), ("Shift+", 10), ("", 1)):
        for _ in range(60):
            away = target - float(page.locator("#stage").get_attribute(f"data-{axis}") or "nan")
            if abs(away) <= step / 2:
                break
            page.keyboard.press(f"{modifier}{onward if away > 0 else back}")
    away = target - float(page.locator("#stage").get_attribute(f"data-{axis}") or "nan")
    assert abs(away) <= MISSED_PX


def _tape(page: Page) -> None:
    """Tapes size after size as the pad offers them; one an inch short, which is taken again."""
    page.locator("svg.unfolded").wait_for()
    page.evaluate(POINTER)
    tab_to(page, "far end")
    page.keyboard.press("Enter")
    tab_to(page, "inner 0")
    page.keyboard.press("Enter")
    readings = {row["dimension"]: row for row in wall_file(WALL)["readings"]}
    for _ in readings:
        expect(page.locator("#pad-value")).to_be_focused()
        row = readings[page.locator("#pad-title").inner_text().partition(",")[0]]
        if row["dimension"] == SIZE:
            whole, fraction = row["value"].split()
            assert _type(page, {**row, "value": f"{int(whole) - 1} {fraction}"}) == "conflicts"
            assert "Take it again" in _said(page)
            page.keyboard.press("Enter")
        assert _type(page, row) == "agrees"
        page.keyboard.press("Enter")  # the next size, or done
    expect(page.locator("dialog.pad[open]")).to_have_count(0)
    expect(page.locator(".wall-facts:visible .gate")).to_contain_text("every size proved")
    assert page.evaluate("pointed") == 0


def _type(page: Page, row: dict[str, Any]) -> str:
    page.keyboard.type(row["value"])
    page.keyboard.press("Enter")
    expect(page.locator(".pad-kept")).to_have_text(f"{row['value']} is kept.")
    return page.locator(".verdict-word").inner_text().strip()


def _release(page: Page) -> None:
    tab_to(page, "Plan")
    page.keyboard.press("Enter")
    page.wait_for_url("**/plan.html?job=*")
    panel = page.locator(f"#panel-{WALL}")
    expect(panel).to_contain_text("ready to be released")
    page.evaluate(POINTER)
    tab_into(page, f"#panel-{WALL}")
    for number in range(panel.locator(".look-row").count()):
        if number:
            tab_to(page, panel.locator(".look-row b").nth(number).inner_text())
        page.keyboard.press("Space")
    for label, name in (("Stated by", "R. Fitter"), ("Looked at by", "S. Mate")):
        tab_to(page, label)
        page.keyboard.type(name)
    tab_to(page, "Released by")
    page.keyboard.press("Control+a")
    page.keyboard.type("R. Fitter")
    page.keyboard.press("Enter")
    expect(panel).to_contain_text("released for cutting · revision A")
    tab_to(page, "Cutting sheets (PDF)")
    sheet = page.request.get(str(page.evaluate("document.activeElement.href")))

    assert sheet.body().startswith(b"%PDF")
    assert page.evaluate("pointed") == 0


def tab_to(page: Page, name: str) -> None:
    """Presses Tab until the focus is on what is called so; fails where Tab does not lead."""
    for _ in range(TABS_AT_MOST):
        page.keyboard.press("Tab")
        if any(said.startswith(name) for said in _said(page)):
            return
    raise AssertionError(f"Tab does not lead to {name!r}")


def tab_into(page: Page, place: str) -> None:
    """Presses Tab until the focus is on the first control of a place."""
    for _ in range(TABS_AT_MOST):
        page.keyboard.press("Tab")
        if page.evaluate("place => Boolean(document.activeElement.closest(place))", place):
            return
    raise AssertionError(f"Tab does not lead into {place}")


def _said(page: Page) -> list[str]:
    words: str = page.evaluate(FOCUSED)
    return [word for word in words.split("|") if word]
