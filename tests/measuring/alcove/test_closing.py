"""Closures against sizes worked out from a room's edges, and what tape alone can tell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from service.measuring.adjustment import CONFLICT_W
from service.measuring.alcove.closing import alcove_closures, closings
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, Side, Size, Surface, WallSizes
from service.measuring.gate import release_gate
from service.measuring.judgement import Status
from service.measuring.network import build_network
from tests.measuring.alcove.worked import worked_alcove
from tests.measuring.wall import mm_of
from tests.support.simulated_alcove import drawn_alcove, rectangular_error_mm, taped

CUT = (Role.WIDTH, Role.HEIGHT, Role.OFFSET)


@pytest.mark.parametrize("seed", range(8))
def test_a_room_with_straight_edges_closes(seed: int) -> None:
    """Without bow every closure is zero to a few hundredths of a millimetre."""
    alcove = drawn_alcove(np.random.default_rng(seed), bow=0.0)
    found = closings(alcove_closures(alcove.walls(), alcove.truth_mm), alcove.truth_mm)

    assert len(found) == 43
    assert max(abs(closing.out_mm or 0.0) for closing in found) < 0.05


def test_every_taped_size_is_in_some_closure() -> None:
    """Nothing that is taped stays outside the network."""
    alcove = drawn_alcove(np.random.default_rng(3))
    tied = {n for c in alcove_closures(alcove.walls(), alcove.truth_mm) for n in c.coefficients}
    assert tied == set(alcove.truth_mm)


def test_an_inch_in_any_cut_size_is_detected_without_a_photo() -> None:
    """Theory: in each width, height and offset 25.4 mm passes the limit in at least 95 %."""
    alcove = drawn_alcove(np.random.default_rng(4))
    readings = [taped(size, alcove.truth_mm[size.name]) for size in alcove.all_sizes()]
    closures = alcove_closures(alcove.walls(), alcove.truth_mm)
    solved = build_network([s.name for s in alcove.all_sizes()], None, readings, closures).solved

    cut = [i for i, size in enumerate(alcove.all_sizes()) if size.role in CUT]
    power = norm.cdf(25.4 / solved.detectable[cut] * 4.1321 - CONFLICT_W)
    assert len(cut) == 43
    assert power.min() >= 0.95


@pytest.mark.statistical
def test_an_inch_is_set_aside_wherever_it_is() -> None:
    """Sampled: bowed edges, rectangular errors, an inch in each cut size in turn; at least 95 %
    of them conflict, alone or with what cannot be told from them."""
    rng = np.random.default_rng(254)
    found = drawn = 0
    for _ in range(4):
        alcove = drawn_alcove(rng)
        sizes = list(alcove.all_sizes())
        honest = [
            taped(size, alcove.truth_mm[size.name] + rectangular_error_mm(size, rng))
            for size in sizes
        ]
        for place, size in enumerate(sizes):
            if size.role not in CUT:
                continue
            slip = taped(size, honest[place].mm + float(rng.choice([-25.4, 25.4])))
            readings = [*honest[:place], slip, *honest[place + 1 :]]
            judged = judge_alcove(alcove.walls(), None, readings).judgement
            found += judged.reading(size.name).status is Status.CONFLICTS
            drawn += 1
    assert drawn == 4 * 43
    assert found >= 0.95 * drawn


def test_what_geometry_cannot_tell_is_said() -> None:
    """A depth that nothing checks stays shut, with the reason in words."""
    alcove = drawn_alcove(np.random.default_rng(6))
    readings = [taped(size, alcove.truth_mm[size.name]) for size in alcove.all_sizes()]
    judged = judge_alcove(alcove.walls(), None, readings).judgement

    why = {b.dimension: b.why for b in release_gate(judged).blocking}
    assert why["back depth"] == "the check is too weak to catch a 1/4 in slip"
    assert not judged.dimension("back depth").checked


def test_two_offsets_and_a_width_alone_cannot_tell_the_side() -> None:
    """With three readings at one height an inch is seen, and no one of them is accused."""
    alcove = drawn_alcove(np.random.default_rng(7))
    names = ("back left 40", "back right 40", "back width 40")
    sizes = [size for size in alcove.all_sizes() if size.name in names]
    readings = [taped(size, alcove.truth_mm[size.name]) for size in sizes]
    readings[1] = taped(sizes[1], readings[1].mm - 25.4)
    walls = [wall for wall in alcove.walls() if wall.wall == "back"]
    judged = judge_alcove(walls, None, readings).judgement

    assert all(judged.reading(name).clashes_with for name in names)
    why = {b.dimension: b.why for b in release_gate(judged).blocking}
    assert "nothing tells which is off" in why["back right 40"]


FLOOR = "plumbing: deck and floor below the line"


def _floor_mm(front_at: str | None, **read: str) -> float | None:
    """By how much line, deck and floor of the worked plumbing wall are out, mm, its deck at the
    tub's front told by where it is (None: left out); None where that is not asked."""
    walls, readings = worked_alcove()
    values = {r.dimension: r.mm for r in readings} | {
        f"plumbing {name.replace('_', ' ')}": mm_of(value) for name, value in read.items()
    }
    wall = next(wall for wall in walls if wall.wall == "plumbing")
    sizes = [size for size in wall.sizes if size.side is not Side.FRONT]
    if front_at is None:
        del values["plumbing deck front"]
    else:
        placed = Size("plumbing deck front", wall.wall, Role.HEIGHT, at_mm=-mm_of(front_at))
        sizes.append(placed)
    found = closings(alcove_closures([replace(wall, sizes=tuple(sizes))], values), values)
    return next((closing.out_mm for closing in found if closing.name == FLOOR), None)


