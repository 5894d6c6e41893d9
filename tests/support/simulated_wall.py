"""Walls whose truth is known, seen through OpenCV's own projection.

Nothing here uses the package's camera or adjustment: points are placed and projected with
``cv2.projectPoints``. Every nuisance that the adjustment has a prior for is drawn from it, so
that stated uncertainties can be checked against what happens.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, radians
from typing import TypeAlias

import cv2
import numpy as np
from numpy.random import Generator

from tests.support.simulated_lines import (
    TrueLine,
    TrueRectangle,
    edges_on_wall,
    line_on_wall,
    outline_seen,
    tapped_along,
)
from vision.card.design import COLUMNS, ROWS, SQUARE_MM, card_design
from vision.card.found import FoundCard
from vision.measure_wall import (
    CardRequest,
    LineRequest,
    PhotoRequest,
    PrintCheck,
    RectangleRequest,
    Sight,
    SizeRequest,
    Tap,
    WallRequest,
)
from vision.photo.photograph import Header
from vision.units import FloatArray

WIDTH, HEIGHT = 4032, 3024
F35 = 26.0
F_NOMINAL = F35 * hypot(WIDTH, HEIGHT) / hypot(36, 24)


Point: TypeAlias = tuple[float, float, float]
Row: TypeAlias = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Nuisances:
    """Standard deviations from which a wall's nuisances are drawn."""

    log_f: float = 0.02457
    centre_px: float = 0.0075 * WIDTH
    k1: float = 0.02
    k2: float = 0.02
    focus: float = 0.004
    stabiliser_px: float = 12.0
    flatness_mm: float = 3.0
    card_standoff_mm: float = 1.0
    card_tilt_rad: float = radians(0.3)
    card_bow_mm: float = 0.5
    print_scale: float = 0.015
    corner_px: float = 0.1
    tap_px: float = 1.0
    edge_offset_px: float = 0.3


@dataclass(frozen=True)
class Plan:
    """Where cards, marks and cameras are."""

    cards: dict[int, tuple[float, float, float]] = field(
        default_factory=lambda: {1: (0.0, 0.0, 0.0), 2: (1100.0, 150.0, 0.05)}
    )
    marks: dict[str, tuple[float, float]] = field(
        default_factory=lambda: {
            "left-low": (-150.0, -250.0),
            "right-low": (1400.0, -240.0),
            "left-top": (-140.0, 900.0),
            "right-top": (1390.0, 910.0),
            "line-a": (-100.0, 600.0),
            "line-b": (1350.0, 612.0),
            "valve": (600.0, 200.0),
        }
    )
    cameras: tuple[tuple[tuple[float, float, float], tuple[float, float]], ...] = (
        ((300.0, 400.0, 1500.0), (550.0, 300.0)),
        ((1000.0, 300.0, 1450.0), (650.0, 350.0)),
    )
    lines: dict[str, TrueLine] = field(default_factory=dict)
    rectangles: dict[str, TrueRectangle] = field(default_factory=dict)


ADVISED = Plan(
    cards={1: (-130.0, -230.0, 0.0), 2: (1210.0, 650.0, 0.05)},
    cameras=(
        ((20.0, 350.0, 1500.0), (620.0, 330.0)),
        ((1220.0, 330.0, 1500.0), (620.0, 330.0)),
    ),
)
"""As the README tells a person to: the cards in two opposite corners of the wall, one photo from
each side of an alcove's opening that is filled by the wall. In the other plan both cards hang low.
"""


@dataclass(frozen=True)
class TrueLens:
    """Constants of the lens behind all photos: pixels from the picture's centre, and k1, k2."""

    f_px: float
    centre_px: FloatArray
    k1: float
    k2: float


@dataclass(frozen=True)
class SimulatedWall:
    """A request, what the photos show, and the truth."""

    request: WallRequest
    sights: tuple[Sight, ...]
    truth_mm: dict[str, float]
    points_mm: dict[str, FloatArray]
    lens: TrueLens


SIZES = (
    SizeRequest("width low", "distance", "left-low", "right-low"),
    SizeRequest("width top", "distance", "left-top", "right-top"),
    SizeRequest("height left", "distance", "left-low", "left-top"),
    SizeRequest("diagonal", "distance", "left-low", "right-top"),
    SizeRequest("valve down", "to_line", "valve", line=("line-a", "line-b")),
    SizeRequest("low dx", "dx", "left-low", "right-low"),
    SizeRequest("left dy", "dy", "left-low", "left-top"),
)


