"""What a slip in one mark could do to a size before it would be found: external reliability.

An error e in a whitened sighting with rows A is found with power 80 % at the limit of one in 10,000
when its non-centrality ``e^T R e``, ``R = I - A C A^T``, is `NON_CENTRALITY`; unseen, it moves a
size with gradient g by ``g^T C A^T e``. Over all directions the most is ``sqrt(lambda q^T R^-1 q)``
with ``q = A C g`` (Baarda 1968, for two coordinates at once).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from vision.adjust.lengths import Size
from vision.adjust.reliability import LEAST_REDUNDANCY
from vision.adjust.solution import WallSolution
from vision.units import FloatArray, IntArray

NON_CENTRALITY: Final = 25.252
"""Of two degrees of freedom, past 18.42 with 80 %."""
_LEAST_PULL_MM: Final = 1e-6


def slip_effects(solution: WallSolution, sizes: Sequence[Size]) -> tuple[IntArray, FloatArray]:
    """Rows (n,) of the mark sightings, and how far (n, m) an unseen slip there moves each size, mm.

    Infinite where nothing controls a slip that moves the size.
    """
    problem, seen = solution.problem, solution.network.sightings
    rows = np.flatnonzero(seen.sheet < 0)
    marks = solution.minimum.jacobian[np.column_stack([2 * rows, 2 * rows + 1])]
    slopes = problem.size_values(sizes, solution.state)[1]
    reach = marks @ solution.covariance
    pull = reach @ slopes.T
    values, vectors = np.linalg.eigh(np.eye(2) - reach @ np.swapaxes(marks, 1, 2))
    along = np.swapaxes(vectors, 1, 2) @ pull
    controlled = (values > LEAST_REDUNDANCY)[:, :, None]
    squares = along**2 / np.where(controlled, values[:, :, None], 1.0)
    squares = np.where(~controlled & (np.abs(along) > _LEAST_PULL_MM), np.inf, squares)
    return rows, np.sqrt(NON_CENTRALITY * np.sum(squares, axis=1))
