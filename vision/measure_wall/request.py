"""What a caller asks of one wall, as plain values."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import radians
from typing import Final, Literal, TypeAlias

from vision.camera.profile import LensProfile

Kind: TypeAlias = Literal["distance", "dx", "dy", "to_line"]
PixelRow: TypeAlias = tuple[tuple[float, float], ...]

UNCHECKED_PRINT_U: Final = 0.015
"""Printers and fit-to-page settings shrink or stretch a page by 1-2 %."""


@dataclass(frozen=True)
class Habits:
    """What a shop assumes of walls and cards unless told otherwise; standard uncertainties."""

    flatness_u_mm: float = 3.0
    card_standoff_mm: float = 0.5
    card_standoff_u_mm: float = 1.0
    card_tilt_u_rad: float = radians(0.3)
    card_bow_u_mm: float = 0.5
    mark_sd_px: float = 1.0
    square_u_rad: float = 0.001


@dataclass(frozen=True)
class Tap:
    """A mark as set in one photo; a stand-off of None means on the wall's mean plane.

    ``covariance_px2`` is told where the two axes differ, and then stands for ``sd_px``.
    """

    name: str
    at_px: tuple[float, float]
    sd_px: float
    defined_mm: float = 0.0
    standoff_mm: float | None = None
    standoff_u_mm: float = 0.0
    covariance_px2: tuple[tuple[float, float], tuple[float, float]] | None = None


@dataclass(frozen=True)
class PhotoRequest:
    """One photo's name and the marks set in it."""

    name: str
    taps: tuple[Tap, ...] = ()


@dataclass(frozen=True)
class PrintCheck:
    """A ruler laid on a card's check bar: measured over nominal, and the limit of its error."""

    axis: Literal["x", "y"]
    nominal_mm: float
    measured_mm: float
    half_width_mm: float


@dataclass(frozen=True)
class CardRequest:
    """What is known of one card."""

    serial: int
    print_job: str | None = None
    standoff_mm: float | None = None
    standoff_u_mm: float | None = None
    checks: tuple[PrintCheck, ...] = ()


@dataclass(frozen=True)
class RectangleRequest:
    """A plain rectangle on the wall; corners from its lower left, counter-clockwise.

    In a photo of ``edges_px`` points along each edge are given in place of the corners, the edge
    from the first corner to the second first.
    """

    name: str
    size_mm: tuple[float, float]
    u_mm: tuple[float, float]
    standoff_mm: float
    edge_u_px: float
    corners_px: dict[str, tuple[tuple[float, float], ...]] = field(default_factory=dict)
    edges_px: dict[str, tuple[PixelRow, ...]] = field(default_factory=dict)
    point_sd_px: float = 1.0
    is_nominal: bool = False


@dataclass(frozen=True)
class LineRequest:
    """A line of the wall that is straight but for its bow, by points along it in photos.

    ``direction_u_rad`` is the standard uncertainty of its being level or plumb.
    """

    name: str
    points_px: dict[str, PixelRow]
    sd_px: float = 1.0
    defined_mm: float = 0.0
    bow_u_mm: float = 0.5
    direction: Literal["level", "plumb"] | None = None
    direction_u_rad: float = 0.001
    standoff_mm: float = 0.0
    standoff_u_mm: float = 0.0


@dataclass(frozen=True)
class SizeRequest:
    """A size wanted, by the names of its marks."""

    name: str
    kind: Kind
    start: str
    end: str | None = None
    line: tuple[str, str] | None = None

    @property
    def marks(self) -> tuple[str, ...]:
        """Names of the marks it needs."""
        rest = self.line if self.kind == "to_line" else (self.end,)
        return (self.start, *(name for name in rest or () if name is not None))


@dataclass(frozen=True)
class WallRequest:
    """One wall: photos with marks, cards, rectangles, lines and sizes wanted."""

    photos: tuple[PhotoRequest, ...]
    cards: tuple[CardRequest, ...] = ()
    rectangles: tuple[RectangleRequest, ...] = ()
    lines: tuple[LineRequest, ...] = ()
    level: tuple[str, str] | None = None
    plumb: tuple[str, str] | None = None
    sizes: tuple[SizeRequest, ...] = ()
    datum_card: int | None = None
    profiles: tuple[LensProfile, ...] = ()
    habits: Habits = Habits()
