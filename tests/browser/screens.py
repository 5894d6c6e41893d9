"""The screens on which the pages are tried, and the browser they are tried in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from playwright.sync_api import Browser, Page, Playwright

from service.bootstrap.browser import PACKAGE, find_browser
from tests.rules.sources import CHECKOUT

PICTURES: Final = CHECKOUT / ".cache" / "screenshots"
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
BENIGN: Final = "409 (Conflict)"
"""The browser's own note of an answer that the pages expect: a wall with nothing to measure yet."""

Theme = Literal["light", "dark"]


@dataclass(frozen=True)
class Screen:
    """A screen size; with touch, a finger takes the place of the mouse."""

    name: str
    width: int
    height: int
    density: float
    touch: bool


PHONE: Final = Screen("phone", 390, 844, 3, touch=True)
DESK: Final = Screen("desk", 1280, 800, 1, touch=False)


def launched(playwright: Playwright) -> Browser:
    """The system's Chromium; nothing is downloaded."""
    found = find_browser()
    assert found, f"the browser tests need the system package {PACKAGE}"
    return playwright.chromium.launch(executable_path=found, args=list(FLAGS))


@contextmanager
def opened(
    browser: Browser, address: str, screen: Screen, theme: Theme = "light", expected: str = BENIGN
) -> Iterator[Page]:
    """A page with a clean browser profile; a fault in its script fails the test at the end.

    What the browser logs of a failed request is let pass where it holds the `expected` words.
    """
    context = browser.new_context(
        base_url=address,
        viewport={"width": screen.width, "height": screen.height},
        device_scale_factor=screen.density,
        has_touch=screen.touch,
        is_mobile=screen.touch,
        color_scheme=theme,
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    try:
        yield page
        found = [fault for fault in faults if BENIGN not in fault and expected not in fault]
        assert not found, found
    finally:
        context.close()


def picture(page: Page, name: str) -> Path:
    """Keeps what is on the screen, to be looked at."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    path = PICTURES / f"{name}.png"
    page.screenshot(path=path)
    return path
