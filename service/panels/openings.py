"""What is cut into a panel or round which it is cut, with the pieces that line or cover it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service.panels.places import Point, Size


@dataclass(frozen=True)
class Liner:
    """One piece of sheet that lines a window's reveal, in the order it is fixed."""

    name: str
    length: Size
    depth: Size
    how: str


@dataclass(frozen=True)
class WindowCut:
    """A rectangular opening; `corner_mm` is its corner of least x and y.

    A window's and a niche's sizes are as measured; a box's are with its clearance. `drill` is the
    hole drilled in each corner first.
    """

    name: str
    corner_mm: Point
    from_side: Size
    from_top: Size
    width: Size
    height: Size
    liners: tuple[Liner, ...]
    notes: tuple[str, ...] = ()
    kind: Literal["window", "niche", "box"] = "window"
    drill: Size | None = None


@dataclass(frozen=True)
class NotchCut:
    """What a panel is cut round, by its corner of least x and y and its size on the panel.

    `corner_mm`, `width` and `height` are of the thing itself, without the joint round it; `liners`
    cover it, in the order they are fixed.
    """

    name: str
    kind: str
    corner_mm: Point
    width: Size
    height: Size
    liners: tuple[Liner, ...]
    notes: tuple[str, ...] = ()
