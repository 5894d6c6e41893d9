"""Sizes between marked points as functions of the unknowns, with gradients.

Frame of ``dx`` and ``dy``: with a level line, x runs from its first mark to its second, seen
along the wall's normal; without one, the axes of the datum sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

from vision.units import FloatArray, IntArray

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


def evaluate_sizes(
    sizes: Sequence[Size], level: tuple[int, int] | None, points: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Values (k,) of sizes in mm at marks ``points`` (m, 3), and their gradients (k, m, 3)."""
    values, gradients = np.zeros(len(sizes)), np.zeros((len(sizes), len(points), 3))
    for kinds, evaluate in _KINDS:
        rows = np.array([i for i, size in enumerate(sizes) if size.kind in kinds], dtype=np.int64)
        if len(rows):
            own = _Own(rows, [sizes[i] for i in rows], level, points, gradients)
            values[rows] = evaluate(own)
    return values, gradients


class _Own:
    """Sizes of one kind; ``add`` puts a slope (k, 2 or 3) where it belongs."""

    def __init__(
        self,
        rows: IntArray,
        sizes: Sequence[Size],
        level: tuple[int, int] | None,
        points: FloatArray,
        gradients: FloatArray,
    ) -> None:
        self.level, self.points = level, points
        self._rows, self._gradients = rows, gradients
        self.start = np.array([size.start for size in sizes])
        self.end = np.array([size.end for size in sizes])
        self.line = np.array([size.line for size in sizes])
        self.along_x = np.array([size.kind == "dx" for size in sizes])

    def add(self, marks: IntArray | int, slopes: FloatArray) -> None:
        self._gradients[self._rows, marks, : slopes.shape[1]] += slopes


def _distances(own: _Own) -> FloatArray:
    across = own.points[own.end] - own.points[own.start]
    length = np.sqrt((across * across).sum(axis=1))
    direction = across / np.where(length > 0, length, 1.0)[:, None]
    own.add(own.end, direction)
    own.add(own.start, -direction)
    return np.asarray(length)


def _to_lines(own: _Own) -> FloatArray:
    first, second = own.line.T
    along = own.points[second, :2] - own.points[first, :2]
    offset = own.points[own.start, :2] - own.points[first, :2]
    length = np.sqrt((along * along).sum(axis=1))
    unit = along / length[:, None]
    left = _left_of(unit)
    share = ((unit * offset).sum(axis=1) / length)[:, None]
    own.add(own.start, left)
    own.add(first, -left * (1 - share))
    own.add(second, -left * share)
    return np.asarray((left * offset).sum(axis=1))


def _components(own: _Own) -> FloatArray:
    across = own.points[own.end, :2] - own.points[own.start, :2]
    unit, length = np.array([1.0, 0.0]), np.inf
    if own.level is not None:
        along = own.points[own.level[1], :2] - own.points[own.level[0], :2]
        length = float(np.sqrt(along @ along))
        unit = along / length
    left = _left_of(unit)
    direction = np.where(own.along_x[:, None], unit, left)
    own.add(own.end, direction)
    own.add(own.start, -direction)
    if own.level is not None:
        # turning the frame by the angle left . d(along) / length
        turn = (across * _left_of(direction)).sum(axis=1)[:, None] * left / length
        own.add(own.level[1], turn)
        own.add(own.level[0], -turn)
    return np.asarray((direction * across).sum(axis=1))


def _left_of(directions: FloatArray) -> FloatArray:
    """(..., 2) turned by a quarter to the left."""
    return np.stack([-directions[..., 1], directions[..., 0]], axis=-1)


_KINDS: Final = (
    (("distance",), _distances),
    (("to_line",), _to_lines),
    (("dx", "dy"), _components),
)
