"""Readings: what stands, what is refused, and what repeats shrink."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from service.measuring.instruments import Instrument, InstrumentKind, Method, TapeClass
from service.measuring.reading import (
    Reading,
    ReadingError,
    combine,
    covariance,
    effective_readings,
    stays_mm,
)
from tests.measuring.wall import read


def test_the_last_of_a_chain_stands() -> None:
    """Corrected twice, the third reading stands, and others are left alone."""
    readings = [
        read("r1", "w", "58"),
        read("r2", "w", "59", replaces="r1"),
        read("other", "h", "63"),
        read("r3", "w", "60", replaces="r2"),
    ]
    assert [r.id for r in effective_readings(readings)] == ["other", "r3"]


@pytest.mark.parametrize(
    ("readings", "named"),
    [
        ([read("r1", "w", "58"), read("r1", "w", "59")], "'r1' is given twice"),
        ([read("r1", "w", "58", replaces="r9")], "no reading has that id"),
        ([read("r1", "w", "58", replaces="r1")], "replaces itself"),
        (
            [read("r1", "w", "58", replaces="r2"), read("r2", "w", "58", replaces="r1")],
            "replaces itself",
        ),
    ],
)
def test_contradictory_chains_are_refused(readings: list[Reading], named: str) -> None:
    """Ids twice, corrections of nothing and rings are named."""
    with pytest.raises(ReadingError, match=named):
        effective_readings(readings)


@pytest.mark.parametrize("mm", [0.0, -1.0, math.nan, math.inf])
def test_a_reading_is_above_zero(mm: float) -> None:
    """A tape shows no zero, no negative and no infinite length."""
    with pytest.raises(ReadingError, match="above 0"):
        Reading("r", "w", mm)


def test_another_tape_shrinks_what_the_same_tape_does_not() -> None:
    """Many readings with one tape keep its error; with as many tapes it averages out."""
    one = [read(f"r{n}", "w", "60", tape="t1") for n in range(100)]
    many = [read(f"r{n}", "w", "60", tape=f"t{n}") for n in range(100)]
    assert combine(one).u_mm == pytest.approx(0.5196, abs=0.003)
    assert combine(many).u_mm == pytest.approx(0.0693, abs=5e-4)


def test_an_outright_uncertainty_wins() -> None:
    """u_mm replaces the instrument's total, larger or smaller."""
    for u_mm in (0.2, 0.6, 3.0):
        assert read("r", "w", "60", u_mm=u_mm).uncertainty.u_mm == pytest.approx(u_mm)


def test_an_outright_uncertainty_does_not_make_repeats_independent() -> None:
    """Two readings of one tape with u_mm given still share that tape's error."""
    twice = [read(f"r{n}", "w", "60", u_mm=0.693) for n in range(2)]
    assert combine(twice).u_mm > 0.6


@pytest.mark.parametrize("u_mm", [0.05, 0.3, 0.693, 5.0])
def test_repeats_with_a_small_outright_uncertainty_can_be_combined(u_mm: float) -> None:
    """However small the stated figure, part of it is random and two repeats are better than one."""
    twice = combine([read(f"r{n}", "w", "60", u_mm=u_mm) for n in range(2)])
    assert 0.7 * u_mm < twice.u_mm < u_mm


def test_a_length_beyond_the_table_names_its_reading() -> None:
    """Handbook 44 ends at 100 ft, and the message says which reading is longer."""
    tape = Instrument(tape_class=TapeClass.HB44)
    with pytest.raises(ReadingError, match=r"'r1'.*100 ft"):
        Reading("r1", "w", 31_000.0, instrument=tape)


def test_shared_error_keeps_the_covariance_regular() -> None:
    """Readings of one tape by different methods have a positive definite covariance."""
    hook = read("r1", "w", "60")
    bent = replace(read("r2", "w", "60"), instrument=Instrument(id="t1", method=Method.BENT_INSIDE))
    added = replace(
        read("r3", "w", "60"), instrument=Instrument(id="t1", method=Method.MARK_AND_ADD)
    )
    assert np.linalg.eigvalsh(covariance([hook, bent, added])).min() > 0.1


def test_a_method_belongs_to_its_instrument() -> None:
    """A laser has no hook, and the message says what it has."""
    with pytest.raises(ValueError, match="expected laser rear, laser front"):
        Instrument(InstrumentKind.LASER, method=Method.HOOK_TO_MARK)


@pytest.mark.parametrize("graduation_mm", [0.0, -1.0, math.nan, 101.0])
def test_a_graduation_is_a_small_length(graduation_mm: float) -> None:
    """A graduation of nothing, or of more than 100 mm, is a mistake."""
    with pytest.raises(ValueError, match="graduation"):
        Instrument(graduation_mm=graduation_mm)


def test_what_repeats_do_not_shrink_is_told() -> None:
    """At 60 in a class II tape errs by up to 0.9 mm (0.3 + 2 x 0.2 + 0.2; OIML R 35-1), u 0.5196,
    read once or a hundred times; of two tapes half of that variance is left, of a rod nothing."""
    one = [read(f"r{n}", "w", "60", tape="t1") for n in range(100)]
    two = [read(f"r{n}", "w", "60", tape=f"t{n}") for n in range(2)]
    rod = [Reading("r", "w", 1524.0, instrument=Instrument(InstrumentKind.ROD, method=Method.ROD))]

    for n in (1, 2, 100):
        assert stays_mm(one[:n]) == pytest.approx(0.9 / math.sqrt(3))
    assert stays_mm(two) == pytest.approx(0.9 / math.sqrt(6))
    assert stays_mm(rod) == 0.0
    assert combine(one).u_mm > stays_mm(one)
