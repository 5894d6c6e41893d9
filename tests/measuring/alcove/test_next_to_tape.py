"""What to tape next: enough to release the sheet, and not a reading more than that."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.next_to_tape import next_to_tape, rough_mm, to_take_anew
from service.measuring.alcove.sheet_needs import sheet_needs, walking_order
from service.measuring.alcove.vocabulary import WallSizes
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import Status
from service.measuring.reading import Reading
from tests.support.simulated_alcove import Alcove, drawn_alcove, taped
from tests.support.slip_naming import photos_of


def _back(alcove: Alcove) -> WallSizes:
    return next(wall for wall in alcove.walls() if wall.wall == "back")


def _taped(alcove: Alcove, names: tuple[str, ...]) -> list[Reading]:
    return [taped(s, alcove.truth_mm[s.name]) for s in alcove.all_sizes() if s.name in names]


def test_the_list_releases_the_sheet() -> None:
    """Once what the list says is taped, every size of the back sheet is checked, with no photo."""
    alcove = drawn_alcove(np.random.default_rng(1))
    needed = sheet_needs(_back(alcove))
    listed = next_to_tape(alcove.walls(), needed, None, [])

    judged = judge_alcove(alcove.walls(), None, _taped(alcove, listed.first)).judgement
    unchecked = {name for name in needed if not judged.dimension(name).checked}
    assert unchecked == set(listed.again)
    assert len(needed) < len(listed.first) <= len(needed) + 8


def test_no_reading_of_the_list_is_needless() -> None:
    """Leave out any further reading, and some needed size is no longer checked."""
    alcove = drawn_alcove(np.random.default_rng(2))
    needed = sheet_needs(_back(alcove))
    listed = next_to_tape(alcove.walls(), needed, None, [])
    further = [name for name in listed.first if name not in needed]

    assert further
    for name in further:
        fewer = tuple(other for other in listed.first if other != name)
        judged = judge_alcove(alcove.walls(), None, _taped(alcove, fewer)).judgement
        unchecked = {n for n in needed if not judged.dimension(n).checked}
        assert unchecked > set(listed.again)


@pytest.mark.parametrize("seed", [11, 17, 27, 28, 29, 34])
@pytest.mark.parametrize("with_photos", [False, True])
def test_no_shorter_list_exists(seed: int, *, with_photos: bool) -> None:
    """Every choice of further readings is tried on a small alcove, by judging it as taped: none
    leaves fewer readings and repeats together than the list."""
    rng = np.random.default_rng(100 + seed)
    alcove = drawn_alcove(rng)
    # Just where the list is planned, so that judging and planning linearise at one place.
    alcove.truth_mm = {size.name: rough_mm(size) for size in alcove.all_sizes()}
    walls = _small(alcove, rng)
    names = [size.name for wall in walls for size in wall.sizes]
    needed = [name for name in names if name in CUT_SMALL]
    photo = _seen(alcove, names[::2], rng) if with_photos else None
    given = [name for name in names if name not in needed and rng.random() < 0.2]
    listed = next_to_tape(walls, needed, photo, _taped(alcove, tuple(given)))

    fewest = _fewest(alcove, walls, needed, photo, given)
    assert listed.count - len(needed) == fewest


def _fewest(
    alcove: Alcove,
    walls: tuple[WallSizes, ...],
    needed: list[str],
    photo: PhotoEstimates | None,
    given: list[str],
) -> int:
    """Further readings and repeats of the best of all choices, each judged."""
    names = [size.name for wall in walls for size in wall.sizes]
    free = [name for name in names if name not in needed and name not in given]
    fewest = len(needed)
    for count in range(len(free) + 1):
        for chosen in itertools.combinations(free, count):
            if count >= fewest:
                return fewest
            readings = _taped(alcove, (*needed, *given, *chosen))
            judged = judge_alcove(walls, photo, readings).judgement
            again = sum(not judged.dimension(name).checked for name in needed)
            fewest = min(fewest, count + again)
    return fewest


CUT_SMALL = (
    "back left 16",
    "back right 16",
    "back left 40",
    "back right 40",
    "back left 64",
    "back deck left",
    "back deck right",
)
CHECKS_SMALL = (
    "back right 64",
    "back width 16",
    "back width 40",
    "back width 64",
    "back deck -14",
    "back deck 0",
    "back diagonal left",
    "back diagonal right",
    "plumbing deck inner",
    "far end deck inner",
)


def _small(alcove: Alcove, rng: np.random.Generator) -> tuple[WallSizes, ...]:
    """The sizes that are needed, and seven of those that may check them."""
    kept = {*CUT_SMALL, *rng.choice(CHECKS_SMALL, size=7, replace=False).tolist()}
    return tuple(
        replace(wall, sizes=tuple(s for s in wall.sizes if s.name in kept))
        for wall in alcove.walls()
    )


def _seen(alcove: Alcove, names: list[str], rng: np.random.Generator) -> PhotoEstimates:
    """Photos of some of the sizes, right to the hair but not known to be."""
    photo = photos_of(alcove, rng, own_mm=0.9)
    kept = [place for place, name in enumerate(photo.names) if name in names]
    shown = tuple(photo.names[place] for place in kept)
    mm = np.array([alcove.truth_mm[name] for name in shown])
    return PhotoEstimates(shown, mm, photo.covariance_mm2[np.ix_(kept, kept)])


def test_photos_save_readings() -> None:
    """With good photos the list is shorter than without."""
    rng = np.random.default_rng(3)
    alcove = drawn_alcove(rng)
    needed = sheet_needs(_back(alcove))
    with_photos = next_to_tape(alcove.walls(), needed, photos_of(alcove, rng, own_mm=0.8), [])

    assert with_photos.count < next_to_tape(alcove.walls(), needed, None, []).count


def test_what_is_taped_is_not_listed_again() -> None:
    """A fully taped and checked wall needs nothing; one unread offset needs just that."""
    alcove = drawn_alcove(np.random.default_rng(4))
    names = tuple(alcove.truth_mm)
    needed = sheet_needs(_back(alcove))
    readings = _taped(alcove, names)
    assert next_to_tape(alcove.walls(), needed, None, readings).count == 0

    left_out = [r for r in readings if r.dimension != "back left 40"]
    assert next_to_tape(alcove.walls(), needed, None, left_out).first == ("back left 40",)


def test_what_nothing_checks_is_taken_by_a_second_person() -> None:
    """Offsets at the top of an end wall, with no width there, are to be taken twice."""
    alcove = drawn_alcove(np.random.default_rng(5))
    wall = next(w for w in alcove.walls() if w.wall == "far end")
    needed = sheet_needs(wall)
    readings = _taped(alcove, tuple(alcove.truth_mm))
    assert "far end inner 0" in next_to_tape(alcove.walls(), needed, None, readings).again

    mate = [
        replace(reading, id=f"{reading.id} mate", who="S. Mate")
        for reading in readings
        if reading.dimension in ("far end inner 0", "far end tub front")
    ]
    twice = [replace(reading, who="R. Fitter") for reading in readings] + mate
    assert next_to_tape(alcove.walls(), needed, None, twice).again == ()
    same = [replace(reading, who="r fitter") for reading in twice]
    assert "far end inner 0" in next_to_tape(alcove.walls(), needed, None, same).again


def test_a_size_that_does_not_fit_is_to_be_taken_anew() -> None:
    """An inch in an offset of a fully taped alcove: just that one is on the list, until it is taken
    again or somebody lets it stand."""
    alcove = drawn_alcove(np.random.default_rng(7))
    needed = sheet_needs(_back(alcove))
    readings = _taped(alcove, tuple(alcove.truth_mm))
    slipped = [replace(r, mm=r.mm - 25.4) if r.dimension == "back left 40" else r for r in readings]
    doubted = to_take_anew(judge_alcove(alcove.walls(), None, slipped).judgement, slipped)
    assert doubted == {"back left 40"}
    listed = next_to_tape(alcove.walls(), needed, None, slipped, doubted=doubted)
    assert (listed.anew, listed.count) == (("back left 40",), 1)

    judged = judge_alcove(alcove.walls(), None, readings).judgement
    assert to_take_anew(judged, readings) == frozenset()
    held = judge_alcove(alcove.walls(), None, slipped).judgement
    assert to_take_anew(held, slipped, let_stand=["back left 40"]) == frozenset()


def test_where_the_card_was_printed_large_no_size_is_to_be_taken_anew() -> None:
    """Five sizes in conflict with photos of one factor: the card's bars are to be ruled, and no
    honest reading is taken again for it."""
    names = tuple("abcde")
    mm = np.array([1520.0, 1400.0, 900.0, 1600.0, 700.0])
    photo = PhotoEstimates(names, mm / 1.01, np.eye(5))
    readings = [Reading(name, name, float(of)) for name, of in zip(names, mm, strict=True)]
    judged = judge(names, photo, readings)

    assert judged.print_scale is not None
    assert {found.status for found in judged.dimensions} == {Status.CONFLICTS}
    assert to_take_anew(judged, readings) == frozenset()


def test_of_readings_that_contradict_one_another_the_one_that_tells_most_is_taken_anew() -> None:
    """Two offsets and their width alone: an inch is in one of the three, and one of them is on the
    list, the one that the judgement names."""
    alcove = drawn_alcove(np.random.default_rng(8))
    names = ("back left 16", "back right 16", "back width 16")
    back = _back(alcove)
    walls = (replace(back, sizes=tuple(s for s in back.sizes if s.name in names)),)
    readings = [replace(r, id=r.dimension) for r in _taped(alcove, names)]
    slipped = [
        replace(r, mm=r.mm + 25.4) if r.dimension == "back right 16" else r for r in readings
    ]
    judged = judge_alcove(walls, None, slipped).judgement
    suspects = {found.suspect.again for found in judged.dimensions if found.suspect is not None}

    doubted = to_take_anew(judged, slipped)
    assert doubted
    assert doubted <= {*names}
    assert doubted == suspects
    assert len(doubted) == 1


def test_a_size_of_nobodys_vocabulary_is_planned_as_well() -> None:
    """A size of one's own that a photo shows: needed, it is taped once, for the photo checks it;
    without the photo by two."""
    alcove = drawn_alcove(np.random.default_rng(9))
    walls = (_back(alcove),)
    photo = PhotoEstimates(("shelf",), np.array([812.0]), np.array([[0.8]]))
    assert next_to_tape(walls, ["shelf"], photo, []).first == ("shelf",)
    assert next_to_tape(walls, ["shelf"], photo, []).again == ()
    assert next_to_tape(walls, ["shelf"], None, []).again == ("shelf",)


def test_one_walks_from_left_to_right_and_from_top_to_bottom() -> None:
    """The plumbing wall on the left comes first, and each side's offsets run downwards."""
    alcove = drawn_alcove(np.random.default_rng(6))
    mixed = [
        "far end inner 16",
        "back right 40",
        "back right 0",
        "back left 64",
        "plumbing inner 0",
    ]
    assert walking_order(alcove.walls(), mixed) == (
        "plumbing inner 0",
        "back left 64",
        "back right 0",
        "back right 40",
        "far end inner 16",
    )
