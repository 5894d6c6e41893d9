"""Tape tolerances and reading rules against the standards that state them."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from service.measuring.instruments import (
    Instrument,
    InstrumentKind,
    Method,
    TapeClass,
    permissible_error_mm,
    reading_uncertainty,
)
from service.measuring.reading import Reading, combine

pytestmark = pytest.mark.published

INCH = 25.4
FOOT = 304.8


@pytest.mark.parametrize(
    ("metres", "class_one", "class_two", "class_three"),
    [(3, 0.4, 0.9, 1.8), (5, 0.6, 1.3, 2.6), (8, 0.9, 1.9, 3.8), (1.524, 0.3, 0.7, 1.4)],
)
def test_oiml_r35_permissible_errors(
    metres: float, class_one: float, class_two: float, class_three: float
) -> None:
    """OIML R 35-1:2007 clause 4 (= 2014/32/EU annex X): a + bL, L rounded up to whole metres."""
    errors = [
        permissible_error_mm(metres * 1000, of, hooked=False)
        for of in (TapeClass.I, TapeClass.II, TapeClass.III)
    ]
    assert errors == pytest.approx([class_one, class_two, class_three], abs=1e-9)


def test_oiml_r35_hook_adds_its_own_error() -> None:
    """OIML R 35-1:2007: c is added when the interval starts at an end surface."""
    errors = [
        permissible_error_mm(1524, of, hooked=True)
        for of in (TapeClass.I, TapeClass.II, TapeClass.III)
    ]
    assert errors == pytest.approx([0.4, 0.9, 1.7], abs=1e-9)


@pytest.mark.parametrize(("mm", "whole_metres"), [(2000.0, 2), (2438.4, 3), (2000.1, 3), (1.0, 1)])
def test_oiml_r35_rounds_metres_up_and_no_further(mm: float, whole_metres: int) -> None:
    """Exactly 2.000 m counts as two metres, 2.4384 m (8 ft) as three."""
    expected = 0.3 + 0.2 * whole_metres
    assert permissible_error_mm(mm, TapeClass.II, hooked=False) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("feet", "inches"),
    [
        (5, 1 / 32),
        (6, 1 / 32),
        (6 + 1 / 12, 1 / 16),
        (30, 1 / 16),
        (31, 1 / 8),
        (55, 1 / 8),
        (56, 3 / 16),
        (80, 3 / 16),
        (81, 1 / 4),
        (100, 1 / 4),
    ],
)
def test_handbook_44_tolerances(feet: float, inches: float) -> None:
    """NIST Handbook 44 section 5.52, metal tapes; between two rows the longer one, our rule."""
    assert permissible_error_mm(feet * FOOT, TapeClass.HB44, hooked=True) == inches * INCH


def test_handbook_44_ends_at_one_hundred_feet() -> None:
    """Beyond the table nothing is made up."""
    with pytest.raises(ValueError, match="100 ft"):
        permissible_error_mm(101 * FOOT, TapeClass.HB44, hooked=True)


@pytest.mark.parametrize(
    ("graduation_mm", "u_mm"), [(INCH / 16, 0.4583), (INCH / 32, 0.2291), (1.0, 0.2887)]
)
def test_a_graduation_is_a_rectangular_limit(graduation_mm: float, u_mm: float) -> None:
    """GUM (JCGM 100:2008) 4.3.7 and F.2.2.1: u = half-width / sqrt 3 = d / sqrt 12."""
    of = reading_uncertainty(1524, Instrument(graduation_mm=graduation_mm))
    assert of.random_mm == pytest.approx(u_mm, abs=5e-5)


@pytest.mark.parametrize(
    "of",
    [
        Instrument(InstrumentKind.LASER, method=Method.LASER_REAR, graduation_mm=10.0),
        Instrument(InstrumentKind.ROD, method=Method.ROD, graduation_mm=10.0),
        Instrument(
            InstrumentKind.LASER, method=Method.LASER_REAR, graduation_mm=10.0, tolerance_mm=1.0
        ),
    ],
)
def test_a_coarse_display_is_a_rectangular_limit_too(of: Instrument) -> None:
    """GUM (JCGM 100:2008) F.2.2.1: whatever the meter is stated to keep to, one that shows whole
    centimetres leaves 5 mm either way, u = 2.887 mm; so does a rod with such lines."""
    assert reading_uncertainty(1524, of).random_mm == pytest.approx(2.8868, abs=5e-5)
    usual = replace(of, graduation_mm=1.0)
    assert reading_uncertainty(1524, usual).u_mm < 1.0


def test_budget_of_a_sixty_inch_reading() -> None:
    """60 in, class II hooked, 1/16 in: .5196 and .4583 make u = .693 mm, U = 1.39 mm < 1/16 in."""
    of = reading_uncertainty(60 * INCH, Instrument())
    assert of.systematic_mm == pytest.approx(0.5196, abs=5e-5)
    assert of.u_mm == pytest.approx(0.693, abs=5e-4)
    assert 2 * of.u_mm < INCH / 16


def test_two_tapings_with_one_tape_share_its_error() -> None:
    """Averaging two tapings shrinks the reading part alone; the tape's own error stays."""
    twice = combine([Reading("r1", "w", 1524.0), Reading("r2", "w", 1524.0)])
    assert twice.u_mm == pytest.approx(math.hypot(0.5196, 0.4583 / math.sqrt(2)), abs=1e-4)


@pytest.mark.parametrize(
    ("instrument", "low_mm", "high_mm"),
    [
        (Instrument(), 0.65, 0.75),
        (Instrument(method=Method.BENT_INSIDE), 1.85, 2.1),
        (Instrument(method=Method.MARK_AND_ADD), 0.85, 1.2),
        (Instrument(InstrumentKind.ROD, method=Method.ROD), 0.85, 0.95),
        (Instrument(InstrumentKind.LASER, method=Method.LASER_REAR), 0.75, 1.0),
        (Instrument(InstrumentKind.LASER, method=Method.LASER_FRONT), 0.75, 1.0),
    ],
)
def test_method_matters_as_the_trade_has_it(
    instrument: Instrument, low_mm: float, high_mm: float
) -> None:
    """Common practice at 60 in: hook, rod and laser within 1/16 in, bent into a corner 1/8 in."""
    assert low_mm < reading_uncertainty(60 * INCH, instrument).u_mm < high_mm
