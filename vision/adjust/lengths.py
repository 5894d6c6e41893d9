"""Sizes between marked points as functions of the unknowns, with gradients.

Frame of ``dx`` and ``dy``: with a level line, x runs from its first mark to its second, seen
along the wall's normal; without one, the axes of the datum sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from vision.units import FloatArray

Kind: TypeAlias = Literal["distance", "dx", "dy", "to_line"]


@dataclass(frozen=True)
class Size:
    """One size: marks by index.

    ``distance`` is the straight line in space, ``dx`` and ``dy`` run from ``start`` to ``end``
    in the frame, ``to_line`` is the perpendicular distance in the wall's plane of ``start``
    from the line through ``line``, positive on the left of its direction.
    """

    name: str
    kind: Kind
    start: int
    end: int = -1
    line: tuple[int, int] = (-1, -1)

    @property
    def marks(self) -> tuple[int, ...]:
        """Indices of the marks this size needs, the frame's aside."""
        return (self.start, *self.line) if self.kind == "to_line" else (self.start, self.end)


@dataclass(frozen=True)
class SizeValue:
    """A size's value in mm and its gradient (m, 3) with respect to the marks."""

    value_mm: float
    gradient: FloatArray


def evaluate_size(size: Size, level: tuple[int, int] | None, points: FloatArray) -> SizeValue:
    """Value and gradient of ``size`` at marks ``points`` (m, 3)."""
    gradient = np.zeros_like(points)
    if size.kind == "distance":
        value = _distance(size, points, gradient)
    elif size.kind == "to_line":
        value = _to_line(size, points, gradient)
    else:
        value = _component(size, level, points, gradient)
    return SizeValue(value, gradient)


def _distance(size: Size, points: FloatArray, gradient: FloatArray) -> float:
    across = points[size.end] - points[size.start]
    length = float(np.linalg.norm(across))
    direction = across / length if length > 0 else np.zeros(3)
    gradient[size.end] += direction
    gradient[size.start] -= direction
    return length


def _to_line(size: Size, points: FloatArray, gradient: FloatArray) -> float:
    first, second = size.line
    along = points[second, :2] - points[first, :2]
    offset = points[size.start, :2] - points[first, :2]
    length = float(np.linalg.norm(along))
    unit = along / length
    left = np.array([-unit[1], unit[0]])
    value = float(left @ offset)
    share = float(unit @ offset) / length
    gradient[size.start, :2] += left
    gradient[first, :2] -= left * (1 - share)
    gradient[second, :2] -= left * share
    return value


def _component(
    size: Size, level: tuple[int, int] | None, points: FloatArray, gradient: FloatArray
) -> float:
    across = points[size.end, :2] - points[size.start, :2]
    axis = 0 if size.kind == "dx" else 1
    unit = np.array([1.0, 0.0])
    if level is not None:
        along = points[level[1], :2] - points[level[0], :2]
        length = float(np.linalg.norm(along))
        unit = along / length
    left = np.array([-unit[1], unit[0]])
    direction, other = (unit, left) if axis == 0 else (left, -unit)
    gradient[size.end, :2] += direction
    gradient[size.start, :2] -= direction
    if level is not None:
        # turning the frame by the angle left . d(along) / length
        turn = float(other @ across) * left / length
        gradient[level[1], :2] += turn
        gradient[level[0], :2] -= turn
    return float(direction @ across)