def simulate(
    rng: Generator,
    plan: Plan | None = None,
    nuisances: Nuisances | None = None,
    print_check_half_width_mm: float | None = None,
    *,
    plumb: bool = False,
    lens: TrueLens | None = None,
) -> SimulatedWall:
    """One wall drawn with ``rng``; cards 1 and 2 are print jobs of their own.

    With ``plumb`` the left corner's marks are declared a plumb line.
    """
    plan, spread = plan or Plan(), nuisances or Nuisances()
    scales = {s: 1 + spread.print_scale * rng.standard_normal(2) for s in plan.cards}
    corners = {s: _card_on_wall(rng, s, plan.cards[s], scales[s], spread) for s in plan.cards}
    points = {
        name: np.array([x, y, spread.flatness_mm * rng.standard_normal()])
        for name, (x, y) in plan.marks.items()
    }
    lens = lens or TrueLens(
        float(F_NOMINAL * np.exp(spread.log_f * rng.standard_normal())),
        spread.centre_px * rng.standard_normal(2),
        spread.k1 * rng.standard_normal(),
        spread.k2 * rng.standard_normal(),
    )
    lines = {n: line_on_wall(rng, line, spread.flatness_mm) for n, line in plan.lines.items()}
    along: dict[str, dict[str, Row]] = {name: {} for name in lines}
    outlines: dict[str, dict[str, tuple[Row, ...]]] = {name: {} for name in plan.rectangles}
    sights, photos = [], []
    for number, (place, target) in enumerate(plan.cameras):
        view = _View(rng, lens, place, target, spread)
        found = tuple(_found(rng, s, view, corners[s], spread) for s in plan.cards)
        taps = tuple(_taps(rng, view, points, spread))
        name = f"{number}.jpg"
        header = Header(WIDTH, HEIGHT, "Example", "One", focal_35mm_mm=F35)
        sights.append(Sight(header, tuple(card for card in found if card is not None)))
        photos.append(PhotoRequest(name, taps))
        for known, points_on in lines.items():
            row = tapped_along(rng, points_on, view.project, spread.tap_px, (WIDTH, HEIGHT))
            along[known] |= {name: row} if len(row) > 1 else {}
        for known, rectangle in plan.rectangles.items():
            offset = spread.edge_offset_px * rng.standard_normal()
            edges = edges_on_wall(rectangle)
            outlines[known][name] = outline_seen(rng, edges, view.project, spread.tap_px, offset)
    request = WallRequest(
        photos=tuple(photos),
        cards=tuple(
            CardRequest(
                s, print_job=str(s), checks=_checks(rng, scales[s], print_check_half_width_mm)
            )
            for s in plan.cards
        ),
        rectangles=_rectangles(plan, outlines, spread),
        lines=_lines(plan, along, spread),
        level=("line-a", "line-b"),
        plumb=("left-top", "left-low") if plumb else None,
        sizes=tuple(size for size in SIZES if set(size.marks) <= set(plan.marks)),
    )
    return SimulatedWall(request, tuple(sights), true_sizes(points), points, lens)


def _rectangles(
    plan: Plan, outlines: dict[str, dict[str, tuple[Row, ...]]], spread: Nuisances
) -> tuple[RectangleRequest, ...]:
    return tuple(
        RectangleRequest(
            name,
            rectangle.size_mm,
            (0.05, 0.05),
            rectangle.height_mm,
            max(spread.edge_offset_px, 0.01),
            edges_px=dict(outlines[name]),
            point_sd_px=max(spread.tap_px, 0.01),
        )
        for name, rectangle in plan.rectangles.items()
    )


def _lines(
    plan: Plan, along: dict[str, dict[str, Row]], spread: Nuisances
) -> tuple[LineRequest, ...]:
    return tuple(
        LineRequest(
            name,
            dict(along[name]),
            max(spread.tap_px, 0.01),
            bow_u_mm=line.bow_mm,
            direction=line.direction,
        )
        for name, line in plan.lines.items()
    )


def with_sizes(wall: SimulatedWall, sizes: Sequence[SizeRequest]) -> SimulatedWall:
    """The wall asked for straight distances more."""
    truth = {
        size.name: float(
            np.sqrt(np.sum((wall.points_mm[size.end] - wall.points_mm[size.start]) ** 2))
        )
        for size in sizes
        if size.end is not None
    }
    request = replace(wall.request, sizes=(*wall.request.sizes, *sizes))
    return replace(wall, request=request, truth_mm=wall.truth_mm | truth)


def true_sizes(points: dict[str, FloatArray]) -> dict[str, float]:
    """The sizes of ``SIZES`` by elementary geometry on the true points."""
    a, b = points["line-a"][:2], points["line-b"][:2]
    level = complex(*(b - a)) / abs(complex(*(b - a)))

    def across(start: str, end: str) -> complex:
        return complex(*(points[end] - points[start])[:2]) / level

    def far(start: str, end: str) -> float:
        return float(np.sqrt(np.sum((points[end] - points[start]) ** 2)))

    return {
        "width low": far("left-low", "right-low"),
        "width top": far("left-top", "right-top"),
        "height left": far("left-low", "left-top"),
        "diagonal": far("left-low", "right-top"),
        "valve down": (complex(*(points["valve"][:2] - a)) / level).imag,
        "low dx": across("left-low", "right-low").real,
        "left dy": across("left-low", "left-top").imag,
    }


