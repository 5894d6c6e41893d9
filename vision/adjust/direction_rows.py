"""Rows of what is known of directions: level and plumb, by marks and by straight lines.

A plumb pair of marks is square to the level pair. A line that is known to be level or plumb is
held against the level pair; without one, such lines are held against the first of them, whose own
uncertainty is then common to all the others' rows.
"""

from __future__ import annotations

import numpy as np

from vision.adjust.curve_rows import line_angle
from vision.adjust.network import KnownDirection, Network
from vision.adjust.state import LINE, MARK, Layout, State
from vision.units import FloatArray


class DirectionRows:
    """Whitened angles of a network's level and plumb lines against one another."""

    def __init__(self, network: Network, layout: Layout, level: tuple[int, int] | None) -> None:
        self._network, self._layout, self._level = network, layout, level
        self._known = network.directions[0 if level else 1 :]
        spread = np.diag([known.u_rad**2 for known in self._known])
        if not level and network.directions:
            spread = spread + network.directions[0].u_rad ** 2
        self._whiten = np.linalg.inv(np.linalg.cholesky(spread)) if self._known else spread

    @property
    def count(self) -> int:
        """Number of rows."""
        return len(self._network.square_corners) + len(self._known)

    @property
    def errors(self) -> FloatArray:
        """(n, k) how the rows move with an error of each square corner, then of each direction.

        Without level marks an error of the first direction moves the rows of all others.
        """
        corners, known = len(self._network.square_corners), len(self._network.directions)
        errors = np.zeros((self.count, corners + known))
        errors[:corners, :corners] = np.eye(corners)
        if self._known:
            errors[corners:, corners + known - len(self._known) :] = self._whiten
        if self._known and not self._level:
            errors[corners:, corners] = -self._whiten.sum(axis=1)
        return errors

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Whitened residuals (n,) and derivatives (n, p)."""
        residuals, jacobian = np.zeros(self.count), np.zeros((self.count, self._layout.size))
        corners = self._network.square_corners
        for row, corner in enumerate(corners):
            angle, slope = self._pair(state, corner.plumb)
            other, other_slope = self._pair(state, corner.level)
            residuals[row] = _off_square(angle - other) / corner.u_rad
            jacobian[row] = (slope - other_slope) / corner.u_rad
        if self._known:
            rows = slice(len(corners), None)
            residuals[rows], jacobian[rows] = self._lines(state)
        return residuals, jacobian

    def lean(self, state: State, line: int, is_plumb: bool) -> tuple[float, FloatArray]:
        """How far a line is turned from level or plumb, radians, and its derivative (p,).

        Level is that of the level marks, without them the x axis of the datum sheet.
        """
        angle, slope = self._line(state, KnownDirection(line, is_plumb, 1.0))
        base, base_slope = self._pair(state, self._level) if self._level else (0.0, 0.0 * slope)
        return _off_straight(angle - base), slope - base_slope

    def _lines(self, state: State) -> tuple[FloatArray, FloatArray]:
        if self._level:
            base, base_slope = self._pair(state, self._level)
        else:
            base, base_slope = self._line(state, self._network.directions[0])
        found = [self._line(state, known) for known in self._known]
        off = np.array([_off_straight(angle - base) for angle, _ in found])
        slopes = np.array([slope - base_slope for _, slope in found])
        return self._whiten @ off, self._whiten @ slopes

    def _line(self, state: State, known: KnownDirection) -> tuple[float, FloatArray]:
        """What a line's direction says of where level is, and its derivative (p,)."""
        slope = np.zeros(self._layout.size)
        slope[self._layout.line + LINE * known.line + 1] = 1.0
        angle = line_angle(self._network, self._layout, state, known.line)
        return angle - known.is_plumb * np.pi / 2, slope

    def _pair(self, state: State, pair: tuple[int, int]) -> tuple[float, FloatArray]:
        """Direction of a pair of marks on the wall, and its derivative (p,)."""
        first, second = (self._layout.mark + MARK * mark for mark in pair)
        along = state.x[second : second + 2] - state.x[first : first + 2]
        turn = np.array([-along[1], along[0]]) / (along @ along)
        slope = np.zeros(self._layout.size)
        slope[second : second + 2] = turn
        slope[first : first + 2] = -turn
        return float(np.arctan2(along[1], along[0])), slope


def _off_straight(angle: float) -> float:
    """An angle less the nearest multiple of half a turn: a line has no sense."""
    return float(angle - np.pi * np.round(angle / np.pi))


def _off_square(angle: float) -> float:
    return _off_straight(angle - np.pi / 2)
