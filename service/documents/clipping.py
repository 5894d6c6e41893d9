"""Level and upright lines cut to the inside of an outline."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.documents.drawing import Place

Run = tuple[float, float]


def level_runs(outline: Sequence[Place], y: float) -> tuple[Run, ...]:
    """Where the level line at `y` is inside the closed outline: pairs of x, left to right.

    Even-odd rule, so the outline may be of any shape that does not cross itself.
    """
    return _runs([(p.x, p.y) for p in outline], y)


def upright_runs(outline: Sequence[Place], x: float) -> tuple[Run, ...]:
    """Where the upright line at `x` is inside the closed outline: pairs of y, low to high."""
    return _runs([(p.y, p.x) for p in outline], x)


def _runs(points: list[tuple[float, float]], level: float) -> tuple[Run, ...]:
    crossings: list[float] = []
    for (a0, a1), (b0, b1) in zip(points, points[1:] + points[:1], strict=True):
        # Half-open: a vertex exactly on the level counts for one of its two edges only.
        if (a1 <= level) != (b1 <= level):
            crossings.append(a0 + (b0 - a0) * (level - a1) / (b1 - a1))
    crossings.sort()
    return tuple(zip(crossings[::2], crossings[1::2], strict=True))
