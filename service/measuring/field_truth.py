"""Field truth: how often a photo's 95 % interval held what the tape then proved.

The only real evidence of "95 %" is released jobs: there the tape was checked, so the photo can be
held against it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from scipy.stats import beta

from service.measuring.estimates import Estimate

ENOUGH: Final = 0.9
_PROMISED: Final = 0.95


@dataclass(frozen=True, slots=True)
class ProvedInField:
    """One size of a released job that a photo had shown as well.

    ``photo`` is what the photos alone said, ``tape`` the proved reading; ``shop`` and ``phone``
    are whatever words the shop keeps for them.
    """

    shop: str
    phone: str
    photo: Estimate
    tape: Estimate

    @property
    def held(self) -> bool:
        """Whether the photo's interval, widened by what the tape itself may be off, holds it."""
        u_mm = (self.photo.u_mm**2 + self.tape.u_mm**2) ** 0.5
        low, high = Estimate(self.photo.mm, u_mm).interval95_mm
        return low <= self.tape.mm <= high


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a sheet's sizes were by photo and by tape when it was released.

    Attributes
    ----------
    phone
        What took the wall's photos; several are one of their own.
    sizes
        Photo and tape of each size that the sheet is cut by and that has both, by name. Whether
        they agreed is never asked: to leave out what two persons had to tape because they did not
        would make every interval look good.
    """

    phone: str
    sizes: Mapping[str, tuple[Estimate, Estimate]]

    def proved(self, shop: str) -> Iterator[ProvedInField]:
        """Each of them, as it counts for a shop."""
        for photo, tape in self.sizes.values():
            yield ProvedInField(shop, self.phone, photo, tape)


@dataclass(frozen=True, slots=True)
class FieldShare:
    """How many of so many intervals held, and the 95 % bounds of the true share.

    Bounds are those of Clopper and Pearson (1934), which never promise too much; the sizes of one
    wall err together, so with few jobs they are still too narrow.
    """

    shop: str
    phone: str
    held: int
    count: int
    low: float
    high: float

    @property
    def share(self) -> float:
        return self.held / self.count

    @property
    def bears_out(self) -> bool:
        """Whether 95 % is within the bounds."""
        return self.low <= _PROMISED <= self.high

    @property
    def more(self) -> bool:
        """Whether more held than the 95 % that was said: intervals wider than they need be."""
        return self.low > _PROMISED

    @property
    def enough(self) -> bool:
        """Whether there are so many that 95 % within the bounds says something: 36 if all held."""
        return self.low >= ENOUGH


def field_truth(proved: Iterable[ProvedInField]) -> tuple[FieldShare, ...]:
    """The share per shop and phone, in the order of their names."""
    groups: dict[tuple[str, str], list[bool]] = {}
    for size in proved:
        groups.setdefault((size.shop, size.phone), []).append(size.held)
    return tuple(_share(*names, held) for names, held in sorted(groups.items()))


def _share(shop: str, phone: str, held: list[bool]) -> FieldShare:
    count, hits = len(held), sum(held)
    low = float(beta.ppf(0.025, hits, count - hits + 1)) if hits else 0.0
    high = float(beta.ppf(0.975, hits + 1, count - hits)) if hits < count else 1.0
    return FieldShare(shop, phone, hits, count, low, high)
