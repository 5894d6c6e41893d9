"""Where the pattern stands on the back wall: every allowed place is tried, so the best is proved.

Frame: x from the plumb line, right positive, mm. `left` and `right` are the panel's half widths at
the same heights. A pattern repeats after one module, so that all its places are those of one
module, in the sixteenths that are marked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from service.panels.sizes import marked_mm

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from service.panels.walls import Pattern

_GRAIN_MM: Final = 1e-6
_STEP_MM: Final = 25.4 / 16


@dataclass(frozen=True)
class Placement:
    """One place of the pattern, and what it leaves.

    Attributes
    ----------
    centre_mm : float
        The tile or the joint that stands in the middle, from the plumb line.
    anchor : str
        What that is, in the first course.
    least_cut_mm : float
        The narrowest cut tile at either side, over all heights and both courses.
    imbalance_mm : float
        The greatest difference between the left and the right cut at one height.
    tried : int
        Places compared.
    """

    centre_mm: float
    anchor: Literal["tile", "joint"]
    least_cut_mm: float
    imbalance_mm: float
    tried: int = 0


def best_placement(
    left: Sequence[float],
    right: Sequence[float],
    pattern: Pattern,
    least_mm: float,
    limits: tuple[float, float] | None,
) -> Placement:
    """No sliver first, then the most even cuts at both sides, then nearest to the middle.

    Parameters
    ----------
    least_mm
        Cuts under this are slivers; where none can be avoided, the widest least cut wins.
    limits
        How far the centre may go, by the sheet it is printed on; None: it is printed to suit.
    """
    middle = (max(right) - max(left)) / 2
    best: Placement | None = None
    best_key: tuple[float, float, float] | None = None
    tried = 0
    for anchor, centre in _places(middle, pattern, limits):
        tried += 1
        least, uneven = _judged(left, right, pattern, anchor, centre)
        short = round(max(least_mm - least, 0.0), 4)
        key = (short, round(uneven, 4), abs(centre - middle))
        if best_key is None or key < best_key:
            best, best_key = Placement(centre, anchor, least, uneven), key
    if best is None:
        raise ValueError("expected limits with a place between them")
    return Placement(best.centre_mm, best.anchor, best.least_cut_mm, best.imbalance_mm, tried)


def cut_mm(
    reach_mm: float, tile_mm: float, joint_mm: float, anchor: str, centre_mm: float
) -> float:
    """The cut tile at a side `reach_mm` from the plumb line; a whole tile where it just fits.

    `centre_mm` counts towards that side. An edge that falls within a joint cuts nothing.
    """
    first = tile_mm / 2 if anchor == "tile" else -joint_mm / 2
    over = (reach_mm - centre_mm - first) % (tile_mm + joint_mm)
    return tile_mm if over <= joint_mm + _GRAIN_MM else over - joint_mm


def _places(
    middle: float, pattern: Pattern, limits: tuple[float, float] | None
) -> Iterator[tuple[Literal["tile", "joint"], float]]:
    """Every marked place: of one module about the middle, or of what the sheet allows."""
    anchors: tuple[Literal["tile", "joint"], ...] = (
        ("tile", "joint") if pattern.centre == "free" else (pattern.centre,)
    )
    half = (pattern.tile_mm[0] + pattern.joint_mm) / (4 if pattern.centre == "free" else 2)
    low, high = middle - half, middle + half
    if limits is not None:
        low, high = max(low, limits[0]), min(high, limits[1])
        if low > high:
            nearest = limits[0] if middle < limits[0] else limits[1]
            low = high = nearest
    first = math.ceil(low / _STEP_MM - 1e-9)
    last = math.floor(high / _STEP_MM + 1e-9)
    marked = [k * _STEP_MM for k in range(first, last + 1)]
    centres = marked or [min(max(marked_mm(low), low), high)]
    for anchor in anchors:
        for centre in centres:
            yield anchor, centre


def _judged(
    left: Sequence[float], right: Sequence[float], pattern: Pattern, anchor: str, centre: float
) -> tuple[float, float]:
    tile, joint = pattern.tile_mm[0], pattern.joint_mm
    anchors = [anchor]
    if pattern.course == "half offset":
        anchors.append("joint" if anchor == "tile" else "tile")
    least, uneven = math.inf, 0.0
    for course in anchors:
        for a, b in zip(left, right, strict=True):
            at_left = cut_mm(a, tile, joint, course, -centre)
            at_right = cut_mm(b, tile, joint, course, centre)
            least = min(least, at_left, at_right)
            uneven = max(uneven, abs(at_left - at_right))
    return least, uneven
