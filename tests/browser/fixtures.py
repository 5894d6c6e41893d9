"""One browser and one service for all tests of the pages."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.screens import DESK, launched, opened
from tests.browser.served import served

LOOKS_WITHIN_MS = 90_000


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium."""
    with sync_playwright() as playwright:
        found = launched(playwright)
        yield found
        found.close()


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A service that began with an empty database."""
    with served(tmp_path_factory.mktemp("served")) as found:
        yield found


@pytest.fixture(scope="session")
def example(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Any]]:
    """The example on a service of its own."""
    with served(tmp_path_factory.mktemp("example")) as found:
        yield loaded_example(browser, found)


def loaded_example(browser: Browser, address: str) -> dict[str, Any]:
    """The example, loaded from the jobs page and looked at: its address, its job, its walls."""
    with opened(browser, address, DESK) as page:
        page.goto("/")
        page.get_by_role("button", name="Load the example").click()
        page.wait_for_url("**/job.html?job=*")
        page.locator(".strip img").nth(10).wait_for(timeout=LOOKS_WITHIN_MS)
        job = page.request.get(f"/api/jobs/{page.url.partition('job=')[2]}").json()
        walls = {
            row["name"]: page.request.get(f"/api/walls/{row['id']}").json() for row in job["walls"]
        }
    return {"address": address, "job": job, "walls": walls}
