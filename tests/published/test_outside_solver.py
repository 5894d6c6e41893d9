"""The wall's model against outside tools: SciPy's least squares, and OpenCV's calibration.

SciPy's ``least_squares`` gets the problem as ``tests/support/outside_wall.py`` writes it anew.
OpenCV's ``calibrateCameraExtended`` has the same model where nothing but a camera and flat,
exactly known boards is left of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
import pytest

from tests.support.outside_wall import Outside, OutsideStart, OutsideWall
from tests.support.simulated_lines import TrueLine, TrueRectangle
from tests.support.simulated_wall import Plan, SimulatedWall, look_at, simulate
from vision.adjust.network import Lens, Network, ScaleGroup, Sheet, Shot, Sightings
from vision.adjust.solution import WallAdjustment, WallSolution
from vision.measure_wall import TapedSize, measure_wall
from vision.units import FloatArray

pytestmark = pytest.mark.published

PLAN = replace(
    Plan(),
    cards={1: (0.0, 0.0, 0.0), 2: (1100.0, 150.0, 0.05), 3: (500.0, 500.0, -0.03)},
    marks=dict(Plan().marks) | {"left-top": (-159.6, 900.0)},
    lines={
        "deck": TrueLine((-150, -260), (1400, -247), "level", points=4),
        "joint": TrueLine((300, -200), (292, 800), "plumb", points=4),
        "sloping": TrueLine((-100, 0), (900, 700), points=3),
    },
    rectangles={"letter": TrueRectangle((700, 300, 0.1), (215.9, 279.4), points=2)},
)
"""Everything that the model knows, in one wall."""


@dataclass(frozen=True)
class Both:
    """One wall solved here and outside; sizes in the same order."""

    solution: WallSolution
    outside: Outside
    sizes_mm: FloatArray
    covariance_mm2: FloatArray


@pytest.fixture(scope="module")
def both() -> Both:
    """A wall of two lenses, three cards, lines, a rectangle, level, plumb, and all tapes."""
    wall = _two_lenses(simulate(np.random.default_rng(3), PLAN, None, 0.25, plumb=True))
    measurement = measure_wall(wall.request, wall.sights)
    assert measurement.set_aside == ()
    assert {size.kind for size in measurement.sizes} == {"distance", "dx", "dy", "to_line"}
    tapes = [
        TapedSize(size.name, wall.truth_mm[size.name] + 0.5, 0.7) for size in measurement.sizes
    ]
    solution = measurement.solve(tapes)
    problem = solution.problem
    names = [mark.name for mark in solution.network.marks]
    outside = OutsideWall(solution.network, problem.tapes, problem.level).solve(_rough_start(names))
    values, slopes = problem.size_values(measurement.sizes, solution.state)
    return Both(solution, outside, values, slopes @ solution.covariance @ slopes.T)


def _two_lenses(wall: SimulatedWall) -> SimulatedWall:
    """The second photo by another phone, as far as its header tells."""
    header = wall.sights[1].header
    assert header is not None
    other = replace(wall.sights[1], header=replace(header, model="Two"))
    return replace(wall, sights=(wall.sights[0], other))


def _rough_start(marks: Sequence[str]) -> OutsideStart:
    """Where things are drawn in the plan: no solution of anybody's."""
    views = [look_at(np.array(place), np.array([*to, 0.0])) for place, to in PLAN.cameras]
    return OutsideStart(
        [rotation for rotation, _ in views],
        [shift for _, shift in views],
        [*PLAN.cards.values(), *(r.place for r in PLAN.rectangles.values())],
        np.array([[*PLAN.marks[name], 0.0] for name in marks]),
    )


def test_sizes_are_those_of_the_outside_solver(both: Both) -> None:
    """Every size agrees to 1e-6 of itself."""
    np.testing.assert_allclose(both.sizes_mm, both.outside.sizes_mm, rtol=1e-6)


def test_covariances_are_those_of_the_outside_solver(both: Both) -> None:
    """Every entry agrees to 1 % of the deviations it joins."""
    ours, other = both.covariance_mm2, both.outside.covariance_mm2
    joined = np.sqrt(np.outer(np.diag(other), np.diag(other)))

    assert np.max(np.abs(ours - other) / joined) < 0.01


def test_lenses_scales_and_misfit_are_those_of_the_outside_solver(both: Both) -> None:
    """Focal lengths and print scales to 1e-6, the weighted sum of squares to 1e-3."""
    lenses = [both.solution.lens_constants(lens) for lens in range(2)]
    layout, state = both.solution.layout, both.solution.state
    scales = state.x[layout.scale : layout.mark].reshape(-1, 2)

    np.testing.assert_allclose(np.array(lenses)[:, 0], both.outside.values["lenses"][:, 0], 1e-6)
    np.testing.assert_allclose(scales, both.outside.values["groups"], rtol=1e-6)
    assert both.solution.minimum.cost == pytest.approx(both.outside.cost, abs=1e-3)


