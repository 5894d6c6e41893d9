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

LINES = """async (text) => {
  const { el } = await import('/static/js/page/dom.js');
  const said = el('p', {}, text);
  said.style.width = '1px';
  document.body.append(said);
  return [...text.matchAll(/\\S+/gu)].map(({ 0: word, index }) => {
    const range = document.createRange();
    range.setStart(said.firstChild, index);
    range.setEnd(said.firstChild, index + word.length);
    return [word, Math.round(range.getBoundingClientRect().top)];
  });
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


def test_no_line_ends_within_a_length(browser: Browser, address: str) -> None:
    """However narrow the place, a whole number stays beside its fraction, and ± beside what it is:
    66 over 3/4 would be read as two sizes."""
    with opened(browser, address, DESK) as page:
        page.goto("/")
        tops = page.evaluate(LINES, "from 66 3/4 in 7 1/4 ± 1/8 in")

    of = [top for _, top in tops]
    assert of[1] == of[2]
    assert of[4] == of[5]
    assert of[6] == of[7]
    assert of[0] < of[1] < of[3] < of[4] < of[6] < of[8]
