"""A right reading in the wrong box: which box it is of, and how likely that is.

Three things come of such a slip. Mostly the reading's own box is left empty: whoever comes to it
later finds the other filled. Or the two readings are in one another's boxes, which is weighed over
both (`accusation`). Or both boxes are filled: a line skipped when a list was copied, one number
typed twice, the one size taped for the other.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Final

from service.measuring.densities import tailed_density
from service.measuring.estimates import Estimate
from service.measuring.instruments import MM_PER_INCH
from service.measuring.reading import Reading
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind

EXCHANGED: Final = 0.5
"""How likely two are exchanged, where one left empty is 1 (our estimate)."""
_FILLED: Final = 0.5
"""The same of a box that holds its own value as well (our estimate)."""
_COPIED: Final = 0.75
"""Part of these that hold the same writing twice: copied, or one size taped twice, which comes out
the same to the sixteenth every other time (our estimate)."""
_BESIDE: Final = 0.8
"""Part of the wrong boxes that are next in order, opposite, or of the same name (our estimate)."""


@dataclass(frozen=True, slots=True)
class Boxes:
    """The other boxes of a wall or an alcove, for one reading.

    Attributes
    ----------
    sizes
        What everything that agrees says of each other dimension, a magnitude, by name.
    filled
        Those whose own box holds a reading that fits.
    same
        Of these, those that hold the very same writing.
    empty
        Those that hold no reading at all.
    empty_share
        Part of all boxes that hold none. Where few are empty, that just the one is which this
        value fits is no chance; where many have yet to be taped, it says little.
    """

    sizes: Mapping[str, Estimate] = field(default_factory=dict)
    filled: Collection[str] = ()
    same: Collection[str] = ()
    empty: Collection[str] = ()
    empty_share: float = 1.0


@dataclass(frozen=True, slots=True)
class Misplaced:
    """The weight of all wrong boxes together, per mm; the likeliest; how far off its own size this
    value is, in standard deviations."""

    weight: float
    where: str | None
    off: float


def misplaced(reading: Reading, boxes: Boxes, book: SlipBook) -> Misplaced:
    """One reading in a box of another dimension, the other's own box empty or filled."""
    if not boxes.sizes:
        return Misplaced(0.0, None, 0.0)
    tape_mm = reading.uncertainty.u_mm
    near = [name for name in book.beside.get(reading.dimension, ()) if name in boxes.sizes]
    rates = {side: box_rate(book, side, len(near), len(boxes.sizes)) for side in (False, True)}
    weights = {
        name: rates[name in near] * _likelihood(reading, name, boxes) for name in boxes.sizes
    }
    where = max(weights, key=lambda name: weights[name])
    of = boxes.sizes[where]
    off = abs(reading.mm - abs(of.mm)) / math.hypot(tape_mm, of.u_mm)
    return Misplaced(sum(weights.values()), where, off)


def _likelihood(reading: Reading, name: str, boxes: Boxes) -> float:
    """Of this value and of what that box holds, if the value is that box's, per mm."""
    other = boxes.sizes[name]
    spread = math.hypot(reading.uncertainty.u_mm, other.u_mm)
    taped = tailed_density(reading.mm - abs(other.mm), spread)
    if name in boxes.empty:
        return taped / boxes.empty_share
    if name not in boxes.filled:
        return taped
    # A copy is the same to the graduation: a probability, spread over one of them.
    copied = 1 / _graduation_mm(reading) if name in boxes.same else 0.0
    return _FILLED * (_COPIED * copied + (1 - _COPIED) * taped)


def _graduation_mm(reading: Reading) -> float:
    return MM_PER_INCH / 16 if reading.unit in ("in", "ft-in") else 1.0


def box_rate(book: SlipBook, beside: bool, near: int, count: int) -> float:
    """Rate of the wrong boxes that falls to one box, beside or not, of ``near`` and ``count``."""
    rate = book.weight(SlipKind.WRONG_BOX)
    if near in (0, count):
        return rate / max(count, 1)
    return rate * (_BESIDE / near if beside else (1 - _BESIDE) / (count - near))