def test_a_height_by_its_place_at_the_tub_front_is_the_fronts() -> None:
    """Inches: 66 1/8 + 14 15/16 = 81 1/16 on the plumbing wall, whose tub front is at 18 7/8: its
    deck height there counts by its place too, to a quarter, and shows a floor an inch out."""
    assert _floor_mm("18 7/8") == pytest.approx(0.0, abs=1e-9)
    assert _floor_mm("18 3/4") == pytest.approx(0.0, abs=1e-9)
    assert _floor_mm("18 7/8", line_to_floor="82 1/16") == pytest.approx(-25.4)


def test_no_other_height_is_taken_for_the_tub_fronts() -> None:
    """Not one elsewhere, none without a front, and not the one that a misread front lies at: the
    height at the plumb line where 0 was written for 18 7/8."""
    assert _floor_mm("17") is None
    assert _floor_mm(None) is None
    assert _floor_mm("18 7/8", tub_front="0") is None


def test_tile_and_plaster_at_one_height_are_a_step_apart() -> None:
    """Inches, by hand: the tile's face at 29 5/16, the plaster 3/8 behind it at 29 11/16, a hung
    sheet and its bed 1/4 before the tile at 29 1/16. Each pair closes; a step that was taped is
    taken in place of the usual one, and 5/8 does not fit."""
    faces = {"tile": "29 5/16", "bare": "29 11/16", "hung": "29 1/16"}
    sizes = [
        Size(face, "back", Role.OFFSET, Side.LEFT, mm_of("16"), surface=Surface(face))
        for face in faces
    ]
    values = {face: mm_of(text) for face, text in faces.items()}
    found = closings(alcove_closures([WallSizes("back", tuple(sizes))], values), values)
    assert [closing.out_mm for closing in found] == [pytest.approx(0.0, abs=1e-9)] * 3

    step = Size("step", "back", Role.STEP, Side.LEFT)
    wall = WallSizes("back", (*sizes[:2], step))
    for text, out_in in (("3/8", 0.0), ("5/8", 0.25)):
        read_as = {**values, "step": mm_of(text)}
        (closing,) = closings(alcove_closures([wall], read_as), read_as)
        assert closing.out_mm == pytest.approx(out_in * 25.4, abs=1e-9)


def test_closures_of_two_sides_are_told_apart() -> None:
    """A pipe taken from both corners and tile counted up both: each closure says which side."""
    sizes = (
        Size("left 40", "back", Role.OFFSET, Side.LEFT, mm_of("40")),
        Size("right 40", "back", Role.OFFSET, Side.RIGHT, mm_of("40")),
        Size("pipe", "back", Role.FIXTURE_FROM_PLUMB, Side.RIGHT, mm_of("40"), fixture="pipe"),
        *(
            Size(f"{side} to pipe", "back", Role.FIXTURE_FROM_CORNER, side, fixture="pipe")
            for side in (Side.LEFT, Side.RIGHT)
        ),
        *(Size(f"deck {side}", "back", Role.HEIGHT, side) for side in (Side.LEFT, Side.RIGHT)),
        *(Size(f"tile {side}", "back", Role.TILE_TOP, side) for side in (Side.LEFT, Side.RIGHT)),
        Size("courses", "back", Role.COURSES),
    )
    inches = dict(
        zip([s.name for s in sizes], (29, 28, 4, 33, 24, 66, 66, 15, 15, 50), strict=True)
    )
    values = {name: 25.4 * of for name, of in inches.items()}
    closures = alcove_closures([WallSizes("back", sizes)], values)
    names = [closure.name for closure in closures]

    assert len(set(names)) == len(names)
    assert "back: pipe from plumb line and from corner left" in names
    assert "back: tile courses make the height right" in names
    across = [c for c in closings(closures, values) if "corner" in c.name]
    assert [closing.out_mm for closing in across] == [pytest.approx(0.0, abs=1e-9)] * 2
