"""Equations that photos contradict by themselves are told, and bend no other size.

The wall is one of points: each mark is where the photos put it to a millimetre, and every size
follows from the marks, so that the sizes hang together as those of real photos do.
"""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest

from service.measuring.alcove import judging
from service.measuring.alcove.in_photos import contradicted
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import Status
from service.measuring.reading import Reading

STATIONS = (0, 16, 40, 64)
ENDS_MM = {Side.LEFT: -730.0, Side.RIGHT: 760.0}
MARK_U_MM = 1.0
STEP_MM = 1e-4

WALL = WallSizes(
    "back",
    tuple(
        [
            Size(f"{side} {down}", "back", Role.OFFSET, side=side, down_mm=down * 25.4)
            for side in ENDS_MM
            for down in STATIONS
        ]
        + [Size(f"width {down}", "back", Role.WIDTH, down_mm=down * 25.4) for down in STATIONS]
    ),
)
Marks = dict[tuple[Side, int], tuple[float, float]]


def marks(rng: np.random.Generator | None = None) -> Marks:
    """Marks on both edges at the stations, x and y from plumb and level line."""
    error = rng.normal(0, MARK_U_MM, (2, 4, 2)) if rng is not None else np.zeros((2, 4, 2))
    return {
        (side, down): (x + error[i, j, 0], -down * 25.4 + error[i, j, 1])
        for i, (side, x) in enumerate(ENDS_MM.items())
        for j, down in enumerate(STATIONS)
    }


def sizes(at: Marks) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """All sizes in the wall's order, by elementary geometry."""
    found = [abs(at[side, down][0]) for side in ENDS_MM for down in STATIONS]
    found += [
        hypot(*np.subtract(at[Side.LEFT, down], at[Side.RIGHT, down]).tolist()) for down in STATIONS
    ]
    return np.array(found)


def seen(at: Marks) -> PhotoEstimates:
    """What photos say of the sizes, with the covariance that the marks' own leaves."""
    here = sizes(at)
    slopes = []
    for key in at:
        for axis in (0, 1):
            moved = list(at[key])
            moved[axis] += STEP_MM
            slopes.append((sizes({**at, key: (moved[0], moved[1])}) - here) / STEP_MM)
    design = np.array(slopes).T
    return PhotoEstimates(
        tuple(size.name for size in WALL.sizes), here, MARK_U_MM**2 * design @ design.T
    )


def slipped(at: Marks, key: tuple[Side, int], dx: float, dy: float) -> Marks:
    """One mark set on another point of the wall, in all photos."""
    x, y = at[key]
    return {**at, key: (x + dx, y + dy)}


def off_mm(photo: PhotoEstimates) -> dict[str, float]:
    """How far what is held best of each size is from what its own marks say."""
    judged = judge_alcove((WALL,), photo, []).judgement
    best = {found.name: found.best for found in judged.dimensions}
    return {
        name: abs(of.mm - float(mm))
        for name, mm in zip(photo.names, photo.mm, strict=True)
        if (of := best[name]) is not None
    }


def test_what_holds_is_contradicted_once_in_hundreds_of_walls() -> None:
    """Marks that scatter as stated contradict nothing."""
    rng = np.random.default_rng(71)
    assert sum(bool(contradicted((WALL,), seen(marks(rng)))) for _ in range(200)) <= 1


def test_a_mark_at_another_height_bends_no_other_size(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its width is off and stays off by itself; with the equation in use, right
    ones were bent."""
    wrong = seen(slipped(marks(), (Side.LEFT, 40), 0.0, 300.0))

    (named,) = contradicted((WALL,), wrong)
    assert set(named.coefficients) == {"left 40", "right 40", "width 40"}
    assert max(off_mm(wrong).values()) < 0.1
    monkeypatch.setattr(judging, "contradicted", lambda *_: ())
    assert min(off_mm(wrong)[name] for name in ("left 40", "right 40")) > 3


def test_a_mark_beside_its_edge_is_told() -> None:
    """Two inches off in all photos: the edge is not straight there, and its neighbours stay."""
    wrong = seen(slipped(marks(), (Side.RIGHT, 16), -50.0, 0.0))

    assert "back: right 16 in line with its neighbours" in {
        closure.name for closure in contradicted((WALL,), wrong)
    }
    assert max(off_mm(wrong).values()) < 1.0


def test_right_readings_beside_a_wrong_mark_are_not_accused() -> None:
    """Where every size is taped right, the one whose mark is wrong conflicts, and no other."""
    truth = dict(zip((s.name for s in WALL.sizes), sizes(marks()), strict=True))
    readings = [Reading(name, name, round(float(mm), 1)) for name, mm in truth.items()]
    wrong = seen(slipped(marks(), (Side.LEFT, 40), 0.0, 300.0))

    judged = judge_alcove((WALL,), wrong, readings).judgement
    conflicts = {d.name for d in judged.dimensions if d.status is Status.CONFLICTS}
    assert conflicts == {"width 40"}


def test_without_photos_every_equation_is_used() -> None:
    """There is nothing to contradict it."""
    assert contradicted((WALL,), None) == ()
