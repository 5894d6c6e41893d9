"""How much more believable a room is if one of its readings is a slip."""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping
from typing import Final

from service.measuring.estimates import Estimate
from service.measuring.slip_book import Regular, SlipBook

_MOST: Final = 6.0
"""No room is so odd that what was taped in it could not say so: a factor of 400, as a logarithm."""


def more_believable(
    book: SlipBook, dimension: str, read_mm: float, truth: Estimate, known: Mapping[str, Estimate]
) -> float:
    """Logarithm of how much more believable the true size is than the reading of it.

    Parameters
    ----------
    read_mm, truth
        As it was read, and what everything else says of it; magnitudes, mm.
    known
        Everything else, by name.
    """
    regular = book.regular.get(dimension)
    if regular is None:
        return 0.0
    middle = middle_mm(regular, {n: abs(known[n].mm) for n in regular.like if n in known})
    if middle is None:
        return 0.0
    # A size that the rest leaves open is spread over more than what is believable.
    spread = math.hypot(regular.spread_mm, truth.u_mm)
    gain = abs(read_mm - middle) / regular.spread_mm - abs(truth.mm - middle) / spread
    return min(max(gain - math.log(spread / regular.spread_mm), -_MOST), _MOST)


def middle_mm(regular: Regular, values: Mapping[str, float]) -> float | None:
    """What is expected of a size among these, mm; None where nothing that it is like is known."""
    like = [values[name] for name in regular.like if name in values]
    if regular.like and not like:
        return None
    return regular.mm + (statistics.median(like) if like else 0.0)
