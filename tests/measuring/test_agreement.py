"""Figures and statuses of dimensions, against sums by hand and brute-force fusion."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from service.measuring.agreement import judge
from service.measuring.estimates import Closure, PhotoEstimates, TapeObservation
from service.measuring.instruments import Instrument
from service.measuring.judgement import Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading, ReadingError
from tests.measuring.wall import photos, random_wall, read


def _fused(
    photo: PhotoEstimates, tapes: Sequence[tuple[int, float, float]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Gaussian fusion in information form: independent of the code under test."""
    weight = np.linalg.inv(photo.covariance_mm2)
    right = weight @ photo.mm
    for place, mm, u_mm in tapes:
        weight[place, place] += 1 / u_mm**2
        right[place] += mm / u_mm**2
    inverse = np.linalg.inv(weight)
    return inverse @ right, np.sqrt(np.diag(inverse))


def test_one_size_by_hand() -> None:
    """Photo 1520 ± 2 and tape 1521 ± 1: expected the photo, best the weighted mean."""
    found = judge(["w"], photos(w=(1520.0, 2.0)), [Reading("r", "w", 1521.0, u_mm=1.0)])
    w = found.dimension("w")
    assert w.photo is not None
    assert w.expected is not None
    assert w.tape is not None
    assert w.best is not None
    assert (w.photo.mm, w.photo.u_mm) == pytest.approx((1520.0, 2.0))
    assert (w.expected.mm, w.expected.u_mm) == pytest.approx((1520.0, 2.0))
    assert (w.tape.mm, w.tape.u_mm) == pytest.approx((1521.0, 1.0))
    assert (w.best.mm, w.best.u_mm) == pytest.approx((1520.8, math.sqrt(0.8)))
    assert w.en == pytest.approx(1 / (2 * math.sqrt(5)))
    assert w.w == pytest.approx(1 / math.sqrt(5))
    assert w.mdb_mm == pytest.approx(4.1321 * math.sqrt(5), rel=1e-4)
    assert w.best.interval95_mm == pytest.approx((1520.8 - 1.753, 1520.8 + 1.753), abs=1e-3)


def test_each_repeat_has_figures_of_its_own() -> None:
    """Photo 1520 ± 2, two tapes 1521 and 1519, each ± 1: without the first, the rest says 1519.2
    ± √0.8; the two against one another make a Birge ratio of √2."""
    readings = [
        Reading(name, "w", mm, u_mm=1.0, instrument=Instrument(id=name))
        for name, mm in (("a", 1521.0), ("b", 1519.0))
    ]
    found = judge(["w"], photos(w=(1520.0, 2.0)), readings)
    first = found.reading("a")
    w = found.dimension("w")

    # A tape's systematic part is its own, so the two share nothing.
    assert first.w == pytest.approx((1521 - 1519.2) / math.sqrt(1.8))
    assert first.mdb_mm == pytest.approx(4.1321 * math.sqrt(1.8), rel=1e-4)
    assert w.birge == pytest.approx(math.sqrt(2))
    assert w.tape_stays_mm is not None
    assert w.tape is not None
    assert 0 < w.tape_stays_mm < w.tape.u_mm


def test_a_reading_that_nothing_checks_has_no_least_slip() -> None:
    """A size in no photo with one reading: no slip of any size would show."""
    found = judge(["w"], None, [Reading("r", "w", 1521.0)])
    assert (found.reading("r").w, found.reading("r").mdb_mm) == (None, None)


