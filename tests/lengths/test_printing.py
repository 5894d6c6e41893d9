"""The one rounding, and the text made of it."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.lengths import (
    Direction,
    feet_inches_text,
    inches_text,
    mm_text,
    parse_length,
    parse_station,
    round_length,
)

SIXTEENTH_MM = Fraction("1.5875")


@pytest.mark.published
@pytest.mark.parametrize(
    ("thirty_seconds", "expected"),
    [(1, Fraction(0)), (3, Fraction(1, 8)), (5, Fraction(1, 8)), (7, Fraction(1, 4))],
)
def test_midway_goes_to_the_even_graduation(thirty_seconds: int, expected: Fraction) -> None:
    """NIST Handbook 44, 10.3: exactly midway reads as the graduation whose value is even."""
    assert round_length(thirty_seconds * SIXTEENTH_MM / 2, 16) == expected


@pytest.mark.parametrize(
    ("mm", "denominator", "direction", "inches"),
    [
        (1518.4, 32, "nearest", "59 25/32"),
        (1518.4, 16, "nearest", "59 3/4"),
        (1518.4, 16, "down", "59 3/4"),
        (1518.4, 16, "up", "59 13/16"),
        (1517.65, 16, "down", "59 3/4"),
        (1517.65, 16, "up", "59 3/4"),
        (749.3, 64, "down", "29 1/2"),
        (-355.6, 16, "nearest", "-14"),
        (-356.0, 16, "up", "-14"),
        (-356.0, 16, "down", "-14 1/16"),
        (0.0, 16, "nearest", "0"),
    ],
)
def test_rounding_by_hand(mm: float, denominator: int, direction: Direction, inches: str) -> None:
    """Nearest, down and up by hand; a float that means a graduation stays on it."""
    assert inches_text(mm, denominator, direction) == inches


@given(
    st.floats(min_value=-20_000, max_value=20_000),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.sampled_from(["nearest", "down", "up"]),
)
def test_rounding_moves_no_further_than_it_may(
    mm: float, denominator: int, direction: Direction
) -> None:
    """Nearest is within half a graduation, down never above, up never below, both within one."""
    step_mm = 25.4 / denominator
    moved = float(round_length(mm, denominator, direction) * Fraction("25.4")) - mm
    low, high = {
        "nearest": (-step_mm / 2, step_mm / 2),
        "down": (-step_mm, 0.0),
        "up": (0.0, step_mm),
    }[direction]
    assert low - 1e-6 <= moved <= high + 1e-6


def test_every_sixty_fourth_prints_and_reads_back() -> None:
    """parse(print(x)) = x for each 1/64 in from 0 to 40 ft, in inches, feet-inches and mm."""
    for sixty_fourths in range(40 * 12 * 64 + 1):
        mm = Fraction(sixty_fourths * 396_875, 1_000_000)
        assert parse_length(inches_text(mm, 64), "in").mm == mm
        assert parse_length(inches_text(mm, 64, mark='"')).mm == mm
        assert parse_length(feet_inches_text(mm, 64)).mm == mm
        assert parse_station("-" + inches_text(mm, 64), "in").mm == -mm


@given(st.integers(min_value=0, max_value=200_000))
def test_tenths_of_a_millimetre_read_back(tenths: int) -> None:
    """A printed tenth of a millimetre reads back exactly."""
    assert parse_length(mm_text(Fraction(tenths, 10))).mm == Fraction(tenths, 10)


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (1520.825, "4' 11 7/8\""),
        (3048.0, "10' 0\""),
        (1238.25, "4' 0 3/4\""),
        (152.4, '6"'),
        (12.7, '1/2"'),
        (0.0, '0"'),
        (-1520.825, "-4' 11 7/8\""),
        (304.7, "1' 0\""),
    ],
)
def test_feet_and_inches_keep_a_zero_inch(mm: float, text: str) -> None:
    """Zero inches are shown after feet, no feet below one foot (common practice on drawings)."""
    assert feet_inches_text(mm) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [(1520.83, "1520.8 mm"), (0.25, "0.2 mm"), (0.35, "0.4 mm"), (-0.04, "0.0 mm")],
)
def test_millimetres_are_printed_to_a_tenth(mm: float, text: str) -> None:
    """Tenths, midway to the even tenth, and no minus before zero."""
    assert mm_text(mm) == text


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_rounded(mm: float) -> None:
    """A length that is not finite is refused."""
    with pytest.raises(ValueError, match="finite"):
        round_length(mm, 16)


def test_rounding_refuses_what_it_does_not_know() -> None:
    """A denominator of zero and another direction are refused by name."""
    with pytest.raises(ValueError, match="denominator 0"):
        round_length(1.0, 0)
    with pytest.raises(ValueError, match="direction 'sideways'"):
        round_length(1.0, 16, "sideways")  # type: ignore[arg-type]
