"""The fixtures of the browser tests, and their marker.

Where there is no browser, the test command says so loudly in a step of its own, and a desk goes
without these tests; under CI they fail.
"""

from __future__ import annotations

import os

import pytest

from service.bootstrap.browser import find_browser
from tests.browser.fixtures import address, browser, example

__all__ = ["address", "browser", "example"]

if find_browser() is None and os.environ.get("CI", "").lower() not in ("true", "1"):
    collect_ignore_glob = ["test_*.py"]


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "browser: the pages in the system's Chromium")
