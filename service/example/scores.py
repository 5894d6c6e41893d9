"""How far the example's sizes are from the truth, in figures that anyone can read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import median
from typing import Final

from service.files.report import Report, ReportDimension

LONG_MM: Final = 1000.0
"""Sizes of this and more are judged; shorter ones are easier."""


@dataclass(frozen=True)
class Score:
    """One hand's taps over all walls.

    Attributes
    ----------
    long_sizes
        Number of photo sizes of 1 m and more.
    photo_mm, expected_mm
        Median absolute error of these, by photo alone and as expected from photo and other
        tapes.
    half_width_mm
        Median half width of their 95 % intervals.
    held
        Share of the 95 % intervals, of all sizes, that hold the truth.
    held_long
        The same of the long sizes.
    """

    long_sizes: int
    photo_mm: float
    expected_mm: float
    half_width_mm: float
    held: float
    held_long: float


def score(reports: Mapping[str, Report], truth_mm: Mapping[str, Mapping[str, float]]) -> Score:
    """Score the reports of all walls, by wall, against true sizes."""
    pairs = [
        (size, truth_mm[wall][size.name])
        for wall, report in reports.items()
        for size in report.dimensions
        if size.photo_mm is not None
    ]
    long = [(size, truth) for size, truth in pairs if abs(truth) >= LONG_MM]
    return Score(
        long_sizes=len(long),
        photo_mm=median(abs((size.photo_mm or 0.0) - truth) for size, truth in long),
        expected_mm=median(
            abs(size.expected_mm - truth) for size, truth in long if size.expected_mm is not None
        ),
        half_width_mm=median(_half_width(size) for size, _ in long),
        held=_share(_holds(size, truth) for size, truth in pairs),
        held_long=_share(_holds(size, truth) for size, truth in long),
    )


def _holds(size: ReportDimension, truth_mm: float) -> bool:
    low, high = size.photo_interval95_mm or (0.0, 0.0)
    return low <= truth_mm <= high


def _half_width(size: ReportDimension) -> float:
    low, high = size.photo_interval95_mm or (0.0, 0.0)
    return (high - low) / 2


def _share(held: Iterable[bool]) -> float:
    found = list(held)
    return sum(found) / len(found) if found else 0.0