@pytest.mark.parametrize("seed", range(4))
def test_every_figure_is_that_of_brute_force(seed: int) -> None:
    """Expected and best of a wall equal a fresh fusion per dimension, with and without it."""
    rng = np.random.default_rng(seed)
    wall = random_wall(rng, 7)
    taped = [0, 2, 3, 6]
    tapes = [(p, float(wall.truth_mm[p] + 0.7 * rng.normal()), 0.7) for p in taped]
    readings = [Reading(f"r{p}", wall.names[p], mm, u_mm=u) for p, mm, u in tapes]
    found = judge(wall.names, wall.photo, readings)
    best, best_u = _fused(wall.photo, tapes)
    for place, of in enumerate(found.dimensions):
        others = [tape for tape in tapes if tape[0] != place]
        expected, expected_u = _fused(wall.photo, others)
        assert of.expected is not None
        assert of.best is not None
        assert of.expected.mm == pytest.approx(expected[place], abs=1e-7)
        assert of.expected.u_mm == pytest.approx(expected_u[place], rel=1e-7)
        assert of.best.mm == pytest.approx(best[place], abs=1e-7)
        assert of.best.u_mm == pytest.approx(best_u[place], rel=1e-7)
        assert of.status is (Status.AGREES if place in taped else Status.PHOTO_ONLY)


@pytest.mark.parametrize(
    ("tape_mm", "status"),
    [
        (1504.4, Status.AGREES),
        (1495.6, Status.AGREES),
        (1504.6, Status.UNSURE),
        (1507.3, Status.UNSURE),
        (1507.4, Status.CONFLICTS),
        (1492.6, Status.CONFLICTS),
    ],
)
def test_status_by_distance(tape_mm: float, status: Status) -> None:
    """With u = 2 and 1 the limits are 2 and 3.2905 times sqrt 5 = 4.472 and 7.358 mm."""
    found = judge(["w"], photos(w=(1500.0, 2.0)), [Reading("r", "w", tape_mm, u_mm=1.0)])
    assert found.dimension("w").status is status
    assert found.reading("r").status is status


def test_a_conflict_is_set_aside_and_still_measured_against_the_rest() -> None:
    """Best ignores the reading that conflicts; expected, E_n, w and the least slip stay."""
    photo = photos(w=(1520.0, 1.0), h=(1600.0, 1.0))
    found = judge(["w", "h"], photo, [read("r1", "w", "58 7/8"), read("r2", "h", "63")])
    w = found.dimension("w")
    assert w.status is Status.CONFLICTS
    assert w.best is not None
    assert w.tape is not None
    assert w.expected is not None
    assert w.best.mm == pytest.approx(1520.0)
    assert w.tape.mm == pytest.approx(1495.425)
    assert w.expected.mm == pytest.approx(1520.0)
    assert w.w is not None
    assert w.w < -15
    assert w.mdb_mm is not None
    assert found.reading("r1").status is Status.CONFLICTS
    assert found.dimension("h").status is Status.AGREES


def test_a_conflict_does_not_drag_its_neighbours() -> None:
    """A conflicting reading counts for nothing: the others stand as if it were not taken."""
    rng = np.random.default_rng(8)
    wall = random_wall(rng, 10)
    readings = [
        Reading(f"r{p}", name, float(wall.truth_mm[p]) + (25.4 if p == 4 else 0.0), u_mm=0.7)
        for p, name in enumerate(wall.names)
    ]
    found = judge(wall.names, wall.photo, readings)
    never_taken = judge(wall.names, wall.photo, [r for r in readings if r.dimension != "d4"])
    assert found.dimension("d4").status is Status.CONFLICTS
    for name in wall.names:
        best, without = found.dimension(name).best, never_taken.dimension(name).best
        assert best is not None
        assert without is not None
        assert best.mm == pytest.approx(without.mm, abs=1e-9)
        if name != "d4":
            assert found.dimension(name).status is never_taken.dimension(name).status


def test_a_slipped_repeat_is_set_aside_and_not_its_dimension() -> None:
    """Of three readings of one width the slipped one conflicts, the width agrees."""
    readings = [read("r1", "w", "59 7/8"), read("r2", "w", "58 7/8"), read("r3", "w", "59 7/8")]
    found = judge(["w"], photos(w=(1521.0, 2.0)), readings)
    assert [r.status for r in found.readings] == [
        Status.AGREES,
        Status.CONFLICTS,
        Status.AGREES,
    ]
    assert found.dimension("w").status is Status.AGREES
    assert found.dimension("w").suspect is not None