BOARD = np.array([(x, y) for y in range(7) for x in range(5)], dtype=np.float64) * 30.0
SIZE = (1600, 1200)
NOISE_PX = 0.15


def _board_views() -> tuple[list[FloatArray], FloatArray, FloatArray]:
    """A flat board from ten sides by OpenCV's projection, f 1350, k -0.12 and 0.06."""
    rng = np.random.default_rng(17)
    matrix = np.array([[1350.0, 0, 815], [0, 1350, 590], [0, 0, 1]])
    distortion = np.array([-0.12, 0.06, 0, 0])
    target = np.array([60.0, 90.0, 0.0])
    views = []
    for number in range(10):
        angle = 2 * np.pi * number / 10
        away = np.array([np.cos(angle) * 180, np.sin(angle) * 180, 260 + 20 * (number % 3)])
        aim = target + np.array([40 * np.sin(3 * angle), 30 * np.cos(2 * angle), 0])
        rotation, shift = look_at(target + away, aim)
        flat = np.column_stack([BOARD, np.zeros(len(BOARD))])
        turn = cv2.Rodrigues(rotation)[0]
        pixels = cv2.projectPoints(flat, turn, shift, matrix, distortion)[0].reshape(-1, 2)
        views.append(pixels + NOISE_PX * rng.standard_normal(pixels.shape))
    return views, matrix, distortion


def _camera_network(views: Sequence[FloatArray]) -> Network:
    """Only a camera is unknown: the board is flat and exact, exposures alike, priors no help."""
    count = len(BOARD)
    return Network(
        lenses=(
            Lens(
                "lens",
                "none",
                np.array([np.log(1300.0), 0, 0, 0, 0]),
                np.diag([1e4, 1e8, 1e8, 1e4, 1e4]),
            ),
        ),
        shots=tuple(Shot(f"{i}", 0, *SIZE, np.eye(2), 1e-9, 1e-6) for i in range(len(views))),
        scale_groups=(ScaleGroup("board", (1.0, 1.0), (1e-9, 1e-9)),),
        sheets=(Sheet("board", BOARD, (120.0, 180.0), 0, 0.0, 1e-6, 1e-9, 1e-6),),
        marks=(),
        sightings=Sightings(
            shot=np.repeat(np.arange(len(views)), count),
            sheet=np.zeros(count * len(views), dtype=np.int64),
            point=np.tile(np.arange(count), len(views)),
            pixels=np.concatenate(views),
            covariance_px2=np.tile(np.eye(2) * NOISE_PX**2, (count * len(views), 1, 1)),
            defined_mm=np.zeros(count * len(views)),
            edge=np.full(count * len(views), -1),
            edge_direction=np.zeros((count * len(views), 2)),
        ),
        datum_sheet=0,
        edge_u_px=np.zeros(0),
    )


def test_a_lens_is_that_of_opencv_with_its_standard_deviations() -> None:
    """f, centre, k1 and k2 to 1e-6 (of f for the centre), their deviations to 1 %."""
    views, matrix, _ = _board_views()
    solution = WallAdjustment(_camera_network(views), None, [np.array([np.log(1300.0)])]).photo
    log_f, cx, cy, k1, k2 = solution.lens_constants(0)
    start, f = solution.layout.lens, float(np.exp(log_f))
    spread = np.sqrt(np.diag(solution.covariance)[start : start + 5]) * [f, 1, 1, 1, 1]

    flat = np.column_stack([BOARD, np.zeros(len(BOARD))]).astype(np.float32)
    flags = cv2.CALIB_FIX_ASPECT_RATIO | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K3
    flags |= cv2.CALIB_USE_INTRINSIC_GUESS
    ending = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 200, 1e-14)
    rms, k, d, _, _, deviations, _, _ = cv2.calibrateCameraExtended(
        [flat] * len(views),
        [view.astype(np.float32) for view in views],
        SIZE,
        matrix.copy(),
        np.zeros(5),
        flags=flags,
        criteria=ending,
    )
    # OpenCV scales its deviations by the variance it finds; with one focal length it is fy's
    points = len(BOARD) * len(views)
    found_variance = rms**2 * points / (2 * points - 5 - 6 * len(views))
    theirs = np.ravel(deviations)[1:6] * NOISE_PX / np.sqrt(found_variance)

    middle = (np.array(SIZE) - 1) / 2
    ours = np.array([f, cx + middle[0], cy + middle[1], k1, k2])
    np.testing.assert_allclose(
        ours, [k[0, 0], k[0, 2], k[1, 2], *np.ravel(d)[:2]], rtol=1e-6, atol=1e-5
    )
    np.testing.assert_allclose(spread, theirs, rtol=0.01)
