"""What released sheets say of a phone's photos reads the same on the page and in a terminal."""

from __future__ import annotations

from dataclasses import asdict

import pytest
from playwright.sync_api import Browser

from service.actions.field_truth import share_line
from service.measuring.estimates import Estimate
from service.measuring.field_truth import FieldShare, ProvedInField, field_truth
from tests.browser.screens import DESK, opened

pytestmark = pytest.mark.browser

VERDICT = """async (phone) => {
  const { fieldTable } = await import('/static/js/parts/field_table.js');
  return fieldTable('', 1, [phone]).querySelector('.badge').textContent;
}"""


def _share(held: int, count: int) -> FieldShare:
    tape, near, far = Estimate(1000.0, 0.5), Estimate(1001.0, 2.0), Estimate(1010.0, 2.0)
    sizes = [ProvedInField("", "p", near if n < held else far, tape) for n in range(count)]
    return field_truth(sizes)[0]


@pytest.mark.parametrize(
    ("held", "count", "said"),
    [
        (5, 5, "too few to tell"),
        (38, 40, "too few to tell"),
        (96, 100, "95 % is borne out"),
        (80, 100, "95 % is not borne out"),
        (100, 100, "more than 95 %, wider than need be"),
    ],
)
def test_page_and_terminal_say_the_same(
    browser: Browser, address: str, held: int, count: int, said: str
) -> None:
    """Too few, as told, fewer than told, and more than told: nobody whose every photo interval held
    the tape reads that 95 % is not borne out."""
    share = _share(held, count)
    row = asdict(share) | {
        "bears_out": share.bears_out,
        "more": share.more,
        "enough": share.enough,
    }
    with opened(browser, address, DESK) as page:
        page.goto("/")
        shown = page.evaluate(VERDICT, row)

    assert share_line(share).endswith(f": {said}")
    assert said in shown