def test_the_same_slip_made_twice_conflicts() -> None:
    """Two readings that slipped alike do not vouch for each other against the photos."""
    readings = [read("r1", "w", "58 7/8", "t1"), read("r2", "w", "58 7/8", "t2")]
    found = judge(["w"], photos(w=(1521.0, 1.5)), readings)
    assert found.dimension("w").status is Status.CONFLICTS
    assert {r.status for r in found.readings} == {Status.CONFLICTS}
    tape = found.dimension("w").tape
    assert tape is not None
    assert tape.mm == pytest.approx(1495.425)


def test_two_clashing_readings_with_nothing_to_tell_are_neither_kept() -> None:
    """No photo, two readings an inch apart: both conflict, and no tape value is given."""
    found = judge(["w"], None, [read("r1", "w", "59 7/8"), read("r2", "w", "58 7/8")])
    w = found.dimension("w")
    assert (w.status, w.tape, w.best, w.expected) == (Status.TAPE_ONLY, None, None, None)
    assert [r.clashes_with for r in found.readings] == [("r2",), ("r1",)]
    assert {r.status for r in found.readings} == {Status.CONFLICTS}
    assert w.suspect is not None
    assert w.suspect.meant is None
    assert w.suspect.text.startswith("this one or r")
    assert "did you burn an inch?" in w.suspect.text


def test_photos_too_vague_to_tell_keep_neither_of_two() -> None:
    """Readings an inch apart, photos ± 30 mm right between: neither is silently kept."""
    readings = [read("r1", "w", "59 7/8"), read("r2", "w", "58 7/8")]
    found = judge(["w"], photos(w=(1508.0, 30.0)), readings)
    assert found.dimension("w").status is Status.CONFLICTS
    assert all(r.clashes_with for r in found.readings)


def test_a_third_reading_settles_a_clash() -> None:
    """Taken once more, the clash is settled by two against one."""
    readings = [read("r1", "w", "59 7/8"), read("r2", "w", "58 7/8"), read("r3", "w", "59 7/8")]
    found = judge(["w"], None, readings)
    assert [str(r.status) for r in found.readings] == ["agrees", "conflicts", "agrees"]
    assert found.dimension("w").status is Status.TAPE_ONLY
    assert found.dimension("w").best is not None


def test_a_replaced_reading_is_not_judged() -> None:
    """The corrected value stands; the old one is out of the judgement."""
    readings = [read("r1", "w", "58 7/8"), read("r2", "w", "59 7/8", replaces="r1")]
    found = judge(["w"], photos(w=(1521.0, 1.0)), readings)
    assert [r.id for r in found.readings] == ["r2"]
    assert found.dimension("w").status is Status.AGREES


def test_a_reading_takes_the_sign_of_its_dimension() -> None:
    """A tape has no sign: a pipe 3 in below the line is expected and reported at -76.2."""
    found = judge(["down"], photos(down=(-77.0, 1.0)), [read("r", "down", "3")])
    down = found.dimension("down")
    assert down.tape is not None
    assert down.best is not None
    assert down.tape.mm == pytest.approx(-76.2)
    assert down.best.mm < 0
    assert down.status is Status.AGREES


def test_tape_only_without_anything_to_check_it() -> None:
    """A dimension in no photo stands by its tape, agrees with nothing and is not checked."""
    found = judge(["w", "h"], photos(h=(1600.0, 1.0)), [read("r", "w", "59 7/8")])
    w = found.dimension("w")
    assert w.status is Status.TAPE_ONLY
    assert (w.expected, w.en, w.w, w.mdb_mm, w.checked) == (None, None, None, None, False)
    assert w.best is not None
    assert w.best.mm == pytest.approx(1520.825)


