"""Out of plumb, level and square, from sizes that were taped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from service.measuring.alcove.derived import Derived, derived_sizes
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, WallSizes
from service.measuring.estimates import PhotoEstimates
from service.measuring.reading import Reading
from tests.measuring.alcove.worked import worked_alcove
from tests.support.simulated_alcove import drawn_alcove, rectangular_error_mm, taped

_ON_THE_LEFT = ("back left 16", "back right 16", "back left 64", "back deck left", "back deck 0")


def _worked(slip: str = "29 1/16") -> dict[str, Derived]:
    return _derived(*worked_alcove(slip))


def _derived(walls: Sequence[WallSizes], readings: Sequence[Reading]) -> dict[str, Derived]:
    judged = judge_alcove(walls, None, readings)
    return {f"{d.wall} {d.what}": d for d in derived_sizes(walls, judged, None, readings)}


@pytest.mark.parametrize(
    ("what", "inches"),
    [
        ("back out of plumb left", 29 + 3 / 16 - (30 + 1 / 16 - 3 / 8)),
        ("back out of plumb right", 29 + 1 / 4 - (29 + 3 / 8 - 3 / 8)),
        ("back out of level", 5 / 16),
        ("plumbing out of plumb inner", 10 + 1 / 4 - (10 + 5 / 16 - 3 / 8)),
        ("back out of square left", -24 * -0.01086),
        ("back out of square right", -24 * 0.00756),
    ],
)
def test_the_worked_alcove_leans_as_computed_by_hand(what: str, inches: float) -> None:
    """Plumb and level by the sheet's own readings, square by its cosines, within 1/16 in."""
    found = _worked()[what].value
    assert found.mm / 25.4 == pytest.approx(inches, abs=1 / 16)
    assert 0.1 < found.u_mm < 2.5


def test_a_slip_does_not_lean_a_wall() -> None:
    """The planted inch is set aside before anything is derived."""
    clean, slipped = _worked(), _worked("28 1/16")
    for what, found in slipped.items():
        assert found.value.mm == pytest.approx(clean[what].value.mm, abs=0.5)


def test_a_wrong_print_scale_tilts_no_deck() -> None:
    """The cards of one wall printed small by 1.2 %, which its tape shows: a deck that is taped on
    the left and seen on the right falls as it does, within what is said of it. By the stated
    scale it fell 1/16 in to the right where it falls 7/32 to the left, 4 times what was said."""
    rng = np.random.default_rng(3)
    alcove = drawn_alcove(rng, bow=0.0)
    wall = next(w for w in alcove.walls() if w.wall == "back")
    stations = ("back deck left", "back deck 0", "back deck right")
    sizes = tuple(s for s in wall.sizes if s.role is Role.OFFSET or s.name in stations)
    wall = replace(wall, sizes=sizes)
    truth = {size.name: alcove.truth_mm[size.name] for size in sizes}
    mm = np.array(list(truth.values()))
    spread = 1.5**2 * np.eye(mm.size) + 0.0009**2 * np.outer(mm, mm)
    photo = PhotoEstimates(tuple(truth), 1.012 * mm, spread)
    taken = [taped(s, truth[s.name]) for s in sizes if s.name in _ON_THE_LEFT]

    judged = judge_alcove([wall], photo, taken)
    assert judged.judgement.print_scale is not None
    derived = derived_sizes([wall], judged, photo, taken)
    level = next(found.value for found in derived if found.what == "out of level")
    fall = truth["back deck right"] - truth["back deck left"]
    assert level.mm == pytest.approx(fall, abs=2 * level.u_mm)
    assert level.u_mm < 2


@pytest.mark.parametrize("name", ["plumbing tub front", "back square left"])
def test_a_slip_beside_an_honest_reading_of_its_size_leans_nothing(name: str) -> None:
    """A foot too many, beside a reading that agrees: half way between the two, the corner would be
    19 mm out of square for 2, and the plumbing wall out of level over 6 in more than there are."""
    walls, readings = worked_alcove("29 1/16")
    honest = next(reading for reading in readings if reading.dimension == name)
    slip = replace(honest, id="slip", mm=honest.mm + 304.8, who="B")
    clean, slipped = _derived(walls, readings), _derived(walls, [*readings, slip])
    for what, found in slipped.items():
        assert found.value.mm == pytest.approx(clean[what].value.mm, abs=0.1)
        assert found.over_mm == pytest.approx(clean[what].over_mm, abs=1)


@pytest.mark.statistical
def test_derived_figures_are_as_uncertain_as_they_say() -> None:
    """Over drawn alcoves out of plumb and out of level stray by about their own u."""
    rng = np.random.default_rng(12)
    scaled = []
    for _ in range(40):
        alcove = drawn_alcove(rng, bow=0.5)
        readings = [
            taped(s, alcove.truth_mm[s.name] + rectangular_error_mm(s, rng))
            for s in alcove.all_sizes()
        ]
        found = _derived(alcove.walls(), readings)
        truth = alcove.truth_mm
        level = truth["back deck right"] - truth["back deck left"]
        lean = truth["far end outer 64"] - truth["far end outer 16"]
        for what, true in (("back out of level", level), ("far end out of plumb outer", lean)):
            value = found[what].value
            scaled.append((value.mm - true) / value.u_mm)
    spread = math.sqrt(float(np.mean(np.square(scaled))))
    assert 0.5 <= spread <= 1.3