def beside_card(wall: SimulatedWall, serial: int) -> list[FoundCard]:
    """A card on a wall square to this one, at its left end, as each photo of a wall would show it.

    Photos are taken from the places of ``Plan`` with the wall's own lens.
    """
    nominal = card_design(serial).corners_mm
    corners = np.column_stack([np.full(len(nominal), -160.0), nominal[:, 1], 330.0 - nominal[:, 0]])
    cards = []
    for place, target in Plan().cameras:
        view = _View(np.random.default_rng(0), wall.lens, place, target, Nuisances(*(0.0,) * 11))
        pixels = view.project(corners)
        spread = np.tile(np.eye(2) * 0.01, (len(pixels), 1, 1))
        ids = np.arange(len(pixels))
        cards.append(FoundCard(serial, ids, pixels, spread, 150.0, 0.8, 5.0, 60.0, 0.0))
    return cards


def exact_view(place: Point, target: tuple[float, float]) -> Callable[[FloatArray], FloatArray]:
    """The projection of a camera that is as its header says."""
    lens = TrueLens(F_NOMINAL, np.zeros(2), 0.0, 0.0)
    rng = np.random.default_rng(0)
    return _View(rng, lens, place, target, Nuisances(*(0.0,) * 11)).project


class _View:
    """One exposure: OpenCV's projection with this photo's own constants."""

    def __init__(
        self,
        rng: Generator,
        lens: TrueLens,
        place: Point,
        target: tuple[float, float],
        spread: Nuisances,
    ) -> None:
        focal = lens.f_px * (1 + spread.focus * rng.standard_normal())
        middle = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2]) + lens.centre_px
        middle = middle + spread.stabiliser_px * rng.standard_normal(2)
        self.matrix = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1.0]])
        self.distortion = np.array([lens.k1, lens.k2, 0.0, 0.0])
        self.rotation, self.shift = look_at(np.array(place), np.array([*target, 0.0]))

    def project(self, points: FloatArray) -> FloatArray:
        turn = cv2.Rodrigues(self.rotation)[0]
        pixels, _ = cv2.projectPoints(points, turn, self.shift, self.matrix, self.distortion)
        return np.asarray(pixels, dtype=np.float64).reshape(-1, 2)


def look_at(place: FloatArray, target: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Camera pose (rotation, shift) at ``place`` looking at ``target``, wall y up."""
    forward = (target - place) / np.linalg.norm(target - place)
    right = np.cross(forward, np.array([0.0, 1.0, 0.0]))
    right /= np.linalg.norm(right)
    down = np.cross(forward, right)
    rotation = np.stack([right, down, forward])
    return rotation, -rotation @ place


def _card_on_wall(
    rng: Generator, serial: int, place: Point, scale: FloatArray, spread: Nuisances
) -> FloatArray:
    """Corners (24, 3) of a card whose page lies at ``place`` (x, y, turn)."""
    x, y, turn = place
    nominal = card_design(serial).corners_mm
    size = np.array([COLUMNS * SQUARE_MM, ROWS * SQUARE_MM])
    flat = nominal * scale
    middle = nominal - size / 2
    bow = (2 * middle / size) ** 2 - 1 / 3
    height = (
        0.5
        + hypot(spread.flatness_mm, spread.card_standoff_mm) * rng.standard_normal()
        + middle @ (spread.card_tilt_rad * rng.standard_normal(2))
        + bow @ (spread.card_bow_mm * rng.standard_normal(2))
    )
    cos, sin = np.cos(turn), np.sin(turn)
    placed = flat @ np.array([[cos, sin], [-sin, cos]]) + np.array([x, y])
    return np.column_stack([placed, height])


def _found(
    rng: Generator, serial: int, view: _View, corners: FloatArray, spread: Nuisances
) -> FoundCard | None:
    pixels = view.project(corners)
    inside = np.all((pixels > 5) & (pixels < [WIDTH - 6, HEIGHT - 6]), axis=1)
    if np.count_nonzero(inside) < 8:
        return None
    noisy = pixels[inside] + spread.corner_px * rng.standard_normal((np.count_nonzero(inside), 2))
    covariance = np.tile(np.eye(2) * max(spread.corner_px, 0.01) ** 2, (len(noisy), 1, 1))
    ids = np.flatnonzero(inside)
    return FoundCard(serial, ids, noisy, covariance, 150.0, 0.8, 5.0, 20.0, 0.0)


def _taps(
    rng: Generator, view: _View, points: dict[str, FloatArray], spread: Nuisances
) -> list[Tap]:
    pixels = view.project(np.array(list(points.values())))
    taps = []
    for name, pixel in zip(points, pixels, strict=True):
        if np.all((pixel > 5) & (pixel < [WIDTH - 6, HEIGHT - 6])):
            at = pixel + spread.tap_px * rng.standard_normal(2)
            taps.append(Tap(name, (float(at[0]), float(at[1])), max(spread.tap_px, 0.01)))
    return taps


def _checks(
    rng: Generator, scale: FloatArray, half_width_mm: float | None
) -> tuple[PrintCheck, ...]:
    if half_width_mm is None:
        return ()
    error = half_width_mm / np.sqrt(3) * rng.standard_normal(2)
    x, y = np.array([170.0, 240.0]) * scale + error
    return (
        PrintCheck("x", 170.0, float(x), half_width_mm),
        PrintCheck("y", 240.0, float(y), half_width_mm),
    )
