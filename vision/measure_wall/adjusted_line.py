"""A straight line of the wall as the adjustment found it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from vision.adjust.curve_rows import line_angle
from vision.adjust.solution import WallSolution
from vision.adjust.state import LINE


@dataclass(frozen=True)
class WallLine:
    """A straight line as adjusted, with standard uncertainties.

    ``lean_rad`` is its turn from level or plumb, whichever ``nearest`` it is, counter-clockwise as
    seen; ``bow_mm`` how far its middle lies off the straight line between its ends, upwards of a
    line near level, to the right of one near plumb.
    """

    name: str
    nearest: Literal["level", "plumb"]
    lean_rad: float
    lean_u_rad: float
    bow_mm: float
    bow_u_mm: float
    photos: int


def adjusted_line(solution: WallSolution, line: int) -> WallLine:
    """One of the network's lines, by its index."""
    problem, layout, state = solution.problem, solution.layout, solution.state
    leans = [problem.directions.lean(state, line, is_plumb) for is_plumb in (False, True)]
    is_plumb = abs(leans[1][0]) < abs(leans[0][0])
    lean, slope = leans[is_plumb]
    angle = line_angle(solution.network, layout, state, line)
    # its normal is counted to the left of its direction, which has either sense
    side = np.sign(np.sin(angle)) if is_plumb else -np.sign(np.cos(angle))
    bow = layout.line + LINE * line + 2
    seen = solution.network.curves
    return WallLine(
        name=solution.network.lines[line].name,
        nearest="plumb" if is_plumb else "level",
        lean_rad=lean,
        lean_u_rad=float(np.sqrt(slope @ solution.covariance @ slope)),
        bow_mm=float(side * state.x[bow]),
        bow_u_mm=float(np.sqrt(solution.covariance[bow, bow])),
        photos=len(set(seen.shot[seen.line == line].tolist())),
    )
