"""A size on the screen is the one on the paper."""

from __future__ import annotations

import random

import pytest
from playwright.sync_api import Browser

from service.lengths import inches_text
from tests.browser.screens import DESK, opened

pytestmark = pytest.mark.browser

SHOWN = """async (sizes) => {
  const { sizeText } = await import('/static/js/geometry/lengths.js');
  return sizes.map((mm) => sizeText(mm));
}"""


def test_pages_round_as_the_service_does(browser: Browser, address: str) -> None:
    """To the nearest 1/16 in, exactly midway to the even one, whatever its last binary digit: sizes
    midway, a hair beside it, and drawn ones."""
    midway = [(n + 0.5) * 1.5875 for n in range(0, 1200, 7)]
    drawn = random.Random(16)
    sizes = [
        *midway,
        *(mm + 1e-12 for mm in midway),
        *(mm - 1e-12 for mm in midway),
        *(drawn.uniform(-3000, 3000) for _ in range(500)),
        -1.5875 / 2,
        0.0,
    ]
    with opened(browser, address, DESK) as page:
        page.goto("/")
        assert page.evaluate(SHOWN, sizes) == [inches_text(mm) for mm in sizes]
