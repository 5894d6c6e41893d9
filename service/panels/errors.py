"""Errors of readings as causes: a reading's own, and those that it has in common with others."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from service.panels.walls import Given

Cause = int | str
"""What an error comes from: one reading, or something that several readings share."""
Weighed = tuple["Given", float]


def causes(weighed: Iterable[Weighed]) -> dict[Cause, float]:
    """What each cause adds to a weighed sum of readings, mm for one standard uncertainty."""
    found: dict[Cause, float] = {}
    for size, weight in weighed:
        common = sum(part**2 for _, part in size.shared)
        own = math.sqrt(max(size.u_mm**2 - common, 0.0))
        parts: tuple[tuple[Cause, float], ...] = ((id(size), own), *size.shared)
        for cause, part in parts:
            found[cause] = found.get(cause, 0.0) + weight * part
    return found


def spread_mm(weighed: Iterable[Weighed]) -> float:
    """Standard uncertainty of a weighed sum of readings, mm."""
    return math.sqrt(sum(part**2 for part in causes(weighed).values()))
