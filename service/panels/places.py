"""Where things are on a panel: its edges, its hand, a point and a printed size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

Tub = Literal["stays", "new", "base", "floor"]
"""What the panels stand on; `floor` is a bare floor without tub or base."""
FALLS_TO: Final[dict[Tub, str]] = {
    "stays": "the tub",
    "new": "the tub",
    "base": "the base",
    "floor": "the drain",
}
"""Where sills, seats and caps shed their water. Common practice."""
WallName = Literal["back", "plumbing", "far end"]
Hand = Literal["none", "left", "right"]
Edge = Literal["top", "left", "right", "inner", "outer", "bottom", "leg", "notch"]


class Point(NamedTuple):
    """A place on a panel, mm, in the panel's frame (see the head of `model`)."""

    x: float
    y: float


@dataclass(frozen=True)
class Size:
    """A length: exact inside, and as it is printed (inches)."""

    mm: float
    text: str
