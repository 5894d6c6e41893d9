"""The solver core against certified non-linear regressions.

Source: NIST Statistical Reference Datasets, nonlinear regression (public domain): data,
starting values, certified parameters, standard deviations and residual sums of squares of
Misra1a, DanWood, BoxBOD and MGH17. The data of DanWood, BoxBOD and MGH17 were typed from memory;
the certified residual sums of squares, to ten digits, hold only for the right data.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from vision.adjust.solver import invert_normal, minimise
from vision.units import FloatArray

pytestmark = pytest.mark.published


@dataclass(frozen=True)
class Reference:
    """One data set: model, starts, certified values and standard deviations."""

    x: FloatArray
    y: FloatArray
    model: Callable[[FloatArray, FloatArray], FloatArray]
    starts: tuple[tuple[float, ...], ...]
    certified: tuple[float, ...]
    deviations: tuple[float, ...]
    sum_of_squares: float


class Regression:
    """A reference as a problem of the solver; derivatives by complex steps."""

    def __init__(self, reference: Reference) -> None:
        self.reference = reference

    def residuals(self, state: FloatArray) -> FloatArray:
        with np.errstate(over="ignore", invalid="ignore"):
            return self.reference.model(self.reference.x, state) - self.reference.y

    def linearise(self, state: FloatArray) -> tuple[FloatArray, FloatArray]:
        columns = []
        for index in range(len(state)):
            moved = state.astype(complex)
            moved[index] += 1e-200j
            columns.append(np.imag(self.reference.model(self.reference.x, moved)) / 1e-200)
        return self.residuals(state), np.column_stack(columns)

    def retract(self, state: FloatArray, step: FloatArray) -> FloatArray:
        return state + step


def _rise(x: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(b[0] * (1 - np.exp(-b[1] * x)))


def _power(x: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(b[0] * x ** b[1])


def _two_decays(x: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(b[0] + b[1] * np.exp(-x * b[3]) + b[2] * np.exp(-x * b[4]))


REFERENCES = {
    "Misra1a": Reference(
        x=np.array(
            [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8]
            + [378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
        ),
        y=np.array(
            [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02]
            + [44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]
        ),
        model=_rise,
        starts=((500.0, 1e-4), (250.0, 5e-4)),
        certified=(2.3894212918e2, 5.5015643181e-4),
        deviations=(2.7070075241, 7.2668688436e-6),
        sum_of_squares=1.2455138894e-1,
    ),
    "DanWood": Reference(
        x=np.array([1.309, 1.471, 1.490, 1.565, 1.611, 1.680]),
        y=np.array([2.138, 3.421, 3.597, 4.340, 4.882, 5.660]),
        model=_power,
        starts=((1.0, 5.0), (0.7, 4.0)),
        certified=(7.6886226176e-1, 3.8604055871),
        deviations=(1.8281973860e-2, 5.1726610913e-2),
        sum_of_squares=4.3173084083e-3,
    ),
    "BoxBOD": Reference(
        x=np.array([1.0, 2.0, 3.0, 5.0, 7.0, 10.0]),
        y=np.array([109.0, 149.0, 149.0, 191.0, 213.0, 224.0]),
        model=_rise,
        starts=((1.0, 1.0), (100.0, 0.75)),
        certified=(2.1380940889e2, 5.4723748542e-1),
        deviations=(1.2354515176e1, 1.0455993237e-1),
        sum_of_squares=1.1680088766e3,
    ),
    "MGH17": Reference(
        x=np.arange(0.0, 330.0, 10.0),
        y=np.array(
            [0.844, 0.908, 0.932, 0.936, 0.925, 0.908, 0.881, 0.850, 0.818, 0.784, 0.751]
            + [0.718, 0.685, 0.658, 0.628, 0.603, 0.580, 0.558, 0.538, 0.522, 0.506, 0.490]
            + [0.478, 0.467, 0.457, 0.448, 0.438, 0.431, 0.424, 0.420, 0.414, 0.411, 0.406]
        ),
        model=_two_decays,
        starts=((50.0, 150.0, -100.0, 1.0, 2.0), (0.5, 1.5, -1.0, 0.01, 0.02)),
        certified=(
            3.7541005211e-1,
            1.9358469127,
            -1.4646871366,
            1.2867534640e-2,
            2.2122699662e-2,
        ),
        deviations=(
            2.0723153551e-3,
            2.2031669222e-1,
            2.2175707739e-1,
            4.4861358114e-4,
            8.9471996575e-4,
        ),
        sum_of_squares=5.4648946975e-5,
    ),
}


@pytest.mark.parametrize("start", [0, 1])
@pytest.mark.parametrize("name", list(REFERENCES))
def test_certified_values_are_reached_from_both_starts(name: str, start: int) -> None:
    """Parameters to 6 digits, residual sum of squares to 8, standard deviations to 5.

    The damping starts high, as for any start of which nothing is known: from BoxBOD's first
    start a full first step ends where the model no longer depends on its parameters.
    """
    reference = REFERENCES[name]

    state, minimum = minimise(
        Regression(reference), np.array(reference.starts[start]), max_iterations=1000, damping=100.0
    )

    variance = minimum.cost / (len(reference.x) - len(state))
    deviations = np.sqrt(variance * np.diag(invert_normal(minimum.normal)))
    np.testing.assert_allclose(state, reference.certified, rtol=1e-6)
    np.testing.assert_allclose(minimum.cost, reference.sum_of_squares, rtol=1e-8)
    np.testing.assert_allclose(deviations, reference.deviations, rtol=1e-5)
