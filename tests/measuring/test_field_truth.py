"""Field truth: the share of photo intervals that held the tape."""

from __future__ import annotations

import numpy as np
import pytest

from service.measuring.estimates import Estimate
from service.measuring.field_truth import ProvedInField, field_truth


def _sizes(held: int, count: int, shop: str = "s", phone: str = "p") -> list[ProvedInField]:
    tape = Estimate(1000.0, 0.5)
    near, far = Estimate(1001.0, 2.0), Estimate(1010.0, 2.0)
    return [ProvedInField(shop, phone, near if n < held else far, tape) for n in range(count)]


def test_shares_are_told_by_shop_and_phone() -> None:
    """Each pair has its own share."""
    found = field_truth([*_sizes(9, 10), *_sizes(10, 10, phone="q"), *_sizes(1, 2, shop="t")])
    assert [(s.shop, s.phone, s.held, s.count) for s in found] == [
        ("s", "p", 9, 10),
        ("s", "q", 10, 10),
        ("t", "p", 1, 2),
    ]


@pytest.mark.published
@pytest.mark.parametrize(
    ("held", "count", "low", "high"),
    [(9, 10, 0.5550, 0.9975), (0, 10, 0.0, 0.3085), (10, 10, 0.6915, 1.0)],
)
def test_bounds_are_clopper_and_pearsons(held: int, count: int, low: float, high: float) -> None:
    """Clopper and Pearson (1934), 95 %: 9 of 10, 0 of 10 and its mirror (values from memory)."""
    (share,) = field_truth(_sizes(held, count))
    assert (share.low, share.high) == pytest.approx((low, high), abs=1e-4)


def test_intervals_as_stated_bear_out_and_too_narrow_ones_do_not() -> None:
    """Photos that err as they say hold 95 %; at half the stated width they do not."""
    rng = np.random.default_rng(95)
    for narrowed, bears_out in ((1.0, True), (0.5, False)):
        sizes = [
            ProvedInField(
                "s",
                "p",
                Estimate(1000 + 2.0 * rng.normal(), 2.0 * narrowed),
                Estimate(1000 + 0.5 * rng.normal(), 0.5 * narrowed),
            )
            for _ in range(600)
        ]
        (share,) = field_truth(sizes)
        assert share.bears_out is bears_out


def test_a_few_sizes_contradict_nothing_and_prove_as_little() -> None:
    """35 of 35 leave a true share under 90 % possible, 36 of 36 do not (0.025 ** (1 / 36) = 0.903,
    the bound of Clopper and Pearson where all held)."""
    (few,), (enough,) = field_truth(_sizes(35, 35)), field_truth(_sizes(36, 36))
    assert (few.bears_out, few.enough) == (True, False)
    assert (enough.bears_out, enough.enough) == (True, True)
    assert enough.low == pytest.approx(0.025 ** (1 / 36), abs=1e-9)


@pytest.mark.parametrize(("held", "count"), [(72, 72), (200, 201), (600, 605)])
def test_more_than_was_told_is_no_fault_of_the_photos(held: int, count: int) -> None:
    """72 of 72 leave no true share as low as 95 % (0.025 ** (1 / 72) = 0.9501): the intervals are
    wider than they say, and nobody is told that 95 % is not borne out."""
    (share,) = field_truth(_sizes(held, count))
    assert (share.more, share.bears_out, share.enough) == (True, False, True)
    (few,) = field_truth(_sizes(71, 71))
    assert (few.more, few.bears_out) == (False, True)
    (short,) = field_truth(_sizes(80, 100))
    assert (short.more, short.bears_out) == (False, False)


def test_nothing_released_says_nothing() -> None:
    """Without a released job there is no share."""
    assert field_truth([]) == ()