def test_a_closure_checks_what_no_photo_shows() -> None:
    """Left + right = width: each is expected from the two others."""
    names = ["left", "right", "width"]
    closing = Closure("width at 40", {"left": 1.0, "right": 1.0, "width": -1.0}, u_mm=0.2)
    readings = [
        Reading("r1", "left", 746.0, u_mm=0.7),
        Reading("r2", "right", 738.0, u_mm=0.7),
        Reading("r3", "width", 1484.6, u_mm=0.7),
    ]
    found = judge(names, None, readings, closures=[closing])
    width = found.dimension("width")
    assert width.expected is not None
    assert width.expected.mm == pytest.approx(1484.0)
    assert width.expected.u_mm == pytest.approx(math.sqrt(2 * 0.49 + 0.04))
    assert {of.status for of in found.dimensions} == {Status.AGREES}


def test_a_size_nobody_taped_follows_from_a_closure() -> None:
    """With no photo and no tape of its own, a width is expected from its two parts."""
    closing = Closure("sum", {"left": 1.0, "right": 1.0, "width": -1.0}, u_mm=0.1)
    readings = [Reading("r1", "left", 746.0), Reading("r2", "right", 738.0)]
    width = judge(["left", "right", "width"], None, readings, closures=[closing]).dimension("width")
    assert width.best is not None
    assert width.best.mm == pytest.approx(1484.0)
    assert width.tape is None


def test_agreement_with_something_vague_is_not_a_check() -> None:
    """Photos of unknown print scale agree with anything: no size is checked."""
    names = ("a", "b", "c")
    mm = np.array([1520.0, 1518.0, 1600.0])
    scale = PhotoEstimates(names, mm, np.outer(mm, mm) * 0.015**2 + np.eye(3))
    readings = [Reading("r", "a", 1530.0, u_mm=0.7)]
    found = judge(names, scale, readings)
    assert found.dimension("a").status is Status.AGREES
    assert not any(of.checked for of in found.dimensions)


def test_the_limit_of_checked_is_the_shops() -> None:
    """The same check is enough for one shop and not for a stricter one."""
    readings = [Reading("r", "w", 1520.0, u_mm=0.7)]
    photo = photos(w=(1520.0, 1.2))
    assert judge(["w"], photo, readings).dimension("w").checked
    strict = Limits(slip_mm=3.0)
    assert not judge(["w"], photo, readings, strict).dimension("w").checked


def test_photos_are_linearised_once_at_the_tapes_that_agree() -> None:
    """The second judgement uses the new estimates; photo stays what it was without a tape."""
    calls: list[list[TapeObservation]] = []

    def resolve(tapes: Sequence[TapeObservation]) -> PhotoEstimates:
        calls.append(list(tapes))
        return photos(w=(1520.4, 1.0), h=(1600.0, 1.0))

    readings = [read("r1", "w", "59 7/8"), read("r2", "h", "58")]
    found = judge(["w", "h"], photos(w=(1520.0, 1.0), h=(1600.0, 1.0)), readings, resolve=resolve)
    assert [[tape.dimension for tape in call] for call in calls] == [["w"]]
    w = found.dimension("w")
    assert w.photo is not None
    assert w.expected is not None
    assert w.photo.mm == 1520.0
    assert w.expected.mm == pytest.approx(1520.4)


def test_photos_alone_are_photo_only() -> None:
    """Without a reading nothing is judged, and best is what the photos say."""
    w = judge(["w"], photos(w=(1520.0, 2.0)), []).dimension("w")
    assert w.status is Status.PHOTO_ONLY
    assert w.best is not None
    assert w.best.mm == pytest.approx(1520.0)
    assert (w.tape, w.suspect, w.checked) == (None, None, False)


def test_nothing_at_all_is_an_empty_judgement() -> None:
    """A wall with neither dimension nor reading is judged without complaint."""
    found = judge([], None, [])
    assert (found.dimensions, found.readings) == ((), ())


def test_a_reading_of_an_unknown_dimension_is_named() -> None:
    """The message names the reading and the dimension."""
    with pytest.raises(ReadingError, match=r"'r1'.*'width'"):
        judge(["w"], None, [read("r1", "width", "59 7/8")])
