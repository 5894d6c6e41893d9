"""Whether the level line runs the way the cards hang: from left to right as they are read."""

from __future__ import annotations

from typing import Final

import numpy as np

from vision.adjust.solution import WallSolution
from vision.adjust.state import SHEET
from vision.measure_wall.pictures import plane_frame
from vision.measure_wall.wall import WallMeasurement

_AGAINST: Final = -0.5
"""Cosine: a card that hangs on its side says nothing."""


def level_runs_backwards(wall: WallMeasurement, solution: WallSolution) -> bool:
    """Whether it runs against every card: its marks are exchanged, or all cards are upside down.

    Marks left and right under one another's names in every photo fit as well as the right ones,
    and leave no other trace than this.
    """
    cards = list(wall.built.sheets.card_index.values())
    if solution.problem.level is None or not cards:
        return False
    sheets = solution.state.x[solution.layout.sheet : solution.layout.scale].reshape(-1, SHEET)
    turn = sheets[cards, 2]
    along = plane_frame(solution).along
    return bool(np.all(np.cos(turn) * along[0] + np.sin(turn) * along[1] < _AGAINST))
