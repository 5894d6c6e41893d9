"""A page that changes under a person's hands: the focus stays, and no key is lost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import DESK, opened

pytestmark = [pytest.mark.browser, pytest.mark.example]

MARK: Final = "outer 40"
FOCUSED: Final = "() => document.activeElement.textContent.trim()"
HELD_MS: Final = 500
"""A key is held so long by a hand that is not sure of it."""


class Elsewhere:
    """Somebody else who moves a mark of the plumbing wall, again and again."""

    def __init__(self, page: Page, example: dict[str, Any]) -> None:
        photos = example["walls"]["plumbing"]["photos"]
        self._page = page
        self._photo = next(row for row in photos if MARK in row["marks"])
        self._moved = 0

    @property
    def photo(self) -> str:
        return str(self._photo["id"])

    def moves_a_mark(self) -> None:
        """Moved by a tenth of a pixel, which every page of the wall hears of."""
        self._moved += 1
        x, y = self._photo["marks"][MARK]["at"]
        answer = self._page.request.put(
            f"/api/photos/{self.photo}/marks/{MARK}",
            data={"at": [x + self._moved / 10, y]},
            headers={"If-Match": "*", "Tapeproof-Who": "elsewhere"},
        )
        assert answer.ok, answer.text()

    def undoes(self) -> None:
        for _ in range(self._moved):
            path = f"/api/walls/{self._wall()}/undo"
            self._page.request.post(path, headers={"Tapeproof-Who": "elsewhere"})

    def _wall(self) -> str:
        return str(self._page.request.get(f"/api/photos/{self.photo}").json()["wall"])


@pytest.fixture
def page(browser: Browser, example: dict[str, Any]) -> Iterator[Page]:
    with opened(browser, example["address"], DESK) as found:
        yield found


@pytest.fixture
def elsewhere(page: Page, example: dict[str, Any]) -> Iterator[Elsewhere]:
    found = Elsewhere(page, example)
    yield found
    found.undoes()


def redrawn(page: Page, selector: str, elsewhere: Elsewhere) -> None:
    """Moves a mark elsewhere and waits until what the selector finds was made anew."""
    page.evaluate("s => { document.querySelector(s).seen = true; }", selector)
    elsewhere.moves_a_mark()
    page.wait_for_function("s => !document.querySelector(s).seen", arg=selector)


def test_controls_of_the_walls_keep_the_focus(
    page: Page, example: dict[str, Any], elsewhere: Elsewhere
) -> None:
    """The chooser of sizes, a size in the table and a photo's link are still in focus after
    the page was drawn anew for a change made elsewhere."""
    page.goto(f"/job.html?job={example['job']['id']}")
    page.locator("svg.unfolded").wait_for()
    controls = [
        page.get_by_role("button", name="Heights"),
        page.locator('button[data-size="width 16"]').first,
        page.locator(".strip a").first,
        page.get_by_role("button", name="All three"),
    ]
    for control in controls:
        control.focus()
        before = page.evaluate(FOCUSED)
        redrawn(page, ".board-groups button", elsewhere)

        assert page.evaluate(FOCUSED) == before != ""


def test_a_held_key_is_not_lost(page: Page, example: dict[str, Any], elsewhere: Elsewhere) -> None:
    """Space goes down on a size, the wall changes elsewhere, Space comes up: the pad opens, and
    what was put off is drawn."""
    page.goto(f"/job.html?job={example['job']['id']}")
    page.locator("svg.unfolded").wait_for()
    page.locator('button[data-size="width 16"]').first.focus()
    page.evaluate("() => { document.querySelector('.board-groups button').seen = true; }")
    page.keyboard.down("Space")
    elsewhere.moves_a_mark()
    page.wait_for_timeout(HELD_MS)
    held = page.evaluate("document.querySelector('.board-groups button').seen")
    page.keyboard.up("Space")

    assert held
    expect(page.locator("#pad-title")).to_contain_text("width 16")
    page.wait_for_function("() => !document.querySelector('.board-groups button').seen")


def test_points_of_a_photo_are_changed_where_they_stand(page: Page, elsewhere: Elsewhere) -> None:
    """The button of a point is the same one before and after a change, focus and all."""
    page.goto(f"/photo.html?photo={elsewhere.photo}")
    page.locator("html[data-ready]").wait_for()
    point = page.locator(f'#points [data-point="{MARK}"]')
    point.focus()
    page.evaluate("() => { document.activeElement.seen = true; }")
    served = page.locator("#found > *")
    served.evaluate("e => { e.seen = true; }")
    elsewhere.moves_a_mark()
    page.wait_for_function("() => !document.querySelector('#found > *').seen")

    assert page.evaluate("document.activeElement.seen")
    assert page.evaluate("document.activeElement.dataset.point") == MARK
