"""One photo's pose by itself, everything else of the wall held where it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from vision.adjust.placing import Pose
from vision.adjust.solver import NotObservable, minimise
from vision.adjust.state import POSE, State
from vision.adjust.wall_problem import WallProblem
from vision.units import FloatArray, IntArray

MOST_STEPS: Final = 12
ENOUGH: Final = 1.0
"""A standard deviation of a pose is far less than what tells two poses apart."""


def with_pose(state: State, shot: int, pose: Pose) -> State:
    """The state with another pose of one photo."""
    rotations, x = state.rotations.copy(), state.x.copy()
    rotations[shot] = pose.rotation
    x[POSE * shot + 3 : POSE * shot + 6] = pose.shift
    return State(rotations, x)


def settled_pose(problem: WallProblem, state: State, shot: int) -> State | None:
    """The state with one photo's pose where it fits best what the photo shows of cards and marks.

    Some thirty numbers a photo in place of the whole wall's: enough to tell two poses apart, for
    the turn that a small flat thing leaves open is closed by nothing but the photo itself and the
    places that other photos give to what it shows. None if it ends behind something.
    """
    rows = np.flatnonzero(problem.network.sightings.shot == shot)
    own = _OwnPose(problem, state, rows, problem.images.points(state)[rows], shot)
    try:
        found, _ = minimise(own, state, max_iterations=MOST_STEPS, damping=1e-6, enough=ENOUGH)
    except NotObservable:
        return None
    return found


@dataclass(frozen=True)
class _OwnPose:
    """Six unknowns: a photo's rotation and shift."""

    problem: WallProblem
    fixed: State
    rows: IntArray
    points: FloatArray
    shot: int

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened misfit (2n,) of what the photo shows, and its Jacobian (2n, 6) by the pose."""
        seen, whiten = self.problem.network.sightings, self.problem.weights.sightings[self.rows]
        looked = self.problem.views.look(state, seen.shot[self.rows], self.points)
        off = looked.pixels - seen.pixels[self.rows]
        jacobian = whiten @ looked.by_view[:, :, :POSE]
        return (whiten @ off[:, :, None]).ravel(), jacobian.reshape(-1, POSE)

    def retract(self, state: State, step: FloatArray) -> State:
        """The state with this photo's pose moved by ``step`` (6,): radians, then mm."""
        whole = np.zeros(len(self.fixed.x))
        whole[POSE * self.shot : POSE * (self.shot + 1)] = step
        return state.moved(whole)
