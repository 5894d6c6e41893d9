"""Minimise a wall from its start and from the other poses that its photos may have.

A photo of a flat card is told from its mirror pose by little where it is far or taken square on.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from vision.adjust.own_pose import settled_pose, with_pose
from vision.adjust.solver import Minimum, NotObservable, minimise
from vision.adjust.start import Start
from vision.adjust.state import State
from vision.adjust.wall_problem import WallProblem

TWIN_TRIES: Final = 6
"""How many doubtful poses are tried the other way round."""
ENOUGH: Final = 1e-9
"""A last step of 0.00003 standard deviations: what remains is some twenty times smaller."""
HOPELESS_SHARE: Final = 0.02
"""A step that promises less than this share of what is lacking will not make it up."""
SAME_TURN: Final = 0.01
"""Photos turned alike within this, and fitting alike, are on the way to one and the same end."""


def minimise_with_twins(problem: WallProblem, start: Start) -> tuple[State, Minimum] | None:
    """Minimise, then try the other pose of each doubtful photo and keep what fits better.

    A pose that by itself slides back to where the photo stands is not tried.
    """
    best = _try(problem, start.state, None)
    for shot, pose in list(start.twins.items())[:TWIN_TRIES]:
        other_way = with_pose(best[0] if best else start.state, shot, pose)
        if best is not None:
            settled = settled_pose(problem, other_way, shot)
            if settled is not None and _turned(settled, best[0]) < SAME_TURN:
                continue
        other = _try(problem, other_way, best)
        if other is not None and (best is None or other[1].cost < best[1].cost - 1e-6):
            best = other
    return best


def _try(
    problem: WallProblem, state: State, best: tuple[State, Minimum] | None
) -> tuple[State, Minimum] | None:
    try:
        return minimise(problem, state, damping=1e-8, enough=ENOUGH, give_up=_no_better_than(best))
    except NotObservable:
        return None


def _no_better_than(
    best: tuple[State, Minimum] | None,
) -> Callable[[State, float, float], bool] | None:
    """Whether a search is about to end where ``best`` is, or is stuck far above it."""
    if best is None:
        return None
    end, least = best[0], best[1].cost

    def give_up(state: State, cost: float, promised: float) -> bool:
        lacking = cost - least
        hopeless = promised < HOPELESS_SHARE * lacking
        return hopeless or (lacking < 1 and _turned(state, end) < SAME_TURN)

    return give_up


def _turned(one: State, other: State) -> float:
    return float(np.max(np.abs(one.rotations - other.rotations)))
