"""Derivatives against central differences; this proves slopes, not values.

Values are held by ``test_camera_projection`` (OpenCV's projection) and by the simulated walls.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.support.simulated_lines import TrueLine, TrueRectangle
from tests.support.simulated_wall import Nuisances, Plan, simulate
from vision.adjust.lengths import Kind, Size, evaluate_sizes
from vision.adjust.state import State
from vision.adjust.wall_problem import Tape, WallProblem
from vision.measure_wall import measure_wall
from vision.plane.level_frame import to_level_frame
from vision.units import FloatArray


def _problem_with_everything() -> tuple[WallProblem, State]:
    """A wall with lines, a rectangle, tapes of every kind, and a state off the minimum."""
    rng = np.random.default_rng(7)
    plan = Plan(
        lines={
            "deck": TrueLine((-150, -260), (1400, -250), "level"),
            "joint": TrueLine((300, -200), (310, 800), "plumb"),
            "sloping": TrueLine((-100, 0), (900, 700)),
        },
        rectangles={"plate": TrueRectangle((700, 500, 0.1), (120, 70))},
    )
    wall = simulate(rng, plan, Nuisances(), plumb=True)
    measurement = measure_wall(wall.request, wall.sights)
    solution = measurement.solve()
    sizes = {size.name: size for size in measurement.sizes}
    tapes = [Tape(size, wall.truth_mm[name] + 2.0, 0.7) for name, size in sizes.items()]
    base = solution.problem
    problem = WallProblem(base.network, base.weights, tapes, base.level)
    deviations = np.sqrt(np.diag(solution.covariance))
    return problem, solution.state.moved(0.5 * deviations * rng.standard_normal(len(deviations)))


@pytest.mark.parametrize("framed", [True, False], ids=["level marks", "no level marks"])
def test_every_column_of_the_wall_jacobian_matches_central_differences(framed: bool) -> None:
    """Each unknown's column, scaled by its standard deviation, agrees to 1e-6."""
    problem, state = _problem_with_everything()
    if not framed:
        problem = WallProblem(problem.network, problem.weights, problem.tapes, None)
    _, jacobian = problem.linearise(state)
    scale = 1 / np.sqrt(np.einsum("ij,ij->j", jacobian, jacobian))

    numeric = np.zeros_like(jacobian)
    for column in range(jacobian.shape[1]):
        step = np.zeros(jacobian.shape[1])
        step[column] = 1e-3 * scale[column]
        ahead = problem.residuals(state.moved(step))
        behind = problem.residuals(state.moved(-step))
        numeric[:, column] = (ahead - behind) / (2 * step[column])

    assert np.max(np.abs(jacobian - numeric) * scale) < 1e-6
    assert np.all(np.any(jacobian != 0, axis=0))


@pytest.mark.parametrize("kind", ["distance", "dx", "dy", "to_line"])
@pytest.mark.parametrize("level", [None, (3, 4)])
def test_gradient_of_each_kind_of_size(kind: Kind, level: tuple[int, int] | None) -> None:
    """The gradient with respect to every mark agrees with central differences."""
    points = np.random.default_rng(11).uniform(-900, 900, (5, 3))
    size = Size("size", kind, 0, end=1, line=(1, 2))

    _, (found,) = evaluate_sizes([size], level, points)

    np.testing.assert_allclose(found, _numeric_gradient(size, level, points), atol=1e-7)


def test_level_frame_jacobian_by_sampling_linear_moves() -> None:
    """The covariance carried into the level frame is that of finely moved points."""
    rng = np.random.default_rng(13)
    points = rng.uniform(-900, 900, (4, 3))
    root = rng.standard_normal((12, 12)) * 1e-3

    _, covariance = to_level_frame(points, root @ root.T, (1, 2))

    columns = []
    for move in root.T:
        ahead, _ = to_level_frame(points + move.reshape(4, 3), np.eye(12), (1, 2))
        behind, _ = to_level_frame(points - move.reshape(4, 3), np.eye(12), (1, 2))
        columns.append((ahead - behind).ravel() / 2)
    moved = np.column_stack(columns)
    np.testing.assert_allclose(covariance, moved @ moved.T, rtol=1e-5, atol=1e-12)


def test_level_frame_puts_its_first_mark_at_the_origin_and_its_second_on_x() -> None:
    """Both hold exactly, and without uncertainty."""
    points = np.random.default_rng(17).uniform(-900, 900, (3, 3))

    moved, covariance = to_level_frame(points, np.eye(9), (2, 0))

    np.testing.assert_allclose(moved[2, :2], 0.0, atol=1e-12)
    assert moved[0, 0] > 0
    assert abs(moved[0, 1]) < 1e-12
    np.testing.assert_allclose(np.diag(covariance)[[6, 7, 1]], 0.0, atol=1e-9)


def _numeric_gradient(size: Size, level: tuple[int, int] | None, points: FloatArray) -> FloatArray:
    gradient = np.zeros_like(points)
    for index in np.ndindex(points.shape):
        step = np.zeros_like(points)
        step[index] = 1e-3
        (ahead,), _ = evaluate_sizes([size], level, points + step)
        (behind,), _ = evaluate_sizes([size], level, points - step)
        gradient[index] = (ahead - behind) / 2e-3
    return gradient
