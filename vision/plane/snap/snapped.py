"""What snapping yields: candidates with their covariance, and the doubt where there is any."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from vision.units import FloatArray

SnapKind: TypeAlias = Literal["corner", "crossing", "line end", "edge", "drawn line", "plate"]
DoubtCode: TypeAlias = Literal["nothing-near", "several-near", "at-the-rim"]


@dataclass(frozen=True)
class Snap:
    """One thing near the tap.

    Attributes
    ----------
    kind
        ``corner`` two edges, ``crossing`` two drawn lines or joints, ``line end`` a drawn line at
        an edge, ``edge`` and ``drawn line`` the nearest point on one, ``plate`` a round one's
        middle.
    pixel
        (2,) upright picture.
    covariance_px2
        (2, 2); wide along an edge, where only the tap speaks.
    text
        What it is, in words for the person who accepts it.
    """

    kind: SnapKind
    pixel: FloatArray
    covariance_px2: FloatArray
    text: str


@dataclass(frozen=True)
class Doubt:
    """Why the tap had better stay as it is."""

    code: DoubtCode
    text: str


@dataclass(frozen=True)
class SnapOffer:
    """What lies near a tap, the likeliest first, and whether there is doubt.

    ``best`` is the candidate to show first, None where the raw tap is the honest choice.
    """

    tap: FloatArray
    snaps: tuple[Snap, ...]
    doubt: Doubt | None

    @property
    def best(self) -> Snap | None:
        """The likeliest candidate, if nothing speaks against it."""
        return self.snaps[0] if self.snaps and self.doubt is None else None
